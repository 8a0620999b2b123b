"""Superconductors at temperature: gap, quasiparticles, microwave loss, junctions, tunnelling spectra.

Weak-coupling theory. Gaps are half the pair-breaking energy, in joule. Everything broadcasts;
functions that integrate add a hidden last axis of nodes, so their cost grows with it.
"""

from __future__ import annotations

from functools import cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import boltzmann, elementary_charge, planck, reduced_planck
from triage.physics.energy import josephson_energy, meaningful, weak_coupling_gap, weak_coupling_ratio
from triage.physics.kind import Numbers, within

_nodes = np.arange(121) / 120


def _bessel_integral(x: Numbers, order: int, fermi: bool) -> NDArray[np.float64]:
    """∫₀^∞ cosh(n s) w ds times e^x, w = e^(-x cosh s) (Bessel K) or the Fermi function of x cosh s."""
    size = np.maximum(np.asarray(x, dtype=float), 1e-12)[..., np.newaxis]
    last = np.arccosh(1 + 42 / size)
    s = _nodes * last
    rise = 2 * size * np.sinh(s / 2) ** 2
    value = np.exp(-rise) * np.cosh(order * s)
    if fermi:
        value = value / (1 + np.exp(-size - rise))
    total: NDArray[np.float64] = (value.sum(axis=-1) - value[..., 0] / 2) * last[..., 0] / 120
    return total


