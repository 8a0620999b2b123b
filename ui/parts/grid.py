"""Tables: heads, rows of controls or words, numbers to the right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import flet as ft

from .. import look
from ..look import Ink
from .basic import text


def grid(
    heads: Sequence[str],
    rows: Iterable[Sequence[Any]],
    tones: Ink,
    *,
    right: Sequence[int] = (),
    spacing: float = 14,
) -> ft.Control:
    """A table that scrolls sideways where the window is too narrow for it."""
    columns = [
        ft.DataColumn(label=text(words, tones, size=look.SMALL, quiet=True), numeric=index in right)
        for index, words in enumerate(heads)
    ]

    def cell(index: int, content: Any) -> ft.DataCell:
        made = text(content, tones, right=index in right) if isinstance(content, str) else content
        return ft.DataCell(made)

    made = [ft.DataRow([cell(index, each) for index, each in enumerate(row)]) for row in rows]
    table = ft.DataTable(
        columns=columns,
        rows=made,
        heading_row_height=28,
        data_row_min_height=28,
        data_row_max_height=float("inf"),
        column_spacing=spacing,
        horizontal_margin=4,
        divider_thickness=1,
        horizontal_lines=ft.BorderSide(1, tones.line),
    )
    return ft.Row([table], scroll=ft.ScrollMode.AUTO)


def cell_text(words: str, tones: Ink, width: float, *, quiet: bool = False, right: bool = False) -> ft.Control:
    """Words that wrap within a column."""
    return ft.Container(
        text(words, tones, size=look.SMALL if quiet else look.BODY, quiet=quiet, right=right),
        width=width,
        padding=ft.Padding.symmetric(vertical=3),
    )
