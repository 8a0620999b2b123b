"""The numbers an answer stands on: what people wrote, and what stands in where nobody wrote anything."""

from __future__ import annotations

from typing import Any

from triage.display import show
from triage.estimates.case import Case
from triage.models.recommendation import Ground


def grounds(case: Case) -> tuple[Ground, ...]:
    """Every number that went into a case from outside, as written, with its basis and source."""
    found: dict[str, Ground] = {}
    for path in case.bases:
        value = case.value(path)
        if value is not None:
            found[path] = Ground(path, value.text, value.basis, value.source)
        elif path in case.fallbacks and (fallback := _fallback_words(path, *case.fallbacks[path])):
            found[path] = fallback
    for name, estimate in case.estimates.items():
        if not estimate.uses:
            shown = estimate.value if isinstance(estimate.value, str) else show(float(estimate.value), estimate.unit)
            found[name] = Ground(name, shown, estimate.basis)
    return tuple(found[name] for name in sorted(found))


# Units of the numbers that stand in where nobody wrote one; a plain number needs none.
_FALLBACK_UNITS = {
    "staff": "EUR/h", "technician": "EUR/h", "user": "EUR/h", "electricity": "EUR/kWh", "heat": "W", "board": "m",
    "prices": "EUR/m3", "signal": "Hz", "clock": "s", "time": "s",
}  # fmt: skip
_NOT_WORTH_SAYING = ("lines.coax", "lines.fibres", "devices.lines_shared", "lab.prices.helium_recovery")


def _fallback_words(path: str, number: Any, basis: str) -> Ground | None:
    """A number that stands in for one that nobody wrote, unless it only says that nothing is asked for."""
    if path in _NOT_WORTH_SAYING and number == 0:
        return None
    parts = path.split(".")
    unit = next((unit for part, unit in _FALLBACK_UNITS.items() if part in parts), "")
    return Ground(path, show(float(number), unit), basis)
