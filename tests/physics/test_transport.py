"""Transport against scipy's special functions, identities and limits."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants
from scipy.integrate import quad
from scipy.special import psi

from triage.physics import transport
from triage.physics.energy import cyclotron_energy, thouless_energy


@given(st.floats(1e-6, 1e12))
def test_digamma_against_scipy(x: float) -> None:
    """ψ agrees with scipy over eighteen decades."""
    np.testing.assert_allclose(transport.digamma(x), psi(x), rtol=1e-11, atol=1e-11)


def test_digamma_refuses_poles() -> None:
    """Nothing is returned at zero and below."""
    assert np.isnan(transport.digamma(np.array([0.0, -0.5]))).all()


def test_thermal_damping_is_the_thermal_average_of_an_oscillation() -> None:
    """X/sinh X = ∫ cos(2πE/ħω) (-df/dE) dE."""
    for temperature, field, mass in ((1.5, 2.0, 0.067), (0.3, 1.0, 0.19), (4.2, 10.0, 0.2)):
        spacing = cyclotron_energy(field, mass) / (constants.k * temperature)
        average = (
            2 * quad(lambda x, s=spacing: np.cos(2 * np.pi * x / s) / (4 * np.cosh(x / 2) ** 2), 0, 60, limit=400)[0]
        )
        np.testing.assert_allclose(transport.thermal_damping(temperature, field, mass), average, rtol=1e-7)


def test_thermal_damping_limits() -> None:
    """1 when cold, 0 in zero field."""
    assert transport.thermal_damping(0.0, 1.0, 0.1) == 1.0
    assert transport.thermal_damping(1.0, 0.0, 0.1) == 0.0
    assert transport.dingle_factor(0.0, 1.0) == 0.0


def test_activation_inverts() -> None:
    """The gap for a suppression gives that suppression."""
    gap = transport.gap_for_suppression(0.3, 1e-3)
    np.testing.assert_allclose(transport.activated_resistivity(0.3, gap, 1.0), 1e-3, rtol=1e-12)
    assert transport.hall_gap(1.0, 2.0) == 0.0


@given(st.floats(1e-9, 1e3))
def test_weak_localisation_against_scipy(field: float) -> None:
    """Unit e²/πh and the digamma of scipy; parabola in small fields, where the difference cancels."""
    length = 1e-6
    ratio = constants.hbar / (4 * constants.e * length**2 * field)
    unit = constants.e**2 / (np.pi * constants.h)
    found = transport.weak_localisation(field, length) / unit
    if ratio < 1e3:
        np.testing.assert_allclose(found, psi(0.5 + ratio) - np.log(ratio), rtol=1e-7, atol=1e-12)
    else:
        np.testing.assert_allclose(found, 1 / (24 * ratio**2), rtol=1e-5)


def test_weak_localisation_limits() -> None:
    """Zero in zero field, even in field, half and opposite for antilocalisation."""
    field = np.array([-0.01, 0.0, 0.01])
    found = transport.weak_localisation(field, 1e-6)
    assert found[1] == 0.0
    assert found[0] == found[2] > 0
    np.testing.assert_allclose(transport.weak_localisation(field, 1e-6, -0.5), -found / 2)


def test_thermal_length_is_where_the_thouless_energy_is_thermal() -> None:
    """ħD/L_T² = kT."""
    length = transport.thermal_length(0.01, 0.3)
    np.testing.assert_allclose(thouless_energy(0.01, length), constants.k * 0.3, rtol=1e-12)


def test_interference_goes_as_the_inverse_root_of_temperature() -> None:
    """T^(-1/2) above the Thouless energy, constant below it."""
    thouless = constants.k * 0.1
    high, low = transport.interference_amplitude(np.array([0.4, 1.6]), thouless, 1e-6, 1e-6)
    np.testing.assert_allclose(high / low, 2.0)
    cold = transport.interference_amplitude(np.array([0.01, 0.05]), thouless, 0.0, 1e-6)
    np.testing.assert_allclose(cold, constants.e**2 / constants.h, rtol=1e-9)


@given(st.floats(0.15, 0.3), st.floats(1e-3, 100))
def test_kondo_conductance_is_half_at_its_temperature(exponent: float, scale: float) -> None:
    """By construction G(T_K) = G0/2, whatever the exponent."""
    np.testing.assert_allclose(transport.kondo_conductance(scale, scale, 2.0, exponent), 1.0, rtol=1e-9)


def test_plateaus_and_their_smearing() -> None:
    """Integer steps when cold; the slope between plateaus is at most 1/4kT per level."""
    levels = np.array([1.0, 3.0, 5.0]) * 1e-22
    sweep = np.linspace(0, 6e-22, 7)[:, None]
    found = transport.quantised_conductance(sweep, np.array([0.01, 1.0]), levels) * constants.h / (2 * constants.e**2)
    np.testing.assert_allclose(found[:, 0], [0, 0.5, 1, 1.5, 2, 2.5, 3], atol=1e-9)
    assert found.shape == (7, 2)
    fine = np.linspace(0, 6e-22, 4001)
    slope = np.gradient(transport.quantised_conductance(fine, 0.5, levels), fine).max()
    unit = 2 * constants.e**2 / constants.h
    np.testing.assert_allclose(slope, unit / (4 * constants.k * 0.5), rtol=1e-3)


def test_swing_limits() -> None:
    """Boltzmann when warm, the band tail when cold, never below either."""
    tail = 3e-3 * constants.e
    temperature = np.array([0.1, 4.2, 35.0, 300.0])
    swing = transport.subthreshold_swing(temperature, tail)
    bare = transport.subthreshold_swing(temperature)
    floor = np.log(10) * 3e-3
    assert (swing >= np.maximum(bare, floor) * (1 - 1e-9)).all()
    np.testing.assert_allclose(swing[[0, 3]], [floor, bare[3]], rtol=1e-3)
    np.testing.assert_allclose(
        transport.subthreshold_swing(10.0, tail, 1.3), 1.3 * transport.subthreshold_swing(10.0, tail)
    )


def test_hall_identities() -> None:
    """1/(e n) is the slope, and mobility is n e µ = 1/R."""
    density, mobility = transport.hall_density(-500.0), transport.hall_mobility(-500.0, 50.0)
    np.testing.assert_allclose(1 / (constants.e * density * mobility), 50.0, rtol=1e-9)
    assert np.isnan(transport.hall_density(0.0))


def test_heat_quantum_obeys_wiedemann_franz() -> None:
    """π²k²T/3h is the Lorenz number times e²/h times T."""
    lorenz = np.pi**2 / 3 * (constants.k / constants.e) ** 2
    np.testing.assert_allclose(
        transport.thermal_conductance_quantum(0.7), lorenz * constants.e**2 / constants.h * 0.7, rtol=1e-9
    )
