"""Widths, heights and ratios read off the computed curves against what is printed elsewhere."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.constants import Boltzmann, e, h, physical_constants
from scipy.integrate import quad
from scipy.special import digamma, i0, iv

from triage.measurements.curves import Curve, expected
from triage.measurements.curves.superconducting import noisy_voltage, smeared_spectrum
from triage.physics.superconductivity import gap, rounded_voltage, tunnel_conductance

MILLI = 1e-3 * e
MU_B = physical_constants["Bohr magneton"][0]


def full_width(x: np.ndarray, line: np.ndarray, *, dip: bool = False) -> float:
    """Full width at half height of the highest top (or lowest dip), between the crossings beside it."""
    line = (line.max() - line) if dip else line
    top = int(line.argmax())
    half = line[top] / 2
    right = top + int(np.argmax(line[top:] < half))
    left = top - int(np.argmax(line[top::-1] < half))

    def cross(a: int, b: int) -> float:
        return float(x[a] + (half - line[a]) / (line[b] - line[a]) * (x[b] - x[a]))

    return cross(right - 1, right) - cross(left + 1, left)


def at(curve: Curve, place: float, row: int = 0) -> float:
    return float(np.interp(place, curve.x.values, curve.lines[row]))


class TestWidths:
    """Constants of thermal broadening: 3.53, 4.35 and 5.44 kT (Beenakker 1991, Lambe 1968, Pekola 1994)."""

    @pytest.mark.parametrize("temperature", [0.02, 0.1, 0.3])
    def test_level_peak(self, temperature: float) -> None:
        curve = expected("coulomb-peaks", {"addition_energy": 4 * MILLI}, [temperature], 8001)
        middle = np.abs(curve.x.values) < 1.9 * MILLI
        measured = full_width(curve.x.values[middle], curve.lines[0, middle])
        assert measured == pytest.approx(3.5255 * Boltzmann * temperature, rel=2e-4)
        assert curve.widths is not None
        assert curve.widths[0] == pytest.approx(measured, rel=2e-4)

    def test_level_peak_on_the_gate(self) -> None:
        """Lever arm 0.1 and 100 mK give a peak 0.30 mV wide (catalogue check)."""
        curve = expected("coulomb-peaks", {"addition_energy": 4 * MILLI, "lever_arm": 0.1}, [0.1], 8001)
        middle = np.abs(curve.x.values) < 19e-3
        assert full_width(curve.x.values[middle], curve.lines[0, middle]) == pytest.approx(0.30e-3, abs=0.005e-3)

    def test_lifetime_limit(self) -> None:
        """A fast dot in the cold is a Lorentzian as wide as ħΓ."""
        rate = 1e11
        curve = expected("coulomb-peaks", {"addition_energy": 20 * MILLI, "tunnel_rate": rate}, [1e-3], 8001)
        middle = np.abs(curve.x.values) < 9 * MILLI
        measured = full_width(curve.x.values[middle], curve.lines[0, middle])
        assert measured == pytest.approx(h / (2 * np.pi) * rate, rel=0.002)

    def test_metallic_peak(self) -> None:
        charging = 0.23 * MILLI
        curve = expected("coulomb-oscillations", {"charging_energy": charging}, [0.03], 8001)
        first = curve.x.values < 1.0
        measured = full_width(curve.x.values[first], curve.lines[0, first]) * 2 * charging
        assert measured == pytest.approx(4.3546 * Boltzmann * 0.03, rel=5e-4)

    def test_inelastic_line(self) -> None:
        curve = expected("inelastic-tunnelling", {"mode_energy": 30 * MILLI, "resolution": 8 * MILLI}, [4.2], 8001)
        first = curve.x.values < 34e-3
        measured = full_width(curve.x.values[first], curve.lines[0, first])
        assert measured == pytest.approx(5.4392 * Boltzmann * 4.2 / e, rel=1e-3)
        assert measured == pytest.approx(2.0e-3, abs=0.05e-3)  # handbook figure

    def test_inelastic_line_with_modulation(self) -> None:
        """In the cold only the lock-in is left: 1.72 V rms for the second harmonic (Klein 1973)."""
        inputs = {"mode_energy": 30 * MILLI, "resolution": 8 * MILLI, "modulation": 1e-3}
        curve = expected("inelastic-tunnelling", inputs, [0.1], 8001)
        first = curve.x.values < 34e-3
        measured = full_width(curve.x.values[first], curve.lines[0, first])
        assert measured == pytest.approx(1.7206e-3, rel=0.02)

    @pytest.mark.parametrize("temperature", [0.022, 0.05])
    def test_thermometer_dip(self, temperature: float) -> None:
        """A hundred junctions at 22 mK: 1.03 mV (Pekola 1994, worked example of the catalogue)."""
        curve = expected("electron-thermometry", {"expected_temperature": 5 * temperature}, [temperature], 8001)
        measured = full_width(curve.x.values, curve.lines[0], dip=True)
        assert measured == pytest.approx(5.4392 * 100 * Boltzmann * temperature / e, rel=1e-3)
        if temperature == 0.022:
            assert measured == pytest.approx(1.03e-3, abs=0.005e-3)

    @pytest.mark.parametrize("factor", [1.0, 1.5, 4.0])
    def test_dip_between_two_levels(self, factor: float) -> None:
        """Depth between two cosh⁻² lines a number of their widths apart, in closed form."""
        temperature = 0.3 * MILLI / (factor * 3.5255 * Boltzmann)
        curve = expected("excited-state-spectroscopy", {"excitation_energy": 0.3 * MILLI}, [temperature], 4001)
        half = factor * 3.5255 / 4
        wanted = 2 * np.cosh(half) ** -2 / (1 + np.cosh(2 * half) ** -2)
        assert at(curve, 0.15 * MILLI) / at(curve, 0.0) == pytest.approx(wanted, rel=1e-3)

    @pytest.mark.parametrize("temperature", [0.001, 0.05])
    def test_lock_in_alone(self, temperature: float) -> None:
        """√3 V peak, 2.449 V rms, of the first harmonic (Klein 1973); cold it is all that is left."""
        inputs = {"excitation_energy": 3 * MILLI, "modulation": 2e-4}
        curve = expected("excited-state-spectroscopy", inputs, [temperature], 4001)
        first = curve.x.values < 1.5 * MILLI
        measured = full_width(curve.x.values[first], curve.lines[0, first]) / e
        assert measured == pytest.approx(2.4495 * 2e-4, rel=0.02)

    def test_zero_bias_peak(self) -> None:
        """Cold, a resonance stands at 2e²/h (77.5 µS) over its floor."""
        curve = expected("hybrid-andreev", {"peak_width": 10e-6 * e}, [1e-3], 4001)
        assert at(curve, 0.0) == pytest.approx(2 * e**2 / h, rel=0.02)


class TestSuperconductors:
    """Tunnelling, supercurrent and resonator against integrals and limits."""

    @pytest.mark.parametrize("ratio", [0.5, 2.0, 8.0, 30.0])
    def test_fast_spectrum_agrees_with_the_integral(self, ratio: float) -> None:
        width = 0.182 * MILLI
        temperature = np.array([width / (ratio * Boltzmann)])
        volts = np.linspace(0, 3 * width / e, 200)
        fast = smeared_spectrum(volts, temperature, np.asarray(width), 0.005 * width)
        slow = tunnel_conductance(volts, temperature, width, 0.005 * width)
        np.testing.assert_allclose(fast, slow, atol=2e-5)

    def test_zero_bias_over_normal_is_the_subgap_ratio(self) -> None:
        """Dynes floor Γ/Δ in the cold; √(2πΔ/kT) exp(-Δ/kT) above it (Tinkham)."""
        width = 0.182 * MILLI
        cold = expected("tunnelling-gap", {"gap": width}, [0.02])
        assert at(cold, 0.0) == pytest.approx(0.005, rel=0.02)
        warm = width / (5 * Boltzmann)
        open_gap = float(gap(warm, width / (1.764 * Boltzmann)))
        reduced = open_gap / (Boltzmann * warm)
        curve = expected("tunnelling-gap", {"gap": width}, [warm])
        thermal = np.sqrt(2 * np.pi * reduced) * np.exp(-reduced)
        assert at(curve, 0.0) == pytest.approx(thermal * (1 + 3 / (8 * reduced)) + 0.005, rel=0.08)

    def test_sum_rule_of_the_spectrum(self) -> None:
        """States pushed out of the gap pile up beside it: the area over the normal one vanishes."""
        width = 0.182 * MILLI
        volts = np.linspace(-400, 400, 800001) * width / e
        spectrum = smeared_spectrum(volts, np.array([0.3]), np.asarray(width), 0.01 * width)
        missing = np.trapezoid(spectrum - 1, volts) * e / width
        # The tail beyond L leaves -Δ/L on both sides together.
        assert missing == pytest.approx(-1 / 400, abs=2e-4)

    @pytest.mark.parametrize("strength", [0.5, 3.0, 20.0, 120.0])
    def test_rounded_voltage_agrees_with_the_integral(self, strength: float) -> None:
        critical, bias = 1e-7, np.linspace(0, 2, 101)
        temperature = h / (2 * np.pi) * critical / (2 * e) / (strength * Boltzmann)
        slow = rounded_voltage(bias * critical, critical, 1.0, temperature) / critical
        np.testing.assert_allclose(noisy_voltage(bias, strength), slow, atol=1e-8)

    def test_rounded_resistance_at_zero_current(self) -> None:
        """R/I0(E_J/kT)² (Ambegaokar-Halperin 1969)."""
        small = np.array([1e-6])
        assert noisy_voltage(small, 2.0)[0] / 1e-6 == pytest.approx(1 / i0(2.0) ** 2, rel=1e-6)

    def test_voltage_below_the_critical_current_rises_with_temperature(self) -> None:
        curve = expected("josephson-switching", {"critical_current": 28.7e-9}, [0.03, 0.1, 0.34, 1.5, 77.0])
        below = (curve.x.values > 0) & (curve.x.values < 28.7e-9)
        assert np.all(np.diff(curve.lines[:, below], axis=0) >= -1e-12)

    def test_voltage_by_bessel_functions_of_imaginary_order(self) -> None:
        """v = sinh(πgi)/(πg |I_{igi}(g)|²); at vanishing order the modulus is I_0."""
        g, i = 4.0, 1e-4
        assert noisy_voltage(np.array([i]), g)[0] == pytest.approx(
            np.sinh(np.pi * g * i) / (np.pi * g * iv(0, g) ** 2), rel=1e-5
        )

    def test_resonator_turns_over(self) -> None:
        """tanh(hf/2kT) at 5 GHz: 0.98 at 50 mK and 0.08 at 1.5 K; quasiparticles only near T_c (McRae 2020)."""
        inputs = {"frequency": 5e9, "critical_temperature": 92.0}
        curve = expected("resonator-loss", inputs, [0.05, 1.5])
        assert curve.points is not None
        np.testing.assert_allclose(curve.points[:, 1] / 1e-6, [0.98, 0.08], atol=0.005)

    def test_mattis_bardeen_fall(self) -> None:
        """Deep in the cold the quasiparticle loss falls as exp(-Δ/kT) times slow factors."""
        inputs = {"frequency": 5e9, "critical_temperature": 1.2}
        curve = expected("resonator-loss", inputs, [0.1, 0.15], 2001)
        particles = np.interp([0.1, 0.15], curve.x.values, curve.lines[2])
        delta = 1.764 * 1.2
        fall = np.exp(-delta / 0.15 + delta / 0.1)
        assert particles[1] / particles[0] == pytest.approx(fall, rel=0.35)

    def test_qubit_population(self) -> None:
        """5 GHz: 0.1 % at 35 mK, 0.8 % at 50 mK, 8 % at 0.1 K, 31 % at 0.3 K (Jin 2015)."""
        curve = expected("superconducting-qubit", {"frequency": 5e9}, [0.035, 0.05, 0.1, 0.3])
        assert curve.points is not None
        np.testing.assert_allclose(curve.points[:, 1], [0.001, 0.008, 0.083, 0.31], rtol=0.06)

    def test_long_link(self) -> None:
        """e R I_c starts at 10.8 E_Th and falls as exp(-√(2πkT/E_Th)) (Dubos 2001)."""
        thouless = Boltzmann * 0.076
        inputs = {"critical_current": 1e-3, "thouless_energy": thouless}
        curve = expected("weak-link", inputs, [1.0], 4001)
        assert curve.lines[0, 0] == pytest.approx(1e-3, rel=0.05)
        low, high = np.interp([0.5, 0.76], curve.x.values, curve.lines[0])

        def tail(warm: float) -> float:
            x = 2 * np.pi * warm / 0.076
            return float(x**1.5 * np.exp(-np.sqrt(x)))

        assert high / low == pytest.approx(tail(0.76) / tail(0.5), rel=0.03)


class TestTransport:
    """Oscillations, interference, Kondo, steps and Hall plateaus."""

    @pytest.mark.parametrize(
        ("temperature", "mass", "field", "factor"),
        [(4.2, 0.067, 2.0, 0.532), (1.5, 0.067, 2.0, 0.915), (1.5, 0.19, 1.0, 0.127), (0.3, 0.44, 2.0, 0.859)],
    )
    def test_lifshitz_kosevich(self, temperature: float, mass: float, field: float, factor: float) -> None:
        """X/sinh X with X = 14.69 (m/m_e) T/B (Shoenberg), as a ratio of two lines."""
        curve = expected(
            "quantum-oscillations", {"effective_mass": mass, "lowest_field": field}, [temperature, 1e-4], 4001
        )
        near = np.abs(curve.x.values / field - 1).argmin()
        top = slice(near - 40, near + 40)
        place = top.start + np.abs(curve.lines[1, top]).argmax()
        x = 14.693 * mass * temperature / curve.x.values[place]
        assert curve.lines[0, place] / curve.lines[1, place] == pytest.approx(x / np.sinh(x), rel=1e-3)
        assert curve.lines[0, near] / curve.lines[1, near] == pytest.approx(factor, abs=0.006)

    def test_weak_localisation_limits(self) -> None:
        """Parabola (e²/πh)(B/B_φ)²/24 at low field, logarithm at high (Hikami 1980, digamma from scipy)."""
        curve = expected("weak-localisation", {"diffusion": 0.01}, [1.0], 2001)
        scale = e**2 / (np.pi * h)
        top = float(curve.x.values[-1])
        narrow = top / 60
        assert at(curve, top) / scale == pytest.approx(digamma(0.5 + 1 / 60) - np.log(1 / 60), rel=1e-3)
        assert at(curve, 0.05 * narrow) / scale == pytest.approx(0.05**2 / 24, rel=0.05)

    def test_ring_period(self) -> None:
        """h/e through the area of the ring."""
        around = 3e-6
        curve = expected("weak-localisation", {"diffusion": 0.01, "ring_length": around}, [0.1], 4001)
        period = h / e / (around**2 / (4 * np.pi))
        assert at(curve, period) == pytest.approx(at(curve, 0.0), rel=1e-3)
        assert at(curve, period / 2) == pytest.approx(-at(curve, 0.0), rel=1e-3)

    def test_kondo_table(self) -> None:
        """0.96, 0.87, 0.66, 0.50, 0.25 at 0.1, 0.2, 0.5, 1 and 5 T_K (Goldhaber-Gordon 1998)."""
        curve = expected("kondo", {"kondo_temperature": Boltzmann}, [0.1, 0.2, 0.5, 1.0, 5.0])
        assert curve.points is not None
        np.testing.assert_allclose(curve.points[:, 1], [0.96, 0.87, 0.66, 0.50, 0.25], atol=0.006)

    def test_plateaus_of_a_point_contact(self) -> None:
        """Flat at 10 kT, gone at 2 kT: slope in the middle of a plateau (van Wees 1988)."""
        spacing = 2 * MILLI
        temperatures = [spacing / (10 * Boltzmann), spacing / (2 * Boltzmann)]
        curve = expected("point-contact", {"subband_spacing": spacing}, temperatures, 2001)
        slope = np.gradient(curve.lines, curve.x.values / spacing, axis=1)
        middle = np.abs(curve.x.values / spacing - 2.0).argmin()
        assert at(curve, 2 * spacing) == pytest.approx(2.0, abs=0.01)
        assert slope[0, middle] < 0.15
        assert slope[1, middle] > 0.9

    def test_hall_plateau(self) -> None:
        """h/2e² = 12 906.4037 Ω when cold, the classical line when warm (BIPM)."""
        curve = expected("quantum-hall", {"gap": 8 * MILLI, "field": 5.0}, [0.3, 300.0])
        assert at(curve, 5.0) == pytest.approx(12906.4037, rel=1e-6)
        assert at(curve, 6.0, 1) / at(curve, 3.0, 1) == pytest.approx(2.0, rel=1e-3)

    def test_hall_deviation_is_activated(self) -> None:
        """Off the middle by exp(-Δ/2kT): twice the inverse temperature squares the deviation."""
        gap_energy, temperature = 8 * MILLI, 8 * MILLI / (20 * Boltzmann)
        curve = expected("quantum-hall", {"gap": gap_energy, "field": 5.0}, [temperature, 2 * temperature], 4001)
        off = [abs(at(curve, 5.3, row) / 12906.4037 - 1) for row in (0, 1)]
        assert off[0] < off[1] ** 1.5

    def test_fractional_slope(self) -> None:
        """An Arrhenius plot has the slope -Δ/2k (Prange-Girvin 1990)."""
        curve = expected("fractional-hall", {"activation_gap": 0.11 * Boltzmann}, [0.05])
        slope = np.gradient(np.log(curve.lines[1]), curve.x.values)
        np.testing.assert_allclose(slope, -0.055, rtol=1e-3)


class TestSpins:
    """Errors of readout at the figures that the trade uses."""

    def test_readout_table(self) -> None:
        """1.5 T: 0.12 % at 0.15 K, 0.64 % at 0.20 K, 5.3 % at 0.35 K."""
        curve = expected("spin-readout", {"field": 1.5, "g_factor": 2.0}, [0.15, 0.20, 0.35])
        assert curve.points is not None
        np.testing.assert_allclose(curve.points[:, 1], [0.0012, 0.0064, 0.053], rtol=0.03)

    def test_one_per_cent_at_nine_kt(self) -> None:
        splitting = 2 * MU_B * 1.5
        curve = expected("spin-readout", {"field": 1.5, "g_factor": 2.0}, [splitting / (9.19 * Boltzmann)])
        assert curve.points is not None
        assert curve.points[0, 1] == pytest.approx(0.01, rel=0.002)

    def test_blockade_is_two_levels(self) -> None:
        curve = expected("spin-blockade", {"singlet_triplet_splitting": 5 * Boltzmann}, [1.0])
        assert curve.points is not None
        assert 1 - 2 * curve.points[0, 1] == pytest.approx(np.tanh(2.5), rel=1e-9)

    def test_bend_of_the_valley(self) -> None:
        """0.8 meV needs 6.9 T (Yang 2013)."""
        curve = expected("valley-splitting", {"valley_splitting": 0.8 * MILLI}, [0.1])
        assert curve.marks[0].at == pytest.approx(6.9, abs=0.02)


class TestHeatLightAndScreening:
    """Conductance quanta, quanta of vibration, telegraph noise, swing."""

    def test_sixteen_quanta(self) -> None:
        """9.1 pW/K at 0.6 K (Schwab 2000)."""
        curve = expected("thermal-transport", {"crossover_temperature": 0.7}, [0.6])
        quanta = np.interp(np.log(0.6), np.log(curve.x.values), curve.lines[1])
        assert quanta == pytest.approx(9.1e-12, abs=0.05e-12)

    def test_mode_of_six_gigahertz(self) -> None:
        """Fewer than 0.07 quanta at 25 mK (O'Connell 2010)."""
        curve = expected("nanomechanics", {"frequency": 6e9}, [0.025])
        assert curve.points is not None
        assert curve.points[0, 1] < 0.07

    def test_telegraph_power_is_a_quarter(self) -> None:
        """Equal times in both states: the variance is ΔI²/4 (Machlup 1954)."""
        inputs = {"activation_energy": 50 * MILLI, "attempt_time": 1e-13}
        curve = expected("telegraph-noise", inputs, [24.0])
        line, frequency = curve.lines[0] - 1e-8, curve.x.values
        plateau = line[0]
        corner = 1 / (2 * np.pi * plateau)
        assert frequency[0] < corner / 10
        area = quad(lambda f: plateau / (1 + (f / corner) ** 2), 0, np.inf)[0]
        assert area == pytest.approx(0.25, rel=1e-3)
        np.testing.assert_allclose(line[::40], plateau / (1 + (frequency[::40] / corner) ** 2), rtol=1e-6)

    def test_swing_of_a_transistor(self) -> None:
        """59.5 mV per decade at 300 K, 15.3 at 77 K (textbook), near 7 at helium (Bohuslavskyi 2019)."""
        curve = expected("transistor-screening", {"band_tail": 3e-4 * MILLI}, [300.0, 77.0], 20001)
        tailed = expected("transistor-screening", {"band_tail": 3 * MILLI}, [4.2], 20001)
        swings = []
        for each, row in ((curve, 0), (curve, 1), (tailed, 0)):
            current = each.lines[row] - 1e-13
            steep = (current > 1e-12) & (current < 1e-11)
            slope = np.polyfit(each.x.values[steep], np.log10(current[steep]), 1)[0]
            swings.append(1e3 / slope)
        np.testing.assert_allclose(swings, [59.5, 15.3, 7.0], rtol=0.02)

    def test_mobility_changes_little_below_helium(self) -> None:
        """From 4.2 to 1.5 K by less than 10 % (Ando 1982)."""
        curve = expected("hall-mobility", {}, [4.2, 1.5])
        assert curve.points is not None
        assert 1 < curve.points[1, 1] / curve.points[0, 1] < 1.1

    def test_spin_valve(self) -> None:
        """12 % at room temperature and about twice that at 4.2 K (Moodera 1995)."""
        curve = expected("magnetoresistance", {}, [295.0, 4.2])
        np.testing.assert_allclose(curve.lines.max(axis=1), [0.118, 0.24], atol=0.004)

    def test_noise_has_the_comb_of_its_own_platform(self) -> None:
        inputs = {"addition_energy": 3 * MILLI, "comb": np.array([np.nan, 1.4])}
        curve = expected("charge-noise", inputs, [0.1, 0.1])
        assert (curve.lines[1] > 1.5 * curve.lines[0]).sum() >= 15
        assert np.argmax(curve.lines[1] - curve.lines[0]) == np.abs(np.log(curve.x.values / 1.4)).argmin()

    def test_pump_plateau_is_one_electron(self) -> None:
        curve = expected("electron-pump", {"addition_energy": 10 * MILLI}, [0.3])
        assert at(curve, 6 * MILLI) == pytest.approx(1.0, abs=1e-4)
