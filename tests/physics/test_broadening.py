"""Line shapes and their widths: areas, half points, exact convolutions by quadrature."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.constants import k as boltzmann
from scipy.integrate import quad
from scipy.optimize import brentq

from triage.physics import broadening
from triage.physics.occupation import fermi

unit = boltzmann


@pytest.mark.parametrize(
    ("shape", "factor"),
    [
        (lambda x: np.cosh(x / 2) ** -2 / 4, broadening.level_factor),
        (lambda x: x / np.sinh(x), broadening.metallic_factor),
        (
            lambda x: np.exp(x) * ((x - 2) * np.exp(x) + x + 2) / np.expm1(x) ** 3,
            broadening.inelastic_factor,
        ),
    ],
)
def test_factors_against_a_root_finder(shape, factor) -> None:
    """Widths over kT agree with the half points of the textbook shapes."""
    half = brentq(lambda x: shape(x) - shape(1e-3) / 2, 0.5, 8)
    np.testing.assert_allclose(2 * half, factor, rtol=1e-5)


def test_known_factors() -> None:
    """3.52549, 4.3546 and 5.4392: the three thermal widths of the trade."""
    np.testing.assert_allclose(broadening.level_factor, 3.52549, atol=5e-6)
    np.testing.assert_allclose(broadening.metallic_factor, 4.3546, atol=5e-5)
    np.testing.assert_allclose(broadening.inelastic_factor, 5.4392, atol=5e-5)


@pytest.mark.parametrize("kernel", [broadening.fermi_derivative, broadening.inelastic_kernel])
@pytest.mark.parametrize("temperature", [0.02, 4.2])
def test_kernels_have_unit_area(kernel, temperature: float) -> None:
    """What a kernel smears it does not create or lose."""
    x = np.linspace(-60, 60, 24001) * unit * temperature
    np.testing.assert_allclose(np.trapezoid(kernel(x, temperature), x), 1.0, rtol=1e-9)


def test_fermi_derivative_is_the_derivative() -> None:
    """-df/dE agrees with a central difference of the occupation."""
    x = np.linspace(-8, 8, 33) * unit
    step = 1e-4 * unit
    slope = (fermi(x - step, 1.0) - fermi(x + step, 1.0)) / (2 * step)
    np.testing.assert_allclose(broadening.fermi_derivative(x, 1.0), slope, rtol=1e-6)


def test_inelastic_kernel_is_the_double_smearing() -> None:
    """χ is the thermal step folded twice: second derivative of x/(e^x - 1) (LambeJaklevic1968)."""
    x = np.array([0.3, 1.0, 3.0, 6.0])
    step = 1e-3

    def rate(z):
        return z / np.expm1(z)

    second = (rate(x + step) - 2 * rate(x) + rate(x - step)) / step**2
    np.testing.assert_allclose(broadening.inelastic_shape(x), second, rtol=1e-4)


def test_inelastic_series_joins_the_full_form() -> None:
    """No step where the series near zero takes over."""
    x = np.array([0.039999, 0.040001])
    low, high = broadening.inelastic_shape(x)
    np.testing.assert_allclose(low, high, rtol=1e-6)


def test_level_peak_is_half_at_half_width() -> None:
    """Each normalised peak is 1/2 at half its width, at any temperature."""
    temperature = np.array([0.02, 0.3, 4.2])
    for peak, factor in (
        (broadening.level_peak, broadening.level_factor),
        (broadening.metallic_peak, broadening.metallic_factor),
    ):
        np.testing.assert_allclose(peak(factor / 2 * unit * temperature, temperature), 0.5, rtol=1e-9)
        np.testing.assert_allclose(peak(0.0, temperature), 1.0)


@pytest.mark.parametrize("width", [0.1, 1.0, 5.0])
@pytest.mark.parametrize("energy", [0.0, 1.0, 4.0])
def test_broadened_level_against_quadrature(width: float, energy: float) -> None:
    """The trigamma form equals the Lorentzian folded with -df/dE by quadrature."""

    def integrand(x: float) -> float:
        return np.cosh(x / 2) ** -2 / 4 * width / (2 * np.pi) / ((energy - x) ** 2 + width**2 / 4)

    expected = quad(integrand, -40, 40, points=[0, energy], limit=400, epsabs=1e-12)[0]
    found = broadening.broadened_level(energy * unit, 1.0, width * unit) * unit
    np.testing.assert_allclose(found, expected, rtol=1e-8)


@pytest.mark.parametrize("width", [0.0, 0.2, 1.0, 3.0, 10.0, 100.0])
def test_level_width_against_the_exact_line(width: float) -> None:
    """The Voigt rule is within the stated 5 % below the width of the exact line."""

    def line(x: float) -> float:
        return float(broadening.broadened_level(x * unit, 1.0, width * unit)) * unit

    half = brentq(lambda x: line(x) - line(0.0) / 2, 1e-6, 500)
    found = float(broadening.level_width(1.0, width * unit)) / unit
    assert 0.95 <= found / (2 * half) <= 1.0001


@pytest.mark.parametrize("harmonic", [1, 2, 3])
def test_modulation_against_a_modulated_step(harmonic: int) -> None:
    """Width of the nth harmonic of a kink in the current, by Fourier integral over one period."""
    phase = (np.arange(20000) + 0.5) / 20000 * np.pi
    bias = np.linspace(-1.2, 1.2, 2401)
    # A step in d^nI/dV^n smears as the kernel: take I = (V)^(n-1) θ(V), whose nth derivative is a delta.
    current = np.where(bias[:, None] + np.cos(phase) > 0, (bias[:, None] + np.cos(phase)) ** (harmonic - 1), 0.0)
    signal = np.abs((current * np.cos(harmonic * phase)).mean(axis=1))
    signal = signal / signal[1200]
    right = bias[1200:][signal[1200:] > 0.5][-1]
    np.testing.assert_allclose(broadening.modulation_width(1.0, harmonic, rms=False), 2 * right, atol=0.004)


def test_quadrature_and_its_inverse() -> None:
    """The temperature for a width gives that width back beside the other contributions."""
    other = 3.0 * unit
    temperature = broadening.temperature_for_width(5.0 * unit, other=other)
    total = broadening.combined_width(broadening.thermal_width(temperature), other)
    np.testing.assert_allclose(total, 5.0 * unit, rtol=1e-12)
    assert np.isnan(broadening.temperature_for_width(unit, other=2 * unit))


def test_shapes_broadcast_and_refuse_zero_temperature() -> None:
    """Column against row gives a table; T = 0 has no thermal shape."""
    column, row = np.linspace(-1, 1, 5)[:, None] * unit, np.array([0.1, 1.0, 0.0])
    for shape in (broadening.fermi_derivative, broadening.level_peak, broadening.inelastic_kernel):
        table = shape(column, row)
        assert table.shape == (5, 3)
        assert np.isnan(table[:, 2]).all()
        assert np.isfinite(table[:, :2]).all()