@cache
def _gap_table() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Reduced temperature and (gap over zero-temperature gap)², from the gap equation."""
    guess = 1 - 0.94 * np.linspace(1.0, 1e-3, 1600) ** 2
    # With y = gap/kT the equation ln(gap ratio) = -2∫f/E gives ratio and temperature without a search.
    y = weak_coupling_ratio * np.tanh(1.74 * np.sqrt(1 / guess - 1)) / guess
    ratio = np.exp(-2 * np.exp(-y) * _bessel_integral(y, 0, fermi=True))
    temperature = weak_coupling_ratio * ratio / y
    return np.append(temperature, 1.0), np.append(ratio**2, 0.0)


@within(reduced_temperature=(0.0, 1.0, "T/Tc"))
@np.errstate(all="ignore")
def gap_ratio(reduced_temperature: Numbers) -> Numbers:
    """Energy gap over its zero-temperature value, from ln(Δ0/Δ) = 2∫₀^∞ f(E)/E dξ, E² = ξ² + Δ².

    Parameters
    ----------
    reduced_temperature : float or array
        Temperature over transition temperature [1].

    Returns
    -------
    float or array
        Δ(T)/Δ0 [1]; 0 above the transition, nan below zero.

    Notes
    -----
    Weak coupling, no pair breaking. Tabulated once on 1600 points, interpolated to 3e-7.

    Source: Muhlschlegel1959.

    Examples
    --------
    >>> print(round(gap_ratio(0.5), 4))
    0.9569
    """
    squared = np.interp(reduced_temperature, *_gap_table(), left=1.0, right=0.0)
    return meaningful(np.sqrt(squared), np.greater_equal(reduced_temperature, 0))


@within(reduced_temperature=(0.0, 1.0, "T/Tc"))
@np.errstate(all="ignore")
def gap_ratio_approximate(reduced_temperature: Numbers) -> Numbers:
    """The usual short form of the gap, tanh(1.74 √(Tc/T - 1)).

    Parameters
    ----------
    reduced_temperature : float or array
        Temperature over transition temperature [1].

    Returns
    -------
    float or array
        Δ(T)/Δ0 [1]; 0 above the transition, nan below zero.

    Notes
    -----
    Up to 1.9 % below `gap_ratio` (at 0.6 Tc), 0.2 % above it near Tc; for hand calculation only.

    Source: Gross1986.

    Examples
    --------
    >>> print(round(gap_ratio_approximate(0.5), 3))
    0.94
    """
    reduced = np.asarray(reduced_temperature, dtype=float)
    value = np.tanh(1.74 * np.sqrt(np.maximum(1 / reduced - 1, 0)))
    return meaningful(value, reduced >= 0)


@np.errstate(all="ignore")
def gap(temperature: Numbers, transition_temperature: Numbers) -> Numbers:
    """Energy gap at temperature, 1.764 k Tc × gap ratio.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    transition_temperature : float or array
        Transition temperature [K].

    Returns
    -------
    float or array
        Half the pair-breaking energy [J]; 0 above the transition, nan where Tc is not positive.

    Source: Muhlschlegel1959.

    Examples
    --------
    >>> print(round(gap(0.6, 1.2) / 1.602176634e-19 * 1e6, 1))  # µeV
    174.5
    """
    transition = np.asarray(transition_temperature, dtype=float)
    reduced = np.asarray(temperature) / transition
    return meaningful(weak_coupling_gap(transition) * gap_ratio(reduced), transition > 0)


def _reduced(energy: Numbers, temperature: Numbers) -> NDArray[np.float64]:
    """Energy over kT; nan unless the temperature is positive."""
    thermal = boltzmann * np.asarray(temperature, dtype=float)
    return np.asarray(np.where(thermal > 0, energy / thermal, np.nan))


@np.errstate(all="ignore")
def quasiparticle_density(temperature: Numbers, gap: Numbers, density_of_states: Numbers) -> Numbers:
    """Density of thermal quasiparticles, 4 N0 ∫₀^∞ f(E) dξ.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    gap : float or array
        Energy gap at that temperature [J].
    density_of_states : float or array
        Density of states N0 for one spin in the normal state [1/(J m³)]; aluminium 1.07e47.

    Returns
    -------
    float or array
        Density [1/m³]; nan unless the temperature is positive.

    Notes
    -----
    Close to 2 N0 √(2π kT Δ) e^(-Δ/kT) when cold. Below Tc/8 or so real samples stay above it:
    radiation and stray photons leave 0.01 to 10 per µm³ (from memory), 25 to 55 in the source.

    Source: deVisser2011.

    Examples
    --------
    >>> gap, states = 180e-6 * 1.602176634e-19, 1.72e28 / 1.602176634e-19
    >>> print(round(quasiparticle_density(0.2, gap, states) * 1e-18))  # per µm³
    145
    """
    return 2 * density_of_states * gap * quasiparticle_fraction(temperature, gap)


@np.errstate(all="ignore")
def quasiparticle_fraction(temperature: Numbers, gap: Numbers) -> Numbers:
    """Thermal quasiparticles over Cooper pairs' worth of states, n/(2 N0 Δ).

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    gap : float or array
        Energy gap at that temperature [J].

    Returns
    -------
    float or array
        Fraction x [1]; nan unless temperature and gap are positive.

    Notes
    -----
    Close to √(2π kT/Δ) e^(-Δ/kT) when cold.

    Source: deVisser2011.

    Examples
    --------
    >>> print(f"{quasiparticle_fraction(0.15, 182.4e-6 * 1.602176634e-19):.1e}")
    5.1e-07
    """
    y = _reduced(gap, temperature)
    value = 2 * np.exp(-y) * _bessel_integral(y, 1, fermi=True)
    return meaningful(value, y > 0)


@np.errstate(all="ignore")
def dissipative_conductivity(frequency: Numbers, temperature: Numbers, gap: Numbers) -> Numbers:
    """Real part of the conductivity over the normal one, (4Δ/hf) e^(-Δ/kT) sinh(x) K₀(x), x = hf/2kT.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    temperature : float or array
        Temperature [K].
    gap : float or array
        Energy gap at that temperature [J].

    Returns
    -------
    float or array
        σ1/σn [1]; nan unless all are positive.

    Notes
    -----
    Limit hf ≪ Δ and kT ≪ Δ. Below Tc/2 it is low by at most 3 % at hf = Δ/50, 6 % at Δ/10, 11 % at
    0.3 Δ beside the full integral. Not near Tc.

    Source: MattisBardeen1958, deVisser2011.

    Examples
    --------
    >>> print(f"{dissipative_conductivity(5e9, 0.2, 182.4e-6 * 1.602176634e-19):.2e}")
    4.42e-04
    """
    quantum = planck * np.asarray(frequency, dtype=float)
    x, y = _reduced(quantum / 2, temperature), _reduced(gap, temperature)
    value = 2 * gap / quantum * np.exp(-y) * -np.expm1(-2 * x) * _bessel_integral(x, 0, fermi=False)
    return meaningful(value, (x > 0) & (y > 0))


@np.errstate(all="ignore")
def inductive_conductivity(frequency: Numbers, temperature: Numbers, gap: Numbers) -> Numbers:
    """Imaginary part of the conductivity over the normal one, (πΔ/hf)[1 - 2e^(-Δ/kT) e^(-x) I₀(x)].

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz]; x = hf/2kT.
    temperature : float or array
        Temperature [K].
    gap : float or array
        Energy gap at that temperature [J].

    Returns
    -------
    float or array
        σ2/σn [1]; nan unless all are positive.

    Notes
    -----
    Limit hf ≪ Δ and kT ≪ Δ, as `dissipative_conductivity`.

    Source: MattisBardeen1958, deVisser2011.

    Examples
    --------
    >>> print(round(inductive_conductivity(5e9, 0.2, 182.4e-6 * 1.602176634e-19), 1))
    27.7
    """
    quantum = planck * np.asarray(frequency, dtype=float)
    x, y = _reduced(quantum / 2, temperature), _reduced(gap, temperature)
    value = pi * gap / quantum * (1 - 2 * np.exp(-y) * _scaled_bessel_i0(x))
    return meaningful(value, (x > 0) & (y > 0))


def _scaled_bessel_i0(x: Numbers) -> Numbers:
    """e^(-|x|) I₀(x), without the overflow of I₀ beyond 700."""
    size = np.abs(np.asarray(x, dtype=float))
    near = np.minimum(size, 500.0)
    inverse = 1 / np.maximum(size, 500.0)
    far = np.sqrt(inverse / (2 * pi)) * (1 + inverse / 8 + 9 * inverse**2 / 128)
    value: Numbers = np.where(size <= 500, np.i0(near) * np.exp(-near), far)[()]
    return value


@np.errstate(all="ignore")
def quasiparticle_loss(
    frequency: Numbers, temperature: Numbers, gap: Numbers, kinetic_fraction: Numbers = 1.0
) -> Numbers:
    """Microwave loss 1/Q of thermal quasiparticles in a resonator, α σ1/σ2.

    Parameters
    ----------
    frequency : float or array
        Resonance frequency [Hz].
    temperature : float or array
        Temperature of the film [K].
    gap : float or array
        Energy gap at that temperature [J].
    kinetic_fraction : float or array
        Kinetic over total inductance, α [1].

    Returns
    -------
    float or array
        1/Q [1]; nan unless frequency, temperature and gap are positive.

    Notes
    -----
    Thin film, local limit; see `dissipative_conductivity` for the range.

    Source: MattisBardeen1958, deVisser2011.

    Examples
    --------
    >>> print(f"{1 / quasiparticle_loss(5e9, 0.12, 182.4e-6 * 1.602176634e-19, 0.05):.1e}")
    1.5e+09
    """
    real = dissipative_conductivity(frequency, temperature, gap)
    return kinetic_fraction * real / inductive_conductivity(frequency, temperature, gap)


@np.errstate(all="ignore")
def two_level_loss(
    frequency: Numbers, temperature: Numbers, intrinsic_loss: Numbers, photon_ratio: Numbers = 0.0
) -> Numbers:
    """Loss of two-level systems in a dielectric, δ0 tanh(hf/2kT)/√(1 + n/n_c).

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    temperature : float or array
        Temperature of the dielectric [K].
    intrinsic_loss : float or array
        Loss at zero temperature and power, filling factor included, δ0 [1].
    photon_ratio : float or array
        Photons in the resonator over the critical number, n/n_c [1].

    Returns
    -------
    float or array
        1/Q [1]; nan unless the temperature is positive.

    Notes
    -----
    Falls on warming: a resonator can look better at 1 K than at 20 mK.

    Source: Phillips1987.

    Examples
    --------
    >>> print(round(two_level_loss(5e9, 0.1, 1.0), 2))
    0.83
    """
    thermal = np.tanh(_reduced(planck * np.asarray(frequency) / 2, temperature))
    value: Numbers = (intrinsic_loss * thermal / np.sqrt(1 + np.asarray(photon_ratio)))[()]
    return value


@np.errstate(all="ignore")
def critical_voltage(temperature: Numbers, transition_temperature: Numbers) -> Numbers:
    """Critical current times normal resistance of a tunnel junction, (πΔ/2e) tanh(Δ/2kT).

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    transition_temperature : float or array
        Transition temperature of both electrodes [K].

    Returns
    -------
    float or array
        Ic Rn [V]; 0 above the transition, nan where Tc is not positive.

    Notes
    -----
    Equal electrodes. A room-temperature resistance thus predicts Ic to about 10 %.

    Source: AmbegaokarBaratoff1963.

    Examples
    --------
    >>> print(round(critical_voltage(0.01, 1.2) / 10e3 * 1e9, 1))  # nA at 10 kΩ
    28.7
    """
    width = gap(temperature, transition_temperature)
    half = np.maximum(boltzmann * np.asarray(temperature, dtype=float), 1e-40) * 2
    return pi * width / (2 * elementary_charge) * np.tanh(width / half)


@np.errstate(all="ignore")
def thermal_current(temperature: Numbers) -> Numbers:
    """Current 2ekT/ħ at which the Josephson energy equals kT.

    Parameters
    ----------
    temperature : float or array
        Temperature of the electrons and of the noise on the leads [K].

    Returns
    -------
    float or array
        Current [A].

    Notes
    -----
    A supercurrent shows from about this value and can be measured from ten times it.

    Source: AmbegaokarHalperin1969.

    Examples
    --------
    >>> print(round(thermal_current(1.0) * 1e9, 2))  # nA
    41.95
    """
    return 2 * elementary_charge * boltzmann / reduced_planck * temperature


@cache
def _bias_nodes() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Phase difference and weight on (0, 2π), crowded double-exponentially at both ends."""
    t = np.linspace(-4.0, 4.0, 641)
    stretch = pi / 2 * np.sinh(t)
    share = 1 / (1 + np.exp(-2 * stretch))
    slope = pi / 2 * np.cosh(t) / (2 * np.cosh(stretch) ** 2)
    return 2 * pi * share, 2 * pi * slope * (t[1] - t[0])


