"""One entry of a proposal: what is asked, what is written, how it was understood, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import flet as ft

from triage.services.questions import Question

from .. import look
from .basic import named, text
from .safe import safe

Change = Callable[[str, "str | bool"], None]


@dataclass(frozen=True)
class Entry:
    """What a field shows."""

    question: Question
    written: str
    note: str = ""
    error: str = ""
    stands_in: str = ""
    says: tuple[str, ...] = ()
    dark: bool = False
    roomy: bool = False


@ft.memo
@safe
def Field(entry: Entry, change: Change) -> Any:
    """The control for one entry."""
    if entry.question.path == "tier":
        return _tiers(entry, change)
    if entry.question.choices:
        return _choice(entry, change)
    return _box(entry, change)


def _box(entry: Entry, change: Change) -> ft.Control:
    tones, question = look.ink(entry.dark), entry.question
    helper = entry.note or (question.ask if entry.roomy else "")
    unit = f" ({question.units})" if question.units else ""
    return ft.TextField(
        value=entry.written,
        label=question.label + unit,
        hint_text=entry.stands_in or None,
        helper=entry.note or (entry.stands_in and f"stands in: {entry.stands_in}") or helper or " ",
        helper_max_lines=3,
        error=entry.error or None,
        error_max_lines=4,
        tooltip=None if entry.roomy else question.ask or None,
        on_change=lambda event: change(question.path, event.control.value),
        **_form(entry),
        error_style=ft.TextStyle(size=look.SMALL, color=tones.error, font_family=look.BOLD),
        cursor_color=tones.accent,
        multiline=question.path in ("claim", "notes"),
        max_lines=4 if question.path in ("claim", "notes") else 1,
    )


def _form(entry: Entry) -> dict[str, Any]:
    tones = look.ink(entry.dark)
    side = ft.BorderSide(1.6 if entry.error else 1, tones.error if entry.error else tones.line)
    return {
        "dense": True,
        "text_size": look.BODY,
        "label_style": ft.TextStyle(size=look.BODY, color=tones.quiet, font_family=look.FACE),
        "helper_style": ft.TextStyle(size=look.SMALL, color=tones.quiet),
        "hint_style": ft.TextStyle(size=look.BODY, color=tones.quiet, italic=True),
        "border": {
            ft.ControlState.DEFAULT: ft.OutlineInputBorder(border_radius=look.RADIUS, side=side),
            ft.ControlState.FOCUSED: ft.OutlineInputBorder(
                border_radius=look.RADIUS, side=ft.BorderSide(2, tones.accent)
            ),
        },
        "content_padding": ft.Padding.symmetric(horizontal=10, vertical=10),
    }


def _choice(entry: Entry, change: Change) -> ft.Control:
    question, tones = entry.question, look.ink(entry.dark)
    unsaid = f"not said ({entry.stands_in.partition(',')[0]})" if entry.stands_in else "not said"

    def chosen(event: Any) -> None:
        value = event.control.value or ""
        change(question.path, {"yes": True, "no": False}.get(value, value) if question.form == "yes or no" else value)

    def option(value: str, words: str) -> ft.Control:
        return ft.Radio(
            value=value,
            label=words,
            width=34 + 7.5 * len(words),
            height=26,
            label_style=ft.TextStyle(size=look.SMALL, color=tones.text, letter_spacing=0),
        )

    options = [option("", unsaid), *(option(each, each) for each in question.choices)]
    return ft.Column(
        [
            text(question.label, tones, size=look.SMALL, quiet=True),
            named(
                ft.RadioGroup(
                    value=entry.written if entry.written in question.choices else "",
                    on_change=chosen,
                    content=ft.Row(options, wrap=True, spacing=2, run_spacing=0),
                ),
                label=f"{question.label}. {question.ask}",
            ),
            *([text(entry.error, tones, size=look.SMALL, color=tones.error, bold=True)] if entry.error else []),
        ],
        spacing=2,
    )


def _tiers(entry: Entry, change: Change) -> ft.Control:
    tones, question = look.ink(entry.dark), entry.question

    def option(name: str, words: str) -> ft.Control:
        return ft.Row(
            [
                ft.Radio(
                    value=name,
                    label=name,
                    width=100,
                    label_style=ft.TextStyle(size=look.BODY, font_family=look.BOLD, color=tones.text),
                ),
                ft.Container(ft.Text(words, size=look.SMALL, color=tones.quiet), expand=True),
            ],
            spacing=6,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        )

    return ft.Column(
        [
            ft.Text(question.ask, size=look.SMALL, color=tones.quiet),
            ft.RadioGroup(
                value=entry.written or "measure",
                content=ft.Column(
                    [option(*pair) for pair in zip(question.choices, entry.says, strict=True)], spacing=2
                ),
                on_change=lambda event: change(question.path, event.control.value),
            ),
            *([ft.Text(entry.error, size=look.SMALL, color=tones.error)] if entry.error else []),
        ],
        spacing=4,
    )
