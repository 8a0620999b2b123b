"""Noise of a current and averaging."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import signal
from scipy.constants import e, k
from scipy.stats import gamma

from triage.physics import noise


@settings(max_examples=30, deadline=None)
@given(t=st.floats(0.01, 300.0), r=st.floats(1.0, 1e12))
def test_voltage_noise_is_current_noise_times_resistance(t: float, r: float) -> None:
    """Thevenin and Norton forms agree, with the constant of scipy."""
    assert noise.johnson_voltage_noise(t, r) == pytest.approx(r * noise.johnson_current_noise(t, r))
    assert noise.johnson_current_noise(t, r) == pytest.approx((4 * k * t / r) ** 0.5)


def test_total_current_noise_goes_from_thermal_to_shot() -> None:
    """Without bias 4kT/R, far above the thermal voltage 2eI: a tunnel junction (BlanterButtiker2000)."""
    assert noise.current_noise(10.0, 4.2, 1e6, 0.0) == pytest.approx(noise.johnson_current_noise(4.2, 1e6))
    assert noise.current_noise(10.0, 0.02, 1e6, 1e-9) == pytest.approx(noise.shot_noise(1e-9), rel=1e-6)
    # At eV = 2kT the tunnel junction has coth(1) = 1.313 times the shot noise power.
    current = 2 * k * 4.2 / e / 1e6
    ratio = noise.current_noise(10.0, 4.2, 1e6, current) / noise.shot_noise(current)
    assert ratio**2 == pytest.approx(1.3130, abs=1e-4)


def test_open_channel_has_thermal_noise_only() -> None:
    """Fano factor 0 leaves 4kT/R at any bias."""
    quiet = noise.current_noise(10.0, 4.2, 1e4, 1e-6, fano=0.0)

    assert quiet == pytest.approx(noise.johnson_current_noise(4.2, 1e4))


def test_cable_capacitance_takes_over_at_high_frequency() -> None:
    """e_n omega C alone remains when it dominates, e_n/R when it does not."""
    device = noise.current_noise(0.0, 1e-3, 1e12, 0.0, 0.0, 5e-9, 1e-9)
    fast = noise.current_noise(1e5, 1e-3, 1e12, 0.0, 0.0, 5e-9, 1e-9)

    assert fast == pytest.approx(noise.capacitance_noise(5e-9, 1e5, 1e-9), rel=1e-6)
    assert device < 1e-3 * fast


@settings(max_examples=30, deadline=None)
@given(parts=st.lists(st.just(0.0) | st.floats(1e-18, 1e3), max_size=5))
def test_total_lies_between_the_largest_and_the_sum(parts: list[float]) -> None:
    """Independent noise adds in squares."""
    total = float(noise.total_noise(*parts))

    assert total >= max(parts, default=0.0) * (1 - 1e-12)
    assert total <= sum(parts) * (1 + 1e-12)


@settings(max_examples=30, deadline=None)
@given(density=st.floats(1e-16, 1e-9), wanted=st.floats(1.0, 100.0), size=st.floats(1e-15, 1e-6))
def test_averaging_time_gives_the_ratio_asked_for(density: float, wanted: float, size: float) -> None:
    """After that time the signal is the ratio times the standard deviation."""
    time = noise.averaging_time(size, density, wanted)

    assert size / noise.averaged_noise(density, time) == pytest.approx(wanted)
    assert noise.averaging_time(size, density, 2 * wanted) == pytest.approx(4 * time)


def test_no_signal_takes_for_ever() -> None:
    """Zero signal, infinite time, no warning."""
    assert noise.averaging_time(0.0, 1e-15, 10.0) == np.inf


def test_averaged_white_noise_has_the_stated_deviation() -> None:
    """Samples at f_s of a one-sided density S have variance S^2 f_s/2; their mean over t obeys the law."""
    generator = np.random.default_rng(7)
    density, rate, time = 2.0, 1000.0, 0.5
    samples = generator.normal(0.0, density * (rate / 2) ** 0.5, size=(4000, int(rate * time)))

    # 4000 means know their deviation to 1.1 %.
    assert samples.mean(axis=1).std() == pytest.approx(float(noise.averaged_noise(density, time)), rel=0.05)


@pytest.mark.parametrize("poles", [1, 2, 3, 4])
@pytest.mark.parametrize("remainder", [0.1, 0.01, 0.001])
def test_lock_in_settles_as_the_gamma_law_of_its_poles(poles: int, remainder: float) -> None:
    """The step response of n equal poles is the gamma distribution of order n."""
    assert noise.lock_in_settling(2.0, poles, remainder) == pytest.approx(2.0 * gamma.isf(remainder, poles))


@pytest.mark.parametrize("poles", [1, 2, 3, 4])
def test_lock_in_bandwidth_is_the_integral_of_its_response(poles: int) -> None:
    """Integral of |H|^2 over frequency, by scipy's frequency response."""
    omega = np.concatenate([[0.0], np.geomspace(1e-4, 1e5, 20000)])
    denominator = np.poly1d([1.0, 1.0]) ** poles
    response = np.abs(signal.freqs([1.0], denominator.coeffs, worN=omega)[1]) ** 2

    assert noise.lock_in_bandwidth(1.0, poles) == pytest.approx(np.trapezoid(response, omega) / (2 * np.pi), rel=1e-3)


def test_settling_outside_zero_to_one_is_undefined() -> None:
    """A step cannot miss more than itself."""
    assert np.all(np.isnan(noise.lock_in_settling(1.0, 4, np.array([0.0, 1.0, -1.0]))))


def test_thermal_excitation_is_the_thermal_voltage() -> None:
    """kT/e with the constants of scipy."""
    assert noise.thermal_excitation(1.5, 0.5) == pytest.approx(0.5 * k * 1.5 / e)
