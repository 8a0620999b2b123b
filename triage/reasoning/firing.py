"""What both evaluators take and give: sets of facts, and the rules that fired on them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from triage.errors import RuleEngineError
from triage.reasoning.rule import Rule
from triage.reasoning.vocabulary import Value, Vocabulary


@dataclass(frozen=True)
class FactSet:
    """The facts about one subject: one platform, one layer, or the proposal."""

    subject: str
    about: str
    values: Mapping[str, Value]


@dataclass(frozen=True)
class Firing:
    """A rule that fired, and the values that satisfied its conditions."""

    subject: str
    rule: Rule
    facts: Mapping[str, Value]


def firing(given: FactSet, rule: Rule, values: Mapping[str, Value]) -> Firing:
    """The firing of a rule on a fact set."""
    return Firing(given.subject, rule, {name: values[name] for name in rule.facts})


def checked(given: FactSet, vocabulary: Vocabulary) -> dict[str, Value]:
    """The facts that the vocabulary knows, each of the kind it must be.

    Raises `RuleEngineError` for a number that is not finite, a number in place of a word, a word in
    place of a number, and a word that the vocabulary does not list.
    """
    values: dict[str, Value] = {}
    for name, value in given.values.items():
        fact = vocabulary.facts.get(name)
        if fact is None or fact.about != given.about:
            continue
        if fact.kind == "word":
            if value not in fact.words:
                raise RuleEngineError(f"{given.subject}: {name} is {value!r}, none of {', '.join(fact.words)}")
            values[name] = str(value)
        else:
            values[name] = _finite(given.subject, name, value)
    return values


def _finite(subject: str, name: str, value: object) -> float:
    if isinstance(value, (bool, str)):
        raise RuleEngineError(f"{subject}: {name} is {value!r}, which is no number")
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, OverflowError):
        raise RuleEngineError(f"{subject}: {name} is {value!r}, which is no number") from None
    if not math.isfinite(number):
        raise RuleEngineError(f"{subject}: {name} is {number}, which is not finite")
    return number
