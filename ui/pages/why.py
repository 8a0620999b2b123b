"""Why."""

from __future__ import annotations

from typing import Any

from .. import look
from ..parts.basic import text
from ..parts.safe import safe


@safe
def WhyPage(session: Any, work: Any, place: Any) -> Any:
    """Why."""
    return text("why", look.ink(place.dark))
