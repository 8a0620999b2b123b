"""The rule engine against the plain evaluator on the shipped rules; run in a process of its own by test_oracle.py."""

from __future__ import annotations

import math
import random
from collections import defaultdict
from pathlib import Path

from triage.reasoning import engine, plain
from triage.reasoning.firing import FactSet
from triage.reasoning.rule import CONCLUDED
from triage.reasoning.rulebase import load
from triage.reasoning.vocabulary import GATES, Fact, Value

RULEBASE, PROBLEMS = load(Path(__file__).parents[2] / "rules")
FACT_SETS = 10_000
BATCH = 100


def interesting_numbers() -> dict[str, list[float]]:
    """For each fact: its thresholds, the floats just beside them, and the ends of its range."""
    found: dict[str, list[float]] = defaultdict(list)
    for fact in RULEBASE.vocabulary.facts.values():
        found[fact.name] += [end for end in (fact.low, fact.high) if math.isfinite(end)]
    for rule in RULEBASE.rules:
        for condition in rule.when:
            if condition.relation == CONCLUDED:
                continue
            for value in condition.values:
                if isinstance(value, float):
                    found[condition.fact] += [math.nextafter(value, -math.inf), value, math.nextafter(value, math.inf)]
    return found


NUMBERS = interesting_numbers()


def some_value(chance: random.Random, fact: Fact) -> Value:
    """A word of the fact, a number at or beside a threshold, or any number of its range."""
    if fact.kind == "word":
        return chance.choice(fact.words)
    number = chance.choice(NUMBERS[fact.name]) if chance.random() < 0.8 else 10 ** chance.uniform(-6, 6)
    return min(max(number, fact.low), fact.high)


def some_facts(chance: random.Random, number: int) -> FactSet:
    """Facts about one subject, often with those that let one rule or a chain of rules fire."""
    about = chance.choice((*GATES, "platform"))
    missing = chance.choice((0.0, 0.1, 0.5))
    facts = [fact for fact in RULEBASE.vocabulary.facts.values() if fact.about == about]
    values = {fact.name: some_value(chance, fact) for fact in facts if chance.random() >= missing}
    for rule in chance.sample([rule for rule in RULEBASE.rules if rule.about == about], chance.choice((0, 1, 2))):
        values |= rule.fires[0].values
        for name in rule.fires[0].concluded:
            values |= chance.choice([maker for maker in RULEBASE.rules if maker.conclude == name]).fires[0].values
    return FactSet(f"s{number}", about, values)


def test_identical_firings_on_ten_thousand_fact_sets() -> None:
    """The same rules, in the same order, on the same values; nearly every rule fires somewhere."""
    assert PROBLEMS == []
    chance = random.Random(20261125)
    fired: set[str] = set()
    for start in range(0, FACT_SETS, BATCH):
        given = [some_facts(chance, start + number) for number in range(BATCH)]

        firings = engine.fire(RULEBASE, given)

        assert firings == plain.fire(RULEBASE, given)
        fired.update(each.rule.id for each in firings)
    assert fired == {rule.id for rule in RULEBASE.rules if rule.in_force}


def test_every_threshold_of_every_rule_on_the_engine() -> None:
    """From a firing example only the number under test moves: the threshold and one float either side."""
    given = []
    for rule in RULEBASE.rules:
        for condition in rule.when:
            for value in condition.values:
                if isinstance(value, float):
                    for number in (math.nextafter(value, -math.inf), value, math.nextafter(value, math.inf)):
                        values = {**rule.fires[0].values, condition.fact: number}
                        given.append(FactSet(f"{rule.id} {condition.fact} {number!r}", rule.about, values))
    assert len(given) > 300

    assert engine.fire(RULEBASE, given) == plain.fire(RULEBASE, given)
