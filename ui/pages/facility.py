"""Facility."""

from __future__ import annotations

from typing import Any

from .. import look
from ..parts.basic import text
from ..parts.safe import safe


@safe
def FacilityPage(session: Any, work: Any, place: Any) -> Any:
    """Facility."""
    return text("facility", look.ink(place.dark))
