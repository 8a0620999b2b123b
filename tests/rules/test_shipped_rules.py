"""The shipped rule base: no lint problem, each example does what it says, thresholds as printed."""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path

import pint
import pytest

from triage.reasoning import engine, plain
from triage.reasoning.firing import FactSet
from triage.reasoning.lint import lint
from triage.reasoning.rule import Example, Rule
from triage.reasoning.rulebase import load

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
RULEBASE, PROBLEMS = load(ROOT / "rules")
EXAMPLES = [
    pytest.param(rule, example, expected, id=f"{rule.id} {'fires' if expected else 'silent'} {number}")
    for rule in RULEBASE.rules
    for expected, examples in ((True, rule.fires), (False, rule.silent))
    for number, example in enumerate(examples)
]
NUMBERS = [
    pytest.param(rule, index, id=f"{rule.id} {condition.fact} {condition.relation} {condition.written}")
    for rule in RULEBASE.rules
    for index, condition in enumerate(rule.when)
    if condition.relation in ("below", "at most", "above", "at least")
]


def test_the_rule_base_has_no_problem() -> None:
    """Loading and lint find nothing to correct."""
    assert [str(problem) for problem in (*PROBLEMS, *lint(RULEBASE))] == []


def test_the_rule_base_covers_the_gates() -> None:
    """At least 55 rules, some on each of the nine gates and on the record; ids begin with their subject."""
    assert len(RULEBASE.rules) >= 55
    gates = {fact.gate for fact in RULEBASE.vocabulary.facts.values() if fact.about != "layer"}
    assert gates <= {rule.gate for rule in RULEBASE.rules}
    assert len(gates) == 10
    for rule in RULEBASE.rules:
        if rule.about == "platform":
            assert rule.id.split(".")[0] in (rule.gate, "safety")


def test_every_fact_about_platforms_and_proposals_is_looked_at() -> None:
    """A fact that no rule looks at cannot change an answer."""
    looked_at = {name for rule in RULEBASE.rules for name in rule.facts}
    facts = RULEBASE.vocabulary.facts.values()
    assert {each.name for each in facts if each.about != "layer" and not each.shown_only} <= looked_at


def test_one_rule_lifts_a_platform() -> None:
    """A reduced result that comes weeks sooner; no other credit changes the order."""
    assert [rule.id for rule in RULEBASE.rules if rule.lifts] == ["turnaround.nearly-there-now"]


@pytest.mark.parametrize(("rule", "example", "expected"), EXAMPLES)
def test_an_example_does_what_it_says(rule: Rule, example: Example, expected: bool) -> None:
    """The rule fires on its firing examples and is silent on the others."""
    assert plain.holds(rule, example.values, dict.fromkeys(example.concluded, True)) == expected


@pytest.mark.parametrize(("rule", "index"), NUMBERS)
def test_a_threshold_includes_itself_only_where_it_says_so(rule: Rule, index: int) -> None:
    """From a firing example, only the number under test moves: at the threshold and one float either side."""
    condition = rule.when[index]
    threshold = float(condition.values[0])
    fires = rule.fires[0]
    others = [other for other in rule.when if other.fact != condition.fact or other is condition]
    alone = Rule(rule.id, "", rule.about, rule.gate, "stable", tuple(others), "note", "")

    found = [
        plain.holds(alone, {**fires.values, condition.fact: number}, dict.fromkeys(fires.concluded, True))
        for number in (math.nextafter(threshold, -math.inf), threshold, math.nextafter(threshold, math.inf))
    ]

    assert (
        found
        == {
            "below": [True, False, False],
            "at most": [True, True, False],
            "above": [False, False, True],
            "at least": [False, True, True],
        }[condition.relation]
    )


@pytest.mark.skipif("plain" in engine.name(), reason="durable-rules is not importable here")
def test_the_shipped_rules_on_the_engine() -> None:
    """Every test of shipped_isolated.py passes in a process of its own; a negative status is a crash."""
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", str(HERE / "shipped_isolated.py")],
        cwd=ROOT, capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip

    assert done.returncode == 0, f"status {done.returncode}\n{done.stdout[-6000:]}\n{done.stderr[-2000:]}"


