"""The facts for which a rule fires, as boxes: for each fact it looks at, the values that satisfy it.

A rule that waits for conclusions has one box for each way in which they can be made. Ends are always
included: *below 1* ends at the last float before 1, so that nothing here is an approximation.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from triage.reasoning.rule import CONCLUDED, Condition, Rule
from triage.reasoning.rulebase import Rulebase, stratify
from triage.reasoning.vocabulary import Fact, Value, Vocabulary

MOST_BOXES = 16  # of one rule; of one with more ways to fire nothing is said but what the first ones show


@dataclass(frozen=True)
class Span:
    """Numbers between two ends that are both included, less a few."""

    low: float
    high: float
    without: frozenset[float] = frozenset()

    def __contains__(self, number: object) -> bool:
        return isinstance(number, float) and self.low <= number <= self.high and number not in self.without


@dataclass(frozen=True)
class Choice:
    """One of a few words or numbers."""

    values: frozenset[Value]

    def __contains__(self, value: object) -> bool:
        return value in self.values


Region = Span | Choice
Box = Mapping[str, Region]
NOTHING = Choice(frozenset())


def span(low: float, high: float, without: Iterable[float] = ()) -> Region:
    """The numbers between two ends without those named; ends that are themselves left out move inwards."""
    left_out = frozenset(number for number in without if low <= number <= high)
    while low in left_out and low <= high:
        low = math.nextafter(low, math.inf)
    while high in left_out and low <= high:
        high = math.nextafter(high, -math.inf)
    if low > high:
        return NOTHING
    return Span(low, high, frozenset(number for number in left_out if low < number < high))


def full(fact: Fact) -> Region:
    """Every value the fact can take."""
    return Choice(frozenset(fact.words)) if fact.kind == "word" else span(fact.low, fact.high)


def meet(one: Region, other: Region) -> Region:
    """The values in both."""
    if isinstance(one, Choice):
        return Choice(frozenset(value for value in one.values if value in other))
    if isinstance(other, Choice):
        return meet(other, one)
    return span(max(one.low, other.low), min(one.high, other.high), one.without | other.without)


def inside(one: Region, other: Region) -> bool:
    """Whether every value of the one is in the other."""
    if isinstance(one, Choice):
        return all(value in other for value in one.values)
    if isinstance(other, Choice):
        return one.low == one.high and one.low in other
    return other.low <= one.low and one.high <= other.high and not any(number in one for number in other.without)


def satisfying(fact: Fact, condition: Condition) -> Region:
    """The values of a fact that satisfy one condition on it."""
    relation, values = condition.relation, condition.values
    if relation in ("equal", "one of"):
        return meet(Choice(frozenset(values)), full(fact))
    if fact.kind == "word":
        return Choice(frozenset(fact.words) - set(values))
    bound = float(values[0])
    wanted: Region = {
        "below": lambda: span(-math.inf, math.nextafter(bound, -math.inf)),
        "at most": lambda: span(-math.inf, bound),
        "above": lambda: span(math.nextafter(bound, math.inf), math.inf),
        "at least": lambda: span(bound, math.inf),
        "not equal": lambda: span(-math.inf, math.inf, [bound]),
    }[relation]()
    return meet(wanted, full(fact))


def can_hold(fact: Fact, conditions: Iterable[Condition]) -> bool:
    """Whether any value of the fact satisfies every condition on it."""
    region = full(fact)
    for condition in conditions:
        region = meet(region, satisfying(fact, condition))
    return region != NOTHING


def narrowed(one: Box, other: Box) -> dict[str, Region]:
    """The facts for which both boxes hold; where a region of it is empty, none do."""
    both = dict(one)
    for name, region in other.items():
        both[name] = meet(both[name], region) if name in both else region
    return both


def holds_nothing(box: Box) -> bool:
    """Whether no facts at all lie in the box."""
    return NOTHING in box.values()


def within(one: Box, other: Box) -> bool:
    """Whether whatever lies in the one box lies in the other; a fact that is looked at must be known."""
    return all(name in one and inside(one[name], region) for name, region in other.items())


def boxes(rulebase: Rulebase) -> dict[str, tuple[Box, ...]]:
    """The boxes of every rule, by id; a rule that can never fire has none.

    Only rules in force make conclusions. Rules whose conclusions go in a circle are left out.
    """
    found: dict[str, tuple[Box, ...]] = {}
    concluded: dict[str, list[Box]] = {}
    for stratum in stratify(rulebase.rules)[0]:
        for rule in stratum:
            found[rule.id] = _of_rule(rule, rulebase.vocabulary, concluded)
        for rule in stratum:
            if rule.conclude and rule.in_force:
                concluded.setdefault(rule.conclude, []).extend(found[rule.id])
    return found


def own_box(rule: Rule, vocabulary: Vocabulary) -> Box:
    """The box of a rule's own conditions, whatever its conclusions need."""
    box: dict[str, Region] = {}
    for condition in rule.when:
        if condition.relation != CONCLUDED:
            region = satisfying(vocabulary.facts[condition.fact], condition)
            box = narrowed(box, {condition.fact: region})
    return box


def _of_rule(rule: Rule, vocabulary: Vocabulary, concluded: Mapping[str, Sequence[Box]]) -> tuple[Box, ...]:
    own = own_box(rule, vocabulary)
    ways = [concluded.get(name, ()) for name in sorted(rule.needs)]
    found: list[Box] = []
    for parts in product(*ways):
        box = dict(own)
        for part in parts:
            box = narrowed(box, part)
        if not holds_nothing(box) and box not in found:
            found.append(box)
        if len(found) == MOST_BOXES:
            break
    return tuple(found)


def witness(box: Box) -> dict[str, Value]:
    """Facts that lie in the box, as round as they can be."""
    return {name: _some(region) for name, region in sorted(box.items())}


def _some(region: Region) -> Value:
    if isinstance(region, Choice):
        return min(region.values, key=str)
    finite = [end for end in (region.low, region.high) if math.isfinite(end)]
    middle = sum(finite) / len(finite) if finite else 0.0
    tried = [*finite, middle]
    for end, way in ((region.low, 1.0), (region.high, -1.0)):
        if math.isfinite(end):  # a step inwards from an end that may be the last float before a threshold
            tried += [_rounded(end + way * step * max(abs(end), 1e-9)) for step in (0.0, 0.1, 1.0)]
    usable = [number for number in tried if number in region]
    return min(usable, key=lambda number: (len(f"{number:g}"), abs(number - middle) > abs(middle), abs(number)))


def _rounded(number: float) -> float:
    return float(f"{number:.2g}")
