"""Single-electron currents: detailed balance, limits, slopes and an independent solution."""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.constants import Boltzmann, e
from scipy.integrate import quad
from scipy.linalg import null_space

from triage.physics.blockade import level_peak_conductance, transistor_conductance
from triage.physics.broadening import broadened_level
from triage.physics.tunnelling import broadened_occupation, dot_current, island_current, orthodox_rate

E_C = 3e-3 * e


class TestRates:
    """The two elementary functions."""

    @given(st.floats(-30, 30), st.floats(0.01, 100))
    def test_detailed_balance(self, reduced: float, temperature: float) -> None:
        """Forward over backward is exp(ΔE/kT)."""
        gain = reduced * Boltzmann * temperature
        forward, backward = (float(orthodox_rate(sign * gain, temperature, 1e-6)) for sign in (1, -1))
        assert forward / backward == pytest.approx(np.exp(reduced), rel=1e-9)

    def test_difference_of_rates_is_ohm(self) -> None:
        """Net flow through one junction is G V/e at any temperature."""
        gain = np.linspace(-5, 5, 11) * 1e-22
        net = orthodox_rate(gain, 1.0, 1e-6) - orthodox_rate(-gain, 1.0, 1e-6)
        np.testing.assert_allclose(net, 1e-6 * gain / e**2, rtol=1e-9, atol=1e-3)

    @pytest.mark.parametrize("energy", [-3.0, 0.0, 0.7, 5.0])
    def test_occupation_is_the_convolution(self, energy: float) -> None:
        """Numerical integral of Fermi times Lorentzian."""
        width = 1.3

        def inside(x: float) -> float:
            return width / (2 * np.pi) / (x**2 + width**2 / 4) / (1 + np.exp(np.clip(energy + x, -700, 700)))

        area = quad(inside, -np.inf, -1e3)[0] + quad(inside, -1e3, 1e3, points=[0.0, -energy], limit=400)[0]
        area += quad(inside, 1e3, np.inf)[0]
        assert float(broadened_occupation(energy * Boltzmann, 1.0, width * Boltzmann)) == pytest.approx(area, abs=1e-7)

    def test_slope_is_the_broadened_level(self) -> None:
        energy = np.linspace(-8, 8, 2001) * Boltzmann
        slope = -np.gradient(np.asarray(broadened_occupation(energy, 1.0, Boltzmann)), energy)
        np.testing.assert_allclose(slope[5:-5], broadened_level(energy, 1.0, Boltzmann)[5:-5], rtol=1e-4)

    def test_no_meaning_below_zero(self) -> None:
        assert np.isnan(orthodox_rate(1e-22, -1.0, 1e-6))
        assert np.isnan(dot_current(0.5, 1e-3, 0.0, E_C, 1e9, 1e9))


