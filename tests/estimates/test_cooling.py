"""Each kind of cooling against figures from elsewhere, and measured curves in place of the model."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from estimates.described import lab_with, worked
from hypothesis import given
from hypothesis import strategies as st

from triage.estimates.case import Case
from triage.estimates.cooling import cooling_of
from triage.models.archetypes import KINDS

CURVE = {"date": "2026-05-02", "points": [["0 uW", "12 mK"], ["100 uW", "50 mK"], ["400 uW", "100 mK"]]}
LOG = {"date": "2026-05-02", "points": [["0 uW", "50 h"], ["30 uW", "20 h"]]}


def case_of(kind: str, load: str | None = None, **entries: Any) -> Case:
    return worked({"kind": kind, **entries}, {"heat": {"device": load}} if load else None)


@pytest.mark.parametrize(
    ("kind", "fluid", "within"), [("helium bath stick", "Helium", 0.005), ("nitrogen dip", "Nitrogen", 0.06)]
)
@pytest.mark.parametrize("pressure", [101325.0, 84556.0, 79495.0])
def test_baths_boil_where_the_equation_of_state_says(kind: str, fluid: str, within: float, pressure: float) -> None:
    """At one atmosphere and at the pressures of the standard atmosphere at 1500 and 2000 m (ISO 2533); CoolProp."""
    found = worked({"kind": kind}, pressure=f"{pressure} Pa").got("stage_temperature")

    assert found == pytest.approx(PropsSI("T", "P", pressure, "Q", 0, fluid), abs=within)


def test_altitude_gives_the_pressure_of_the_standard_atmosphere() -> None:
    """1500 m: 84 556 Pa (ISO 2533); the bath follows."""
    high = worked({"kind": "helium bath stick"}, altitude="1500 m")
    stated = worked({"kind": "helium bath stick"}, pressure="84556 Pa")

    assert high.got("site_pressure") == pytest.approx(84556, abs=1)
    assert high.got("stage_temperature") == pytest.approx(stated.got("stage_temperature"), abs=1e-4)


def test_four_and_a_half_litres_last_about_two_days() -> None:
    """Common practice for such an insert: 4.5 standard litres at 23 uW hold about two days, 1.5 to 2.5."""
    cooling = {"charge": "4.5 L", "static_load": "23 uW", "base_temperature": "0.3 K", "pot_temperature": "1.5 K"}
    found = case_of("helium-3 insert", cooling=cooling).got("hold_time")

    assert 36 * 3600 < found < 60 * 3600


@pytest.mark.parametrize(
    ("circulation", "temperature", "power", "printed"),
    [(100e-6, 0.02, 3.4e-6, 0.05e-6), (200e-6, 0.05, 42e-6, 0.5e-6), (1e-3, 0.1, 840e-6, 5e-6)],
)
def test_dilution_unit_gives_the_handbook_power(
    circulation: float, temperature: float, power: float, printed: float
) -> None:
    """84 J/(mol K2) times flow and T2 (Radebaugh1967, Pobell2007 chapter 7), far above the base; printed digits."""
    cooling = {"base_temperature": "0.2 mK", "cooling_power": f"{84 * circulation * 0.01} W", "power_at": "100 mK"}
    case = case_of("dry dilution unit", cooling=cooling)

    assert cooling_of(case).power(temperature).value == pytest.approx(power, abs=printed)


def test_demagnetisation_ends_where_the_handbook_says() -> None:
    """T_i b/B for fields well above the salt's own: 1.5 K and 2 T with 50 mT give 37.5 mK (Pobell, chapter 9)."""
    start = {"start_temperature": "1.5 K", "start_field": "2 T", "regulated_temperature": "10 mK"}
    case = case_of("demagnetisation cryostat", cooling=start)

    assert case.got("base_temperature") == pytest.approx(0.0375, rel=0.005)
    assert not case.estimates["base_temperature"].valid


def test_demagnetisation_holds_for_the_heat_of_its_entropy() -> None:
    """The whole entropy R ln 6 of a spin 5/2 bounds the hold; load and hold make a constant product."""
    case = case_of("demagnetisation cryostat")
    cooling = cooling_of(case)
    bound = 0.2 * 0.1 * 8.314462618 * np.log(6) / 1e-6
    holds = np.array([cooling.hold(load).value for load in (0.0, 1e-6, 4e-6)])  # type: ignore[union-attr]

    assert 0.2 * bound < holds[0] < bound
    np.testing.assert_allclose(holds * np.array([1, 2, 5]), holds[0])


def test_small_sorption_dilution_takes_two_microwatts_at_87_millikelvin() -> None:
    """The quoted point comes back, less what the base itself takes; the hold is the stated one."""
    case = case_of("small sorption dilution", cooling={"base_temperature": "1 mK"})

    assert cooling_of(case).power(0.087).value == pytest.approx(2e-6, rel=1e-3)
    assert case.got("hold_time") == 6 * 3600


