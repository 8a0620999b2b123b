"""Whether conditions on one fact can hold together, given the values the fact can take."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from triage.reasoning.rule import Condition
from triage.reasoning.vocabulary import Fact, Value


@dataclass(frozen=True)
class _Interval:
    """Numbers between two ends, each end in or out."""

    low: float
    high: float
    low_in: bool = True
    high_in: bool = True

    def holds(self, number: float) -> bool:
        above = number >= self.low if self.low_in else number > self.low
        below = number <= self.high if self.high_in else number < self.high
        return above and below

    def narrowed(self, relation: str, bound: float) -> _Interval:
        """The part on the given side of a bound."""
        included = relation.startswith("at ")
        if relation in ("below", "at most"):
            if bound > self.high or (bound == self.high and (included or not self.high_in)):
                return self
            return _Interval(self.low, bound, self.low_in, included)
        if bound < self.low or (bound == self.low and (included or not self.low_in)):
            return self
        return _Interval(bound, self.high, included, self.high_in)

    @property
    def empty(self) -> bool:
        return self.low > self.high or (self.low == self.high and not (self.low_in and self.high_in))


def can_hold(fact: Fact, conditions: Sequence[Condition]) -> bool:
    """Whether any value of the fact satisfies every condition on it."""
    refused = {condition.values[0] for condition in conditions if condition.relation == "not equal"}
    listed = [set(condition.values) for condition in conditions if condition.relation in ("equal", "one of")]
    if fact.kind == "word":
        return bool(_common([set(fact.words), *listed]) - refused)
    interval = _Interval(fact.low, fact.high)
    for condition in conditions:
        if condition.relation in ("below", "at most", "above", "at least"):
            interval = interval.narrowed(condition.relation, float(condition.values[0]))
    if listed:
        return any(interval.holds(float(value)) for value in _common(listed) - refused)
    return not interval.empty and not (interval.low == interval.high and interval.low in refused)


def _common(sets: Iterable[set[Value]]) -> set[Value]:
    first, *others = sets
    return first.intersection(*others)
