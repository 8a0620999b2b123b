"""The form of a proposal: a few questions first, then what stands in, then everything else."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

import flet as ft

from triage.errors import Problem
from triage.measurements.catalogue import CATALOGUE
from triage.measurements.kind import Kind
from triage.services import editing, questions
from triage.services.questions import Default, Question

from .. import look
from ..state import Form, Place, Session, field_problems
from ..work import Work
from .basic import heading, link, panel, text
from .field import Entry, Field
from .picker import Beginning
from .safe import handled, safe


@safe
def FormPanel(session: Session, work: Work, place: Place, _form: Form) -> Any:
    """Everything that is asked."""
    tones = look.ink(place.dark)
    kind = CATALOGUE.get(session.kind)
    parts: list[ft.Control] = [Beginning(session, work, place, session.kind, place.start_from)]
    if kind is not None:
        maker = _Maker(session, work, place, kind)
        parts.append(panel(maker.first(), tones, title="First questions", spacing=10))
        if assumed := maker.assumed():
            words = "Nothing was said about these, so usual values stand in. Replace what you know better."
            parts.append(
                panel(
                    [text(words, tones, size=look.SMALL, quiet=True), *assumed],
                    tones,
                    title="What stands in",
                    spacing=10,
                )
            )
        parts += maker.sections()
        if maker.rest:
            parts.insert(1, panel(_problems(maker.rest, session), tones, title="In the file"))
    return ft.Container(
        ft.Column(parts, scroll=ft.ScrollMode.AUTO, spacing=10, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding.only(left=look.PAD, right=8, top=10, bottom=10),
        bgcolor=tones.paper,
    )


def _problems(problems: Sequence[Problem], session: Session) -> list[ft.Control]:
    tones = look.ink(session.place.dark)
    return [
        text(
            f"{each.field}: {each.message} — {each.remedy}" if each.field else f"{each.message} — {each.remedy}",
            tones,
            color=tones.error,
        )
        for each in problems
    ]


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
            Entry(
                question,
                written,
                "needed for an answer" if missing else self._note(question),
                error,
                f"{default.text}, {default.basis}" if default else "",
                says,
                self.place.dark,
                roomy,
            ),
            self.change,
            key=path,
        )

    def _note(self, question: Question) -> str:
        path = question.path
        parts = []
        if path.startswith("device.") and editing.text_at(self.session.data, path):
            same = editing.equivalents(self.session.data, path.removeprefix("device."))
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
            each
            for path, each in self.asked.items()
            if path not in first and path in self.stands_in and each.form == "quantity"
        ]
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
                    link(
                        words,
                        partial(self.session.toggle, title),
                        tones,
                        bold=True,
                        label=f"{title}, {count}, {'open' if opened else 'closed'}",
                    ),
                    text(count, tones, size=look.SMALL, quiet=True),
                ],
                alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
            )
            body = _pairs([self.field(each) for each in here]) if opened else []
            found.append(panel([head, *body], tones, padding=8, spacing=10))
        return found


def _pair(fields: list[ft.Control]) -> ft.Control:
    return ft.Row(
        [ft.Container(each, expand=True) for each in fields], spacing=8, vertical_alignment=ft.CrossAxisAlignment.START
    )


def _pairs(fields: list[ft.Control]) -> list[ft.Control]:
    rows = [fields[index : index + 2] for index in range(0, len(fields), 2)]
    return [_pair(row if len(row) == 2 else [*row, ft.Container()]) for row in rows]
