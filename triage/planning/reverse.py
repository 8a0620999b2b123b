"""The questions turned round: what a platform still teaches, and what a device must be to work there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from triage.measurements.kind import Input, Kind
from triage.models.tier import TIERS, Tier

_POINTS = 241
_FIELD = Input("field", "T", "the field at the sample", least=1e-3, most=30.0)


@dataclass(frozen=True)
class Requirement:
    """The value of one input at which a tier is just reached at a temperature.

    `value` is None where no believable value reaches it, and `always` says that every one does.
    """

    tier: Tier
    value: float | None
    at_least: bool
    always: bool = False


def governing_inputs(kind: Kind) -> list[Input]:
    """The inputs that decide a kind: those its criterion uses and a person must give, the field among them."""
    named = [_FIELD if name == "field" else kind.input(name) for name in kind.criterion.uses]
    return [asked for asked in named if asked is not None and not asked.optional]


def requirement(
    kind: Kind, inputs: Mapping[str, float], asked: Input, temperature: float, tier: Tier, number: float
) -> Requirement:
    """The value of an input at which the kind reaches a tier at a temperature [K], the other inputs as given."""
    low, high = max(asked.least, asked.most * 1e-9), asked.most
    for _ in range(2):
        points = np.geomspace(low, high, _POINTS)
        needed = np.broadcast_to(kind.criterion.needed({**inputs, asked.name: points}, number), points.shape)
        reached = needed >= temperature
        rising = bool(needed[-1] >= needed[0])
        if reached.all():
            return Requirement(tier, None, rising, always=True)
        if not reached.any():
            return Requirement(tier, None, rising)
        index = int(np.argmax(reached)) if rising else int(_POINTS - 1 - np.argmax(reached[::-1]))
        near = index - 1 if rising else index + 1
        low, high = sorted((float(points[near]), float(points[index])))
    return Requirement(tier, float(points[index]), rising)


def requirements(
    kind: Kind, inputs: Mapping[str, float], temperature: float
) -> tuple[Input | None, dict[Tier, Requirement]]:
    """What an input of a kind must be at a temperature, for each tier; the first input by which a tier is reached."""
    numbers = kind.criterion.numbers
    candidates = governing_inputs(kind)
    for asked in candidates:
        found = {tier: requirement(kind, inputs, asked, temperature, tier, numbers[tier]) for tier in TIERS}
        if any(each.always or each.value is not None for each in found.values()):
            return asked, found
    reached = {tier: bool(kind.criterion.needed(inputs, numbers[tier]) >= temperature) for tier in TIERS}
    return next(iter(candidates), None), {tier: Requirement(tier, None, True, always=reached[tier]) for tier in TIERS}
