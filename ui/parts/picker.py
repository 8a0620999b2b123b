"""Where a proposal begins: a kind of measurement, or a published observation to repeat."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from triage.measurements.catalogue import CATALOGUE
from triage.services import editing

from .. import look
from ..look import Ink
from ..state import Place, Session
from ..words import kind_label
from ..work import Work
from .basic import TIGHT, link, panel, text
from .safe import handled, safe

Choice = tuple[str, str, str]  # key, name, what it is


@ft.memo
@safe
def Beginning(session: Session, work: Work, place: Place, chosen: str, way: str) -> Any:
    """The kind chosen, or the list to choose from."""
    tones = look.ink(place.dark)
    kind = CATALOGUE.get(chosen)

    def turn(to: str) -> Callable[[], None]:
        return lambda: setattr(place, "start_from", to)

    if kind is not None and way == "kind":
        head = ft.Row(
            [
                ft.Container(text(kind_label(kind), tones, size=look.HEAD, bold=True), expand=True),
                link("Change", turn("list"), tones, label="Change the kind of measurement"),
            ]
        )
        return panel(
            [head, text(kind.title, tones), text(kind.asks, tones, size=look.SMALL, quiet=True)],
            tones,
            title="What is measured",
        )

    def kind_chosen(key: str) -> None:
        session.change_kind(key)
        place.start_from = "kind"
        work.soon()

    def paper_chosen(index: str) -> None:
        session.start_from(int(index))
        place.start_from = "kind"
        work.soon()

    if way == "paper":
        seen = editing.observations()
        choices = [
            (
                str(index),
                each.seen[:1].upper() + each.seen[1:],
                f"{kind_label(CATALOGUE[each.kind])}, at {each.temperature} [{each.reference}]",
            )
            for index, each in enumerate(seen)
        ]
        other = link("Choose the kind of measurement instead", turn("list"), tones)
        picker = Picker(
            "Search what was seen, or by whom", choices, handled(paper_chosen, session.tell), place.dark, key="paper"
        )
    else:
        kinds = sorted(CATALOGUE.values(), key=kind_label)
        choices = [(each.key, kind_label(each), each.title) for each in kinds]
        other = link("I only know the paper I want to repeat", turn("paper"), tones)
        picker = Picker(
            "Search the kinds of measurement", choices, handled(kind_chosen, session.tell), place.dark, key="kind"
        )
    back = [link("Keep what is chosen", turn("kind"), tones)] if kind is not None else []
    return panel([ft.Row([other, *back], wrap=True), picker], tones, title="What do you want to measure?", spacing=8)


@safe
def Picker(label: str, choices: Sequence[Choice], choose: Callable[[str], None], dark: bool) -> Any:
    """A search field over a list of buttons; every word typed must occur."""
    tones = look.ink(dark)
    wanted, search = ft.use_state("")
    words = wanted.lower().split()
    found = [each for each in choices if all(word in " ".join(each).lower() for word in words)]
    field = ft.TextField(
        value=wanted,
        label=label,
        on_change=lambda event: search(event.control.value),
        dense=True,
        text_size=look.BODY,
        label_style=ft.TextStyle(size=look.BODY, color=tones.quiet),
        on_submit=lambda _: choose(found[0][0]) if found and words else None,
        border=ft.OutlineInputBorder(border_radius=look.RADIUS, side=ft.BorderSide(1, tones.line)),
        content_padding=ft.Padding.symmetric(horizontal=10, vertical=10),
    )
    said = f"{len(found)} of {len(choices)}" if words else f"{len(choices)} to choose from"
    nothing = [text("Nothing matches; try another word.", tones, quiet=True)] if not found else []
    rows = [_row(each, choose, tones) for each in found]
    return ft.Column(
        [field, text(said, tones, size=look.SMALL, quiet=True), *nothing, *rows],
        spacing=4,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )


def _row(choice: Choice, choose: Callable[[str], None], tones: Ink) -> ft.Control:
    key, name, about = choice
    return ft.TextButton(
        content=ft.Column(
            [
                ft.Text(
                    name,
                    size=look.BODY,
                    color=tones.accent,
                    font_family=look.BOLD,
                    style=TIGHT,
                    semantics_label=f"{name}: {about}",
                ),
                ft.Text(about, size=look.SMALL, color=tones.quiet, style=TIGHT, semantics_label=""),
            ],
            spacing=0,
            tight=True,
        ),
        key=key,
        on_click=lambda: choose(key),
        style=ft.ButtonStyle(
            padding=ft.Padding.symmetric(horizontal=6, vertical=3),
            alignment=ft.Alignment.CENTER_LEFT,
            shape=ft.RoundedRectangleBorder(radius=4),
        ),
    )
