"""The shipped rules on the rule engine; run in a process of its own by test_shipped_rules.py."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from triage.reasoning import engine, plain
from triage.reasoning.firing import FactSet
from triage.reasoning.rule import Example, Rule
from triage.reasoning.rulebase import load
from triage.reasoning.vocabulary import Value

RULEBASE, _ = load(Path(__file__).parents[2] / "rules")
EXAMPLES = [
    (rule, example, expected)
    for rule in RULEBASE.rules
    for expected, examples in ((True, rule.fires), (False, rule.silent))
    for example in examples
]


def complete(example: Example) -> dict[str, Value]:
    """The facts of an example with those that let its conclusions be made, since the engine makes them itself."""
    values: dict[str, Value] = {}
    for name in example.concluded:
        maker = next(rule for rule in RULEBASE.rules if rule.conclude == name)
        values |= complete(maker.fires[0])
    return values | example.values


def test_every_example_on_the_engine() -> None:
    """Fires or stays silent as written, with all the other rules present."""
    given = [FactSet(f"{number}", rule.about, complete(example)) for number, (rule, example, _) in enumerate(EXAMPLES)]
    fired = {(each.subject, each.rule.id) for each in engine.fire(RULEBASE, given)}

    wrong = [
        f"{rule.id} {dict(example.values)}"
        for number, (rule, example, expected) in enumerate(EXAMPLES)
        if ((f"{number}", rule.id) in fired) != expected
    ]
    assert wrong == []


def test_every_rule_fires_in_some_example() -> None:
    """Each rule has an example, so the test above says something about each."""
    assert {rule.id for rule, _, expected in EXAMPLES if expected} == {rule.id for rule in RULEBASE.rules}


def thresholds(name: str) -> list[float]:
    numbers = [0.0, 1.0, 1e6]
    for rule in RULEBASE.rules:
        for condition in rule.when:
            if condition.fact == name:
                numbers += [float(value) for value in condition.values]
    return numbers


def some_facts(chance: random.Random, about: str, rule: Rule) -> dict[str, Value]:
    """Facts around the thresholds of the rules, often with those of one firing example among them."""
    values: dict[str, Value] = {}
    for fact in RULEBASE.vocabulary.facts.values():
        if fact.about != about or chance.random() < 0.1:
            continue
        if fact.kind == "word":
            values[fact.name] = chance.choice(fact.words)
        else:
            number = chance.choice(thresholds(fact.name)) * chance.choice((1.0, 1.0, 0.999, 1.001))
            values[fact.name] = min(max(number, fact.low), fact.high)
    return values | (complete(rule.fires[0]) if chance.random() < 0.5 else {})


@pytest.mark.parametrize("seed", range(4))
def test_the_engine_agrees_with_the_plain_evaluator(seed: int) -> None:
    """150 platforms and proposals with facts at and beside every threshold."""
    chance = random.Random(seed)
    given = []
    for number in range(150):
        rule = chance.choice([rule for rule in RULEBASE.rules if rule.about != "layer"])
        given.append(FactSet(f"s{number}", rule.about, some_facts(chance, rule.about, rule)))

    assert engine.fire(RULEBASE, given) == plain.fire(RULEBASE, given)
