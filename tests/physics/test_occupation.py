"""Populations: sums over states, inverses, and a chain of attenuators against its closed form."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import h as planck
from scipy.constants import k as boltzmann
from scipy.special import expit

from triage.physics import occupation

ratios = st.floats(1e-3, 300)


@given(ratios)
def test_filled_and_empty_make_one(ratio: float) -> None:
    """f(E) + f(-E) = 1, and f is the logistic function of scipy."""
    up, down = occupation.fermi(np.array([ratio, -ratio]) * boltzmann, 1.0)
    np.testing.assert_allclose(up + down, 1.0)
    np.testing.assert_allclose(up, expit(-ratio), rtol=1e-12)


@given(ratios)
def test_polarisation_is_the_difference_of_populations(ratio: float) -> None:
    """P = p_ground - p_excited = 1 - 2 p_excited."""
    energy = ratio * boltzmann
    excited = occupation.excited_population(energy, 1.0)
    np.testing.assert_allclose(occupation.two_level_polarisation(energy, 1.0), 1 - 2 * excited, atol=1e-12)


def test_mean_number_against_the_sum_over_states() -> None:
    """Bose's mean is Σ n e^(-nx)/Σ e^(-nx)."""
    for x in (0.05, 0.5, 3.0):
        n = np.arange(2000)
        weight = np.exp(-n * x)
        np.testing.assert_allclose(occupation.bose(x * boltzmann, 1.0), (n * weight).sum() / weight.sum(), rtol=1e-9)


@given(st.floats(1e-9, 0.49))
def test_inverses(error: float) -> None:
    """Ratio for an error, temperature for a population and for a photon number return."""
    ratio = occupation.ratio_for_tail_error(error)
    np.testing.assert_allclose(occupation.readout_tail_error(ratio * boltzmann, 1.0), error, rtol=1e-9)
    energy = planck * 5e9
    warm = occupation.temperature_for_population(energy, error)
    np.testing.assert_allclose(occupation.excited_population(energy, warm), error, rtol=1e-9)
    warm = occupation.temperature_of_photons(5e9, error)
    np.testing.assert_allclose(occupation.thermal_photons(5e9, warm), error, rtol=1e-9)


def test_limits_at_zero_temperature() -> None:
    """Full below, empty above, half at the Fermi level cannot be said."""
    assert occupation.fermi(-1e-23, 0.0) == 1.0
    assert occupation.fermi(1e-23, 0.0) == 0.0
    assert occupation.thermal_photons(5e9, 0.0) == 0.0
    assert occupation.two_level_polarisation(1e-23, 0.0) == 1.0
    assert np.isnan(occupation.fermi(1e-23, -1.0))
    assert np.isnan(occupation.ratio_for_tail_error(0.6))


def test_attenuators_at_one_temperature_are_one_attenuator() -> None:
    """Three stages in equilibrium act as their sum; a line in equilibrium stays so."""
    split = occupation.attenuated_photons(6e9, 300.0, np.array([10.0, 3.0, 7.0]), np.array([4.0, 4.0, 4.0]))
    whole = occupation.attenuated_photons(6e9, 300.0, np.array([20.0]), np.array([4.0]))
    np.testing.assert_allclose(split, whole, rtol=1e-12)
    still = occupation.attenuated_photons(6e9, 4.0, np.array([10.0, 20.0]), np.array([4.0, 4.0]))
    np.testing.assert_allclose(still, occupation.thermal_photons(6e9, 4.0), rtol=1e-12)


def test_attenuator_chain_broadcasts() -> None:
    """Frequencies along one axis, alternative chains along another, stages last."""
    chains = np.array([[20.0, 20.0, 20.0], [0.0, 20.0, 40.0]])[:, None, :]
    found = occupation.attenuated_photons(np.array([4e9, 6e9, 8e9]), 300.0, chains, np.array([4.0, 0.1, 0.02]))
    assert found.shape == (2, 3)
    assert (found[:, 0] > found[:, 2]).all()
