"""The proposal: questions on the left, the answer beside them."""

from __future__ import annotations

from typing import Any

import flet as ft

from ..parts.answer import AnswerPanel
from ..parts.form import FormPanel
from ..parts.safe import safe
from ..parts.toolbar import Toolbar
from ..state import Place, Session
from ..work import Work


@safe
def ProposalPage(session: Session, work: Work, place: Place) -> Any:
    """Toolbar, form and answer."""
    return ft.Column(
        [
            Toolbar(session, work, place, session.form),
            ft.Row(
                [
                    ft.Container(FormPanel(session, work, place, session.form), width=560 if place.wide else 430),
                    ft.Container(AnswerPanel(session, work, place, session.shown), expand=True),
                ],
                expand=True,
                spacing=0,
                vertical_alignment=ft.CrossAxisAlignment.STRETCH,
            ),
        ],
        expand=True,
        spacing=0,
    )
