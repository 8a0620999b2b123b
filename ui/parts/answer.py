"""The answer beside the form: verdict, reason and flip first, then the gates, then doubts and cautions."""

from __future__ import annotations

from functools import partial
from typing import Any

import flet as ft

from triage.errors import Problem
from triage.measurements.catalogue import CATALOGUE
from triage.services.questions import all_questions
from triage.text import leading_flips, odds_lines

from .. import look
from ..look import Ink
from ..state import Held, Place, Session, Shown
from ..words import CONFIDENCE, got
from ..work import Work
from .basic import button, heading, labelled, named, panel, text
from .gates import GateDetail, GateTable
from .picture import AxisPicture
from .safe import safe


@safe
def AnswerPanel(session: Session, work: Work, place: Place, shown: Shown) -> Any:
    """The answer to the entries, or what is missing for one."""
    tones = look.ink(place.dark)
    latest, core = session.latest, session.core
    parts: list[ft.Control] = []
    if latest is None or core is None:
        parts = _nothing_yet(session, work, tones)
    else:
        if shown.stale and session.problems:
            parts.append(_stale(session, tones))
        parts += [
            Verdict(latest, place.dark, shown.working),
            Strip(core, place.dark),
            AxisPicture(session, core, place.dark, place.wide),
            GateTable(session, core, place),
            GateDetail(core, place),
            Doubts(core, place.dark),
            Cautions(core, place.dark),
        ]
    return ft.Container(
        ft.Column(parts, scroll=ft.ScrollMode.AUTO, spacing=10, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding.only(left=8, right=look.PAD, top=10, bottom=10),
        bgcolor=tones.paper,
    )


def _label(problem: Problem, kind: str) -> str:
    """The label of the field a problem belongs to, or where it is in the file."""
    asked = all_questions(CATALOGUE[kind]) if kind else {}
    found = asked.get(problem.field) or asked.get(f"{problem.field}.magnitude")
    return found.label if found is not None else problem.field or problem.file


def _stale(session: Session, tones: Ink) -> ft.Control:
    first = next((each for each in session.problems if each.message != "is missing"), session.problems[0])
    label = _label(first, session.kind)
    more = f" and {len(session.problems) - 1} more" if len(session.problems) > 1 else ""
    words = f"Below is the answer to the last entries that could be read. Now: {label}: {first.message}{more}."
    return ft.Container(
        named(text(words, tones, color=tones.on_warm), live_region=True, identifier="stale"),
        bgcolor=tones.warm,
        padding=10,
        border_radius=look.RADIUS,
        border=ft.Border.all(1, tones.quiet),
    )


def _nothing_yet(session: Session, work: Work, tones: Ink) -> list[ft.Control]:
    kind = CATALOGUE.get(session.kind)
    if kind is None:
        names = [path.stem for path in session.facility.proposals()]
        steps = [
            "1  Choose what you want to measure, or the paper you want to repeat.",
            "2  Answer the few questions that appear; leave out what you do not know.",
            "3  Read here which platform to use, why, and what would change the answer.",
        ]

        def example() -> None:
            session.open(names[0] if "electrometer" not in names else "electrometer")
            work.soon()

        examples = [ft.Row([button("Show me an example", example, tones)])] if names else []
        return [
            *_left(session, work, tones),
            panel([*(text(each, tones) for each in steps), *examples], tones, title="The answer appears here"),
        ]
    missing = [each for each in session.problems if each.message == "is missing"]
    wrong = [each for each in session.problems if each.message != "is missing"]
    rows: list[ft.Control] = [text(f"•  {_label(each, session.kind)}: {each.remedy}", tones) for each in missing]
    rows += [
        text(f"•  {_label(each, session.kind)}: {each.message} — {each.remedy}", tones, color=tones.error)
        for each in wrong
    ]
    if not rows:
        rows = [text("Working the answer out …", tones, quiet=True)]
    title = "Still needed for an answer" if missing else "To put right" if wrong else "One moment"
    return [named(panel(rows, tones, title=title), identifier="needed")]


def _left(session: Session, work: Work, tones: Ink) -> list[ft.Control]:
    """Unsaved work of an earlier tab, to take up or drop."""
    rows = []
    for key, title in session.place.left:
        rows.append(
            ft.Row(
                [
                    ft.Container(text(title, tones, one_line=True), expand=True),
                    button("Continue", partial(work.continue_left, key), tones, main=True),
                    button("Drop", partial(work.drop_left, key), tones),
                ],
                spacing=8,
            )
        )
    return [panel(rows, tones, title="Unsaved work in this browser")] if rows else []


@ft.memo
@safe
def Verdict(held: Held, dark: bool, working: bool) -> Any:
    """The sentence, the one reason, the one flip, and how firm it is."""
    answer = held.answer
    tones = look.ink(dark)
    flips = leading_flips(answer)
    because = "; ".join(answer.confidence_because)
    sure = CONFIDENCE[answer.confidence] + (f": {because}" if because else "")
    best = answer.platform(answer.recommended)
    credit = [each.because for each in best.findings if each.effect in ("caution", "credit")] if best else []
    rows: list[ft.Control] = [
        named(
            ft.Text(answer.sentence, size=17, font_family=look.BOLD, color=tones.text),
            identifier="verdict",
            heading_level=1,
        ),
        text(f"{answer.measurement}, wanted: {answer.wanted_tier}", tones, size=look.SMALL, quiet=True),
        labelled("Because", named(text(answer.reason, tones), identifier="reason"), tones),
    ]
    rows += [labelled("Decided by", text(each, tones), tones) for each in credit[:1]]
    first_flip = (
        flips[0]
        if flips
        else "Looking for what would change it …"
        if working
        else ("No single entry, varied a hundredfold, changes the answer.")
    )
    rows.append(labelled("Flip", named(text(first_flip, tones), identifier="flip"), tones))
    rows.append(labelled("Confidence", named(text(sure, tones), identifier="confidence"), tones))
    for line in odds_lines(answer):
        rows.append(labelled("Odds", text(" ".join(line.removeprefix("Odds").split()), tones), tones))
    if len(flips) > 1:
        rows.append(_More("Other changes that matter", flips[1:], dark))
    return panel(rows, tones)


@safe
def _More(title: str, lines: list[str], dark: bool) -> Any:
    """Lines that open on demand."""
    from .basic import link

    tones = look.ink(dark)
    opened, set_opened = ft.use_state(False)
    words = f"{'–' if opened else '+'} {title} ({len(lines)})"
    body = [text(f"•  {each}", tones) for each in lines] if opened else []
    head = link(words, lambda: set_opened(not opened), tones, label=f"{title}, {'open' if opened else 'closed'}")
    return ft.Column([ft.Row([head]), *body], spacing=4)


@ft.memo
@safe
def Strip(held: Held, dark: bool) -> Any:
    """Time, helium, money and people on the recommended platform."""
    answer = held.answer
    tones = look.ink(dark)
    best = answer.recommended
    if best is None:
        return ft.Container(height=0)
    facts = [
        ("Answer in", got(answer, best, "time_to_answer"), "queue, cooldowns, data"),
        ("Run", got(answer, best, "run"), f"{got(answer, best, 'cooldowns')} × cold"),
        ("Helium", got(answer, best, "helium_used"), "evaporated"),
        ("Price", got(answer, best, "price"), "platform, gas, people"),
        ("People", got(answer, best, "staff_time"), "at the machine"),
    ]

    def one(head: str, value: str, small: str) -> ft.Control:
        return ft.Container(
            ft.Column(
                [
                    text(head, tones, size=look.SMALL, quiet=True),
                    text(value, tones, size=16, bold=True),
                    text(small, tones, size=10.5, quiet=True),
                ],
                spacing=1,
            ),
            expand=True,
            padding=ft.Padding.symmetric(horizontal=10, vertical=8),
            bgcolor=tones.panel,
            border=ft.Border.all(1, tones.line),
            border_radius=look.RADIUS,
        )

    return ft.Row(
        [one(*each) for each in facts],
        spacing=8,
        intrinsic_height=True,
        vertical_alignment=ft.CrossAxisAlignment.STRETCH,
    )


@ft.memo
@safe
def Doubts(held: Held, dark: bool) -> Any:
    """Remarks, and what was assumed for the recommended platform."""
    answer = held.answer
    tones = look.ink(dark)
    rows: list[ft.Control] = [text(f"•  {each.because}", tones) for each in answer.remarks]
    lines = [f"{_plain(each.name)}: {each.value} ({each.basis})" for each in answer.assumptions]
    if lines:
        rows.append(_More("What was assumed", lines, dark))
    return panel(rows or [text("Nothing was assumed.", tones, quiet=True)], tones, title="Remarks and assumptions")


def _plain(name: str) -> str:
    from ..words import name_of

    return name_of(name)


@ft.memo
@safe
def Cautions(held: Held, dark: bool) -> Any:
    """The usual cautions."""
    answer = held.answer
    tones = look.ink(dark)
    return panel([heading("Cautions", tones), *(text(f"•  {each}", tones) for each in answer.cautions)], tones)
