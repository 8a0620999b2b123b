"""Quantum transport at temperature: oscillations, Hall gaps, coherence, Kondo, steps, swing, heat.

Every function broadcasts over its arguments.
"""

from __future__ import annotations

from math import log, pi

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import (
    boltzmann,
    electron_mass,
    elementary_charge,
    planck,
    reduced_planck,
    resistance_quantum,
)
from triage.physics.energy import meaningful
from triage.physics.kind import Numbers, within
from triage.physics.occupation import fermi


@np.errstate(all="ignore")
def thermal_damping(temperature: Numbers, field: Numbers, mass_ratio: Numbers) -> Numbers:
    """Lifshitz-Kosevich factor of quantum oscillations, X/sinh X with X = 2π² kT m/(ħ e B).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    field : float or array
        Flux density normal to the layer [T].
    mass_ratio : float or array
        Effective over free electron mass [1].

    Returns
    -------
    float or array
        Amplitude over that at zero temperature [1]; nan below zero temperature, 0 in zero field.

    Notes
    -----
    First harmonic. X = 14.69 (m/m_e) T/B; a mass fit wants values from 0.2 to 0.9.

    Source: Shoenberg1984.

    Examples
    --------
    >>> print(round(thermal_damping(4.2, 2.0, 0.067), 3))
    0.532
    """
    temperature, size = np.asarray(temperature, dtype=float), np.abs(np.asarray(field, dtype=float))
    scale = 2 * pi**2 * boltzmann * electron_mass / (reduced_planck * elementary_charge)
    x = scale * mass_ratio * temperature / size
    x = np.clip(x, 1e-9, 700.0)
    value = 2 * x * np.exp(-x) / -np.expm1(-2 * x)
    return meaningful(np.where(size > 0, value, 0.0), temperature >= 0)


@np.errstate(all="ignore")
def dingle_factor(field: Numbers, quantum_mobility: Numbers) -> Numbers:
    """Dingle factor of quantum oscillations, exp(-π/μ_q B).

    Parameters
    ----------
    field : float or array
        Flux density normal to the layer [T].
    quantum_mobility : float or array
        Mobility e τ_q/m from the quantum lifetime [m²/(V s)].

    Returns
    -------
    float or array
        Amplitude over that without disorder [1]; 0 in zero field, nan for a negative mobility.

    Notes
    -----
    The quantum lifetime is 2 to 20 times shorter than that of the Hall mobility in clean layers.

    Source: Shoenberg1984.

    Examples
    --------
    >>> print(round(dingle_factor(2.0, 1.0), 3))
    0.208
    """
    product = np.abs(field) * np.asarray(quantum_mobility, dtype=float)
    return meaningful(np.exp(-pi / np.abs(product)), product >= 0)


@np.errstate(all="ignore")
def hall_gap(splitting: Numbers, level_width: Numbers) -> Numbers:
    """Activation gap of a Hall state, the level splitting less the width of the levels.

    Parameters
    ----------
    splitting : float or array
        Distance of the neighbouring levels [J].
    level_width : float or array
        Full width of the extended part of a level [J].

    Returns
    -------
    float or array
        Gap [J]; 0 where the levels overlap.

    Source: PrangeGirvin1990.

    Examples
    --------
    >>> print(hall_gap(10.0, 4.0))
    6.0
    """
    return np.maximum(np.subtract(splitting, level_width), 0.0)


@np.errstate(all="ignore")
def activated_resistivity(temperature: Numbers, gap: Numbers, prefactor: Numbers) -> Numbers:
    """Longitudinal resistivity in a Hall minimum, ρ0 exp(-Δ/2kT).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    gap : float or array
        Activation gap Δ [J].
    prefactor : float or array
        Resistivity in the limit of high temperature, ρ0 [Ω].

    Returns
    -------
    float or array
        Resistivity [Ω]; nan unless the temperature is positive.

    Notes
    -----
    Between about Δ/10 and Δ/2; colder, hopping takes over and the fall is slower.

    Source: PrangeGirvin1990.

    Examples
    --------
    >>> print(round(activated_resistivity(1.0, 20 * 1.380649e-23, 1e4), 3))
    0.454
    """
    temperature = np.asarray(temperature, dtype=float)
    return meaningful(prefactor * np.exp(-gap / (2 * boltzmann * temperature)), temperature > 0)


