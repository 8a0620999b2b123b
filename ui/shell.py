"""The frame of every page: rail, status line, and the page chosen."""

from __future__ import annotations

from typing import Any

import flet as ft

from . import look
from .pages.facility import FacilityPage
from .pages.proposal import ProposalPage
from .pages.why import WhyPage
from .parts.basic import link, text
from .parts.safe import safe
from .state import PAGES, Place, Session
from .work import Work


@safe
def Shell(session: Session, work: Work, place: Place) -> Any:
    """The whole window."""
    tones = look.ink(place.dark)
    page = ft.context.page
    mode = ft.ThemeMode.DARK if place.dark else ft.ThemeMode.LIGHT
    if page.theme_mode != mode:
        page.theme_mode = mode
    body = (ProposalPage, WhyPage, FacilityPage)[place.page]
    return ft.Row(
        [
            Rail(session, place),
            ft.VerticalDivider(width=1, color=tones.line),
            ft.Column([body(session, work, place), Status(session, place, session.form)], expand=True, spacing=0),
        ],
        expand=True,
        spacing=0,
        vertical_alignment=ft.CrossAxisAlignment.STRETCH,
    )


@safe
def Rail(session: Session, place: Place) -> Any:
    """The pages, the name of the facility, and the theme."""
    tones = look.ink(place.dark)

    def page_button(index: int, name: str) -> ft.Control:
        chosen = place.page == index
        return ft.TextButton(
            content=ft.Text(
                name,
                size=look.BODY,
                font_family=look.BOLD if chosen else look.FACE,
                color=tones.text if chosen else tones.quiet,
                semantics_label=f"{name} page" + (", shown" if chosen else ""),
            ),
            on_click=lambda: session.go(index),
            style=ft.ButtonStyle(
                padding=ft.Padding.symmetric(horizontal=12, vertical=10),
                alignment=ft.Alignment.CENTER_LEFT,
                shape=ft.RoundedRectangleBorder(radius=look.RADIUS),
                bgcolor=tones.raised if chosen else None,
                side=ft.BorderSide(1, tones.line) if chosen else None,
            ),
            width=112,
        )

    def switch() -> None:
        place.dark = not place.dark

    return ft.Container(
        ft.Column(
            [
                text("cold-triage", tones, size=look.HEAD, bold=True),
                ft.Container(height=8),
                *(page_button(index, name) for index, name in enumerate(PAGES)),
                ft.Container(expand=True),
                text(session.facility.lab.name, tones, size=look.SMALL, quiet=True),
                link("Light theme" if place.dark else "Dark theme", switch, tones),
            ],
            spacing=4,
        ),
        width=136,
        padding=12,
        bgcolor=tones.panel,
    )


@safe
def Status(session: Session, place: Place, form: Any) -> Any:
    """One line at the foot: what happened last, and whether anything is unsaved."""
    tones = look.ink(place.dark)
    unsaved = "Unsaved changes, kept in this browser." if form.dirty else "Nothing unsaved."
    return ft.Container(
        ft.Row(
            [
                ft.Container(
                    ft.Semantics(
                        content=text(
                            place.status or session.facility.lab.invented or "",
                            tones,
                            size=look.SMALL,
                            quiet=True,
                            one_line=True,
                        ),
                        live_region=True,
                        identifier="status",
                    ),
                    expand=True,
                ),
                ft.Semantics(
                    content=text(unsaved, tones, size=look.SMALL, bold=form.dirty, quiet=not form.dirty),
                    identifier="unsaved",
                ),
            ],
            spacing=16,
        ),
        padding=ft.Padding.symmetric(horizontal=look.PAD, vertical=5),
        bgcolor=tones.panel,
        border=ft.Border(top=ft.BorderSide(1, tones.line)),
    )
