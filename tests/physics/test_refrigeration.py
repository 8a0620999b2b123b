"""Coolers: balances close, more heat is never colder, and the usual machines come out as known."""

from __future__ import annotations

from math import inf, isnan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from triage.physics import refrigeration as cold
from triage.physics.evaporation import amount_of_gas, helium3_latent_heat, helium4_latent_heat
from triage.physics.vapour_pressure import helium3_pressure, helium4_pressure

PUMP = 40 / 3600
loads = st.floats(1e-6, 1.0)
few = settings(max_examples=30, deadline=None)


def test_pot_against_a_general_root_finder() -> None:
    """The balance L p S = Q R T, solved by scipy."""
    for heat in (1e-3, 1e-2, 5e-2, 0.2):
        expected = brentq(
            lambda t, q=heat: np.log(helium4_latent_heat(t) * helium4_pressure(t) * PUMP / (8.314462618 * 295 * q)),
            0.5,
            4.0,
            xtol=1e-12,
        )
        assert cold.helium4_pot_temperature(heat, PUMP) == pytest.approx(expected, rel=1e-8)


@few
@given(heat=loads, more=st.floats(1.0, 10.0), line=st.floats(0.01, 0.1), film=st.floats(0.0, 0.05))
def test_more_heat_never_makes_a_pot_colder(heat: float, more: float, line: float, film: float) -> None:
    """With line and film; the balance closes where there is an answer."""
    options = {"line_diameter": line, "line_length": 2.0, "film_perimeter": film}
    first = cold.helium4_pot_temperature(heat, PUMP, **options)
    second = cold.helium4_pot_temperature(heat * more, PUMP, **options)
    assert isnan(second) or second >= first - 1e-9
    speed = cold.effective_pumping_speed(PUMP, helium4_pressure(first), line, 2.0)
    if not isnan(first) and first < 2.16:
        assert cold.helium4_pot_cooling_power(first, speed, film_perimeter=film) == pytest.approx(heat, rel=1e-4)


@few
@given(speed=st.floats(1e-4, 0.1), line=st.floats(0.005, 0.2), pressure=st.floats(1e-3, 1e5))
def test_a_line_only_takes_away(speed: float, line: float, pressure: float) -> None:
    """Between nothing and the pump's own speed, rising with the bore, and the two ends carry the same."""
    effective = cold.effective_pumping_speed(speed, pressure, line, 2.0)
    assert 0 < effective <= speed * (1 + 1e-12)
    assert cold.effective_pumping_speed(speed, pressure, line * 1.1, 2.0) >= effective
    at_pump = effective * pressure / speed
    conductance = cold.line_conductance(line, 2.0, 0.5 * (pressure + at_pump))
    assert conductance * (pressure - at_pump) == pytest.approx(speed * at_pump, rel=1e-3)


def test_line_conductance_has_both_limits() -> None:
    """Molecular below, viscous above, and nowhere the sum of both in full."""
    low = cold.line_conductance(0.05, 2.0, 1e-5)
    assert low == pytest.approx(cold.molecular_conductance(0.05, 2.0), rel=1e-3)
    high = cold.line_conductance(0.05, 2.0, 1e4)
    assert high == pytest.approx(cold.viscous_conductance(0.05, 2.0, 1e4, cold.helium_viscosity(295.0)), rel=0.01)


def test_film_sets_the_base_of_a_pot() -> None:
    """Without heat the film alone decides, and a narrower neck is colder."""
    bases = cold.helium4_pot_temperature(np.zeros(3), PUMP, film_perimeter=np.array([0.003, 0.01, 0.03]))
    assert (np.diff(bases) > 0).all()
    carried = helium4_pressure(bases) * PUMP / (8.314462618 * 295)
    np.testing.assert_allclose(carried, cold.film_flow * np.array([0.003, 0.01, 0.03]), rtol=1e-6)
    assert isnan(cold.helium4_pot_temperature(0.0, PUMP))


def test_arrays_and_floats_agree() -> None:
    """The light path is the same balance; impossible loads are nan in both."""
    heats = np.array([1e-4, 1e-2, 1.0, 1e4])
    together = cold.helium4_pot_temperature(heats, PUMP, line_diameter=0.04, line_length=1.5)
    one_by_one = [cold.helium4_pot_temperature(float(q), PUMP, line_diameter=0.04, line_length=1.5) for q in heats]
    np.testing.assert_allclose(together, one_by_one, rtol=1e-9)
    assert isnan(together[-1])
    together = cold.sorption_temperature(heats * 1e-3, 1.6e-4)
    np.testing.assert_allclose(together, [cold.sorption_temperature(float(q) * 1e-3, 1.6e-4) for q in heats], rtol=1e-9)


def test_twenty_times_the_speed_buys_little() -> None:
    """A third of a kelvin: vapour pressure is that steep (common practice)."""
    slow, fast = cold.helium4_pot_temperature(0.01, np.array([10.0, 200.0]) / 3600)
    assert slow - fast == pytest.approx(0.33, abs=0.03)


def test_two_days_from_four_and_a_half_litres() -> None:
    """20 to 30 uW in all: 40 to 64 hours (common practice: about two days)."""
    amount = amount_of_gas(4.5e-3)
    hours = cold.sorption_hold_time(amount, np.array([30e-6, 20e-6])) / 3600
    assert hours[0] > 40
    assert hours[1] < 66
    assert hours[0] < 48 < hours[1]
    assert cold.sorption_hold_time(amount, 0.0) == inf


