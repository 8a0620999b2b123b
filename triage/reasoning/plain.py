"""The rules in plain Python: oracle of the rule engine, its stand-in, and vectorised for uncertain facts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import reduce
from operator import and_, or_
from typing import Any

import numpy as np
from numpy.typing import NDArray

from triage.reasoning.firing import FactSet, Firing, checked, firing
from triage.reasoning.rule import CONCLUDED, Condition, Rule
from triage.reasoning.rulebase import Rulebase
from triage.reasoning.vocabulary import Value

Mask = bool | NDArray[np.bool_]

# Each works on a number, a word, or an array of either; nan equals nothing, not even itself.
_RELATIONS: dict[str, Callable[[Any, tuple[Value, ...]], Any]] = {
    "below": lambda value, wanted: value < wanted[0],
    "at most": lambda value, wanted: value <= wanted[0],
    "above": lambda value, wanted: value > wanted[0],
    "at least": lambda value, wanted: value >= wanted[0],
    "equal": lambda value, wanted: value == wanted[0],
    "not equal": lambda value, wanted: (value != wanted[0]) & (value == value),
    "one of": lambda value, wanted: reduce(or_, [value == one for one in wanted]),
}


def holds(rule: Rule, values: Mapping[str, Value], concluded: Mapping[str, Mask]) -> bool:
    """Whether every condition of a rule is satisfied; a missing fact satisfies none."""
    return all(bool(satisfied(condition, values, concluded)) for condition in rule.when)


def fire(rulebase: Rulebase, facts: Sequence[FactSet]) -> list[Firing]:
    """Every rule that fires, in the order of the fact sets given and then by rule id."""
    firings: list[Firing] = []
    for given in facts:
        values = checked(given, rulebase.vocabulary)
        concluded: dict[str, Mask] = {}
        found: list[Rule] = []
        for stratum in rulebase.strata:
            fired = [rule for rule in stratum if rule.about == given.about and holds(rule, values, concluded)]
            concluded |= {rule.conclude: True for rule in fired if rule.conclude}
            found += fired
        firings += [firing(given, rule, values) for rule in sorted(found, key=lambda rule: rule.id)]
    return firings


def masks(
    rulebase: Rulebase,
    values: Mapping[str, Value | NDArray[np.float64] | NDArray[np.str_]],
    about: str = "platform",
) -> dict[str, Mask]:
    """For each rule about one subject: whether it fires, element by element where facts are arrays.

    Facts may be arrays that broadcast against each other; nan satisfies no condition.
    """
    result: dict[str, Mask] = {}
    concluded: dict[str, Mask] = {}
    for stratum in rulebase.strata:
        made: dict[str, Mask] = {}
        for rule in stratum:
            if rule.about != about:
                continue
            mask = _mask(rule, values, concluded)
            result[rule.id] = mask
            if rule.conclude:
                made[rule.conclude] = made.get(rule.conclude, False) | mask
        concluded |= made
    return dict(sorted(result.items()))


def _mask(rule: Rule, values: Mapping[str, Any], concluded: Mapping[str, Mask]) -> Mask:
    mask: Any = reduce(and_, [satisfied(condition, values, concluded) for condition in rule.when])
    return mask if isinstance(mask, np.ndarray) else bool(mask)


def satisfied(condition: Condition, values: Mapping[str, Any], concluded: Mapping[str, Mask]) -> Any:
    """Whether one condition holds, element by element where its fact is an array."""
    if condition.relation == CONCLUDED:
        return concluded.get(condition.fact, False)
    if condition.fact not in values:
        return False
    return _RELATIONS[condition.relation](values[condition.fact], condition.values)
