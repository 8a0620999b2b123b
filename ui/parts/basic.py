"""Text, links, buttons, panels and tables in our own look."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from .. import look
from ..look import Ink

# The framework spaces letters out; our face needs none of it.
TIGHT = ft.TextStyle(letter_spacing=0)


def text(
    words: str,
    tones: Ink,
    *,
    size: float = look.BODY,
    bold: bool = False,
    quiet: bool = False,
    color: str | None = None,
    one_line: bool = False,
    right: bool = False,
    label: str | None = None,
    selectable: bool = False,
    width: float | None = None,
) -> ft.Text:
    """Words in our face."""
    return ft.Text(
        words,
        size=size,
        font_family=look.BOLD if bold else look.FACE,
        color=color or (tones.quiet if quiet else tones.text),
        semantics_label=label,
        selectable=selectable,
        no_wrap=one_line,
        overflow=ft.TextOverflow.ELLIPSIS if one_line else ft.TextOverflow.CLIP,
        max_lines=1 if one_line else None,
        width=width,
        tooltip=words if one_line and len(words) > 60 else None,
        text_align=ft.TextAlign.RIGHT if right else ft.TextAlign.START,
        style=TIGHT,
    )


def link(
    words: str,
    act: Callable[..., Any],
    tones: Ink,
    *,
    label: str | None = None,
    bold: bool = False,
    chosen: bool = False,
    width: float | None = None,
    disabled: bool = False,
) -> ft.TextButton:
    """Words one can press."""
    color = tones.line if disabled else tones.accent
    return ft.TextButton(
        content=ft.Text(
            words,
            size=look.BODY,
            color=color,
            font_family=look.BOLD if bold or chosen else look.FACE,
            semantics_label=label,
            no_wrap=True,
            overflow=ft.TextOverflow.ELLIPSIS,
            style=TIGHT,
        ),
        on_click=act,
        width=width,
        height=28,
        disabled=disabled,
        style=ft.ButtonStyle(
            padding=ft.Padding.symmetric(horizontal=6, vertical=2),
            alignment=ft.Alignment.CENTER_LEFT,
            shape=ft.RoundedRectangleBorder(radius=4),
        ),
    )


def button(
    words: str, act: Callable[..., Any], tones: Ink, *, main: bool = False, disabled: bool = False
) -> ft.Control:
    """A button; `main` for the one that matters most on the page."""
    style = ft.ButtonStyle(
        padding=ft.Padding.symmetric(horizontal=12, vertical=6),
        shape=ft.RoundedRectangleBorder(radius=look.RADIUS),
        bgcolor=(tones.raised if disabled else tones.accent) if main else tones.panel,
        side=ft.BorderSide(1, tones.line),
    )
    color = tones.quiet if disabled else tones.on_accent if main else tones.text
    return ft.TextButton(
        content=ft.Text(words, size=look.BODY, color=color, no_wrap=True, style=TIGHT),
        on_click=act,
        style=style,
        disabled=disabled,
    )


def panel(
    content: Sequence[ft.Control], tones: Ink, *, title: str = "", padding: float = 12, spacing: float = 6
) -> ft.Container:
    """A sheet with an optional heading."""
    head = [heading(title, tones)] if title else []
    return ft.Container(
        ft.Column([*head, *content], spacing=spacing, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        bgcolor=tones.panel,
        padding=padding,
        border_radius=look.RADIUS,
        border=ft.Border.all(1, tones.line),
    )


def heading(words: str, tones: Ink) -> ft.Control:
    """The heading of a panel."""
    return named(text(words, tones, size=look.HEAD, bold=True), heading_level=2)


def labelled(label: str, words: ft.Control, tones: Ink, width: float = 88) -> ft.Row:
    """A paragraph behind a short label."""
    return ft.Row(
        [
            ft.Container(text(label, tones, size=look.SMALL, quiet=True), width=width, padding=ft.Padding.only(top=2)),
            ft.Container(words, expand=True),
        ],
        vertical_alignment=ft.CrossAxisAlignment.START,
        spacing=8,
    )


def named(content: ft.Control, **marks: Any) -> ft.Semantics:
    """A control with what a screen reader says of it, or with an identifier by which it is found."""
    return ft.Semantics(content=content, **marks)