@np.errstate(all="ignore")
def gap_for_suppression(temperature: Numbers, ratio: Numbers) -> Numbers:
    """Activation gap that suppresses the resistivity to a given ratio, 2kT ln(1/ratio).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    ratio : float or array
        Resistivity over its prefactor [1].

    Returns
    -------
    float or array
        Gap [J]; nan unless 0 < ratio ≤ 1.

    Source: PrangeGirvin1990.

    Examples
    --------
    >>> print(round(gap_for_suppression(1.0, 1e-6) / 1.380649e-23, 1))  # ppm
    27.6
    """
    ratio = np.asarray(ratio, dtype=float)
    return meaningful(-2 * boltzmann * temperature * np.log(ratio), (ratio > 0) & (ratio <= 1))


@np.errstate(all="ignore")
def thermal_length(diffusion: Numbers, temperature: Numbers) -> Numbers:
    """Length √(ħD/kT) over which carriers kT apart stay in phase.

    Parameters
    ----------
    diffusion : float or array
        Diffusion constant [m²/s].
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Length [m]; nan unless the temperature is positive.

    Source: LeeStone1985.

    Examples
    --------
    >>> print(round(thermal_length(0.01, 0.3) * 1e6, 3))  # µm
    0.505
    """
    temperature = np.asarray(temperature, dtype=float)
    return meaningful(np.sqrt(reduced_planck * diffusion / (boltzmann * temperature)), temperature > 0)


@np.errstate(all="ignore")
def coherence_length(diffusion: Numbers, dephasing_time: Numbers) -> Numbers:
    """Phase coherence length √(D τ_φ).

    Parameters
    ----------
    diffusion : float or array
        Diffusion constant [m²/s].
    dephasing_time : float or array
        Dephasing time [s].

    Returns
    -------
    float or array
        Length [m].

    Source: HikamiLarkinNagaoka1980.

    Examples
    --------
    >>> print(round(coherence_length(0.01, 1e-10) * 1e6, 2))  # µm
    1.0
    """
    return np.sqrt(np.asarray(diffusion, dtype=float) * dephasing_time)


@np.errstate(all="ignore")
def digamma(x: Numbers) -> Numbers:
    """Digamma function ψ(x) of a positive argument.

    Parameters
    ----------
    x : float or array
        Argument [1].

    Returns
    -------
    float or array
        ψ(x) [1]; nan unless the argument is positive.

    Notes
    -----
    Recurrence up by six, then the asymptotic series: 1e-12 or better.

    Source: AbramowitzStegun1964, 6.3.5 and 6.3.18.

    Examples
    --------
    >>> print(round(digamma(0.5), 8))
    -1.96351003
    """
    x = np.asarray(x, dtype=float)
    z = np.where(x > 0, x, 1.0)
    shift: NDArray[np.float64] = np.zeros_like(z)
    for _ in range(6):
        shift, z = shift + 1 / z, z + 1
    s = z**-2.0
    tail = s * (1 / 12 - s * (1 / 120 - s * (1 / 252 - s * (1 / 240 - s * (1 / 132 - s * 691 / 32760)))))
    return meaningful(np.log(z) - 0.5 / z - tail - shift, x > 0)


@np.errstate(all="ignore")
def weak_localisation(field: Numbers, coherence_length: Numbers, prefactor: Numbers = 1.0) -> Numbers:
    """Magnetoconductance of a thin film, α (e²/πh)[ψ(1/2 + B_φ/B) - ln(B_φ/B)], B_φ = ħ/(4e L_φ²).

    Parameters
    ----------
    field : float or array
        Flux density normal to the film [T].
    coherence_length : float or array
        Phase coherence length L_φ [m].
    prefactor : float or array
        α [1]: 1 for weak localisation, -1/2 for antilocalisation in strong spin-orbit coupling.

    Returns
    -------
    float or array
        Sheet conductance less that in zero field [S]; nan unless the length is positive.

    Notes
    -----
    Film thinner than L_φ, field well below ħ/(4e ℓ²) with ℓ the mean free path.

    Source: HikamiLarkinNagaoka1980.

    Examples
    --------
    >>> print(round(weak_localisation(0.01, 1e-6) * 1e6, 1))  # µS
    27.4
    """
    length = np.asarray(coherence_length, dtype=float)
    ratio = reduced_planck / (4 * elementary_charge * length**2 * np.abs(field))
    near = np.minimum(ratio, 100.0)
    # Far out the two terms cancel to all digits; their series does not.
    series = (1 / 24 - 7 / 960 / ratio**2) / ratio**2
    value = np.where(ratio > 100, series, digamma(0.5 + near) - np.log(near))
    return meaningful(prefactor / (pi * resistance_quantum) * value, length > 0)


