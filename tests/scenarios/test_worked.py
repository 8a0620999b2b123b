"""Four proposals at one invented facility, decided beforehand: the same decisions for the same reasons."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
import yaml

from triage.models.recommendation import Recommendation
from triage.physics.constants import boltzmann
from triage.services.assess import assess
from triage.services.workspace import open_facility, read_request, read_request_text
from triage.units import read

FOLDER = Path(__file__).parent / "worked"
EXPECTED = yaml.safe_load((FOLDER / "expected.yaml").read_text(encoding="utf-8"))


@lru_cache(maxsize=16)
def answer(name: str) -> Recommendation:
    return assess(open_facility(FOLDER), read_request(FOLDER / "proposals" / f"{name}.yaml"))


def states(name: str, platform: str) -> dict[str, str]:
    result = answer(name).platform(platform)
    assert result is not None
    return {gate.numbers.gate: gate.state for gate in result.gates}


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_decision(name: str) -> None:
    """The recommended platform, its verdict and the second."""
    expected, found = EXPECTED[name], answer(name)

    assert (expected["platform"], expected["verdict"]) == (found.recommended, found.verdict)
    assert expected.get("second", found.second) == found.second
    assert expected.get("tier", found.tier) == found.tier


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_refusals_rest_on_the_gate_named(name: str) -> None:
    """Each refused platform fails at the gate that practitioners would name."""
    expected = EXPECTED[name]
    for gates in (expected["refused"], expected.get("also_refused", {})):
        for platform, gate in gates.items():
            assert states(name, platform)[gate] == "fail", (platform, gate)


@pytest.mark.parametrize("name", [name for name, row in EXPECTED.items() if "flip" in row])
def test_flip_lies_where_practitioners_put_it(name: str) -> None:
    """The named input flips the verdict on the named platform within the stated span."""
    wanted = EXPECTED[name]["flip"]
    unit = "J" if "energy" in wanted["field"] else "T"
    low, high = read(wanted["from"], unit), read(wanted["to"], unit)
    found = [f.at for f in answer(name).flips if (f.platform, f.field) == (wanted["platform"], wanted["field"])]

    assert any(low <= at <= high for at in found), found


def test_recipe_takes_twelve_dips_in_eighteen_hours() -> None:
    """96 transistors, eight to a dip of an hour and a half; the dilution unit would take six cooldowns of six days."""
    found = answer("recipe-statistics")
    stick, dry = found.platform("a-stick"), found.platform("d-dry")
    assert stick is not None
    assert dry is not None

    assert stick.estimates["cooldowns"].value == 12
    assert stick.estimates["bench_time"].value == pytest.approx(18 * 3600, rel=0.01)
    assert dry.estimates["cooldowns"].value == 6
    assert dry.estimates["platform_time"].value == pytest.approx(36 * 86400, rel=0.01)


def test_electrometer_ratios() -> None:
    """E_C over k_B T of a 0.35 fF island on each platform, as worked out by hand."""
    expected = {"a-stick": 0.63, "b-insert": 1.7, "c-helium3": 7.8, "e-wet": 44}
    for platform, value in expected.items():
        result = answer("electrometer").platform(platform)
        assert result is not None
        assert result.estimates["energy_over_thermal"].value == pytest.approx(value, rel=0.02)


def test_smaller_island_makes_the_insert_suitable() -> None:
    """At 0.25 fF (r = 10.9) the helium-3 insert measures."""
    text = (FOLDER / "proposals" / "electrometer.yaml").read_text(encoding="utf-8").replace("0.35 fF", "0.25 fF")
    found = assess(open_facility(FOLDER), read_request_text(text))
    result = found.platform("c-helium3")
    assert result is not None

    assert (found.recommended, result.tier) == ("c-helium3", "measure")
    assert result.estimates["energy_over_thermal"].value == pytest.approx(10.9, rel=0.01)


def test_spin_readout_read_as_a_current_moves_to_the_quiet_unit() -> None:
    """The dry unit is right only while the sensor is read at radio frequency."""
    text = (FOLDER / "proposals" / "spin-readout.yaml").read_text(encoding="utf-8")
    text = text.replace(
        "read_as: rf reflectometry", "read_as: current, band_low: 1 Hz, band_high: 20 kHz, smallest: 5 pA"
    )
    found = assess(open_facility(FOLDER), read_request_text(text))

    assert found.recommended == "e-wet"


def test_load_takes_the_dilution_unit_to_57_millikelvin() -> None:
    """128 uW on a unit of 400 uW at 100 mK."""
    result = answer("cold-multiplexer").platform("d-dry")
    assert result is not None

    assert result.estimates["stage_temperature"].value == pytest.approx(0.057, rel=0.03)
    assert any(finding.rule.startswith("temperature.") and "57" in finding.because for finding in result.findings)


def test_addition_energy_on_the_insert_is_thirty_thermal_energies() -> None:
    """4 meV against k_B T at 1.55 K."""
    result = answer("cold-multiplexer").platform("b-insert")
    assert result is not None
    given = float(result.estimates["given_temperature"].value)

    assert read("4 meV", "J") / (boltzmann * given) == pytest.approx(30, rel=0.02)
