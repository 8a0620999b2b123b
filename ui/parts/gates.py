"""Nine gates for every platform, and the numbers of one platform's gates."""

from __future__ import annotations

from typing import Any

import flet as ft

from triage.models.recommendation import PlatformResult, Recommendation
from triage.text import deciding_sentences

from .. import look
from ..look import Ink
from ..state import Held, Place, Session
from ..words import GATE_HEADS, GATE_WORDS, STATES, VERDICTS, amount, got, margin
from .basic import TIGHT, link, panel, text
from .safe import safe


def mark(state: str, tones: Ink, label: str = "", *, stacked: bool = False, verdict: bool = False) -> ft.Control:
    """A state as sign and word; a failing one is dark, a tight one framed, so that grey print tells them apart.

    `stacked` sets the word below the sign, for narrow columns.
    """
    ground = {"fail": tones.strong, "unsuitable": tones.strong, "tight": tones.warm}.get(state)
    color = {"fail": tones.on_strong, "unsuitable": tones.on_strong, "tight": tones.on_warm}.get(state, tones.text)
    words = VERDICTS[state] if verdict else STATES[state]
    return ft.Container(
        ft.Text(
            words.replace(" ", "\n") if stacked else words,
            size=10 if stacked else look.SMALL,
            color=color,
            no_wrap=not stacked,
            semantics_label=label or None,
            style=TIGHT,
            text_align=ft.TextAlign.CENTER if stacked else ft.TextAlign.START,
            font_family=look.BOLD if state in ("fail", "unsuitable", "tight") else look.FACE,
        ),
        bgcolor=ground,
        border_radius=3,
        padding=ft.Padding.symmetric(horizontal=1 if stacked else 4, vertical=1),
        border=ft.Border.all(1, tones.text if state == "tight" else ground or ft.Colors.TRANSPARENT),
        alignment=ft.Alignment.CENTER if stacked else ft.Alignment.CENTER_LEFT,
    )


@ft.memo
@safe
def GateTable(session: Session, held: Held, place: Place) -> Any:
    """One row per platform; choosing one shows its numbers below."""
    answer = held.answer
    tones = look.ink(place.dark)
    name_width = 168 if place.wide else 132
    heads = ["Platform", "Verdict", *GATE_HEADS.values(), "Price", "Answer in"]
    widths: list[int | None] = [name_width, 94, *([None] * len(GATE_HEADS)), 62, 66]

    def head(words: str, width: int | None, right: bool) -> ft.Control:
        return ft.Container(
            text(words, tones, size=look.SMALL if place.wide else 10.5, quiet=True, right=right),
            width=width,
            expand=width is None,
            alignment=None if width else middle,
        )

    middle = ft.Alignment.CENTER_LEFT if place.wide else ft.Alignment.CENTER
    top = ft.Row(
        [head(words, width, index > 10) for index, (words, width) in enumerate(zip(heads, widths, strict=True))],
        spacing=2,
    )
    rows = [_row(session, answer, each, place, name_width, tones) for each in answer.platforms]
    return panel([top, *rows], tones, title="Nine gates")


def _row(
    session: Session, answer: Recommendation, result: PlatformResult, place: Place, width: int, tones: Ink
) -> ft.Control:
    chosen = result.platform == place.platform
    cells: list[ft.Control] = [
        ft.Container(
            link(
                result.name,
                lambda: session.select(result.platform),
                tones,
                chosen=chosen,
                width=width,
                label=f"{result.name}: {result.verdict}, show its numbers",
            ),
            width=width,
        ),
        ft.Container(mark(result.verdict, tones, verdict=True), width=94),
    ]
    for gate in result.gates:
        label = f"{GATE_WORDS[gate.numbers.gate]}: {STATES[gate.state][2:]}"
        cells.append(ft.Container(mark(gate.state, tones, label, stacked=not place.wide), expand=True))
    for name, width_ in (("price", 62), ("time_to_answer", 66)):
        cells.append(
            text(got(answer, result.platform, name), tones, size=look.SMALL, right=True, width=width_, one_line=True)
        )
    return ft.Container(
        ft.Row(cells, spacing=2, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        bgcolor=tones.raised if chosen else None,
        border_radius=4,
        border=ft.Border(top=ft.BorderSide(1, tones.line)),
        padding=ft.Padding.symmetric(vertical=1),
    )


@ft.memo
@safe
def GateDetail(held: Held, place: Place) -> Any:
    """Need, have and margin of every gate of the platform chosen, with what was found."""
    answer = held.answer
    tones = look.ink(place.dark)
    result = answer.platform(place.platform)
    if result is None:
        return ft.Container(height=0)
    return panel(
        [*sentences(result, answer, tones), gate_numbers(result, tones)],
        tones,
        title=f"{result.name}: need, have and margin",
    )


def sentences(result: PlatformResult, answer: Recommendation, tones: Ink) -> list[ft.Control]:
    """Why a platform has its verdict, in a sentence or two."""
    found = deciding_sentences(result)
    if not found:
        first = result.platform == answer.recommended
        found = ["It serves." if first else "It serves too, but costs more or answers later."]
    return [text(each, tones) for each in found]


def gate_numbers(result: PlatformResult, tones: Ink) -> ft.Control:
    """The nine gates of one platform with their numbers."""
    heads = (("Gate", False), ("State", False), ("Need", True), ("Have", True), ("Margin", True), ("Limit", False))
    columns = [
        ft.DataColumn(label=text(words, tones, size=look.SMALL, quiet=True), numeric=right) for words, right in heads
    ]
    rows = []
    for gate in result.gates:
        numbers = gate.numbers
        cells = [
            text(GATE_WORDS[numbers.gate], tones),
            mark(gate.state, tones),
            text(amount(numbers.need, numbers.unit), tones, right=True),
            text(amount(numbers.have, numbers.unit), tones, right=True),
            text(margin(gate), tones, right=True),
            text(numbers.limit, tones, size=look.SMALL, quiet=True),
        ]
        rows.append(ft.DataRow([ft.DataCell(each) for each in cells]))
    return ft.DataTable(
        columns=columns,
        rows=rows,
        heading_row_height=26,
        data_row_min_height=26,
        data_row_max_height=float("inf"),
        column_spacing=18,
        horizontal_margin=4,
        divider_thickness=1,
        horizontal_lines=ft.BorderSide(1, tones.line),
    )
