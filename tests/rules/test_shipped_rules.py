"""The shipped rule base: no lint problem, and each example does what it says."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.reasoning import plain
from triage.reasoning.lint import lint
from triage.reasoning.rule import Example, Rule
from triage.reasoning.rulebase import load

FOLDER = Path(__file__).parents[2] / "rules"
RULEBASE, PROBLEMS = load(FOLDER) if (FOLDER / "facts.yaml").is_file() else (None, [])
pytestmark = pytest.mark.skipif(not (RULEBASE and RULEBASE.rules), reason="no rules are written yet")
EXAMPLES = [
    pytest.param(rule, example, expected, id=f"{rule.id} {'fires' if expected else 'silent'} {number}")
    for rule in (RULEBASE.rules if RULEBASE else ())
    for expected, examples in ((True, rule.fires), (False, rule.silent))
    for number, example in enumerate(examples)
]


def test_the_rule_base_has_no_problem() -> None:
    """Loading and lint find nothing to correct."""
    assert RULEBASE is not None
    assert [str(problem) for problem in (*PROBLEMS, *lint(RULEBASE))] == []


@pytest.mark.parametrize(("rule", "example", "expected"), EXAMPLES)
def test_an_example_does_what_it_says(rule: Rule, example: Example, expected: bool) -> None:
    """The rule fires on its firing examples and is silent on the others."""
    assert plain.holds(rule, example.values, dict.fromkeys(example.concluded, True)) == expected