def test_flow_cryostat_is_cold_while_the_dewar_lasts() -> None:
    """60 litres at 2 litres an hour."""
    case = case_of("flow cryostat", cooling={"dewar": "60 L", "consumption": "2 L/h"})

    assert case.got("hold_time") == pytest.approx(30 * 3600)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_platform_comes_complete(kind: str) -> None:
    """A kind alone is a platform: its defaults are marked as common practice, and the whole chain runs on it."""
    platform = lab_with({"kind": kind}).platforms[0]
    case = worked({"kind": kind})

    assert {value.basis for value in platform.quantities.values()} == {"common practice"}
    assert np.isfinite(case.got("price"))
    assert np.isfinite(case.got("electron_temperature"))
    assert case.got("electron_temperature_low") <= case.got("electron_temperature")
    assert case.got("electron_temperature") <= case.got("electron_temperature_high")


@pytest.mark.parametrize("kind", KINDS)
@given(loads=st.lists(st.floats(0, 1e-4), min_size=2, max_size=2))
def test_more_load_is_never_colder(kind: str, loads: list[float]) -> None:
    """By the model, of every kind, wherever both loads can be carried."""
    cooling = cooling_of(worked_once(kind))
    small, large = sorted(loads)
    cold, warm = float(cooling.temperature(small).value), float(cooling.temperature(large).value)

    assert np.isnan(warm) or warm >= cold * (1 - 1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_arrays_give_what_numbers_give(kind: str) -> None:
    """The chain on an array of loads is the chain on each of them."""
    loads = np.array([1e-7, 5e-7, 2e-6])
    together = worked({"kind": kind}, {"heat": {"device": "1 uW"}}, {"heat.device": loads})
    for name in ("stage_temperature", "electron_temperature", "cooling_power", "hold_time"):
        alone = [worked({"kind": kind}, {"heat": {"device": "1 uW"}}, {"heat.device": float(load)}) for load in loads]
        if together.got(name) is not None:
            values = [float(each.got(name)) for each in alone]
            np.testing.assert_allclose(np.broadcast_to(together.got(name), 3), values, rtol=1e-6)


_KNOWN: dict[str, Case] = {}


def worked_once(kind: str) -> Case:
    if kind not in _KNOWN:
        _KNOWN[kind] = worked({"kind": kind})
    return _KNOWN[kind]


def measured(load: str | None = None, **curves: Any) -> Case:
    return case_of("dry dilution unit", load, measured=curves)


@pytest.mark.parametrize(("load", "temperature"), [("0 uW", 0.012), ("100 uW", 0.05), ("400 uW", 0.1)])
def test_load_curve_is_read_at_its_points(load: str, temperature: float) -> None:
    """The points come back, the estimate says which curve it read, and the basis is not a default."""
    case = measured(load, load_curve=CURVE)
    estimate = case.estimates["stage_temperature"]

    assert estimate.value == pytest.approx(temperature)
    assert (estimate.formula, estimate.valid) == ("measured curve of 2026-05-02", True)


def test_between_points_the_square_runs_straight() -> None:
    """Half way in load, half way in T2: exact for a dilution unit, sqrt((50² + 100²)/2) mK."""
    case = measured("250 uW", load_curve=CURVE)

    assert case.got("stage_temperature") == pytest.approx(np.sqrt((0.05**2 + 0.1**2) / 2))
    assert cooling_of(case).power(case.got("stage_temperature")).value == pytest.approx(250e-6)


def test_beyond_the_curve_the_model_goes_on_and_says_so() -> None:
    """The rise from the last point is the model's; the estimate is marked, and the rules hear of it."""
    case = measured("500 uW", load_curve=CURVE)
    bare = case_of("dry dilution unit")
    rise = cooling_of(bare).temperature(500e-6).value - cooling_of(bare).temperature(400e-6).value

    assert case.got("stage_temperature") == pytest.approx(0.1 + rise)
    assert "beyond the measured 400 uW" in case.estimates["stage_temperature"].reason
    assert case.facts["beyond_measured"] == "yes"


def test_hold_log_wins_over_the_charge() -> None:
    """The points come back; between them hold times load-plus-static is constant (a charge of fixed heat)."""
    logged = {load: case_of("helium-3 insert", load, measured={"hold_log": LOG}) for load in ("0 uW", "15 uW", "30 uW")}
    static = 30 / (50 / 20 - 1)

    assert logged["0 uW"].got("hold_time") == pytest.approx(50 * 3600)
    assert logged["30 uW"].got("hold_time") == pytest.approx(20 * 3600)
    assert logged["15 uW"].got("hold_time") == pytest.approx(50 * 3600 * static / (static + 15))


def test_a_curve_that_falls_is_refused() -> None:
    """A larger load cannot give a colder stage; the problem names both points."""
    wrong = {"date": "2026-05-02", "points": [["0 uW", "50 mK"], ["100 uW", "40 mK"]]}
    with pytest.raises(ValueError, match="does not follow"):
        measured(load_curve=wrong)
