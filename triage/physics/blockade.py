"""Coulomb blockade: how much of it is left at a temperature, and the thermometer made of what is left.

Sequential tunnelling through high-resistance junctions (orthodox theory), zero bias unless said.
`thermal_ratio` is kT over the charging energy e²/2C throughout.
"""

from __future__ import annotations

from functools import cache
from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray

from triage.physics.broadening import inelastic_factor, inelastic_shape, level_peak, metallic_peak
from triage.physics.constants import boltzmann, elementary_charge, resistance_quantum
from triage.physics.energy import meaningful
from triage.physics.kind import Numbers, within

# Above this kT/E_C the gate has no effect left and the charge sum is its own series to 1e-8.
_warmest_sum = 50.0


@within(thermal_ratio=(0.02, 1e4, "kT/E_C"))
@np.errstate(all="ignore")
def transistor_conductance(gate_charge: Numbers, thermal_ratio: Numbers) -> Numbers:
    """Zero-bias conductance of a metallic single-electron transistor over its high-temperature value.

    Σ P_n u_n/(e^(u_n) - 1), u_n = [(n + 1 - n_g)² - (n - n_g)²]/t, P_n ∝ exp(-(n - n_g)²/t), t = kT/E_C

    Parameters
    ----------
    gate_charge : float or array
        Charge n_g induced by the gate, in electrons [1]; the result has period 1.
    thermal_ratio : float or array
        kT over the charging energy e²/2C [1].

    Returns
    -------
    float or array
        Conductance over that of the two junctions in series [1]; nan unless the ratio is positive.

    Notes
    -----
    Equal junctions of resistance well above h/e², no cotunnelling: the measured minimum is higher when
    blockade is deep. The two arguments broadcast.

    Source: Beenakker1991, AverinLikharev1991.

    Examples
    --------
    >>> print(round(transistor_conductance(0.5, 0.1), 4))
    0.5
    """
    ratio = np.asarray(thermal_ratio, dtype=float)
    bounded = np.clip(np.where(ratio > 0, ratio, 1.0), 1e-3, _warmest_sum)[..., np.newaxis]
    gate = np.asarray(gate_charge, dtype=float)
    gate = (gate - np.round(gate))[..., np.newaxis]
    states = ceil(6 * sqrt(bounded.max())) + 2
    charge = np.arange(-states, states + 1) - gate
    weight = np.exp((np.min(charge**2, axis=-1, keepdims=True) - charge**2) / bounded)
    rate = np.maximum(np.abs(2 * charge + 1) / bounded, 1e-300)
    flow = rate / np.expm1(np.minimum(rate, 700.0))
    flow = np.where(2 * charge + 1 < 0, flow + rate, flow)
    total = (weight * flow).sum(axis=-1) / weight.sum(axis=-1)
    far = 1 - _dip_series(2 / ratio)
    chosen = np.where(ratio > _warmest_sum, far, total)
    return meaningful(chosen, ratio > 0)


def _dip_series(strength: Numbers) -> Numbers:
    """Depth of the conductance dip to third order in e²/C over kT."""
    return strength / 6 - strength**2 / 60 + strength**3 / 630


@within(thermal_ratio=(0.02, 1e4, "kT/E_C"))
@np.errstate(all="ignore")
def conductance_minimum(thermal_ratio: Numbers) -> Numbers:
    """Lowest conductance of a gate sweep, at integer induced charge, over the high-temperature value.

    Parameters
    ----------
    thermal_ratio : float or array
        kT over the charging energy e²/2C [1].

    Returns
    -------
    float or array
        Conductance over that of the junctions in series [1].

    Notes
    -----
    See `transistor_conductance`.

    Source: Beenakker1991, AverinLikharev1991.

    Examples
    --------
    >>> print(round(conductance_minimum(0.3), 3))
    0.23
    """
    return transistor_conductance(0.0, thermal_ratio)


@within(thermal_ratio=(0.02, 1e4, "kT/E_C"))
@np.errstate(all="ignore")
def conductance_maximum(thermal_ratio: Numbers) -> Numbers:
    """Highest conductance of a gate sweep, at half-integer induced charge, over the high-temperature value.

    Parameters
    ----------
    thermal_ratio : float or array
        kT over the charging energy e²/2C [1].

    Returns
    -------
    float or array
        Conductance over that of the junctions in series [1]; one half when cold.

    Notes
    -----
    See `transistor_conductance`.

    Source: Beenakker1991, AverinLikharev1991.

    Examples
    --------
    >>> print(round(conductance_maximum(0.3), 3))
    0.508
    """
    return transistor_conductance(0.5, thermal_ratio)


