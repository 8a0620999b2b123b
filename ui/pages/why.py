"""Why: the reasoning about one platform, from the verdict to the inputs."""

from __future__ import annotations

from functools import partial
from typing import Any

import flet as ft

from triage.models.recommendation import PlatformResult, Recommendation

from .. import look
from ..look import Ink
from ..parts.basic import button, link, panel, text
from ..parts.gates import mark, sentences
from ..parts.grid import cell_text, grid
from ..parts.safe import safe
from ..parts.tree import Tree
from ..state import Place, Session, Shown
from ..words import estimate_value, name_of
from ..work import Work


@safe
def WhyPage(session: Session, _work: Work, place: Place) -> Any:
    """The platforms on the left, the reasoning about one of them beside."""
    return Reasoning(session, place, session.shown)


@safe
def Reasoning(session: Session, place: Place, _shown: Shown) -> Any:
    """Platforms, and the tree of one."""
    tones = look.ink(place.dark)
    answer = session.answer
    if answer is None:
        words = "There is no answer yet. Fill in the proposal first; the reasons then appear here."
        content: list[ft.Control] = [
            panel(
                [text(words, tones), ft.Row([button("To the proposal", lambda: session.go(0), tones, main=True)])],
                tones,
                title="Why",
            )
        ]
        return _sheet(content, tones)
    result = answer.platform(place.platform) or answer.platforms[0]
    left = ft.Container(
        _platforms(session, answer, result, tones), width=290, padding=ft.Padding.only(left=look.PAD, top=10, right=4)
    )
    return ft.Row(
        [left, ft.Container(_reasons(session, answer, result, place, tones), expand=True)],
        expand=True,
        spacing=0,
        vertical_alignment=ft.CrossAxisAlignment.STRETCH,
    )


def _sheet(content: list[ft.Control], tones: Ink) -> ft.Control:
    return ft.Container(
        ft.Column(content, scroll=ft.ScrollMode.AUTO, spacing=10, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding.only(left=8, right=look.PAD, top=10, bottom=10),
        bgcolor=tones.paper,
        expand=True,
    )


def _platforms(session: Session, answer: Recommendation, chosen: PlatformResult, tones: Ink) -> ft.Control:
    rows = []
    for result in answer.platforms:
        here = result.platform == chosen.platform
        rows.append(
            ft.Container(
                ft.Row(
                    [
                        ft.Container(
                            link(
                                result.name,
                                partial(session.select, result.platform),
                                tones,
                                chosen=here,
                                label=f"{result.name}: {result.verdict}",
                            ),
                            expand=True,
                        ),
                        ft.Container(mark(result.verdict, tones, verdict=True), width=98),
                    ],
                    spacing=4,
                ),
                bgcolor=tones.raised if here else None,
                border_radius=4,
            )
        )
    return ft.Column([panel(rows, tones, title="Platforms, in order")], scroll=ft.ScrollMode.AUTO)


def _reasons(session: Session, answer: Recommendation, result: PlatformResult, place: Place, tones: Ink) -> ft.Control:
    tree = Tree(session, result, place.opened, tones)
    title = f"{result.name}: {result.verdict}"
    if result.platform == answer.recommended:
        title += ", recommended"
    head = [*sentences(result, answer, tones)]
    if result.platform == answer.recommended:
        head.insert(0, text(answer.reason, tones))
    flips = [each.says + "." for each in answer.flips if each.platform == result.platform]
    changes = [text(f"•  {each}", tones) for each in flips] or [
        text("No single entry, varied a hundredfold, changes this verdict.", tones, quiet=True)
    ]
    parts: list[ft.Control] = [
        panel(head, tones, title=title),
        panel(changes, tones, title="What would change it"),
        ft.Row(
            [
                text("From verdict to inputs", tones, size=look.HEAD, bold=True),
                link("open the gates that decide", lambda: _open(session, result), tones),
                link("close all", lambda: setattr(place, "opened", ()), tones),
            ],
            spacing=12,
        ),
        *tree.gates(),
        *_table(
            "why:inputs", "Inputs, as written or standing in", session, place, tones, lambda: _inputs(result, tree)
        ),
        *_table("why:table", "Every number in one table", session, place, tones, lambda: _estimates(result, tree)),
    ]
    return _sheet(parts, tones)


def _open(session: Session, result: PlatformResult) -> None:
    deciding = [f"why:{gate.numbers.gate}" for gate in result.gates if gate.state != "pass"] or ["why:temperature"]
    session.place.opened = tuple(dict.fromkeys((*session.place.opened, *deciding)))


def _table(key: str, title: str, session: Session, place: Place, tones: Ink, make: Any) -> list[ft.Control]:
    opened = key in place.opened
    head = link(
        f"{'–' if opened else '+'} {title}",
        lambda: session.toggle(key),
        tones,
        bold=True,
        label=f"{title}, {'open' if opened else 'closed'}",
    )
    return [panel([ft.Row([head]), *([make()] if opened else [])], tones, padding=6)]


def _inputs(result: PlatformResult, tree: Tree) -> ft.Control:
    rows = [
        [
            cell_text(name_of(each.name), tree.tones, 300),
            each.value,
            each.basis,
            cell_text(tree.citation(each.source), tree.tones, 340, quiet=True),
        ]
        for each in result.grounds
    ]
    return grid(["Input", "Value", "Basis", "Source"], rows, tree.tones, right=(1,))


def _estimates(result: PlatformResult, tree: Tree) -> ft.Control:
    rows = []
    for each in result.estimates.values():
        uses = ", ".join(name_of(name) for name in each.uses) or "–"
        value = estimate_value(each) + ("" if each.valid else " (outside its range)")
        rows.append(
            [
                cell_text(name_of(each.name), tree.tones, 150),
                cell_text(value, tree.tones, 110, right=True),
                cell_text(each.formula, tree.tones, 210),
                cell_text(uses, tree.tones, 180, quiet=True),
                each.basis,
                cell_text("; ".join(tree.citation(key) for key in each.references), tree.tones, 190, quiet=True),
            ]
        )
    heads = ["Number", "Value", "Formula", "Worked out from", "Basis", "Source"]
    return grid(heads, rows, tree.tones, right=(1,))
