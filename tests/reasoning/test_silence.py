"""Why a rule stayed silent: the first condition that failed, and by how much."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
from reasoning.writing import ASSUMED, CALIBRATE, OXYGEN, RULE, changed, loaded

from triage.errors import RuleEngineError
from triage.reasoning import plain
from triage.reasoning.firing import FactSet
from triage.reasoning.rule import CONCLUDED
from triage.reasoning.rulebase import load
from triage.reasoning.silence import Silence, silences
from triage.reasoning.vocabulary import Value

SHIPPED, _ = load(Path(__file__).parents[2] / "rules")


def asked(tmp_path: Path, values: dict[str, Value], *rules: dict[str, object]) -> dict[str, Silence]:
    rulebase = loaded(tmp_path, rules or (RULE, ASSUMED, CALIBRATE, OXYGEN))
    return {each.rule.id: each for each in silences(rulebase, FactSet("x", "platform", values))}


@pytest.mark.parametrize(
    ("margin", "distance", "says"),
    [
        (1.2, 0.2, "thermal_margin is 1.2, not below 1 (by 0.2)"),
        (1.0, 0.0, "thermal_margin is 1, not below 1 (exactly there)"),
        (math.nextafter(1, 2), math.ulp(1.0), "thermal_margin is 1, not below 1 (by 2.22e-16)"),
    ],
)
def test_a_number_says_how_far_it_is(tmp_path: Path, margin: float, distance: float, says: str) -> None:
    """In the unit of the fact, and zero on a threshold that does not count itself."""
    silence = asked(tmp_path, {"thermal_margin": margin})["temperature.too-warm"]

    assert (silence.reason, silence.says) == ("number", says)
    assert silence.distance == pytest.approx(distance, rel=1e-9)


def test_units_are_those_people_use(tmp_path: Path) -> None:
    """Oxygen in per cent, although the fact is a fraction."""
    silence = asked(tmp_path, {"oxygen_after_release": 0.205})["risk_cost.oxygen"]

    assert silence.says == "oxygen_after_release is 20.5 %, not below 19.5 % (by 1 %)"
    assert silence.distance == pytest.approx(0.01)


def test_words_and_missing_facts(tmp_path: Path) -> None:
    """The word found and those wanted; a fact that nobody gave is not known."""
    found = asked(tmp_path, {"electron_temperature_basis": "measured"})

    assert found["temperature.assumed"].says == "electron_temperature_basis is measured, none of stale, default"
    assert found["temperature.too-warm"].says == "thermal_margin is not known"
    assert found["temperature.too-warm"].reason == "not known"


def test_a_missing_conclusion_is_traced_to_the_rule_that_makes_it(tmp_path: Path) -> None:
    """What that rule lacked is said too."""
    values = {"electron_temperature_basis": "measured", "thermal_margin": 1.5}
    silence = asked(tmp_path, values)["temperature.calibrate"]

    assert silence.reason == "not concluded"
    assert silence.says == (
        "no rule concluded electron-temperature-assumed (temperature.assumed: "
        "electron_temperature_basis is measured, none of stale, default)"
    )


def test_drafts_say_that_they_are_not_in_force(tmp_path: Path) -> None:
    """Whatever the facts."""
    assert asked(tmp_path, {"thermal_margin": 0.5}, changed(RULE, status="draft"))["temperature.too-warm"].says == (
        "the rule is a draft and not in force"
    )


def test_conclusions_in_a_circle_do_not_hang(tmp_path: Path) -> None:
    """Two rules that wait for each other."""
    circle = changed(CALIBRATE, then={"effect": "note", "conclude": "electron-temperature-assumed"}, examples=None,
                     status="trial")  # fmt: skip

    silence = asked(tmp_path, {"thermal_margin": 1.5}, circle)["temperature.calibrate"]

    assert silence.reason == "not concluded"


def test_facts_that_no_rule_may_see_are_refused(tmp_path: Path) -> None:
    """As the engine refuses them."""
    with pytest.raises(RuleEngineError):
        asked(tmp_path, {"thermal_margin": math.nan})


@pytest.mark.parametrize("seed", range(3))
def test_moving_a_number_by_its_distance_satisfies_the_condition(seed: int) -> None:
    """On the shipped rules: every rule fires or says why not, and what it says is true."""
    chance = random.Random(seed)
    for number in range(30):
        rule = chance.choice([rule for rule in SHIPPED.rules if rule.about == "platform"])
        values = dict(rule.fires[0].values)
        for fact in chance.sample(list(SHIPPED.vocabulary.facts.values()), 40):
            if fact.about == "platform":
                values[fact.name] = chance.choice(fact.words) if fact.kind == "word" else (
                    min(max(chance.choice((0.0, 0.5, 1.0, 2.0, 30.0)), fact.low), fact.high))  # fmt: skip
        given = FactSet(f"s{number}", "platform", values)

        fired = {each.rule.id for each in plain.fire(SHIPPED, [given])}
        silent = silences(SHIPPED, given)

        assert {each.rule.id for each in silent} | fired == {
            rule.id for rule in SHIPPED.rules if rule.about == "platform"
        }
        assert not fired & {each.rule.id for each in silent}
        for each in silent:
            assert each.condition is not None
            first = each.rule.when[: each.rule.when.index(each.condition)]
            assert all(plain.satisfied(condition, values, {}) for condition in first if condition.relation != CONCLUDED)
            if each.distance is not None and each.distance > 0 and each.condition.relation in ("at least", "at most"):
                moved = float(each.condition.values[0])
                assert plain.satisfied(each.condition, values | {each.condition.fact: moved}, {})
                assert abs(moved - float(values[each.condition.fact])) == each.distance
