"""A number the program worked out, with everything needed to follow or doubt it."""

from __future__ import annotations

from typing import Any, Literal, NamedTuple, get_args

Gate = Literal["temperature", "field", "lines", "size", "heat", "vibration", "hold", "turnaround", "risk_cost"]
GATES: tuple[Gate, ...] = get_args(Gate)


class Estimate(NamedTuple):
    """A named value with unit, formula, inputs, sources and basis.

    `value` is SI (or a word). `uses` names the estimates and inputs it was worked out from, so that the
    chain can be walked back to what a person wrote. `valid` is False, with a reason, outside the range
    of the formula.
    """

    name: str
    value: Any
    unit: str
    formula: str
    uses: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    basis: str = "stated"
    valid: bool = True
    reason: str = ""


class GateNumbers(NamedTuple):
    """What a gate needs, what the platform has, and the margin between them (above one is enough)."""

    gate: Gate
    need: float | None
    have: float | None
    unit: str
    margin: float
    limit: str = ""
