"""Somebody who can read off only a pump, a charge and a bore gets numbers they recognise (common practice)."""

from __future__ import annotations

import pytest

from triage.models.lab import Lab
from triage.models.reading import _validated
from triage.services.assess import assess
from triage.services.workspace import Facility, demonstration, load_rules, read_request_text
from triage.source import read_text

LAB = """
name: Three facts
platforms:
  - {id: insert, name: pumped insert, kind: pumped helium insert, cooling: {pump_speed: 40 m3/h, static_load: 150 mW}}
  - {id: helium-3, name: helium-3 insert, kind: helium-3 insert, cooling: {charge: 4.5 L}, space: {bore: 25 mm}}
  - {id: dilution, name: dilution unit, kind: dry dilution unit}
"""
PROPOSAL = (
    "title: t\nmeasurement: coulomb-diamonds\ndevice: {charging_energy: 1 meV}\nboard: {length: 20 mm, width: 15 mm}\n"
)


@pytest.fixture(scope="module")
def results() -> dict:
    lab, _, problems = _validated(Lab, *read_text(LAB, "lab.yaml"))
    assert lab is not None, problems
    facility = Facility(demonstration(), lab, load_rules()[0])
    answer = assess(facility, read_request_text(PROPOSAL), thorough=False)
    return {each.platform: each for each in answer.platforms}


def test_a_forty_cubic_metre_pump_gives_about_a_kelvin_and_a_half(results: dict) -> None:
    """Common practice: a pumped bath with such a pump works near 1.5 K and is cold in about 20 minutes."""
    assert 1.3 < results["insert"].estimates["base_temperature"].value < 1.6
    cooldown = next(each for each in results["insert"].grounds if each.name == "platform.clock.cooldown")

    assert cooldown.value == "20 min"


def test_four_and_a_half_litres_hold_about_two_days(results: dict) -> None:
    """Common practice: such a charge holds 0.3 K for about two days and recycles in about 20 minutes."""
    hold = results["helium-3"].estimates["hold_time"].value

    assert 1.5 * 86400 < hold < 3 * 86400
    assert next(each for each in results["helium-3"].grounds if each.name == "platform.clock.recycle").value == "20 min"


def test_the_board_is_held_against_the_bore(results: dict) -> None:
    """15 by 8 mm with a millimetre of air on each side needs a 19 mm bore."""
    gate = next(each for each in results["helium-3"].gates if each.numbers.gate == "size")

    assert gate.numbers.need == pytest.approx(19e-3, abs=0.1e-3)
    assert gate.numbers.have == pytest.approx(25e-3)


def test_a_dilution_unit_is_cold_in_about_two_days(results: dict) -> None:
    """Common practice."""
    steps = {each.name: each for each in results["dilution"].timeline}
    cold = next(step for name, step in steps.items() if name.startswith("cool"))

    assert 1.5 * 86400 <= cold.start + cold.length <= 3 * 86400