@pytest.mark.parametrize(
    ("percent", "expected"),
    [
        # 29 CFR 1910.146(b): an atmosphere is hazardous with oxygen "below 19.5 percent".
        (19.5, []),
        (19.49, ["safety.oxygen-monitor"]),
        # 17 and 10 %: common practice.
        (17.0, ["safety.oxygen-monitor"]),
        (16.99, ["safety.oxygen-not-alone"]),
        (10.0, ["safety.oxygen-not-alone"]),
        (9.99, ["safety.oxygen-forbidden"]),
        (0.0, ["safety.oxygen-forbidden"]),
    ],
)
def test_oxygen_limits_at_their_printed_values(percent: float, expected: list[str]) -> None:
    """Each step of the ladder takes over exactly where the one above ends."""
    given = FactSet("x", "platform", {"oxygen_after_release": percent / 100})

    assert [each.rule.id for each in plain.fire(RULEBASE, [given])] == expected


@pytest.mark.parametrize(
    ("margin", "expected"),
    [  # common practice
        (0.69, {"temperature.electrons-too-warm"}),
        (0.7, {"temperature.reaches-lower-tier"}),
        (0.99, {"temperature.reaches-lower-tier"}),
        (1.0, {"temperature.assumed-with-small-margin"}),
        (1.29, {"temperature.assumed-with-small-margin"}),
        (1.3, set()),
    ],
)
def test_the_ladder_of_the_thermal_margin(margin: float, expected: set[str]) -> None:
    """Veto, caution, caution on an assumed temperature, free; never two of them at once."""
    values = {
        "thermal_margin": margin,
        "follows": "electrons",
        "electron_temperature_basis": "default",
        "stage_over_saturation": 0.5,
    }
    fired = plain.fire(RULEBASE, [FactSet("x", "platform", values)])

    assert {each.rule.id for each in fired if each.rule.effect in ("veto", "caution")} == expected


def test_an_absence_on_an_assumed_temperature_goes_through_the_chain() -> None:
    """Three rules, each from the conclusion of the one before; a measured temperature breaks the chain."""
    values: dict[str, float | str] = {
        "thermal_margin": 2.0, "follows": "electrons", "electron_temperature_basis": "stale", "tier": "publish",
        "null_result": "yes", "mechanism": "dilution",
    }  # fmt: skip
    chain = {
        "temperature.electrons-assumed",
        "temperature.resolution-claim-weak",
        "temperature.absence-not-defendable",
    }

    fired = plain.fire(RULEBASE, [FactSet("x", "platform", values)])
    measured = plain.fire(RULEBASE, [FactSet("x", "platform", values | {"electron_temperature_basis": "measured"})])

    assert {each.rule.id for each in fired} >= chain
    assert not {each.rule.id for each in measured} & chain


@pytest.mark.parametrize(
    ("rule", "said", "worked_out"),
    [
        ("vibration.gradient-turns-motion-into-phase", "10 µT", "10 nm * 1 mT/um"),
        ("lines.current-on-filters", "0.1 µW", "(10 uA)**2 * 1 kohm"),
        # 2 mu_B / h, CODATA values of pint
        ("field.raise-it-first", "28 GHz per tesla", "2 * bohr_magneton * 1 T / planck_constant"),
    ],
)
def test_a_figure_in_a_text_is_what_pint_works_out(rule: str, said: str, worked_out: str) -> None:
    """Within the digits printed."""
    written = RULEBASE.by_id[rule]
    assert said in written.because + written.trade_off
    units = pint.UnitRegistry()
    figure = units.Quantity(said.removesuffix(" per tesla"))

    assert units.Quantity(worked_out).to(figure.units).magnitude == pytest.approx(figure.magnitude, rel=0.005)