@np.errstate(all="ignore")
def rounded_voltage(current: Numbers, critical_current: Numbers, resistance: Numbers, temperature: Numbers) -> Numbers:
    """Mean voltage of an overdamped junction with thermal noise, at a given current.

    v = (1 - e^(-2πgi))/(g ∫₀^{2π} e^(-gis) I₀(2g sin(s/2)) ds), v = V/IcR, i = I/Ic, g = E_J/kT

    Parameters
    ----------
    current : float or array
        Bias current [A]; the voltage is odd in it.
    critical_current : float or array
        Critical current without noise [A].
    resistance : float or array
        Shunt or normal resistance [Ω].
    temperature : float or array
        Noise temperature of that resistance [K]; 0 gives R√(I² - Ic²).

    Returns
    -------
    float or array
        Time-averaged voltage [V]; nan unless critical current and resistance are positive.

    Notes
    -----
    No capacitance (β_c ≪ 1), no quantum noise. Above g = 1000 the noiseless curve is returned. At zero
    current the resistance is R/I₀(g)².

    Source: AmbegaokarHalperin1969.

    Examples
    --------
    >>> print(round(rounded_voltage(1e-6, 1e-6, 1.0, 1.2) * 1e6, 3))  # µV, g = 19.9
    0.294
    """
    critical = np.asarray(critical_current, dtype=float)
    temperature = np.asarray(temperature, dtype=float)
    bias = np.abs(current / critical)
    strength = np.asarray(josephson_energy(critical) / (boltzmann * temperature))
    good = (critical > 0) & np.greater(resistance, 0) & (temperature >= 0)
    noisy = good & (strength <= 1000)
    g = np.where(noisy, strength, 1.0)
    reduced = np.where(noisy, _rounded(bias, g), np.sqrt(np.maximum(bias**2 - 1, 0)))
    return meaningful(np.sign(current) * reduced * critical * resistance, good)


