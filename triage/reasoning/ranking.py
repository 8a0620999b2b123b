"""From findings to verdicts, and from verdicts to an order: plain Python, independent of the order of firing.

A veto fails its gate and nothing makes up for it. Suitable comes before tight, and a tight platform that
reaches the wanted tier before one that falls short of it. Within a class the lower price leads; prices within
20 % count as equal and the sooner answer leads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from triage.models.estimate import GATES, GateNumbers
from triage.models.recommendation import Confidence, Finding, GateResult, State, Verdict

TIE = 0.2  # relative difference below which two prices, or two times, count as equal; common practice
_ORDER: dict[Verdict, int] = {"suitable": 0, "tight": 1, "unknown": 3, "unsuitable": 4}
_STATES: dict[str, State] = {"veto": "fail", "caution": "tight"}


@dataclass(frozen=True, slots=True)
class Candidate:
    """What ranking needs to know of one platform."""

    platform: str
    verdict: Verdict
    lifted: bool
    price: float
    time: float
    temperature: float
    short: bool = False

    @property
    def place(self) -> int:
        """The class in which the platform competes.

        A lifted tight one competes with the suitable; of the other tight ones those that reach the wanted tier
        come before those that fall short of it.
        """
        if self.verdict == "tight":
            return 0 if self.lifted else 2 if self.short else 1
        return _ORDER[self.verdict]

    @property
    def serves(self) -> bool:
        """Whether the platform may be recommended at all."""
        return self.verdict in ("suitable", "tight")


def gate_results(gates: dict[str, GateNumbers], findings: Sequence[Finding]) -> tuple[GateResult, ...]:
    """The state of each gate: its worst finding decides, and a margin that is not known is unknown."""
    results = []
    by_gate: dict[str, list[Finding]] = {name: [] for name in GATES}
    for finding in findings:
        if finding.gate in by_gate:
            by_gate[finding.gate].append(finding)
    for name, mine in by_gate.items():
        numbers = gates[name]
        effects = {finding.effect for finding in mine}
        state: State = "pass"
        if "veto" in effects:
            state = "fail"
        elif not isfinite(numbers.margin):
            state = "unknown"
        elif "caution" in effects:
            state = "tight"
        deciding = tuple(f.rule for f in mine if _STATES.get(f.effect) == state)
        results.append(GateResult(numbers, state, deciding))
    return tuple(results)


def verdict(results: Sequence[GateResult]) -> Verdict:
    """The verdict of a platform: one failing gate makes it unsuitable, whatever the others say."""
    states = {result.state for result in results}
    if "fail" in states:
        return "unsuitable"
    if "unknown" in states:
        return "unknown"
    return "tight" if "tight" in states else "suitable"


def rank(candidates: Sequence[Candidate]) -> list[Candidate]:
    """The candidates from best to worst."""
    left = sorted(candidates, key=lambda each: (each.place, each.price, each.time, each.platform))
    order: list[Candidate] = []
    while left:
        cheapest = left[0]
        equal = [each for each in left if each.place == cheapest.place and near(each.price, cheapest.price)]
        best = min(equal, key=lambda each: (each.time, each.price, each.platform))
        order.append(best)
        left.remove(best)
    return order


def near(one: float, other: float) -> bool:
    """Whether two amounts count as equal."""
    return one == other or abs(one - other) <= TIE * max(abs(one), abs(other))


def is_tie(order: Sequence[Candidate]) -> bool:
    """Whether the two leading platforms serve equally well, for about the same price in about the same time."""
    if len(order) < 2 or not (order[0].serves and order[1].serves) or order[0].place != order[1].place:
        return False
    first, second = order[:2]
    return near(first.price, second.price) and near(first.time, second.time)


def confidence(order: Sequence[Candidate], doubts: Sequence[str]) -> Confidence:
    """Firm, leaning, tie or none."""
    if not order or not order[0].serves:
        return "none"
    if is_tie(order):
        return "tie"
    return "leaning" if doubts or order[0].verdict == "tight" else "firm"
