"""One proposal on one platform: where inputs are looked up and estimates, gates and facts are written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from triage.measurements.kind import Kind
from triage.models.estimate import Estimate, Gate, GateNumbers
from triage.models.lab import Lab, Platform
from triage.models.proposal import Proposal
from triage.models.quantity import BASES, Value
from triage.physics.kind import Numbers

_RANK = {basis: rank for rank, basis in enumerate(BASES)}


@dataclass
class Case:
    """A proposal on a platform, with what has been worked out so far.

    `inputs` are the device inputs read by the kind. `overrides` replaces the number behind a path such as
    ``device.charging_energy`` or ``platform.clock.queue`` by another number or by an array of them.
    `bases` remembers on what each number that was looked up rests, `fallbacks` those that nobody wrote.
    """

    lab: Lab
    platform: Platform
    proposal: Proposal
    kind: Kind
    inputs: Mapping[str, Value]
    overrides: Mapping[str, Numbers] = field(default_factory=dict)
    estimates: dict[str, Estimate] = field(default_factory=dict)
    gates: dict[str, GateNumbers] = field(default_factory=dict)
    facts: dict[str, Any] = field(default_factory=dict)
    bases: dict[str, str] = field(default_factory=dict)
    fallbacks: dict[str, tuple[Any, str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        device = {f"device.{name}": value for name, value in self.inputs.items()}
        self._written = self.proposal.quantities | self.platform.named("platform") | self.lab.named("lab") | device

    def value(self, path: str) -> Value | None:
        """What was written at a path, or None where nothing was."""
        return self._written.get(path)

    def number(self, path: str, default: Numbers | None = None, basis: str = "default") -> Numbers | None:
        """The number at a path [SI], or the default given; remembers on what it rests."""
        value = self._written.get(path)
        if path in self.overrides:
            self.bases[path] = value.basis if value is not None else "stated"
            return self.overrides[path]
        if value is None:
            self.bases[path] = basis
            if default is not None:
                self.fallbacks[path] = (default, basis)
            return default
        self.bases[path] = value.basis
        return value.nominal

    def numeral(self, path: str, default: Numbers, basis: str = "default") -> Numbers:
        """As `number`, for a path that always has a number."""
        found = self.number(path, default, basis)
        return default if found is None else found

    def put(
        self,
        name: str,
        value: Any,
        unit: str,
        formula: str,
        *uses: str,
        references: tuple[str, ...] = (),
        basis: str | None = None,
        problems: list[str] | None = None,
    ) -> Any:
        """Write an estimate down and return its value; without a basis of its own it gets one in `settled`."""
        own = basis or ("" if uses else "stated")
        reason = "; ".join(problems) if problems else ""
        self.estimates[name] = Estimate(name, value, unit, formula, uses, references, own, not reason, reason)
        return value

    def settled(self) -> dict[str, Estimate]:
        """The estimates, each resting on the weakest of what it uses; worked out once all are written down."""
        found: dict[str, Estimate] = {}
        for name, estimate in self.estimates.items():
            found[name] = estimate if estimate.basis else estimate._replace(basis=self._weakest(estimate.uses, found))
        return found

    def _weakest(self, uses: tuple[str, ...], found: Mapping[str, Estimate]) -> str:
        weakest, rank = "stated", -1
        for name in uses:
            estimate = found.get(name)
            basis = self.bases.get(name, "stated") if estimate is None else estimate.basis
            if _RANK[basis] > rank:
                weakest, rank = basis, _RANK[basis]
        return weakest

    def got(self, name: str) -> Any:
        """The value of an estimate already written down, or None."""
        found = self.estimates.get(name)
        return None if found is None else found.value

    def fact(self, name: str, value: Any) -> None:
        """Hand a fact to the rules; what is not known is not handed on."""
        if value is None or (isinstance(value, float) and np.isnan(value)):
            return
        self.facts[name] = value

    def gate(self, gate: Gate, need: Any, have: Any, unit: str, margin: Any, limit: str = "") -> None:
        """Record the numbers of a gate; of several limits within one gate the smallest margin stands."""
        standing = self.gates.get(gate)
        if standing is None or not np.all(standing.margin <= margin):
            self.gates[gate] = GateNumbers(gate, need, have, unit, margin, limit)


def ratio(numerator: Any, denominator: Any, most: float = 1e6) -> Any:
    """A margin: the quotient, bounded so that nothing infinite reaches a rule."""
    if numerator is None or denominator is None:
        return None
    if isinstance(numerator, float | int) and isinstance(denominator, float | int):
        if denominator == 0:
            return most if numerator >= 0 else 0.0
        return min(numerator / denominator, most)
    with np.errstate(divide="ignore", invalid="ignore"):
        quotient = np.asarray(numerator, dtype=float) / np.asarray(denominator, dtype=float)
    return np.minimum(np.where(np.isposinf(quotient), most, quotient), most)
