"""Superconductors against direct quadrature of the theory, limits, and an independent noise solution."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.constants import e as charge
from scipy.constants import h as planck
from scipy.constants import hbar
from scipy.constants import k as boltzmann
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import iv, ive, k0, k1

from triage.physics import superconductivity as sc
from triage.physics.energy import josephson_energy, weak_coupling_ratio

width = 182.4e-6 * charge


@pytest.mark.parametrize("reduced", [0.08, 0.2, 0.45, 0.7, 0.9, 0.98, 0.999])
def test_gap_against_the_gap_equation_with_a_cutoff(reduced: float) -> None:
    """The gap solves 1/NV = ∫ tanh(E/2kT)/E dξ with a large but finite cutoff, by another route."""
    cutoff = 1e6

    def strength(gap: float, temperature: float) -> float:
        def integrand(x: float) -> float:
            energy = np.hypot(x, gap)
            return np.tanh(energy / (2 * temperature)) / energy

        edges = [0, gap + 1e-3, 1, 10, 100]
        near = sum(quad(integrand, a, b, limit=400, epsabs=1e-13)[0] for a, b in pairwise(edges))
        return near + np.arcsinh(cutoff / gap) - np.arcsinh(100 / gap)

    target = strength(1e-9, 1.0)
    zero = brentq(lambda gap: np.arcsinh(cutoff / gap) - target, 1.0, 3.0, xtol=1e-13)
    found = brentq(lambda gap: strength(gap, reduced) - target, 1e-4, 3.0, xtol=1e-12)
    np.testing.assert_allclose(zero, weak_coupling_ratio, rtol=1e-6)
    np.testing.assert_allclose(sc.gap_ratio(reduced), found / zero, rtol=1e-6, atol=1e-7)


def test_gap_limits_and_short_form() -> None:
    """1 when cold, 0 above, falling between; the short form is 1.9 % below to 0.2 % above it."""
    reduced = np.linspace(0.0, 1.2, 241)
    ratio = sc.gap_ratio(reduced)
    assert ratio[0] == 1.0
    assert (ratio[reduced >= 1] == 0).all()
    assert (np.diff(ratio) <= 0).all()
    middle = reduced[(reduced > 0.02) & (reduced < 0.999)]
    error = sc.gap_ratio_approximate(middle) / sc.gap_ratio(middle) - 1
    assert -0.0195 < error.min() < -0.0185
    assert error.max() < 0.002
    assert np.isnan(sc.gap_ratio(-0.1))


def test_quasiparticles_against_quadrature() -> None:
    """Density over 2 N0 Δ is (2/Δ)∫f dξ, and close to the usual closed form when cold."""
    for y in (2.0, 5.0, 15.0, 30.0):
        exact = 2 / y * quad(lambda x, y=y: 1 / (np.exp(np.hypot(x, y)) + 1), 0, y + 60, limit=400, epsabs=0)[0]
        found = sc.quasiparticle_fraction(width / (boltzmann * y), width)
        np.testing.assert_allclose(found, exact, rtol=1e-7)
        short = np.sqrt(2 * np.pi / y) * np.exp(-y)
        assert 0.8 < short / found < 1.0


def test_conductivities_against_bessel_functions() -> None:
    """Closed forms with K0 and I0 of scipy."""
    frequency = np.array([1e9, 5e9, 20e9])
    temperature = np.array([[0.05], [0.2], [0.4]])
    x, y = planck * frequency / (2 * boltzmann * temperature), width / (boltzmann * temperature)
    quantum = planck * frequency
    real = 4 * width / quantum * np.exp(-y) * np.sinh(x) * k0(x)
    imaginary = np.pi * width / quantum * (1 - 2 * np.exp(-y) * ive(0, x))
    np.testing.assert_allclose(sc.dissipative_conductivity(frequency, temperature, width), real, rtol=1e-8)
    np.testing.assert_allclose(sc.inductive_conductivity(frequency, temperature, width), imaginary, rtol=1e-8)


@pytest.mark.parametrize("y", [3.4, 5.3, 8.0, 12.0])
@pytest.mark.parametrize(("quantum", "tolerance"), [(0.02, 0.03), (0.1, 0.06), (0.3, 0.11)])
def test_dissipation_against_the_full_integral(y: float, quantum: float, tolerance: float) -> None:
    """σ1/σn from the integral of MattisBardeen1958, to the accuracy stated for each hf/Δ."""

    def integrand(u: float) -> float:
        energy = 1 + u * u
        other = energy + quantum
        fall = 1 / (np.exp(y * energy) + 1) - 1 / (np.exp(y * other) + 1)
        weight = (energy * other + 1) / (np.sqrt(energy + 1) * np.sqrt(other**2 - 1))
        return 2 * fall * weight

    exact = 2 / quantum * quad(integrand, 0, np.sqrt(60 / y), limit=400, epsabs=0)[0]
    found = sc.dissipative_conductivity(quantum * width / planck, width / (boltzmann * y), width)
    np.testing.assert_allclose(found, exact, rtol=tolerance)


def test_loss_is_the_ratio() -> None:
    """1/Q = α σ1/σ2, and rises steeply with temperature."""
    loss = sc.quasiparticle_loss(5e9, np.array([0.1, 0.2, 0.3]), width, 0.1)
    assert (np.diff(np.log(loss)) > 2).all()
    np.testing.assert_allclose(loss * 10, sc.quasiparticle_loss(5e9, np.array([0.1, 0.2, 0.3]), width))


def test_two_level_loss_saturates_with_power() -> None:
    """√(1 + n/nc) in the denominator, tanh in the numerator."""
    np.testing.assert_allclose(sc.two_level_loss(5e9, 0.01, 1e-5, 3.0), 0.5e-5, rtol=1e-6)


def test_critical_voltage_limits() -> None:
    """πΔ0/2e when cold, zero above the transition."""
    cold = sc.critical_voltage(np.array([0.0, 0.001]), 1.2)
    np.testing.assert_allclose(cold, np.pi * weak_coupling_ratio * boltzmann * 1.2 / (2 * charge), rtol=1e-9)
    assert sc.critical_voltage(1.3, 1.2) == 0.0
    assert np.isnan(sc.critical_voltage(0.1, 0.0))


def test_thermal_current_makes_the_coupling_equal_to_the_thermal_energy() -> None:
    """E_J(I_th) = kT."""
    np.testing.assert_allclose(josephson_energy(sc.thermal_current(0.3)), boltzmann * 0.3, rtol=1e-12)


def fokker_planck(bias: float, g: float, modes: int = 400) -> float:
    """V/IcR from the Fourier modes of the stationary phase distribution, a tridiagonal linear system."""
    n = np.arange(-modes, modes + 1)
    matrix = np.zeros((n.size, n.size), dtype=complex)
    # Stationary current: (i - sin φ) P - P'/g = constant; mode n of its derivative vanishes.
    matrix[n + modes, n + modes] = bias - 1j * n / g
    matrix[n[1:] + modes, n[1:] + modes - 1] = -1 / 2j
    matrix[n[:-1] + modes, n[:-1] + modes + 1] = 1 / 2j
    middle = matrix[modes].copy()
    right = np.zeros(n.size, dtype=complex)
    matrix[modes] = 0
    matrix[modes, modes] = right[modes] = 1
    return float((middle @ np.linalg.solve(matrix, right)).real)


@pytest.mark.parametrize("g", [0.1, 1.0, 5.0, 50.0])
@pytest.mark.parametrize("bias", [0.2, 0.8, 1.0, 1.3, 5.0])
def test_rounded_junction_against_fourier_modes(bias: float, g: float) -> None:
    """The single integral and a linear solve of the same noise problem agree."""
    temperature = float(josephson_energy(1e-6)) / boltzmann / g
    found = sc.rounded_voltage(bias * 1e-6, 1e-6, 1.0, temperature) / 1e-6
    np.testing.assert_allclose(found, fokker_planck(bias, g), rtol=1e-7, atol=1e-13)


@pytest.mark.parametrize("g", [0.1, 2.0, 20.0, 200.0])
def test_resistance_at_zero_current(g: float) -> None:
    """R/I0(g)², the closed form of AmbegaokarHalperin1969."""
    temperature = float(josephson_energy(1e-6)) / boltzmann / g
    found = sc.rounded_voltage(1e-12 / g, 1e-6, 1.0, temperature) / (1e-12 / g)
    np.testing.assert_allclose(found, np.exp(-2 * g) / ive(0, g) ** 2, rtol=1e-5)


def test_rounded_junction_limits() -> None:
    """Odd, ohmic far above, noiseless when cold, no step where the noise is dropped."""
    assert sc.rounded_voltage(-3e-6, 1e-6, 2.0, 1.0) == -sc.rounded_voltage(3e-6, 1e-6, 2.0, 1.0)
    np.testing.assert_allclose(sc.rounded_voltage(1e-4, 1e-6, 2.0, 4.2), 2e-4, rtol=1e-4)
    current = np.array([0.5, 1.2, 2.0, 10.0]) * 1e-6
    edge = float(josephson_energy(1e-6)) / boltzmann / 1000
    warm, cold = (sc.rounded_voltage(current, 1e-6, 1.0, edge * x) for x in (1.001, 0.999))
    np.testing.assert_allclose(warm, cold, rtol=2e-3, atol=1e-12)
    assert sc.rounded_voltage(current[:, None], np.ones(3) * 1e-6, 1.0, 1.0).shape == (4, 3)


def test_escape() -> None:
    """Barrier against quadrature of the tilted cosine; no plasma frequency left at the critical current."""
    i = 0.7
    start = np.arcsin(i)
    barrier = quad(lambda phase: np.sin(phase) - i, start, np.pi - start)[0] * float(josephson_energy(1e-6))
    expected = 5e9 * np.exp(-barrier / (boltzmann * 2.0))
    np.testing.assert_allclose(sc.escape_rate(1e-6, i, 5e9, 2.0), expected, rtol=1e-9)
    assert sc.plasma_frequency(1e-6, 1e-12, 1.0) == 0
    assert np.isnan(sc.plasma_frequency(1e-6, 1e-12, 1.1))
    np.testing.assert_allclose(sc.crossover_temperature(1.0), hbar / boltzmann, rtol=1e-9)
    assert sc.escape_temperature(1.0, 5e9) == 1.0


@pytest.mark.parametrize("reduced", [0.05, 0.3])
@pytest.mark.parametrize("blur", [0.01, 0.1])
@pytest.mark.parametrize("bias", [0.0, 0.5, 0.97, 1.0, 1.4])
def test_tunnel_conductance_against_quadrature(bias: float, blur: float, reduced: float) -> None:
    """Folding with -df/dE by direct quadrature, kT = 0.05 and 0.3 Δ."""

    def integrand(x: float) -> float:
        z = abs(x) - 1j * blur
        spread = np.exp(-abs(x - bias) / reduced)
        return float((z / np.sqrt(z * z - 1)).real * spread / (1 + spread) ** 2 / reduced)

    points = sorted({-1.0, -1 + blur, 0.0, 1 - blur, 1.0, 1 + blur, bias})
    exact = quad(integrand, bias - 45 * reduced, bias + 45 * reduced, points=points, limit=2000, epsabs=1e-13)[0]
    found = sc.tunnel_conductance(bias * width / charge, reduced * width / boltzmann, width, blur * width)
    np.testing.assert_allclose(found, exact, rtol=2e-5)


@pytest.mark.parametrize("y", [3.0, 7.056, 20.0, 30.0])
def test_subgap_conductance_against_bessel_sum(y: float) -> None:
    """At zero bias and Γ = 0 the fold is 2y Σ (-1)^(n+1) n K1(ny); the closed form is its cold limit."""
    n = np.arange(1, 60)
    exact = 2 * y * float(np.sum(-((-1.0) ** n) * n * k1(n * y)))
    temperature = width / (boltzmann * y)
    np.testing.assert_allclose(sc.tunnel_conductance(0.0, temperature, width), exact, rtol=1e-4)
    assert 0 < 1 - sc.subgap_ratio(temperature, width) / exact < 0.45 / y


def test_tunnel_conductance_limits() -> None:
    """Bare density of states at T = 0, 1 without a gap, conserves states, broadcasts."""
    bias = np.array([0.5, 1.5]) * width / charge
    np.testing.assert_allclose(sc.tunnel_conductance(bias, 0.0, width), [0.0, 1.5 / np.sqrt(1.25)], rtol=1e-9)
    np.testing.assert_allclose(sc.tunnel_conductance(bias, 1.0, 0.0), 1.0, rtol=1e-6)
    assert sc.tunnel_conductance(bias[:, None], np.array([0.1, 0.3, 1.0]), width).shape == (2, 3)
    assert sc.density_of_states(width, width) == np.inf
    sweep = np.linspace(-30, 30, 6001) * width / charge
    surplus = np.trapezoid(sc.tunnel_conductance(sweep, 0.3, width, 0.02 * width) - 1, sweep * charge / width)
    # States pushed out of the gap reappear above it, save the tail -1/E beyond the window.
    np.testing.assert_allclose(surplus, 2 * (np.sqrt(30**2 - 1) - 30), atol=2e-3)


def test_bessel_order_zero_is_bounded() -> None:
    """The scaled I0 joins its asymptotic form without a step."""
    low, high = sc._scaled_bessel_i0(np.array([499.99, 500.01]))
    np.testing.assert_allclose([low, high], ive(0, [499.99, 500.01]), rtol=1e-7)
    np.testing.assert_allclose(sc._scaled_bessel_i0(3.0), iv(0, 3.0) * np.exp(-3), rtol=1e-9)
