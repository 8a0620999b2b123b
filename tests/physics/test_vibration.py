"""Criterion curves, sine conversions and what motion does."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.constants import electron_mass, electron_volt, hbar

from triage.physics import vibration


def test_criteria_halve_from_one_to_the_next() -> None:
    """Each class allows half of the one before (Gordon1991, Amick2005), to the rounding of VC-E (3.12)."""
    values = np.array(list(vibration.CRITERIA.values()))

    np.testing.assert_allclose(values[1:] / values[:-1], 0.5, rtol=0.002)


@pytest.mark.parametrize("criterion", list(vibration.CRITERIA))
def test_curve_ends_where_it_is_not_defined(criterion: str) -> None:
    """Nothing above 80 Hz, nothing below 1 Hz, and below 4 Hz only from VC-C on."""
    assert np.isnan(vibration.criterion_velocity(criterion, 81.0))
    assert np.isnan(vibration.criterion_velocity(criterion, 0.9))
    relaxed = criterion in vibration.RELAXED_BELOW_8_HZ
    assert bool(np.isnan(vibration.criterion_velocity(criterion, 2.0))) is relaxed


@pytest.mark.parametrize("criterion", ["office", "VC-A", "VC-B"])
def test_acceleration_is_constant_from_4_to_8_hertz(criterion: str) -> None:
    """Relaxed curves keep one acceleration there."""
    f = np.linspace(4.0, 8.0, 9)
    acceleration = vibration.sine_acceleration(vibration.criterion_velocity(criterion, f), f)

    np.testing.assert_allclose(acceleration, acceleration[0])


@settings(max_examples=30, deadline=None)
@given(velocity=st.floats(1e-7, 2e-3), frequency=st.floats(8.0, 80.0))
def test_strictest_criterion_is_met_and_the_next_is_not(velocity: float, frequency: float) -> None:
    """The curve returned holds the vibration, the following one does not."""
    names = list(vibration.CRITERIA)
    found = vibration.strictest_criterion(velocity, frequency)

    index = -1 if found is None else names.index(found)
    assert index < 0 or velocity <= vibration.CRITERIA[names[index]]
    assert index + 1 == len(names) or velocity > vibration.CRITERIA[names[index + 1]]


def test_strictest_criterion_below_4_hertz_uses_the_curves_that_reach_there() -> None:
    """At 1.4 Hz 31 um/s meets no defined curve; 5 um/s meets VC-D."""
    assert vibration.strictest_criterion(31e-6, 1.4) is None
    assert vibration.strictest_criterion(5e-6, 1.4) == "VC-D"


@settings(max_examples=30, deadline=None)
@given(x=st.floats(1e-12, 1e-3), f=st.floats(0.1, 1e4))
def test_sine_conversions_are_the_derivatives_of_a_sine(x: float, f: float) -> None:
    """Velocity and acceleration are numerical derivatives of x sin(2 pi f t)."""
    t = np.linspace(0.0, 1.0 / f, 4001)
    motion = x * np.sin(2 * np.pi * f * t)
    velocity = np.gradient(motion, t)

    assert vibration.sine_velocity(x, f) == pytest.approx(np.abs(velocity).max(), rel=1e-4)
    acceleration = np.abs(np.gradient(velocity, t)[2:-2]).max()
    assert vibration.sine_acceleration(vibration.sine_velocity(x, f), f) == pytest.approx(acceleration, rel=1e-4)
    assert vibration.sine_displacement(vibration.sine_velocity(x, f), f) == pytest.approx(x)


def test_gap_follows_far_below_peaks_at_and_saturates_above_resonance() -> None:
    """(f/f0)^2 below, Q at resonance, 1 far above (DenHartog1956)."""
    f = np.array([1.0, 1000.0, 1e7])

    np.testing.assert_allclose(vibration.gap_modulation(1.0, f, 1000.0, 30.0), [1e-6, 30.0, 1.0], rtol=1e-4)


@settings(max_examples=30, deadline=None)
@given(barrier=st.floats(1.0, 6.0), gap=st.floats(-50e-12, 50e-12))
def test_tunnelling_current_follows_the_decay_constant(barrier: float, gap: float) -> None:
    """Two gaps in sequence multiply, and the slope at no change is 2 kappa with the constants of scipy."""
    energy = barrier * electron_volt
    once = 1 + vibration.tunnelling_sensitivity(gap, energy)

    assert 1 + vibration.tunnelling_sensitivity(2 * gap, energy) == pytest.approx(once**2)
    kappa = (2 * electron_mass * energy) ** 0.5 / hbar
    assert vibration.tunnelling_sensitivity(1e-15, energy) == pytest.approx(2 * kappa * 1e-15, rel=1e-4)


def test_induced_voltages_are_the_rate_of_change_of_flux() -> None:
    """A wire of a square loop that sweeps x: dPhi/dt = B l v, the same as tilting by x over the side."""
    side, x = 0.01, 1e-6
    swept = vibration.moving_wire_voltage(2.0, side, x, 50.0)

    assert vibration.tilting_loop_voltage(2.0, side**2, x / side, 50.0) == pytest.approx(swept)


@settings(max_examples=50, deadline=None)
@given(
    base=st.floats(1.0, 2.0), number=st.integers(1, 40), low=st.floats(0.1, 60.0), span=st.floats(0.0, 2.0),
    width=st.floats(0.0, 0.2),
)  # fmt: skip
def test_band_meets_the_comb_exactly_when_a_line_lies_in_it(
    base: float, number: int, low: float, span: float, width: float
) -> None:
    """Same answer as trying every line by hand."""
    high = low + span
    by_hand = any(low - width <= n * base <= high + width for n in range(1, number + 1))

    assert vibration.in_comb(low, high, base, number, width) is by_hand


def test_microphonic_current_is_linear_in_everything() -> None:
    """Twice the bias, the frequency or the change: twice the current."""
    one = vibration.microphonic_current(0.1, 100.0, 1e-15)

    assert vibration.microphonic_current(0.2, 100.0, 1e-15) == pytest.approx(2 * one)
    assert vibration.microphonic_current(0.1, 200.0, 1e-15) == pytest.approx(2 * one)
    assert vibration.microphonic_current(0.1, 100.0, 2e-15) == pytest.approx(2 * one)
    assert vibration.motion_field(100.0, 2e-9) == pytest.approx(2e-7)
