"""The form of a catalogue entry: what a kind of measurement needs to know and when it is cold enough."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from triage.models.tier import TIERS, Tier
from triage.physics.constants import boltzmann
from triage.physics.kind import Numbers

Inputs = Mapping[str, Numbers]
Follows = Literal["electrons", "stage"]


@dataclass(frozen=True)
class Input:
    """One thing to know about the device.

    `reads` says how it may be written: "energy" takes eV, J, K, Hz and T (with the g-factor);
    "charging energy" also takes a capacitance; "gap" also takes the critical temperature as a gap in K;
    "quantity" takes only its own unit. An input with neither default nor `optional` must be given.
    """

    name: str
    unit: str
    question: str
    reads: Literal["quantity", "energy", "charging energy"] = "quantity"
    default: str | None = None
    optional: bool = False
    least: float = 0.0
    most: float = 1e30
    basis: str = "common practice"


@dataclass(frozen=True)
class Criterion:
    """When a temperature is cold enough for a tier.

    `needed(inputs, number)` gives the warmest temperature [K] that reaches a tier whose number is given;
    `numbers` holds the three numbers, which a facility may replace; `says` names what the number is.
    `scale(inputs)` gives the governing energy [J] where there is one.
    """

    needed: Callable[[Inputs, float], Numbers]
    numbers: Mapping[Tier, float]
    says: str
    formula: str
    uses: tuple[str, ...]
    scale: Callable[[Inputs], Numbers] | None = None
    scale_name: str = ""


@dataclass(frozen=True)
class Kind:
    """One kind of measurement.

    The criterion's inputs are the device inputs and, where the proposal names one, `field` [T].
    `window` gives the lowest and highest temperature [K] that must be reached when the temperature is swept.
    `usual` holds what is customary where a proposal says nothing: dc, coax and fibres (lines of one device),
    devices, per_device and tuning (times as text), read_as, band_low and band_high [Hz], smallest (current as
    text), vibration (0 does not care to 5 most sensitive).
    """

    key: str
    code: str
    title: str
    family: str
    asks: str
    inputs: tuple[Input, ...]
    criterion: Criterion
    tiers: Mapping[Tier, str]
    follows: Follows = "electrons"
    window: Callable[[Inputs], tuple[Numbers, Numbers]] | None = None
    needs_field: bool = False
    usual: Mapping[str, str | int | bool] = field(default_factory=dict)
    mistakes: tuple[str, ...] = ()
    check: str = ""
    references: tuple[str, ...] = ()

    def input(self, name: str) -> Input | None:
        """The input of that name, or None."""
        return next((each for each in self.inputs if each.name == name), None)


def ratio(
    scale: str | Callable[[Inputs], Numbers],
    name: str,
    see: float,
    measure: float,
    publish: float,
    *,
    factor: float = 1.0,
    says: str = "energy over k_B T",
    uses: tuple[str, ...] | None = None,
) -> Criterion:
    """A criterion of the form E / (factor k_B T) at least the tier's number."""

    def energy(inputs: Inputs) -> Numbers:
        return scale(inputs) if callable(scale) else inputs[scale]

    def needed(inputs: Inputs, number: float) -> Numbers:
        return energy(inputs) / (factor * number * boltzmann)

    shown = f"{factor:g} × " if factor != 1 else ""
    return Criterion(
        needed=needed,
        numbers=dict(zip(TIERS, (see, measure, publish), strict=True)),
        says=says,
        formula=f"T needed = {name} / ({shown}number × k_B)",
        uses=uses if uses is not None else ((scale,) if isinstance(scale, str) else ()),
        scale=energy,
        scale_name=name,
    )


def at_most(see: float, measure: float, publish: float) -> Criterion:
    """A criterion that is a temperature in itself [K]."""

    def needed(inputs: Inputs, number: float) -> Numbers:  # noqa: ARG001  the same for every device
        return float(number)

    numbers = dict(zip(TIERS, (see, measure, publish), strict=True))
    return Criterion(needed, numbers, "temperature in K", "T needed = number", ())


def reached(temperatures: Mapping[Tier, Numbers], given: float) -> Tier | None:
    """The highest tier whose needed temperature is not below the given one."""
    best: Tier | None = None
    for tier in TIERS:
        if temperatures[tier] >= given:
            best = tier
    return best