def _rounded(bias: NDArray[np.float64], g: NDArray[np.float64]) -> NDArray[np.float64]:
    """Voltage over Ic R, the largest exponent (height of the phase barrier) taken out first."""
    s, weight = _bias_nodes()
    inside = np.minimum(bias, 1.0)
    barrier = 2 * g * (np.sqrt(1 - inside**2) - inside * np.arccos(inside))
    i, j = bias[..., np.newaxis], g[..., np.newaxis]
    argument = 2 * j * np.sin(s / 2)
    exponent = argument - j * i * s - barrier[..., np.newaxis]
    total = (weight * np.exp(exponent) * _scaled_bessel_i0(argument)).sum(axis=-1)
    flux: NDArray[np.float64] = -np.expm1(-2 * pi * g * bias) * np.exp(-barrier) / (g * total)
    return flux


@np.errstate(all="ignore")
def plasma_frequency(critical_current: Numbers, capacitance: Numbers, bias_ratio: Numbers = 0.0) -> Numbers:
    """Plasma frequency of a junction, √(2e Ic/ħC) (1 - i²)^(1/4)/2π.

    Parameters
    ----------
    critical_current : float or array
        Critical current [A].
    capacitance : float or array
        Junction capacitance [F].
    bias_ratio : float or array
        Bias over critical current, i [1].

    Returns
    -------
    float or array
        Frequency, not angular [Hz]; nan unless both are positive and |i| ≤ 1.

    Source: Devoret1985.

    Examples
    --------
    >>> print(round(plasma_frequency(1e-6, 1e-12) / 1e9, 2))  # GHz
    8.77
    """
    capacitance = np.asarray(capacitance, dtype=float)
    squared = 2 * elementary_charge * critical_current / (reduced_planck * capacitance)
    room = 1 - np.square(bias_ratio)
    value = np.sqrt(squared) * room**0.25 / (2 * pi)
    return meaningful(value, (capacitance > 0) & np.greater(critical_current, 0) & (room >= 0))


