"""Numbers of an answer as the screens print them; formatting only."""

from __future__ import annotations

from triage.display import plain_name, show, significant
from triage.measurements.kind import Kind
from triage.models.estimate import Estimate
from triage.models.quantity import Value
from triage.models.recommendation import GateResult, Recommendation

GATE_WORDS = {
    "temperature": "temperature",
    "field": "field",
    "lines": "lines",
    "size": "size",
    "heat": "heat",
    "vibration": "vibration",
    "hold": "hold",
    "turnaround": "time",
    "risk_cost": "risk, cost",
}
GATE_HEADS = GATE_WORDS | {"temperature": "temp", "vibration": "vibr", "risk_cost": "risk"}
# A sign and a word for each state, so that no state is told by tone alone.
STATES = {"pass": "✓ ok", "tight": "≈ tight", "fail": "✗ fails", "unknown": "? open"}
VERDICTS = {"suitable": "✓ suitable", "tight": "≈ tight", "unsuitable": "✗ unsuitable", "unknown": "? unknown"}
_SHOWN_UNITS = ("K", "T", "m", "W", "s", "EUR", "Hz", "J", "A", "V", "m3")
CONFIDENCE = {
    "firm": "firm",
    "leaning": "leaning",
    "tie": "a tie",
    "none": "no answer",
}


def amount(value: object, unit: str) -> str:
    """A number of a gate with its unit."""
    if value is None:
        return "–"
    number = float(value)  # type: ignore[arg-type]
    if unit in _SHOWN_UNITS:
        return show(number, unit)
    return significant(number, 3) if unit in ("count", "") else f"{significant(number, 3)} {unit}"


def estimate_value(estimate: Estimate) -> str:
    """The value of an estimate, or its word."""
    return estimate.value if isinstance(estimate.value, str) else show(float(estimate.value), estimate.unit)


def margin(gate: GateResult) -> str:
    """Have over need; nothing where there is no bound."""
    found = float(gate.numbers.margin)
    return "–" if found != found or found >= 1e6 else f"× {significant(found)}"


def name_of(estimate: str) -> str:
    """The name of an estimate or input as words."""
    return plain_name(estimate)


def got(answer: Recommendation, platform: str | None, name: str) -> str:
    """One estimate of a platform as text."""
    result = answer.platform(platform)
    found = result.estimates.get(name) if result is not None else None
    return "–" if found is None else estimate_value(found)


def kind_label(kind: Kind) -> str:
    """The short name of a kind of measurement."""
    words = kind.key.replace("-", " ")
    for name in ("hall", "andreev", "josephson", "kondo", "coulomb"):
        words = words.replace(name, name.capitalize())
    return words[:1].upper() + words[1:]


def quantity(value: Value | None) -> str:
    """A quantity of the facility as it was written."""
    return "–" if value is None else value.text.replace("uW", "µW").replace("..", " to ").replace("+/-", "±")
