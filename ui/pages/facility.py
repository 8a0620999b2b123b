"""The facility: its platforms, and every proposal assessed."""

from __future__ import annotations

from typing import Any

import flet as ft

from triage.models.lab import Lab, Platform

from .. import look
from ..look import Ink
from ..parts.basic import button, link, panel, text
from ..parts.gates import mark
from ..parts.grid import cell_text, grid
from ..parts.safe import handled, safe
from ..state import Place, Row, Session, Table
from ..words import CONFIDENCE, got, quantity
from ..work import Work


@safe
def FacilityPage(session: Session, work: Work, place: Place) -> Any:
    """Platforms above, proposals below."""
    tones = look.ink(place.dark)
    lab = session.facility.lab
    notes = [text(words, tones, quiet=True) for words in (lab.invented, lab.notes) if words]
    notes += [
        text(f"Own rules: {each.action} {each.rule}{f' ({each.who}: {each.why})' if each.why else ''}", tones)
        for each in session.facility.rulebase.departures
    ]
    where = text(f"Read from {session.facility.folder}", tones, size=look.SMALL, quiet=True)
    return ft.Container(
        ft.Column(
            [
                panel([*notes, where], tones, title=lab.name),
                panel([_platforms(lab, tones)], tones, title=f"Platforms ({len(lab.platforms)})"),
                Proposals(session, work, place, session.table),
            ],
            scroll=ft.ScrollMode.AUTO,
            spacing=10,
            horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
        ),
        padding=ft.Padding.symmetric(horizontal=look.PAD, vertical=10),
        bgcolor=tones.paper,
        expand=True,
    )


def _platforms(lab: Lab, tones: Ink) -> ft.Control:
    heads = [
        "Platform",
        "Kind",
        "Electrons",
        "Basis",
        "Warmest",
        "Field",
        "Sample space",
        "DC / coax",
        "Queue",
        "Per day",
    ]
    rows = [
        [
            cell_text(each.name, tones, 130),
            cell_text(each.kind, tones, 125, quiet=True),
            *_electrons(each, tones),
            quantity(each.warmest),
            quantity(each.field.magnitude),
            _space(each),
            f"{quantity(each.wiring.dc_lines)} / {quantity(each.wiring.coax_lines)}",
            quantity(each.clock.queue),
            quantity(each.running.day_price),
        ]
        for each in lab.platforms
    ]
    return grid(heads, rows, tones, right=(2, 4, 5, 6, 7, 8, 9))


def _electrons(platform: Platform, tones: Ink) -> tuple[str, ft.Control]:
    electrons = platform.electrons
    if electrons.measured is not None:
        told = ", ".join(str(each) for each in (electrons.method, electrons.date) if each)
        changed = electrons.loom_changed
        stale = changed is not None and (electrons.date is None or changed > electrons.date)
        words = f"measured{': ' + told if told else ''}" + ("; loom changed since" if stale else "")
        return quantity(electrons.measured), cell_text(words, tones, 170, quiet=True)
    saturation = electrons.saturation
    limit = f"; its loom alone: {quantity(saturation)} ({saturation.basis})" if saturation else ""
    return "as stage", cell_text(f"not measured{limit}", tones, 170, quiet=True)


def _space(platform: Platform) -> str:
    space = platform.space
    if space.bore is not None:
        return f"bore {quantity(space.bore)}"
    if space.board_length is not None and space.board_width is not None:
        return f"{quantity(space.board_length)} × {quantity(space.board_width)}"
    return "–"


@safe
def Proposals(session: Session, work: Work, place: Place, table: Table) -> Any:
    """Every proposal with its answer."""
    tones = look.ink(place.dark)

    async def first() -> None:
        if not session.rows or session.table_stale:
            await work.table()

    ft.on_mounted(first)
    again = button("Assess again", lambda: work.page.run_task(work.table), tones, disabled=table.working)
    if table.working and not session.rows:
        body: ft.Control = ft.Row([ft.ProgressRing(width=16, height=16), text("Assessing every proposal …", tones)])
    elif not session.rows:
        body = text("There is no proposal in the facility's folder 'proposals' yet.", tones, quiet=True)
    else:
        body = _rows(session, work, place, tones)
    return panel([body, ft.Row([again])], tones, title=f"Proposals ({len(session.rows)})")


def _rows(session: Session, work: Work, place: Place, tones: Ink) -> ft.Control:
    heads = ["Proposal", "Wanted", "Platform", "Verdict", "Reached", "Confidence", "Second", "Price", "Answer in"]
    rows = [_row(each, session, work, place, tones) for each in session.rows]
    return grid(heads, rows, tones, right=(7, 8))


def _row(row: Row, session: Session, work: Work, place: Place, tones: Ink) -> list[ft.Control | str]:
    def open_it() -> None:
        if session.form.dirty:
            place.waiting = f"open {row.name}"
        else:
            session.open(row.name)
            work.soon()
        session.go(0)

    name = link(row.name, handled(open_it, session.tell), tones, label=f"Open {row.name}", width=220)
    answer = row.answer
    if answer is None:
        first = row.problems[0]
        said = f"{len(row.problems)} problem(s), first: {first.field} {first.message}"
        return [name, cell_text(said, tones, 300), *[""] * 7]
    best, second = answer.platform(answer.recommended), answer.platform(answer.second)
    return [
        name,
        answer.wanted_tier,
        cell_text(best.name if best else "none", tones, 150),
        mark(answer.verdict, tones, verdict=True) if answer.verdict else "–",
        answer.tier or "–",
        CONFIDENCE[answer.confidence],
        cell_text(second.name if second else "–", tones, 150),
        got(answer, answer.recommended, "price"),
        got(answer, answer.recommended, "time_to_answer"),
    ]
