"""Pictures drawn elsewhere, shown with the same in words."""

from __future__ import annotations

from typing import Any

import flet as ft

from triage.drawing.axis import Theme, axis_of, temperature_axis

from .. import look
from ..state import Held, Session
from .basic import panel
from .safe import safe


@ft.memo
@safe
def AxisPicture(session: Session, held: Held, dark: bool, wide: bool) -> Any:
    """Where every platform's temperatures lie against what the tiers need."""
    tones = look.ink(dark)
    warmest = {each.id: each.warmest.nominal for each in session.facility.lab.platforms}
    bars, bands = axis_of(held.answer, warmest)
    theme: Theme = "dark" if dark else "light"
    drawn = temperature_axis(bars, bands, theme=theme, width=1000 if wide else 720, fonts=look.FACE)
    return panel(
        [ft.Image(src=drawn.svg, semantics_label=drawn.text, fit=ft.BoxFit.CONTAIN, aspect_ratio=drawn.aspect)],
        tones,
        title="Temperatures",
    )
