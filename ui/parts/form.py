"""The form of a proposal: a few questions first, then what stands in, then everything else."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import flet as ft

from triage.errors import Problem
from triage.measurements.catalogue import CATALOGUE
from triage.measurements.kind import Kind
from triage.services import editing, questions
from triage.services.questions import Default, Question

from .. import look
from ..look import Ink
from ..state import Form, Place, Session, field_problems
from ..words import kind_label
from ..work import Work
from .basic import heading, link, named, panel, text
from .field import Entry, Field
from .safe import handled, safe


@safe
def FormPanel(session: Session, work: Work, place: Place, form: Form) -> Any:
    """Everything that is asked."""
    tones = look.ink(place.dark)
    kind = CATALOGUE.get(session.kind)
    parts: list[ft.Control] = [Beginning(session, work, place, session.kind, place.start_from)]
    if kind is not None:
        maker = _Maker(session, work, place, kind)
        parts.append(panel(maker.first(), tones, title="First questions", spacing=10))
        if assumed := maker.assumed():
            words = "Nothing was said about these, so usual values stand in. Replace what you know better."
            parts.append(panel([text(words, tones, size=look.SMALL, quiet=True), *assumed], tones,
                               title="What stands in", spacing=10))  # fmt: skip
        parts += maker.sections()
        if maker.rest:
            parts.insert(1, panel(_problems(maker.rest, session), tones, title="In the file"))
    return ft.Container(
        ft.Column(parts, scroll=ft.ScrollMode.AUTO, spacing=10, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding.only(left=look.PAD, right=8, top=10, bottom=10), bgcolor=tones.paper,
    )  # fmt: skip


def _problems(problems: Sequence[Problem], session: Session) -> list[ft.Control]:
    tones = look.ink(session.place.dark)
    return [
        text(f"{each.field}: {each.message} — {each.remedy}" if each.field else f"{each.message} — {each.remedy}", tones,
             color=tones.error) for each in problems
    ]  # fmt: skip


@ft.memo
@safe
def Beginning(session: Session, work: Work, place: Place, chosen: str, way: str) -> Any:
    """Where to begin: a kind of measurement or a published observation."""
    tones = look.ink(place.dark)

    def kind_chosen(event: Any) -> None:
        if event.control.value in CATALOGUE:
            session.change_kind(event.control.value)
            work.soon()

    def paper_chosen(event: Any) -> None:
        if event.control.value:
            session.start_from(int(event.control.value))
            place.start_from = "kind"
            work.soon()

    common: dict[str, Any] = {
        "dense": True, "text_size": look.BODY, "menu_height": 420, "enable_filter": True, "editable": True,
        "expanded_insets": 0, "label_style": ft.TextStyle(size=look.BODY, color=tones.quiet),
        "border": ft.OutlineInputBorder(border_radius=look.RADIUS, side=ft.BorderSide(1, tones.line)),
    }  # fmt: skip
    kind = CATALOGUE.get(chosen)
    if way == "kind":
        control = named(
            ft.Dropdown(
                value=chosen or None, label="Kind of measurement", hint_text="Type a word, or choose from the list",
                options=[ft.DropdownOption(key=each.key, text=kind_label(each), content=_kind_line(each, tones))
                         for each in sorted(CATALOGUE.values(), key=kind_label)],
                on_select=handled(kind_chosen, session.tell), **common,
            ),
            label="Kind of measurement",
        )  # fmt: skip
        other = link("I only know the paper I want to repeat", lambda: setattr(place, "start_from", "paper"), tones)
    else:
        seen = editing.observations()
        control = named(
            ft.Dropdown(
                value=None, label="Published observation",
                options=[ft.DropdownOption(key=str(index), text=f"{each.seen} ({each.reference})")
                         for index, each in enumerate(seen)],
                on_select=handled(paper_chosen, session.tell), **common,
            ),
            label="Published observation",
        )  # fmt: skip
        other = link("Choose the kind of measurement instead", lambda: setattr(place, "start_from", "kind"), tones)
    parts: list[ft.Control] = [control]
    if kind is not None and way == "kind":
        parts += [text(kind.title, tones), text(kind.asks, tones, size=look.SMALL, quiet=True)]
    parts.append(ft.Row([other]))
    return panel(parts, tones, title="What do you want to measure?", spacing=8)


def _kind_line(kind: Kind, tones: Ink) -> ft.Control:
    return ft.Column([text(kind_label(kind), tones, bold=True), text(kind.title, tones, size=look.SMALL, quiet=True)],
                     spacing=0, tight=True)  # fmt: skip


class _Maker:
    """Makes the fields of one kind with what is written, what stands in, and what is wrong."""

    def __init__(self, session: Session, work: Work, place: Place, kind: Kind) -> None:
        self.session, self.place, self.kind = session, place, kind
        self.asked = questions.all_questions(kind)
        self.problems, self.rest = field_problems(session, list(self.asked))
        self.stands_in = self._standing_in()

        def change(path: str, written: str | bool) -> None:
            session.change(path, written)
            work.soon()

        self.change = work.once("change", handled(change, session.tell))

    def _standing_in(self) -> dict[str, Default]:
        found = {path: each.default for path, each in self.asked.items() if each.default is not None}
        answer = self.session.answer
        if answer is not None and not self.session.shown.stale:
            result = answer.platform(answer.recommended or answer.order[0])
            for ground in result.grounds if result is not None else ():
                if ground.name in self.asked and ground.basis not in ("stated", "measured", "published"):
                    found.setdefault(ground.name, Default(ground.value, ground.basis))
        return found

    def field(self, question: Question, *, roomy: bool = False) -> ft.Control:
        path = question.path
        problem = self.problems.get(path)
        written = editing.text_at(self.session.data, path)
        missing = problem is not None and problem.message == "is missing"
        error = "" if problem is None or missing else f"{problem.message} — {problem.remedy}"
        default = None if written else self.stands_in.get(path)
        says = tuple(self.kind.tiers[name] for name in ("see", "measure", "publish")) if path == "tier" else ()
        return Field(
            Entry(question, written, "needed for an answer" if missing else self._note(question), error,
                  f"{default.text}, {default.basis}" if default else "", says, self.place.dark, roomy),
            self.change, key=path,
        )  # fmt: skip

    def _note(self, question: Question) -> str:
        request = self.session.request
        path = question.path
        parts = []
        if request is not None and path.startswith("device.") and editing.text_at(self.session.data, path):
            same = editing.equivalents(request, path.removeprefix("device."))
            if same:
                parts.append("= " + " = ".join(same))
        basis, source = editing.basis_at(self.session.data, path)
        if basis:
            parts.append(f"{basis}: {source}" if source else basis)
        return "; ".join(parts)

    def first(self) -> list[ft.Control]:
        """The first questions; board length and width share a line."""
        found: list[ft.Control] = [ft.Container(height=2)]
        asked = [each for each in questions.first_questions(self.kind) if each.path != "board.width"]
        for each in asked:
            if each.path == "board.length":
                pair = [self.field(each), self.field(self.asked["board.width"])]
                found.append(_pair(pair))
            else:
                found.append(self.field(each, roomy=True))
        return found

    def assumed(self) -> list[ft.Control]:
        """Quantities that nobody wrote and that the answer uses."""
        first = {each.path for each in questions.first_questions(self.kind)}
        shown = [
            each for path, each in self.asked.items()
            if path not in first and path in self.stands_in and each.form == "quantity"
        ]  # fmt: skip
        return _pairs([self.field(each) for each in shown])

    def sections(self) -> list[ft.Control]:
        """Everything else by subject, closed until asked for."""
        tones = look.ink(self.place.dark)
        found: list[ft.Control] = [heading("Everything else", tones)]
        taken = {path for path, each in self.asked.items() if path in self.stands_in and each.form == "quantity"}
        for title, asked in questions.other_questions(self.kind).items():
            here = [each for each in asked if each.path not in taken and each.path != "title"]
            if not here:
                continue
            written = sum(bool(editing.text_at(self.session.data, each.path)) for each in here)
            wrong = any(each.path in self.problems for each in here)
            opened = title in self.place.opened or wrong
            words = f"{'–' if opened else '+'} {title}"
            count = f"{written} of {len(here)} said" if written else f"{len(here)} entries, none said"
            head = ft.Row(
                [
                    link(words, lambda title=title: self.session.toggle(title), tones, bold=True,
                         label=f"{title}, {count}, {'open' if opened else 'closed'}"),
                    text(count, tones, size=look.SMALL, quiet=True),
                ],
                alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
            )  # fmt: skip
            body = _pairs([self.field(each) for each in here]) if opened else []
            found.append(panel([head, *body], tones, padding=8, spacing=10))
        return found


def _pair(fields: list[ft.Control]) -> ft.Control:
    return ft.Row([ft.Container(each, expand=True) for each in fields], spacing=8,
                  vertical_alignment=ft.CrossAxisAlignment.START)  # fmt: skip


def _pairs(fields: list[ft.Control]) -> list[ft.Control]:
    rows = [fields[index : index + 2] for index in range(0, len(fields), 2)]
    return [_pair(row if len(row) == 2 else [*row, ft.Container()]) for row in rows]