@np.errstate(all="ignore")
def interference_amplitude(
    temperature: Numbers, thouless_energy: Numbers, path: Numbers, coherence_length: Numbers
) -> Numbers:
    """Conductance amplitude of Aharonov-Bohm oscillations, (e²/h) min(1, √(E_c/kT)) exp(-L/L_φ).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    thouless_energy : float or array
        Thouless energy E_c of the ring [J].
    path : float or array
        Length L of one arm [m].
    coherence_length : float or array
        Phase coherence length at that temperature [m].

    Returns
    -------
    float or array
        Amplitude [S]; nan unless temperature and coherence length are positive.

    Notes
    -----
    Order of magnitude: the factor in front depends on the ring and its leads.

    Source: Washburn1986.

    Examples
    --------
    >>> print(round(interference_amplitude(0.3, 1.05e-24, 1e-6, 2e-6) * 1e6, 1))  # µS
    11.8
    """
    temperature, length = np.asarray(temperature, dtype=float), np.asarray(coherence_length, dtype=float)
    average = np.minimum(1.0, np.sqrt(thouless_energy / (boltzmann * temperature)))
    value = average * np.exp(-np.asarray(path) / length) / resistance_quantum
    return meaningful(value, (temperature > 0) & (length > 0))


@within(exponent=(0.15, 0.3, ""))
@np.errstate(all="ignore")
def kondo_conductance(
    temperature: Numbers, kondo_temperature: Numbers, conductance: Numbers = 1.0, exponent: Numbers = 0.22
) -> Numbers:
    """Conductance of a Kondo-correlated dot, G0 [1 + (2^(1/s) - 1)(T/T_K)²]^(-s).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    kondo_temperature : float or array
        T_K, where the conductance is half its limit [K].
    conductance : float or array
        Limit G0 at zero temperature [S, or 1 for the ratio].
    exponent : float or array
        s [1]: 0.22 for spin one half.

    Returns
    -------
    float or array
        Conductance [as `conductance`]; nan unless T_K is positive.

    Notes
    -----
    Empirical fit to renormalisation-group results; a background is not included.

    Source: GoldhaberGordon1998, Costi1994.

    Examples
    --------
    >>> print(round(kondo_conductance(0.2, 1.0), 2))
    0.87
    """
    scale = np.asarray(kondo_temperature, dtype=float)
    squared = np.square(temperature / scale)
    factor = np.exp2(1 / np.asarray(exponent, dtype=float)) - 1
    value = conductance * (1 + factor * squared) ** -np.asarray(exponent, dtype=float)
    return meaningful(value, (scale > 0) & np.greater_equal(temperature, 0))


@np.errstate(all="ignore")
def quantised_conductance(
    chemical_potential: Numbers, temperature: Numbers, subbands: Numbers, degeneracy: Numbers = 2.0
) -> Numbers:
    """Conductance of a point contact with thermal leads, g (e²/h) Σ_n f(E_n - μ).

    Parameters
    ----------
    chemical_potential : float or array
        Energy of the leads, μ [J].
    temperature : float or array
        Electron temperature [K].
    subbands : float or array
        Bottoms of the one-dimensional subbands, along the LAST axis [J].
    degeneracy : float or array
        Spin (and valley) degeneracy g [1].

    Returns
    -------
    float or array
        Conductance [S], in the broadcast shape of the other arguments; nan below zero temperature.

    Notes
    -----
    Steps otherwise sharp: tunnelling through the barrier rounds them further. Plateaus show from a
    spacing of 4 kT and are flat to a few per cent from 10 kT.

    Source: vanWees1988.

    Examples
    --------
    >>> levels = np.array([1.0, 3.0, 5.0]) * 1e-22
    >>> print(round(quantised_conductance(4e-22, 0.1, levels) * 25812.807, 4))
    4.0
    """
    edges = np.atleast_1d(np.asarray(subbands, dtype=float))
    potential = np.asarray(chemical_potential, dtype=float)[..., np.newaxis]
    filled = np.asarray(fermi(edges - potential, np.asarray(temperature, dtype=float)[..., np.newaxis]))
    value: Numbers = degeneracy / resistance_quantum * filled.sum(axis=-1)
    return value


