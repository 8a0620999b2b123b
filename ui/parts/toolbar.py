"""Title of the proposal, and opening, saving, undoing."""

from __future__ import annotations

from functools import partial
from typing import Any

import flet as ft

from triage.services.editing import check_name

from .. import look
from ..state import Form, Place, Session
from ..work import Work
from .basic import button, named, text
from .safe import handled, safe


@safe
def Toolbar(session: Session, work: Work, place: Place, form: Form) -> Any:
    """The line above form and answer."""
    tones = look.ink(place.dark)
    where = f"{form.name}.yaml" if form.name else "not saved yet"

    def then(act: Any) -> Any:
        def run() -> None:
            act()
            work.soon()

        return handled(run, session.tell)

    def guarded(what: str, act: Any) -> Any:
        def run() -> None:
            if form.dirty:
                place.waiting = what
            else:
                place.waiting = ""
                act()
                work.soon()

        return handled(run, session.tell)

    def titled(event: Any) -> None:
        session.change("title", event.control.value)
        work.soon()

    names = [path.stem for path in session.facility.proposals()]
    line = ft.Row(
        [
            ft.TextField(
                value=str(session.data.get("title") or ""),
                label="Title of the proposal",
                on_change=titled,
                expand=True,
                dense=True,
                text_size=look.HEAD,
                max_length=None,
                border=ft.OutlineInputBorder(border_radius=look.RADIUS, side=ft.BorderSide(1, tones.line)),
                label_style=ft.TextStyle(size=look.BODY, color=tones.quiet),
                content_padding=ft.Padding.symmetric(horizontal=10, vertical=10),
            ),
            text(where, tones, size=look.SMALL, quiet=True, one_line=True, width=150),
            ft.PopupMenuButton(
                content=ft.Container(
                    text("Open …", tones),
                    bgcolor=tones.panel,
                    border=ft.Border.all(1, tones.line),
                    border_radius=look.RADIUS,
                    padding=ft.Padding.symmetric(horizontal=12, vertical=7),
                ),
                tooltip="Open a proposal of the facility",
                menu_position=ft.PopupMenuPosition.UNDER,
                bgcolor=tones.panel,
                items=[
                    ft.PopupMenuItem(
                        content=text(name, tones),
                        height=30,
                        on_click=guarded(f"open {name}", partial(session.open, name)),
                    )
                    for name in names
                ],
            ),
            button("New", guarded("new", session.new), tones),
            button("Undo", then(session.undo), tones, disabled=not session.can_undo),
            button("Redo", then(session.redo), tones, disabled=not session.can_redo),
            button("Save …", lambda: setattr(place, "saving", not place.saving), tones, main=True),
        ],
        spacing=8,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )
    rows: list[ft.Control] = [line]
    if place.waiting:
        rows.append(_unsaved(session, work, place))
    if place.saving:
        rows.append(SaveLine(session, work, place))
    return ft.Container(
        ft.Column(rows, spacing=8, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding.only(left=look.PAD, right=look.PAD, top=10, bottom=10),
        bgcolor=tones.paper,
        border=ft.Border(bottom=ft.BorderSide(1, tones.line)),
    )


def _unsaved(session: Session, work: Work, place: Place) -> ft.Control:
    """Asked before unsaved changes are left."""
    tones = look.ink(place.dark)
    what = place.waiting

    def leave() -> None:
        place.waiting = ""
        if what == "new":
            session.new()
        else:
            session.open(what.removeprefix("open "))
        work.soon()

    words = "start a new proposal" if what == "new" else what
    return named(
        ft.Row(
            [
                text(f"This proposal has unsaved changes. Leave them and {words}?", tones, bold=True),
                button("Leave the changes", handled(leave, session.tell), tones),
                button("Stay here", lambda: setattr(place, "waiting", ""), tones, main=True),
            ],
            spacing=10,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
        live_region=True,
    )


@safe
def SaveLine(session: Session, work: Work, place: Place) -> Any:
    """Under which name to save, into the facility or as a download."""
    tones = look.ink(place.dark)
    name, set_name = ft.use_state(session.suggested_name)
    problem = check_name(name)

    async def save() -> None:
        if session.save(name):
            place.saving = False
            await work.keep_draft()

    async def download() -> None:
        try:
            await work.files.save_file(file_name=f"{name}.yaml", src_bytes=session.yaml().encode())
        except Exception as error:
            session.tell(f"Not downloaded: {error}")
            return
        session.tell(f"Downloaded {name}.yaml.")

    own = not session.facility.is_demonstration
    note = "The comments in the opened file will not be kept." if session.comments_lost() else ""
    if not own:
        note = "The demonstration facility is not written to: download the file instead."
    return ft.Row(
        [
            ft.TextField(
                value=name,
                label="Name of the file",
                width=320,
                dense=True,
                text_size=look.BODY,
                on_change=lambda event: set_name(event.control.value),
                error=f"{problem.message}: {problem.remedy}" if problem else None,
                error_max_lines=3,
                helper=f"{name}.yaml in the folder 'proposals'",
                helper_max_lines=2,
                autofocus=True,
                border=ft.OutlineInputBorder(border_radius=look.RADIUS, side=ft.BorderSide(1, tones.line)),
                content_padding=ft.Padding.symmetric(horizontal=10, vertical=10),
                helper_style=ft.TextStyle(size=look.SMALL, color=tones.quiet),
            ),
            button("Save in the facility", save, tones, main=True, disabled=problem is not None or not own),
            button("Download", download, tones, disabled=problem is not None),
            button("Not now", lambda: setattr(place, "saving", False), tones),
            ft.Container(text(note, tones, size=look.SMALL, quiet=own, bold=True), expand=True),
        ],
        spacing=8,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )
