"""The questions turned round: requirements are thresholds of the very criterion that judges."""

from __future__ import annotations

import pytest

from triage.measurements.catalogue import CATALOGUE
from triage.models.tier import TIERS
from triage.physics.constants import boltzmann
from triage.planning.reverse import governing_inputs, requirement, requirements
from triage.services.learn import device_needed, lessons
from triage.services.workspace import find_proposal, open_facility, read_request

FACILITY = open_facility()


def test_charging_energy_for_diamonds_on_the_stick() -> None:
    """E_C = 3, 10, 20 k_B T at 4.3 K: 1.11, 3.7 and 7.4 meV."""
    found = {each.kind: each for each in lessons(FACILITY, FACILITY.lab.platform("bath-stick"))}["coulomb-diamonds"]  # type: ignore[arg-type]
    for tier, number in zip(TIERS, (3, 10, 20), strict=True):
        assert found.requirements[tier].value == pytest.approx(number * boltzmann * found.temperature, rel=2e-3)


@pytest.mark.parametrize("key", sorted(CATALOGUE))
def test_threshold_separates_reached_from_not_reached(key: str) -> None:
    """Just inside the threshold the tier is reached, just outside it is not."""
    kind = CATALOGUE[key]
    lesson = next(each for each in lessons(FACILITY, FACILITY.lab.platforms[2]) if each.kind == key)
    for tier, wanted in lesson.requirements.items():
        if wanted.value is None:
            continue
        asked = next(each for each in governing_inputs(kind) if each.name.replace("_", " ") == lesson.asks)
        others = {each.name: 1.0 for each in kind.inputs if not each.optional and each.name != asked.name}
        again = requirement(
            kind, others | {"field": 1.0}, asked, lesson.temperature, tier, kind.criterion.numbers[tier]
        )
        if again.value is None:
            continue
        number = kind.criterion.numbers[tier]
        step = 1.02 if again.at_least else 1 / 1.02
        inside = kind.criterion.needed(others | {"field": 1.0, asked.name: again.value * step}, number)
        outside = kind.criterion.needed(others | {"field": 1.0, asked.name: again.value / step}, number)
        assert inside >= lesson.temperature * 0.999
        assert outside < lesson.temperature * 1.001


def test_colder_platforms_ask_for_less() -> None:
    """The charging energy asked for falls with the temperature."""
    found = device_needed(FACILITY, read_request(find_proposal(FACILITY, "electrometer")))
    by_temperature = sorted(found, key=lambda each: each.temperature)
    values = [each.requirements["measure"].value for each in by_temperature]

    assert values == sorted(value for value in values if value is not None)


def test_a_kind_without_inputs_is_yes_or_no() -> None:
    """Mobility needs a temperature, not a device."""
    asked, found = requirements(CATALOGUE["hall-mobility"], {}, 77.0)

    assert asked is None
    assert [found[tier].always for tier in TIERS] == [True, True, False]