@np.errstate(all="ignore")
def subthreshold_swing(temperature: Numbers, tail: Numbers = 0.0, ideality: Numbers = 1.0) -> Numbers:
    """Gate voltage per decade of current, m ln10 × the larger of kT/e and the band tail W/e.

    The corner is rounded: W [1 + a ln(1 + e^((kT - W)/aW))] with a = 0.1.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    tail : float or array
        Decay energy W of the band tail [J]; 3 to 5 meV in silicon transistors.
    ideality : float or array
        Gate voltage per surface potential, m [1].

    Returns
    -------
    float or array
        Swing [V per decade]; nan below zero temperature or tail.

    Notes
    -----
    The rounding is an assumption; both limits are the source's. Saturates below T = W/k.
    Below 1 K transistors have shown further steps that are not described.

    Source: Beckers2020.

    Examples
    --------
    >>> print(round(subthreshold_swing(77.0) * 1e3, 1))  # mV per decade
    15.3
    """
    temperature, tail = np.asarray(temperature, dtype=float), np.asarray(tail, dtype=float)
    thermal = boltzmann * temperature
    corner = 0.1 * np.where(tail > 0, tail, 1.0)
    smooth = tail + corner * np.logaddexp(0.0, (thermal - tail) / corner)
    energy = np.where(tail > 0, smooth, thermal)
    return meaningful(ideality * log(10) / elementary_charge * energy, (temperature >= 0) & (tail >= 0))


@np.errstate(all="ignore")
def thermal_conductance_quantum(temperature: Numbers) -> Numbers:
    """Greatest thermal conductance of one channel, π² k² T/3h.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Thermal conductance [W/K]; nan below zero.

    Notes
    -----
    A suspended beam has four phonon channels at low temperature, so a four-beam bridge has sixteen.

    Source: Schwab2000.

    Examples
    --------
    >>> print(round(thermal_conductance_quantum(1.0) * 1e12, 3))  # pW/K
    0.946
    """
    unit = pi**2 * boltzmann**2 / (3 * planck)
    return meaningful(unit * temperature, np.greater_equal(temperature, 0))


@np.errstate(all="ignore")
def hall_density(hall_slope: Numbers) -> Numbers:
    """Sheet density of carriers from the Hall slope, 1/(e dR_xy/dB).

    Parameters
    ----------
    hall_slope : float or array
        Slope of Hall resistance against field, either sign [Ω/T].

    Returns
    -------
    float or array
        Density [1/m²]; nan for zero slope.

    Notes
    -----
    One kind of carrier in one layer.

    Source: AshcroftMermin1976.

    Examples
    --------
    >>> print(f"{hall_density(3120.75):.3e}")
    2.000e+15
    """
    size = np.abs(np.asarray(hall_slope, dtype=float))
    return meaningful(1 / (elementary_charge * size), size > 0)


@np.errstate(all="ignore")
def hall_mobility(hall_slope: Numbers, sheet_resistance: Numbers) -> Numbers:
    """Hall mobility, the Hall slope over the sheet resistance in zero field.

    Parameters
    ----------
    hall_slope : float or array
        Slope of Hall resistance against field, either sign [Ω/T].
    sheet_resistance : float or array
        Resistance per square in zero field [Ω].

    Returns
    -------
    float or array
        Mobility [m²/(V s)]; nan unless the sheet resistance is positive.

    Source: AshcroftMermin1976.

    Examples
    --------
    >>> print(round(hall_mobility(3120.75, 80.0), 1))
    39.0
    """
    sheet = np.asarray(sheet_resistance, dtype=float)
    return meaningful(np.abs(hall_slope) / sheet, sheet > 0)