@within(thermal_ratio=(0.02, 2.0, "kT/E_C"))
@np.errstate(all="ignore")
def oscillation_contrast(thermal_ratio: Numbers) -> Numbers:
    """Visibility of Coulomb oscillations, (maximum - minimum)/(maximum + minimum) of a gate sweep.

    Parameters
    ----------
    thermal_ratio : float or array
        kT over the charging energy e²/2C [1].

    Returns
    -------
    float or array
        Contrast, 0 to 1 [1].

    Notes
    -----
    Falls as exp(-π² kT/E_C): 38 % at 0.3, 6.5 % at 0.5, 0.06 % at 1. The dip around zero bias
    outlives it, see `thermometer_dip`. Above 2 the difference is lost in rounding.

    Source: Beenakker1991, AverinLikharev1991.

    Examples
    --------
    >>> print(round(oscillation_contrast(0.5), 3))
    0.065
    """
    low, high = conductance_minimum(thermal_ratio), conductance_maximum(thermal_ratio)
    return (high - low) / (high + low)


@np.errstate(all="ignore")
def ratio_for_contrast(contrast: Numbers) -> Numbers:
    """Highest kT/E_C that leaves Coulomb oscillations a given contrast.

    Parameters
    ----------
    contrast : float or array
        Contrast wanted, see `oscillation_contrast` [1].

    Returns
    -------
    float or array
        kT over the charging energy e²/2C [1]; nan outside 1e-6 to 0.999.

    Notes
    -----
    Inverse of the charge sum, tabulated once on 1600 points: the contrast returns to 1e-4.

    Source: Beenakker1991, AverinLikharev1991.

    Examples
    --------
    >>> print(round(ratio_for_contrast(0.065), 2))
    0.5
    """
    wanted = np.asarray(contrast, dtype=float)
    ratio, known = _contrast_table()
    found = np.interp(np.log(wanted / (1 - wanted)), known, ratio)
    return meaningful(found, (wanted >= 1e-6) & (wanted <= 0.999))


@cache
def _contrast_table() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """kT/E_C, falling, and ln(contrast/(1 - contrast)), which is nearly straight in it."""
    ratio = np.linspace(1.8, 0.08, 1600)
    contrast = np.asarray(oscillation_contrast(ratio))
    return ratio, np.log(contrast / (1 - contrast))


@np.errstate(all="ignore")
def tunnel_resistance_ratio(resistance: Numbers) -> Numbers:
    """Resistance of a tunnel junction over h/e² = 25.8 kΩ; blockade needs it well above 1.

    Parameters
    ----------
    resistance : float or array
        Resistance of one junction [Ω].

    Returns
    -------
    float or array
        Ratio [1]; nan below zero.

    Notes
    -----
    At about 4 the orthodox theory holds; near 1 quantum fluctuations blur the charge at any temperature.

    Source: AverinLikharev1991.

    Examples
    --------
    >>> print(round(tunnel_resistance_ratio(100e3), 2))
    3.87
    """
    return meaningful(resistance / resistance_quantum, np.greater_equal(resistance, 0))


@np.errstate(all="ignore")
def level_peak_conductance(detuning: Numbers, temperature: Numbers, rate_in: Numbers, rate_out: Numbers) -> Numbers:
    """Coulomb peak of a dot with one level, (e²/4kT)(Γ₁Γ₂/(Γ₁ + Γ₂)) cosh⁻²(δ/2kT).

    Parameters
    ----------
    detuning : float or array
        Energy from the centre of the peak [J].
    temperature : float or array
        Electron temperature [K].
    rate_in : float or array
        Tunnel rate Γ₁ through the first barrier [1/s].
    rate_out : float or array
        Tunnel rate Γ₂ through the second barrier [1/s].

    Returns
    -------
    float or array
        Conductance [S]; nan unless the temperature is positive.

    Notes
    -----
    ħΓ ≪ kT ≪ level spacing and charging energy; a spin-degenerate level shifts the peak by under kT.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(level_peak_conductance(0.0, 0.1, 1e9, 1e9) * 1e6, 2))  # µS
    2.32
    """
    thermal = boltzmann * np.asarray(temperature, dtype=float)
    through = _series(rate_in, rate_out)
    return elementary_charge**2 / (4 * thermal) * through * level_peak(detuning, temperature)