@few
@given(load=st.floats(1e-6, 1e-3), more=st.floats(1.0, 10.0))
def test_sorption_pump_balance(load: float, more: float) -> None:
    """There and back through the effective speed; more heat is warmer and lasts shorter."""
    speed = cold.sorption_pumping_speed(0.29, 20e-6)
    assert cold.sorption_temperature(20e-6, speed) == pytest.approx(0.29, rel=1e-8)
    first, second = cold.sorption_temperature(load, speed), cold.sorption_temperature(load * more, speed)
    assert isnan(second) or second >= first - 1e-12
    if not isnan(first):
        flow = helium3_pressure(first) * speed / (8.314462618 * 4.2)
        assert flow * helium3_latent_heat(first) == pytest.approx(load, rel=1e-8)
    assert cold.sorption_hold_time(0.2, load * more) <= cold.sorption_hold_time(0.2, load)


@few
@given(load=st.floats(0, 1e-3), more=st.floats(0, 1e-3), flow=st.floats(1e-5, 2e-3), entry=st.floats(0.005, 0.1))
def test_dilution_balance(load: float, more: float, flow: float, entry: float) -> None:
    """Cooling power is the inverse of temperature; more heat is never colder, with either description."""
    for options in ({"base_temperature": 0.01}, {"exchanger_temperature": entry}):
        first = cold.dilution_temperature(load, flow, **options)
        second = cold.dilution_temperature(load + more, flow, **options)
        assert isnan(second) or second >= first
    warm = cold.dilution_temperature(load, flow, exchanger_temperature=entry)
    if warm > 0.002:
        power = cold.dilution_cooling_power(warm, flow, entry)
        assert power == pytest.approx(load, rel=1e-6, abs=1e-12)


def test_dilution_with_a_known_exchanger() -> None:
    """300 umol/s, stream entering at 30 mK: 11.8, 28 and 60 mK under 1, 20 and 100 uW, by hand."""
    by_hand = [((q / 300e-6 + 11 * 0.03**2) / 95) ** 0.5 for q in (1e-6, 20e-6, 100e-6)]
    found = cold.dilution_temperature(np.array([1e-6, 20e-6, 100e-6]), 300e-6, exchanger_temperature=0.03)
    np.testing.assert_allclose(found, by_hand, rtol=1e-12)
    np.testing.assert_allclose(np.round(found * 1e3, 1), [11.8, 28.4, 60.1], atol=0.06)
    assert cold.dilution_base_temperature(1.0) == pytest.approx(0.340, abs=0.0005)
    assert isnan(cold.dilution_temperature(1.0, 300e-6))


def test_circulation_limits() -> None:
    """A still at 0.7 K needs about 30 mW for 1 mmol/s (common practice); the pump carries p S/(R T)."""
    assert cold.circulation_from_still(30e-3) == pytest.approx(1e-3, rel=0.15)
    assert cold.circulation_from_pump(10.0, 0.1) == pytest.approx(10 * 0.1 / (8.314462618 * 295))
    assert cold.dilution_circulation(400e-6) == pytest.approx(476e-6, rel=0.002)


def test_paramagnet_entropy_is_the_derivative_of_its_free_energy() -> None:
    """-dF/dT of independent levels summed one by one."""
    spin, total = 2.5, np.hypot(0.5, 0.05)
    levels = 2 * 9.2740100657e-24 / 1.380649e-23 * total * np.arange(-spin, spin + 1)
    for temperature in (0.1, 0.5, 2.0, 50.0):
        weights = np.exp(-(levels - levels.min()) / temperature)
        weights /= weights.sum()
        expected = -8.314462618 * np.sum(weights * np.log(weights))
        assert cold.paramagnet_entropy(temperature, 0.5) == pytest.approx(expected, rel=1e-9)


def test_demagnetisation_is_isentropic_and_holds() -> None:
    """The formula for the final temperature keeps the entropy; a larger load holds shorter."""
    end = cold.demagnetised_temperature(1.5, 2.0)
    assert cold.paramagnet_entropy(end, 0.0) == pytest.approx(cold.paramagnet_entropy(1.5, 2.0), rel=1e-9)
    times = cold.demagnetisation_hold_time(np.array([0.0, 1e-7, 1e-6]), 0.2, 0.1, 1.5, 4.0)
    assert times[0] == inf
    assert times[1] == pytest.approx(10 * times[2])
    assert cold.demagnetisation_hold_time(1e-6, 0.2, 0.01, 4.0, 1.0) == 0


@few
@given(part=st.floats(0.0, 1.0))
def test_closed_cycle_line(part: float) -> None:
    """Base at no load, rated temperature at rated load, nan beyond."""
    stage = (2.8, 1.5, 4.2)
    temperature = cold.closed_cycle_temperature(part * 1.5, *stage)
    assert 2.8 <= temperature <= 4.2 + 1e-12
    assert cold.closed_cycle_power(temperature, *stage) == pytest.approx(part * 1.5, abs=1e-9)
    assert isnan(cold.closed_cycle_temperature(1.6, *stage))
    assert cold.closed_cycle_power(2.0, *stage) == 0
    assert isnan(cold.closed_cycle_power(5.0, *stage))