@np.errstate(all="ignore")
def crossover_temperature(plasma_frequency: Numbers) -> Numbers:
    """Temperature h f_p/(2π k) below which a junction leaves its minimum by tunnelling.

    Parameters
    ----------
    plasma_frequency : float or array
        Plasma frequency at the bias of the escape [Hz].

    Returns
    -------
    float or array
        Temperature [K].

    Notes
    -----
    Light damping. Colder than this the switching current no longer changes.

    Source: Devoret1985.

    Examples
    --------
    >>> print(round(crossover_temperature(5e9) * 1e3, 1))  # mK
    38.2
    """
    return planck / (2 * pi * boltzmann) * plasma_frequency


@np.errstate(all="ignore")
def escape_temperature(temperature: Numbers, plasma_frequency: Numbers, quality: Numbers = np.inf) -> Numbers:
    """Temperature that describes escape from the zero-voltage state, the larger of T and quantum escape.

    Quantum escape counts as h f_p/(7.2 k (1 + 0.87/Q)).

    Parameters
    ----------
    temperature : float or array
        Temperature of junction and leads [K].
    plasma_frequency : float or array
        Plasma frequency at the bias of the escape [Hz].
    quality : float or array
        Quality factor Q of the plasma oscillation [1].

    Returns
    -------
    float or array
        Escape temperature [K].

    Notes
    -----
    The corner between the two regimes is drawn sharp. A measured one above this means noise on the leads.

    Source: Devoret1985.

    Examples
    --------
    >>> print(round(escape_temperature(0.01, 5e9) * 1e3, 1))  # mK
    33.3
    """
    quantum = planck * plasma_frequency / (7.2 * boltzmann * (1 + 0.87 / np.asarray(quality, dtype=float)))
    return np.maximum(temperature, quantum)


@np.errstate(all="ignore")
def escape_rate(critical_current: Numbers, bias_ratio: Numbers, frequency: Numbers, temperature: Numbers) -> Numbers:
    """Rate of thermal escape from the zero-voltage state, f_p exp(-ΔU/kT).

    ΔU = 2 E_J [√(1 - i²) - i arccos i]

    Parameters
    ----------
    critical_current : float or array
        Critical current [A].
    bias_ratio : float or array
        Bias over critical current, i [1].
    frequency : float or array
        Plasma frequency at that bias [Hz].
    temperature : float or array
        Escape temperature, see `escape_temperature` [K].

    Returns
    -------
    float or array
        Rate [1/s]; nan unless 0 ≤ i ≤ 1 and the temperature is positive.

    Notes
    -----
    Prefactor of transition-state theory; damping lowers it by a factor of a few at most.

    Source: Devoret1985.

    Examples
    --------
    >>> print(f"{escape_rate(1e-6, 0.9, 5e9, 0.3):.1e}")
    4.3e+07
    """
    ratio = np.asarray(bias_ratio, dtype=float)
    inside = np.clip(ratio, 0, 1)
    barrier = 2 * josephson_energy(critical_current) * (np.sqrt(1 - inside**2) - inside * np.arccos(inside))
    exponent = np.exp(-_reduced(barrier, temperature))
    return meaningful(frequency * exponent, (ratio >= 0) & (ratio <= 1))


@np.errstate(all="ignore")
def density_of_states(energy: Numbers, gap: Numbers, broadening: Numbers = 0.0) -> Numbers:
    """Density of states over the normal one, |Re[z/√(z² - Δ²)]| with z = E - iΓ.

    Parameters
    ----------
    energy : float or array
        Energy from the Fermi level [J].
    gap : float or array
        Energy gap [J].
    broadening : float or array
        Dynes parameter Γ [J].

    Returns
    -------
    float or array
        Density of states over the normal one [1]; infinite at the edge when Γ = 0.

    Source: Dynes1978.

    Examples
    --------
    >>> print(round(density_of_states(0.0, 1.0, 0.01), 4))
    0.01
    """
    z = np.abs(energy) - 1j * np.asarray(broadening)
    value = np.abs((z / np.sqrt(z**2 - np.square(gap))).real)
    edge = (np.abs(energy) == np.abs(gap)) & np.equal(broadening, 0) & np.greater(gap, 0)
    chosen: Numbers = np.where(edge, np.inf, np.where(np.equal(gap, 0), 1.0, value))[()]
    return chosen


