"""Odds and ends: against closed forms, and the chain itself."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from triage.physics.constants import boltzmann, elementary_charge
from triage.planning.uncertainty import ends, odds, spreads
from triage.services.assess import assess, cases_of
from triage.services.plain_data import recommendation_data
from triage.services.workspace import open_facility, read_request_text

FACILITY = open_facility(Path(__file__).parent.parent / "readme")
TEMPLATE = "title: t\nmeasurement: coulomb-diamonds\ntier: measure\ndevice: {{charging_energy: {energy}}}\n"


def cases(energy: str) -> list:
    return cases_of(FACILITY, read_request_text(TEMPLATE.format(energy=energy)))


def test_odds_are_the_part_of_the_range_beyond_the_threshold() -> None:
    """E_C even between 100 and 300 ueV: the insert serves above 7 k_B T, so in a part known in closed form."""
    found = {each.platform: each for each in odds(FACILITY.rulebase, cases("100..300 ueV"))}
    electrons = float(cases("200 ueV")[1].got("given_temperature"))
    threshold = 0.7 * 10 * boltzmann * electrons / elementary_charge
    expected = (300e-6 - threshold) / 200e-6

    assert found["insert"].serves == pytest.approx(expected, abs=0.015)  # three standard errors of 10 000 draws
    assert found["insert"].decided_by == "device.charging_energy"
    assert found["stick"].serves == 0


def test_without_ranges_in_what_decides_the_odds_are_certain() -> None:
    """A value far above the threshold serves in every draw, one far below in none."""
    assert [each.serves for each in odds(FACILITY.rulebase, cases("900 ueV"))][1] == 1
    assert [each.serves for each in odds(FACILITY.rulebase, cases("90 ueV"))][1] == 0


def test_the_same_seed_gives_the_same_odds() -> None:
    """Drawn twice, equal; with another seed, close."""
    first, again, other = (odds(FACILITY.rulebase, cases("100..300 ueV"), seed=seed) for seed in (1, 1, 2))

    assert first == again
    assert other[1].serves == pytest.approx(first[1].serves, abs=0.03)


def test_ends_agree_with_assessing_at_the_ends() -> None:
    """What is said of an end is what the program answers there."""
    lower, upper = (
        each for each in ends(FACILITY.rulebase, cases("100..300 ueV")[1]) if each.path == "device.charging_energy"
    )
    for end, energy in ((lower, "100 ueV"), (upper, "300 ueV")):
        answer = assess(FACILITY, read_request_text(TEMPLATE.format(energy=energy)))
        result = answer.platform("insert")
        assert result is not None
        assert end.serves == (result.verdict in ("suitable", "tight"))
        assert end.margin == pytest.approx(float(result.facts["thermal_margin"]), rel=1e-9)


def test_only_inputs_with_a_range_are_varied() -> None:
    """A single number is not spread; a guess is, by 30 per cent."""
    paths = {each.path for each in spreads(cases("200 ueV")[1])}
    assert "device.charging_energy" not in paths
    guess = next(each for each in spreads(cases("about 200 ueV")[1]) if each.path == "device.charging_energy")

    assert np.array([guess.low, guess.high]) == pytest.approx(np.array([140e-6, 260e-6]) * elementary_charge)


def test_a_range_that_reaches_below_the_threshold_makes_the_answer_lean() -> None:
    """Confidence names the end at which the platform would not serve."""
    answer = assess(FACILITY, read_request_text(TEMPLATE.format(energy="150..450 ueV")))

    assert answer.confidence == "leaning"
    assert any("lower end of charging energy" in each for each in answer.confidence_because)
    assert recommendation_data(answer)["odds"]