@np.errstate(all="ignore")
def metallic_peak_conductance(
    detuning: Numbers, temperature: Numbers, conductance_in: Numbers, conductance_out: Numbers
) -> Numbers:
    """Coulomb peak of an island with a dense spectrum, ½ (G₁G₂/(G₁ + G₂)) x/sinh x, x = δ/kT.

    Parameters
    ----------
    detuning : float or array
        Energy from the degeneracy of two charge states [J].
    temperature : float or array
        Electron temperature [K].
    conductance_in : float or array
        Conductance G₁ of the first barrier [S].
    conductance_out : float or array
        Conductance G₂ of the second barrier [S].

    Returns
    -------
    float or array
        Conductance [S]; nan unless the temperature is positive.

    Notes
    -----
    Level spacing ≪ kT ≪ e²/2C; for higher temperatures use `transistor_conductance`.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(metallic_peak_conductance(0.0, 0.1, 4e-6, 4e-6) * 1e6, 3))  # µS
    1.0
    """
    return _series(conductance_in, conductance_out) / 2 * metallic_peak(detuning, temperature)


def _series(first: Numbers, second: Numbers) -> Numbers:
    """Two rates or conductances one after the other."""
    first, second = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    return meaningful(first * second / (first + second), (first > 0) & (second > 0))


@np.errstate(all="ignore")
def thermometer_width(temperature: Numbers, junctions: Numbers) -> Numbers:
    """Full width at half depth of the conductance dip of a junction array, 5.4392 N kT/e.

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    junctions : float or array
        Number N of equal junctions in series [1].

    Returns
    -------
    float or array
        Bias voltage across the array [V]; nan below zero temperature.

    Notes
    -----
    First order in E_C/kT: primary, no calibration. Written V_1/2 by custom, though it is the full width.

    Source: Pekola1994.

    Examples
    --------
    >>> print(round(thermometer_width(0.022, 100) * 1e3, 2))  # mV
    1.03
    """
    width = inelastic_factor * junctions * boltzmann * temperature / elementary_charge
    return meaningful(width, np.greater_equal(temperature, 0))


@np.errstate(all="ignore")
def thermometer_strength(capacitance: Numbers, junctions: Numbers, temperature: Numbers) -> Numbers:
    """Charging strength u = ((N - 1)/N) e²/(C kT) of a junction array.

    Parameters
    ----------
    capacitance : float or array
        Capacitance of one junction [F].
    junctions : float or array
        Number N of equal junctions in series [1].
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Strength u [1]; nan unless capacitance and temperature are positive.

    Notes
    -----
    For two junctions u = 2 E_C/kT with E_C = e²/2C_Σ, C_Σ = 2C. Capacitance to ground left out.

    Source: Pekola1994.

    Examples
    --------
    >>> print(round(thermometer_strength(1e-15, 2, 1.0), 3))
    0.93
    """
    junctions = np.asarray(junctions, dtype=float)
    stored = np.asarray(capacitance, dtype=float) * boltzmann * np.asarray(temperature, dtype=float)
    strength = (junctions - 1) / junctions * elementary_charge**2 / stored
    return meaningful(strength, (stored > 0) & (junctions >= 1))


@within(strength=(0.0, 1.0, "e²/CkT"))
@np.errstate(all="ignore")
def thermometer_dip(strength: Numbers) -> Numbers:
    """Depth of the zero-bias conductance dip of a junction array, u/6 - u²/60 + u³/630.

    Parameters
    ----------
    strength : float or array
        Charging strength u, see `thermometer_strength` [1].

    Returns
    -------
    float or array
        1 - G(0)/G at high bias [1]; nan outside 0 to 2.5.

    Notes
    -----
    Third order in u; within 0.1 % of the charge sum for u ≤ 0.7 and two junctions, 3 % at u = 2.

    Source: Farhangfar1997.

    Examples
    --------
    >>> print(round(thermometer_dip(0.2), 4))
    0.0327
    """
    strength = np.asarray(strength, dtype=float)
    return meaningful(_dip_series(strength), (strength >= 0) & (strength <= 2.5))


@within(strength=(0.0, 0.5, "e²/CkT"))
@np.errstate(all="ignore")
def thermometer_conductance(voltage: Numbers, temperature: Numbers, junctions: Numbers, strength: Numbers) -> Numbers:
    """Conductance of a junction array against bias over its high-bias value, 1 - u χ(eV/NkT).

    Parameters
    ----------
    voltage : float or array
        Bias across the array [V].
    temperature : float or array
        Electron temperature [K].
    junctions : float or array
        Number N of equal junctions in series [1].
    strength : float or array
        Charging strength u, see `thermometer_strength` [1].

    Returns
    -------
    float or array
        G/G at high bias [1]; nan unless the temperature is positive.

    Notes
    -----
    First order in u, χ as in `inelastic_shape`. All four arguments broadcast.

    Source: Pekola1994.

    Examples
    --------
    >>> print(round(thermometer_conductance(0.0, 1.0, 2, 0.2), 4))
    0.9667
    """
    temperature = np.asarray(temperature, dtype=float)
    x = elementary_charge * np.asarray(voltage) / (junctions * boltzmann * temperature)
    return meaningful(1 - strength * inelastic_shape(x), temperature > 0)