class TestIsland:
    """The metallic island against linear response and against a matrix solved whole."""

    @pytest.mark.parametrize("ratio", [0.1, 0.3, 1.0, 3.0])
    @pytest.mark.parametrize("gate", [0.0, 0.2, 0.5, 1.3])
    def test_linear_response(self, ratio: float, gate: float) -> None:
        """Small bias gives the zero-bias charge sum."""
        temperature = ratio * E_C / Boltzmann
        bias = 1e-4 * Boltzmann * temperature / e
        current = island_current(gate, bias, temperature, E_C, 1e-6, 1e-6, states=24)
        assert current / bias == pytest.approx(float(transistor_conductance(gate, ratio)) * 0.5e-6, rel=1e-5)

    def test_against_the_null_space_of_the_rate_matrix(self) -> None:
        """Asymmetric junctions, finite bias, both capacitances different."""
        gate, bias, temperature, share, states = 0.31, 3.1e-3, 3.0, 0.35, 12
        source, drain = 1e-6, 0.2e-6
        charges = np.arange(states) - (states // 2 - 1)
        matrix, through = np.zeros((states, states)), np.zeros((states, states))
        for step in range(states - 1):
            cost = 2 * E_C * (charges[step] + 0.5 - gate) + share * e * bias
            for lead, conductance, counts in ((e * bias, source, 1), (0.0, drain, 0)):
                up = float(orthodox_rate(lead - cost, temperature, conductance))
                down = float(orthodox_rate(cost - lead, temperature, conductance))
                matrix[step + 1, step] += up
                matrix[step, step + 1] += down
                through[step + 1, step] += counts * up
                through[step, step + 1] -= counts * down
        weight = null_space(matrix - np.diag(matrix.sum(axis=0)), rcond=1e-13)[:, 0]
        weight /= weight.sum()
        current = island_current(gate, bias, temperature, E_C, source, drain, share, states)
        assert current == pytest.approx(e * (through @ weight).sum(), rel=1e-9)

    @settings(max_examples=40)
    @given(st.floats(-2, 2), st.floats(-8e-3, 8e-3), st.floats(0.2, 20))
    def test_period_of_one_electron_and_odd_in_bias(self, gate: float, bias: float, temperature: float) -> None:
        one = float(island_current(gate, bias, temperature, E_C, 1e-6, 2e-6, states=20))
        next_one = float(island_current(gate + 1, bias, temperature, E_C, 1e-6, 2e-6, states=20))
        mirrored = float(island_current(-gate, -bias, temperature, E_C, 1e-6, 2e-6, states=20))
        assert next_one == pytest.approx(one, rel=1e-6, abs=1e-18)
        assert mirrored == pytest.approx(-one, rel=1e-6, abs=1e-18)

    def test_no_current_without_bias(self) -> None:
        gate = np.linspace(0, 2, 21)
        assert np.abs(island_current(gate, 0.0, 1.0, E_C, 1e-6, 3e-6)).max() < 1e-22


class TestDot:
    """Quantum levels: Beenakker's peak, e Γ plateaus, blockade, slopes, excited lines."""

    def test_peak_of_linear_response(self) -> None:
        """(e²/4kT) Γ1Γ2/(Γ1+Γ2) cosh⁻²(δ/2kT)."""
        temperature, bias = 0.3, 1e-9
        gate = 0.5 + np.linspace(-4, 4, 41) * Boltzmann * temperature / (2 * E_C)
        measured = dot_current(gate, bias, temperature, E_C, 1e9, 3e9) / bias
        wanted = level_peak_conductance((gate - 0.5) * 2 * E_C, temperature, 1e9, 3e9)
        np.testing.assert_allclose(measured, wanted, rtol=1e-4)

    def test_current_steps_are_quantised_in_rates(self) -> None:
        """One level: e Γ1Γ2/(Γ1+Γ2). An excited state in the window opens the entrance: e 2Γ1Γ2/(2Γ1+Γ2)."""
        first, second, excited = 1e9, 3e9, 0.6e-3 * e
        ground = float(dot_current(0.5, 0.8e-3, 0.02, E_C, first, second, (excited,)))
        both = float(dot_current(0.5, 1.6e-3, 0.02, E_C, first, second, (excited,)))
        assert ground == pytest.approx(e * first * second / (first + second), rel=1e-6)
        # Entering: ground or excited; leaving the relaxed dot: to the ground or the excited state below.
        assert both == pytest.approx(e * 2 * first * 2 * second / (2 * first + 2 * second), rel=1e-6)

    def test_blockade_is_empty_in_the_cold(self) -> None:
        bias = np.linspace(-0.4, 0.4, 9) * 2 * E_C / e
        current = np.abs(dot_current(0.0, bias, 0.3, E_C, 1e9, 1e9))
        assert current.max() < 1e-12 * e * 1e9

    def test_edges_have_the_slopes_of_the_capacitances(self) -> None:
        """e²/C per electron: edges at eV = 2E_C(1/2 - n)/(1 - s) and eV = -2E_C(1/2 - n)/s."""
        share = 0.4
        bias = np.linspace(-2.2, 2.2, 4401) * E_C / e
        for gate in (0.2, 0.35):
            conductance = np.gradient(np.asarray(dot_current(gate, bias, 0.2, E_C, 1e9, 1e9, (), share)), bias)
            up = bias > 0
            distance = 2 * E_C * (0.5 - gate) / e
            assert bias[up][conductance[up].argmax()] == pytest.approx(distance / (1 - share), rel=0.01)
            assert bias[~up][conductance[~up].argmax()] == pytest.approx(-distance / share, rel=0.01)

    def test_height_of_a_diamond_is_the_addition_energy(self) -> None:
        """At the middle of a valley with equal capacitances current starts at eV = 2E_C."""
        bias = np.linspace(0, 3, 6001) * E_C / e
        conductance = np.gradient(np.asarray(dot_current(0.0, bias, 0.2, E_C, 1e9, 1e9)), bias)
        assert bias[conductance.argmax()] == pytest.approx(2 * E_C / e, rel=0.01)

    def test_excited_line_lies_its_energy_above_the_edge(self) -> None:
        excited, share = 0.8e-3 * e, 0.5
        bias = np.linspace(0.05, 1.2, 4001) * E_C / e
        conductance = np.gradient(np.asarray(dot_current(0.5, bias, 0.1, E_C, 1e9, 1e9, (excited,), share)), bias)
        assert bias[conductance.argmax()] == pytest.approx(excited / (1 - share) / e, rel=0.01)

    def test_equilibrium_carries_nothing(self) -> None:
        gate = np.linspace(-1, 2, 61)
        current = dot_current(gate, 0.0, 2.0, E_C, 1e9, 5e9, (0.3 * E_C, 0.7 * E_C))
        assert np.abs(current).max() < 1e-12 * e * 1e9

    def test_barriers_exchanged_mirror_the_current(self) -> None:
        gate, bias = np.linspace(0, 1, 11)[:, None], np.linspace(-5e-3, 5e-3, 21)
        one = dot_current(gate, bias, 1.0, E_C, 1e9, 4e9, (0.4 * E_C,), 0.3)
        other = dot_current(gate, -bias, 1.0, E_C, 4e9, 1e9, (0.4 * E_C,), 0.7)
        np.testing.assert_allclose(one, -other, rtol=1e-6, atol=1e-20)

    def test_lifetime_adds_to_the_width(self) -> None:
        """At the degeneracy the conductance of a broad level is lower, by the ratio of its shape to the sharp one."""
        temperature, bias = 0.3, 1e-8
        width = 3 * Boltzmann * temperature
        broad = dot_current(0.5, bias, temperature, E_C, 1e9, 1e9, width=width) / bias
        sharp = dot_current(0.5, bias, temperature, E_C, 1e9, 1e9) / bias
        shape = broadened_level(0.0, temperature, width) / broadened_level(0.0, temperature, 0.0)
        assert broad / sharp == pytest.approx(float(shape), rel=2e-3)

    @pytest.mark.parametrize("width", [0.0, 0.02])
    def test_a_map_takes_less_than_a_second(self, width: float) -> None:
        """200 × 200, eight charge states, two excited states, one core."""
        gate, bias = np.linspace(-0.25, 2.25, 200), np.linspace(-8e-3, 8e-3, 200)[:, None]
        begun = time.process_time()
        current = dot_current(gate, bias, 1.5, E_C, 1e9, 3e9, (0.5 * E_C, 0.9 * E_C), 0.4, width * E_C)
        assert time.process_time() - begun < 1.0
        assert np.isfinite(current).all()
