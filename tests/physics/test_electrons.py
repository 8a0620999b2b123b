"""Electron temperature: inverses, scaling, and a diffusive wire solved as a heat equation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants
from scipy.integrate import solve_bvp

from triage.physics import electrons

warmth = st.floats(1e-3, 10.0)


@given(warmth, warmth, st.sampled_from([electrons.lead_cooled, electrons.phonon_cooled]))
def test_never_colder_than_either(bath: float, saturation: float, exponent: float) -> None:
    """T_e lies between the larger of bath and saturation and 2^(1/n) times that."""
    found = electrons.electron_temperature(bath, saturation, exponent)
    larger = max(bath, saturation)
    assert larger * (1 - 1e-12) <= found <= larger * 2 ** (1 / exponent) * (1 + 1e-12)


@given(warmth, st.floats(0.3, 3.0), st.sampled_from([2.0, 5.0]))
def test_inverses(bath: float, ratio: float, exponent: float) -> None:
    """Bath and saturation come back from the electron temperature."""
    saturation = bath * ratio
    hot = electrons.electron_temperature(bath, saturation, exponent)
    np.testing.assert_allclose(electrons.bath_for_electrons(hot, saturation, exponent), bath, rtol=1e-9)
    np.testing.assert_allclose(electrons.saturation_from_measurement(hot, bath, exponent), saturation, rtol=1e-9)


def test_impossible_requests_give_nan() -> None:
    """No stage is cold enough where the loom alone is warmer; nor are negative inputs met."""
    assert np.isnan(electrons.bath_for_electrons(0.02, 0.025))
    assert electrons.bath_for_electrons(0.025, 0.025) == 0.0
    assert np.isnan(electrons.electron_temperature(-0.1, 0.02))
    assert np.isnan(electrons.island_temperature(-1e-15, 0.1, 1e-20, 2e9))
    assert np.isnan(electrons.dissipated_power(1e-6, 0.0))
    assert electrons.electron_temperature(0.0, 0.0) == 0.0


@given(st.floats(1e-21, 1e-9), st.floats(1e-3, 1.0), st.floats(1e-22, 1e-15))
def test_island_power_and_temperature_are_inverse(power: float, phonons: float, volume: float) -> None:
    """The heat that leaves at the temperature found is the heat that came in."""
    hot = electrons.island_temperature(power, phonons, volume, 2e9)
    scale = 2e9 * volume * hot**5
    np.testing.assert_allclose(electrons.island_power(hot, phonons, volume, 2e9), power, atol=1e-9 * scale)


@pytest.mark.parametrize("voltage", [0.0, 5e-6, 1e-3])
def test_wire_against_the_heat_equation(voltage: float) -> None:
    """Middle of a wire with L0 d²(T²)/dx² /2 = -(V/L)², solved as a boundary value problem."""
    lorenz = np.pi**2 / 3 * (constants.k / constants.e) ** 2
    bath = 0.05
    source = 2 * voltage**2 / lorenz

    def slope(x, y):
        return np.vstack([y[1], np.full_like(x, -source)])

    def ends(left, right):
        return np.array([left[0] - bath**2, right[0] - bath**2])

    x = np.linspace(0, 1, 11)
    solution = solve_bvp(slope, ends, x, np.full((2, 11), bath**2))
    np.testing.assert_allclose(electrons.wire_temperature(bath, voltage), np.sqrt(solution.sol(0.5)[0]), rtol=1e-6)


def test_excitation_limits() -> None:
    """kT/e, and the current that makes it."""
    np.testing.assert_allclose(
        electrons.excitation_current_limit(0.3, 50.0) * 50.0, electrons.excitation_limit(0.3), rtol=1e-12
    )
    np.testing.assert_allclose(electrons.excitation_limit(1.0), constants.k / constants.e, rtol=1e-12)
    power = electrons.dissipated_power(electrons.excitation_limit(0.1), 1e5)
    np.testing.assert_allclose(power, (constants.k * 0.1 / constants.e) ** 2 / 1e5, rtol=1e-12)


def test_arrays_broadcast() -> None:
    """Stages down, looms across."""
    table = electrons.electron_temperature(np.array([[0.01], [0.3], [4.2]]), np.array([0.025, 0.1]))
    assert table.shape == (3, 2)
    assert (np.diff(table, axis=0) > 0).all()
