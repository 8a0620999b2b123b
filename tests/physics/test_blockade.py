"""Coulomb blockade against rate equations, limits and the universal thermometer curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import e as charge
from scipy.constants import k as boltzmann

from triage.physics import blockade
from triage.physics.broadening import inelastic_factor


def transistor_current(voltage: float, gate: float, ratio: float, states: int = 30) -> float:
    """Current of a symmetric transistor from the full rate equations at finite bias, in units of G∞ E_C/e.

    Energies in E_C, bias in E_C/e; each junction has half the voltage and conductance 2 G∞.
    """

    def rate(cost: np.ndarray) -> np.ndarray:
        x = np.where(np.abs(cost) < 1e-12, 1e-12, cost) / ratio
        return 2 * ratio * x / np.expm1(x)

    n = np.arange(-states, states + 1)
    add = (n + 1 - gate) ** 2 - (n - gate) ** 2
    remove = (n - 1 - gate) ** 2 - (n - gate) ** 2
    in_left, in_right = rate(add - voltage / 2), rate(add + voltage / 2)
    out_left, out_right = rate(remove + voltage / 2), rate(remove - voltage / 2)
    weight = np.zeros(n.size)
    for i in range(n.size - 1):
        weight[i + 1] = weight[i] + np.log((in_left + in_right)[i]) - np.log((out_left + out_right)[i + 1])
    weight = np.exp(weight - weight.max())
    weight /= weight.sum()
    return float(weight @ (in_left - out_left))


@pytest.mark.parametrize("ratio", [0.15, 0.3, 1.0, 3.0, 10.0])
@pytest.mark.parametrize("gate", [0.0, 0.2, 0.5])
def test_conductance_against_rate_equations(gate: float, ratio: float) -> None:
    """The closed sum is the slope at zero bias of the current from the master equation."""
    step = 1e-3 * ratio
    slope = (transistor_current(step, gate, ratio) - transistor_current(-step, gate, ratio)) / (2 * step)
    np.testing.assert_allclose(blockade.transistor_conductance(gate, ratio), slope, rtol=2e-5)


@pytest.mark.parametrize("ratio", [5.0, 10.0, 30.0])
def test_thermometer_curve_against_rate_equations(ratio: float) -> None:
    """1 - u χ is the bias dependence of two junctions, to the next order in E_C/kT."""
    strength, step = 2 / ratio, 1e-3 * ratio
    for bias in np.array([0.0, 2.0, 5.4, 10.0]) * ratio:
        above, below = (
            transistor_current(bias + step, 0.25, ratio, 90),
            transistor_current(bias - step, 0.25, ratio, 90),
        )
        slope = (above - below) / (2 * step)
        found = blockade.thermometer_conductance(bias * boltzmann / charge / ratio, 1.0, 2, strength)
        np.testing.assert_allclose(found, slope, atol=strength**2 / 50)


def test_dip_depth_against_the_charge_sum() -> None:
    """Third-order depth: 0.1 % to u = 0.7, 3 % at u = 2, of the gate-averaged sum for two junctions."""
    gates = np.linspace(0, 1, 16, endpoint=False)

    def exact(strength: float) -> float:
        return 1 - float(np.mean(blockade.transistor_conductance(gates, 2 / strength)))

    for strength in (0.05, 0.2, 0.7):
        np.testing.assert_allclose(blockade.thermometer_dip(strength), exact(strength), rtol=1e-3)
    np.testing.assert_allclose(blockade.thermometer_dip(2.0), exact(2.0), rtol=0.03)
    assert np.isnan(blockade.thermometer_dip(3.0))


def test_warm_series_joins_the_sum() -> None:
    """No step where the sum over charges gives way to its series."""
    low, high = blockade.transistor_conductance(0.3, np.array([49.999, 50.001]))
    np.testing.assert_allclose(low, high, atol=1e-6)
    assert 0.9999 < blockade.transistor_conductance(0.0, 1e4) < 1


@given(st.floats(-3, 3), st.floats(0.03, 20))
def test_gate_period_and_symmetry(gate: float, ratio: float) -> None:
    """Period one electron, even in the gate charge, between minimum and maximum."""
    found = blockade.transistor_conductance(gate, ratio)
    np.testing.assert_allclose(found, blockade.transistor_conductance(gate + 1, ratio), rtol=1e-6)
    np.testing.assert_allclose(found, blockade.transistor_conductance(-gate, ratio), rtol=1e-6)
    assert blockade.conductance_minimum(ratio) - 1e-12 <= found <= blockade.conductance_maximum(ratio) + 1e-12


def test_contrast_falls_exponentially() -> None:
    """Between kT = 0.8 and 1.2 E_C the contrast falls as exp(-π² kT/E_C), to the power law in front."""
    low, high = blockade.oscillation_contrast(np.array([0.8, 1.2]))
    np.testing.assert_allclose(np.log(low / high), np.pi**2 * 0.4, rtol=0.08)


@given(st.floats(1e-5, 0.99))
def test_ratio_for_contrast_inverts(contrast: float) -> None:
    """The temperature for a contrast gives it back."""
    found = blockade.oscillation_contrast(blockade.ratio_for_contrast(contrast))
    np.testing.assert_allclose(found, contrast, rtol=1e-4)


def test_metallic_peak_is_the_cold_limit_of_the_sum() -> None:
    """Near degeneracy the charge sum is ½ x/sinh x (Beenakker1991)."""
    ratio, gate = 0.03, np.linspace(0.4, 0.6, 9)
    detuning = 2 * (gate - 0.5) / ratio * boltzmann
    peak = blockade.metallic_peak_conductance(detuning, 1.0, 2.0, 2.0)
    np.testing.assert_allclose(blockade.transistor_conductance(gate, ratio), peak, rtol=1e-6)


def test_thermometer_width_is_the_half_depth() -> None:
    """Half the width either side of zero the dip is half as deep, whatever N and T."""
    for junctions, temperature in ((1, 0.02), (100, 4.2)):
        half = blockade.thermometer_width(temperature, junctions) / 2
        dip = 1 - blockade.thermometer_conductance(half, temperature, junctions, 0.06)
        np.testing.assert_allclose(dip, 0.06 / 12, rtol=1e-9)
    np.testing.assert_allclose(inelastic_factor, 5.439, atol=0.0005)


def test_gate_sweep_broadcasts() -> None:
    """Gate along one axis, temperature along the other; nan where the temperature has no meaning."""
    table = blockade.transistor_conductance(np.linspace(0, 1, 7)[:, None], np.array([0.1, 1.0, 100.0, -1.0]))
    assert table.shape == (7, 4)
    assert np.isnan(table[:, 3]).all()
    assert np.isfinite(table[:, :3]).all()
