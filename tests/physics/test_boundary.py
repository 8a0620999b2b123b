"""Thermal boundaries and the time to come to temperature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.physics import boundary

stages = st.floats(0.01, 1.0)
rises = st.floats(0.002, 0.5)


@settings(max_examples=30, deadline=None)
@given(stage=stages, rise=rises)
def test_power_and_temperature_are_inverse(stage: float, rise: float) -> None:
    """The power that gives a rise gives back that rise."""
    power = boundary.boundary_power(rise, 25e-6, stage)

    assert boundary.boundary_temperature(power, 25e-6, stage) == pytest.approx(stage + rise)


@settings(max_examples=30, deadline=None)
@given(stage=stages)
def test_small_rise_is_power_over_conductance(stage: float) -> None:
    """For a small power the fourth-power law is the conductance A T^3/r."""
    conductance = boundary.boundary_conductance(25e-6, stage)
    power = conductance * stage * 1e-4

    rise = boundary.boundary_temperature(power, 25e-6, stage) - stage
    assert rise == pytest.approx(power / conductance, rel=1e-3)


def test_boundary_resistance_grows_eightfold_per_halved_temperature() -> None:
    """R goes as T^-3 (SwartzPohl1989)."""
    ratio = boundary.boundary_conductance(1e-4, 0.1) / boundary.boundary_conductance(1e-4, 0.05)

    assert ratio == pytest.approx(8.0)


@pytest.mark.parametrize("side", [4e-3, 5e-3, 10e-3])
def test_glued_chip_with_a_microwatt_sits_some_tens_of_millikelvin_up(side: float) -> None:
    """20 to 140 mK above a stage at 20 mK for chips of 4 to 10 mm (common practice 20 to 100 mK)."""
    r = boundary.BOUNDARY_RESISTIVITY["glued chip"]
    rise = boundary.boundary_temperature(1e-6, side**2, 0.02, r) - 0.02

    assert 0.02 < rise < 0.14


def test_cooled_through_more_than_the_boundary_allows_is_undefined() -> None:
    """A negative power beyond A T^4/4r has no temperature."""
    assert np.isnan(boundary.boundary_temperature(-1.0, 1e-4, 0.1))
    assert np.isnan(boundary.contact_temperature(-1.0, 0.1, 0.1))


@settings(max_examples=30, deadline=None)
@given(power=st.floats(1e-9, 1e-4), stage=stages)
def test_metal_contact_conserves_the_heat(power: float, stage: float) -> None:
    """g (T^2 - Ts^2)/2 is the power put in."""
    t = boundary.contact_temperature(power, 0.1, stage)

    assert 0.1 * (t - stage) * (t + stage) / 2 == pytest.approx(power, rel=1e-6)


def test_thermalisation_takes_its_logarithms() -> None:
    """One time constant per factor e, none when already there, no answer for no difference allowed."""
    assert boundary.thermalisation_time(10.0, np.e, 1.0) == pytest.approx(10.0)
    assert boundary.thermalisation_time(10.0, 0.5, 1.0) == 0.0
    assert np.isnan(boundary.thermalisation_time(10.0, 1.0, 0.0))
    assert boundary.thermal_time_constant(6.0, 2.0) == 3.0