@cache
def _tunnel_nodes() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Energy over kT and weight: second derivative of -df/dx, for the twice integrated spectrum."""
    x = np.linspace(-45.0, 45.0, 901)
    decay = np.exp(-np.abs(x))
    bell = decay / (1 + decay) ** 2
    return x, bell * (1 - 6 * bell) * (x[1] - x[0])


@np.errstate(all="ignore")
def tunnel_conductance(voltage: Numbers, temperature: Numbers, gap: Numbers, broadening: Numbers = 0.0) -> Numbers:
    """Conductance of a normal-insulator-superconductor junction over its normal value, N(E) ∗ (-df/dE).

    Parameters
    ----------
    voltage : float or array
        Bias voltage [V].
    temperature : float or array
        Electron temperature of the normal side [K].
    gap : float or array
        Energy gap of the superconductor at its own temperature [J].
    broadening : float or array
        Dynes parameter Γ [J].

    Returns
    -------
    float or array
        dI/dV over the normal-state conductance [1]; nan below zero temperature.

    Notes
    -----
    Single-electron tunnelling only. The spectrum is integrated twice by hand, so its singular edge costs
    no accuracy: 1e-4 of the value for Δ up to 30 kT. Cost is 901 nodes for each point of the broadcast shape.

    Source: Dynes1978, Tinkham1996.

    Examples
    --------
    >>> print(round(tunnel_conductance(0.0, 0.3, 182.4e-6 * 1.602176634e-19), 5))
    0.00603
    """
    warm = np.asarray(temperature, dtype=float)
    thermal = boltzmann * warm
    bias, width, blur = elementary_charge * np.asarray(voltage), np.asarray(gap), np.asarray(broadening)
    cold = thermal <= 1e-5 * np.maximum(np.maximum(np.abs(bias), width), 1e-40)
    unit = np.where(cold, 1e-5 * np.maximum(np.maximum(np.abs(bias), width), 1e-40), thermal)
    x, weight = _tunnel_nodes()
    energy = (bias / unit)[..., np.newaxis] + x
    area = _integrated_spectrum(energy, (width / unit)[..., np.newaxis], (blur / unit)[..., np.newaxis])
    smeared = (weight * area).sum(axis=-1)
    value = np.where(cold, density_of_states(bias, width, blur), smeared)
    return meaningful(value, warm >= 0)


def _integrated_spectrum(
    energy: NDArray[np.float64], gap: NDArray[np.float64], broadening: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Density of states integrated twice over energy: ½ Re[z w - Δ² ln((z + w)/Δ)], w² = z² - Δ²."""
    size = np.abs(energy)
    z = size - 1j * broadening
    safe = np.maximum(gap, 1e-30)
    root = np.sqrt(z**2 - safe**2)
    value = ((z * root).real - safe**2 * np.log(np.abs(z + root) / safe)) / 2
    inside = (size < gap) & (broadening == 0)
    kept: NDArray[np.float64] = np.where(inside, 0.0, value)
    return kept


@np.errstate(all="ignore")
def subgap_ratio(temperature: Numbers, gap: Numbers) -> Numbers:
    """Zero-bias over normal conductance of an ideal tunnel junction, √(2πΔ/kT) e^(-Δ/kT).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    gap : float or array
        Energy gap [J].

    Returns
    -------
    float or array
        Conductance ratio [1]; nan unless both are positive.

    Notes
    -----
    Limit kT ≪ Δ (5 % low at Δ = 7 kT). Real junctions stop at Γ/Δ, by leakage and stray photons. The
    exponential alone, often quoted, is lower by the root: 6.7 times for aluminium at 0.3 K.

    Source: Tinkham1996.

    Examples
    --------
    >>> print(f"{subgap_ratio(0.1, 182.4e-6 * 1.602176634e-19):.1e}")
    7.4e-09
    """
    y = _reduced(gap, temperature)
    return meaningful(np.sqrt(2 * pi * y) * np.exp(-y), y > 0)
