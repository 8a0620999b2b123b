"""Numbers of a route with what they were worked out from; the basis is the weakest of what went in."""

from __future__ import annotations

from collections.abc import Mapping

from triage.models.estimate import Estimate
from triage.models.quantity import BASES, Value

Source = Value | Estimate
_RANK = {basis: rank for rank, basis in enumerate(BASES)}
NOT_OWN = ("common practice", "from memory", "default", "guess", "unknown")


def weakest(sources: Mapping[str, Source]) -> str:
    """The weakest basis among some sources; stated where there are none."""
    return max((each.basis for each in sources.values()), key=_RANK.__getitem__, default="stated")


def figure(
    name: str, value: float | str, unit: str, formula: str, uses: Mapping[str, Source] | None = None, *references: str
) -> Estimate:
    """A named number of a route."""
    sources = uses or {}
    return Estimate(name, value, unit, formula, tuple(sources), references, weakest(sources))
