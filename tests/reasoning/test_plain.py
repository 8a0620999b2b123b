"""The plain evaluator: what each relation means, conclusions, and arrays element by element."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from reasoning.writing import FACTS, RULES, changed, loaded

from triage.errors import RuleEngineError
from triage.reasoning import plain
from triage.reasoning.firing import FactSet
from triage.reasoning.rule import Condition, Rule


def rule(*conditions: Condition) -> Rule:
    return Rule("x", "", "platform", "temperature", "stable", conditions, "note", "")


@pytest.mark.parametrize(
    ("relation", "expected"),
    [
        ("below", [True, False, False]),
        ("at most", [True, True, False]),
        ("above", [False, False, True]),
        ("at least", [False, True, True]),
        ("equal", [False, True, False]),
        ("not equal", [True, False, True]),
        ("one of", [False, True, False]),
    ],
)
def test_a_relation_on_either_side_of_its_value(relation: str, expected: list[bool]) -> None:
    """One float below, at, and above; nothing for a missing fact or nan."""
    one = rule(Condition("f", relation, (1.0,)))
    numbers = [math.nextafter(1, 0), 1.0, math.nextafter(1, 2)]

    assert [plain.holds(one, {"f": number}, {}) for number in numbers] == expected
    assert not plain.holds(one, {}, {})
    assert not plain.holds(one, {"f": math.nan}, {})


def test_conclusions_reach_later_rules_of_the_same_subject_only(tmp_path: Path) -> None:
    """Subjects in the order given, rules by id; facts are the values that matched."""
    rulebase = loaded(tmp_path)
    facts = [
        FactSet("wet", "platform", {"thermal_margin": 1.5, "electron_temperature_basis": "stale", "unlisted": 3}),
        FactSet("dry", "platform", {"thermal_margin": 1.5, "electron_temperature_basis": "measured"}),
        FactSet("gates", "layer", {"overlay_margin": 0.5}),
    ]

    firings = plain.fire(rulebase, facts)

    assert [(firing.subject, firing.rule.id) for firing in firings] == [
        ("wet", "temperature.assumed"),
        ("wet", "temperature.calibrate"),
        ("gates", "route.overlay"),
    ]
    assert firings[1].facts == {"thermal_margin": 1.5}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("thermal_margin", math.nan),
        ("thermal_margin", math.inf),
        ("thermal_margin", 10**400),
        ("thermal_margin", "1.0"),
        ("thermal_margin", True),
        ("thermal_margin", None),
        ("electron_temperature_basis", "guessed"),
        ("electron_temperature_basis", 1.0),
    ],
)
def test_facts_of_the_wrong_kind_are_refused(tmp_path: Path, name: str, value: object) -> None:
    """The message names the subject and the fact."""
    with pytest.raises(RuleEngineError, match=f"wet: {name}"):
        plain.fire(loaded(tmp_path), [FactSet("wet", "platform", {name: value})])  # type: ignore[dict-item]


def test_masks_agree_with_the_scalar_evaluator_draw_by_draw(tmp_path: Path) -> None:
    """Arrays of numbers and words, conclusions included; nan satisfies nothing."""
    rulebase = loaded(tmp_path)
    random = np.random.default_rng(5)
    margin = random.choice([0.3, 1.0, 1.5, 2.0, 7.0], 300)
    basis = random.choice(["measured", "stale", "default"], 300)

    masks = plain.masks(rulebase, {"thermal_margin": margin, "electron_temperature_basis": basis})

    assert set(masks) == {rule.id for rule in rulebase.rules if rule.about == "platform"}
    for draw in range(300):
        values = {"thermal_margin": float(margin[draw]), "electron_temperature_basis": str(basis[draw])}
        fired = {firing.rule.id for firing in plain.fire(rulebase, [FactSet("x", "platform", values)])}
        assert fired == {name for name, mask in masks.items() if np.broadcast_to(mask, 300)[draw]}


def test_masks_of_scalars_are_plain_and_nan_satisfies_nothing(tmp_path: Path) -> None:
    """A word may be one for all draws while a number has many."""
    rulebase = loaded(tmp_path)

    masks = plain.masks(
        rulebase, {"thermal_margin": np.array([0.5, np.nan, 1.5]), "electron_temperature_basis": "stale"}
    )

    assert masks["temperature.assumed"] is True
    assert masks["risk_cost.oxygen"] is False
    np.testing.assert_array_equal(masks["temperature.too-warm"], [True, False, False])
    np.testing.assert_array_equal(masks["temperature.calibrate"], [True, False, True])
    other = plain.masks(rulebase, {"overlay_margin": 1.0}, about="layer")
    assert other == {"route.overlay": True}


def test_not_equal_needs_a_value(tmp_path: Path) -> None:
    """nan is unlike every number and still does not count as `not equal`."""
    unlike = changed(RULES[0], id="unlike", when=[{"fact": "thermal_margin", "is": "not equal", "value": 1}])
    rulebase = loaded(tmp_path, [unlike], FACTS)

    mask = plain.masks(rulebase, {"thermal_margin": np.array([1.0, 2.0, np.nan])})["unlike"]

    np.testing.assert_array_equal(mask, [False, True, False])
