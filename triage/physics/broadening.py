"""How temperature, lifetime and modulation widen a spectroscopic feature; the line shapes themselves.

Widths are full widths at half maximum. Shapes broadcast over energy (or detuning) and temperature.
"""

from __future__ import annotations

from collections.abc import Callable
from math import acosh, pi, sinh, sqrt, tanh

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import boltzmann, elementary_charge, planck
from triage.physics.energy import meaningful
from triage.physics.kind import Numbers


def _half_point(shape: Callable[[float], float], high: float) -> float:
    """Where a falling shape has half its value at the origin, by bisection to the last digit."""
    low, half = 0.0, shape(0.0) / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if shape(middle) > half else (low, middle)
    return (low + high) / 2


def _ratio(x: float) -> float:
    return x / sinh(x) if x else 1.0


def _kernel(x: float) -> float:
    return (x / 2 / tanh(x / 2) - 1) / (2 * sinh(x / 2) ** 2) if x else 1 / 6


# Full widths in units of kT: one level or a normal probe, classical Coulomb peak, inelastic step.
level_factor = 4 * acosh(sqrt(2.0))
metallic_factor = 2 * _half_point(_ratio, 10.0)
inelastic_factor = 2 * _half_point(_kernel, 10.0)


@np.errstate(all="ignore")
def thermal_width(temperature: Numbers, factor: Numbers = level_factor) -> Numbers:
    """Full width of a thermally broadened feature, factor × kT.

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    factor : float or array
        Width over kT [1]: `level_factor` 3.525 (single level, normal tunnel probe),
        `metallic_factor` 4.355 (classical Coulomb peak), `inelastic_factor` 5.439
        (inelastic tunnelling step, each junction of a Coulomb blockade thermometer).

    Returns
    -------
    float or array
        Full width at half maximum, as an energy [J]; nan below zero temperature.

    Source: Beenakker1991, LambeJaklevic1968.

    Examples
    --------
    >>> print(round(thermal_width(0.3) / 1.602176634e-19 * 1e6, 1))  # µeV
    91.1
    """
    return meaningful(boltzmann * temperature * factor, np.greater_equal(temperature, 0))


@np.errstate(all="ignore")
def temperature_for_width(width: Numbers, factor: Numbers = level_factor, other: Numbers = 0.0) -> Numbers:
    """Highest electron temperature that keeps a feature within a width, √(width² - other²)/(factor k).

    Parameters
    ----------
    width : float or array
        Total full width allowed [J].
    factor : float or array
        Thermal width over kT [1], see `thermal_width`.
    other : float or array
        Full width of everything that is not thermal, added in quadrature [J].

    Returns
    -------
    float or array
        Electron temperature [K]; nan where the other contributions alone are wider.

    Source: Beenakker1991, LambeJaklevic1968.

    Examples
    --------
    >>> print(round(temperature_for_width(1e-5 * 1.602176634e-19) * 1e3))  # 10 µeV, in mK
    33
    """
    width, other = np.asarray(width, dtype=float), np.asarray(other, dtype=float)
    room = width**2 - other**2
    return meaningful(np.sqrt(room) / (factor * boltzmann), (room >= 0) & (width >= 0))


@np.errstate(all="ignore")
def gate_voltage_width(temperature: Numbers, lever_arm: Numbers, factor: Numbers = level_factor) -> Numbers:
    """Full width of a Coulomb peak along the gate axis, factor × kT/(α e).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    lever_arm : float or array
        Shift of the level per gate voltage, α [eV/V].
    factor : float or array
        Width over kT [1], see `thermal_width`.

    Returns
    -------
    float or array
        Gate voltage [V]; nan for a lever arm that is not positive.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(gate_voltage_width(0.1, 0.1) * 1e3, 2))  # mV
    0.3
    """
    lever_arm = np.asarray(lever_arm, dtype=float)
    return meaningful(thermal_width(temperature, factor) / (lever_arm * elementary_charge), lever_arm > 0)


def _reduced(
    energy: Numbers, temperature: Numbers
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool]]:
    """Energy over kT, kT (1 J where it has no meaning), and whether the temperature is positive."""
    thermal = boltzmann * np.asarray(temperature, dtype=float)
    positive = np.asarray(thermal > 0)
    thermal = np.where(positive, thermal, 1.0)
    return np.asarray(energy / thermal), thermal, positive


@np.errstate(all="ignore")
def fermi_derivative(energy: Numbers, temperature: Numbers) -> Numbers:
    """Thermal smearing of a normal probe, -df/dE = 1/(4kT cosh²(E/2kT)).

    Parameters
    ----------
    energy : float or array
        Energy from the Fermi level [J].
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Weight per energy, with unit area [1/J]; nan unless the temperature is positive.

    Source: AshcroftMermin1976.

    Examples
    --------
    >>> print(round(fermi_derivative(0.0, 1.0) * 1.380649e-23, 6))
    0.25
    """
    x, thermal, positive = _reduced(energy, temperature)
    decay = np.exp(-np.abs(x))
    return meaningful(decay / (1 + decay) ** 2 / thermal, positive)


@np.errstate(all="ignore")
def level_peak(detuning: Numbers, temperature: Numbers) -> Numbers:
    """Coulomb peak of one sharp level, cosh⁻²(δ/2kT), with its maximum at 1.

    Parameters
    ----------
    detuning : float or array
        Energy from the centre of the peak [J].
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Conductance over that of the peak [1]; nan unless the temperature is positive.

    Notes
    -----
    Holds for hΓ ≪ kT ≪ level spacing; the height itself then goes as 1/T.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(level_peak(level_factor / 2 * 1.380649e-23, 1.0), 6))
    0.5
    """
    x, _, positive = _reduced(energy=detuning, temperature=temperature)
    decay = np.exp(-np.abs(x))
    return meaningful(4 * decay / (1 + decay) ** 2, positive)


@np.errstate(all="ignore")
def metallic_peak(detuning: Numbers, temperature: Numbers) -> Numbers:
    """Coulomb peak of an island with a dense spectrum, x/sinh x with x = δ/kT, its maximum at 1.

    Parameters
    ----------
    detuning : float or array
        Energy from the degeneracy of two charge states [J].
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Conductance over that of the peak [1]; nan unless the temperature is positive.

    Notes
    -----
    Holds for level spacing ≪ kT ≪ e²/2C. The height stays at half the high-temperature conductance.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(metallic_peak(metallic_factor / 2 * 1.380649e-23, 1.0), 6))
    0.5
    """
    x, _, positive = _reduced(energy=detuning, temperature=temperature)
    size = np.maximum(np.abs(x), 1e-9)
    return meaningful(2 * size * np.exp(-size) / -np.expm1(-2 * size), positive)


@np.errstate(all="ignore")
def inelastic_kernel(energy: Numbers, temperature: Numbers) -> Numbers:
    """Thermal smearing of an inelastic tunnelling step, χ(E/kT)/kT.

    χ(x) = eˣ[(x - 2)eˣ + x + 2]/(eˣ - 1)³ = (y coth y - 1)/(2 sinh² y) with y = x/2

    Parameters
    ----------
    energy : float or array
        eV less the energy of the excitation [J].
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Weight per energy, with unit area [1/J]; nan unless the temperature is positive.

    Notes
    -----
    The conductance dip of a Coulomb blockade thermometer has the same shape.

    Source: LambeJaklevic1968.

    Examples
    --------
    >>> print(round(inelastic_kernel(0.0, 1.0) * 1.380649e-23 * 6, 6))
    1.0
    """
    x, thermal, positive = _reduced(energy, temperature)
    return meaningful(inelastic_shape(x) / thermal, positive)


@np.errstate(all="ignore")
def inelastic_shape(reduced_energy: Numbers) -> Numbers:
    """Function χ(x) of `inelastic_kernel` itself, without its temperature.

    Parameters
    ----------
    reduced_energy : float or array
        Energy over kT [1].

    Returns
    -------
    float or array
        χ, with unit area and 1/6 at its maximum [1].

    Source: LambeJaklevic1968.

    Examples
    --------
    >>> print(round(inelastic_shape(0.0), 6))
    0.166667
    """
    half = np.abs(np.asarray(reduced_energy, dtype=float)) / 2
    y = np.maximum(half, 0.02)
    decay = np.exp(-2 * y)
    full = 2 * decay * (y * (1 + decay) / (1 - decay) - 1) / (1 - decay) ** 2
    # The difference in the numerator cancels near zero, where the series is exact to 1e-11.
    series = (1 - 0.4 * half**2 + 2 * half**4 / 21) / 6
    chosen: Numbers = np.where(half < 0.02, series, full)[()]
    return chosen


@np.errstate(all="ignore")
def lorentzian(energy: Numbers, width: Numbers) -> Numbers:
    """Lifetime-broadened line (w/2π)/(E² + w²/4), w = hΓ its full width.

    Parameters
    ----------
    energy : float or array
        Energy from the centre [J].
    width : float or array
        Full width at half maximum [J].

    Returns
    -------
    float or array
        Weight per energy, with unit area [1/J]; nan unless the width is positive.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(float(lorentzian(0.5, 1.0) / lorentzian(0.0, 1.0)), 6))
    0.5
    """
    width = np.asarray(width, dtype=float)
    return meaningful(width / (2 * pi) / (np.square(energy) + width**2 / 4), width > 0)


@np.errstate(all="ignore")
def broadened_level(energy: Numbers, temperature: Numbers, width: Numbers) -> Numbers:
    """Lorentzian level seen by thermal leads: the exact convolution with -df/dE.

    Re ψ'(1/2 + (w/2 + iE)/2πkT)/(2π² kT), ψ' the trigamma function

    Parameters
    ----------
    energy : float or array
        Energy from the centre [J].
    temperature : float or array
        Electron temperature [K].
    width : float or array
        Full width w = hΓ of the level [J].

    Returns
    -------
    float or array
        Weight per energy, with unit area [1/J]; nan unless the temperature is positive.

    Notes
    -----
    Follows from the two shapes by contour integration. Without interaction between charge states: good on
    one peak, not across a whole diamond.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(float(broadened_level(0.0, 1.0, 0.0) * 1.380649e-23), 6))
    0.25
    """
    thermal = boltzmann * np.asarray(temperature, dtype=float)
    good = (thermal > 0) & (np.asarray(width) >= 0)
    point = 0.5 + (np.asarray(width) / 2 + 1j * np.asarray(energy)) / (2 * pi * thermal)
    value = np.zeros_like(point)
    # Six steps up bring the asymptotic series below 1e-10.
    for _ in range(6):
        value, point = value + point**-2, point + 1
    square = point**-2
    value = value + (1 + square * (1 / 6 - square * (1 / 30 - square * (1 / 42 - square / 30)))) / point
    value = value + square / 2
    return meaningful(value.real / (2 * pi**2 * thermal), good)


@np.errstate(all="ignore")
def level_width(temperature: Numbers, width: Numbers) -> Numbers:
    """Full width of a lifetime-broadened level at temperature, 0.535 w + √(0.217 w² + (3.525 kT)²).

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    width : float or array
        Full width w = hΓ of the level alone [J].

    Returns
    -------
    float or array
        Full width at half maximum [J]; nan below zero.

    Notes
    -----
    A rule for Gaussian lines used for the thermal one: low by up to 5 % (near w = 3 kT) beside the exact
    `broadened_level`.

    Source: OliveroLongbothum1977.

    Examples
    --------
    >>> print(round(float(level_width(1.0, 1.380649e-23) / 1.380649e-23), 2))
    4.09
    """
    width = np.asarray(width, dtype=float)
    thermal = thermal_width(temperature)
    total = 0.5346 * width + np.sqrt(0.2166 * width**2 + np.square(thermal))
    return meaningful(total, width >= 0)


@np.errstate(all="ignore")
def modulation_width(amplitude: Numbers, harmonic: Numbers, rms: bool) -> Numbers:
    """Full width that lock-in modulation adds, 2V√(1 - 2^(-1/(n - 1/2))), V the peak amplitude.

    Parameters
    ----------
    amplitude : float or array
        Modulation, from zero to peak or rms as `rms` says [V].
    harmonic : float or array
        Harmonic n of the current detected [1]: 1 gives dI/dV, 2 gives d²I/dV².
    rms : bool
        Whether the amplitude is rms; False for zero to peak.

    Returns
    -------
    float or array
        Full width at half maximum [V]; nan for a harmonic below 1.

    Notes
    -----
    1.732 V peak (2.449 rms) for n = 1; 1.217 V peak (1.721 rms) for n = 2: hence the explicit arguments.

    Source: Klein1973.

    Examples
    --------
    >>> print(round(float(modulation_width(1.0, harmonic=2, rms=True)), 4))
    1.7206
    """
    harmonic = np.asarray(harmonic, dtype=float)
    peak = np.abs(amplitude) * (sqrt(2.0) if rms else 1.0)
    factor = 2 * np.sqrt(1 - 2 ** (-1 / (harmonic - 0.5)))
    return meaningful(peak * factor, harmonic >= 1)


@np.errstate(all="ignore")
def combined_width(*widths: Numbers) -> Numbers:
    """Total of independent full widths in quadrature, √Σw².

    Parameters
    ----------
    *widths : float or array
        Full widths in the same unit [J or V].

    Returns
    -------
    float or array
        Full width [as given].

    Notes
    -----
    Exact for Gaussian lines, within 5 % for thermal and modulation kernels; a Lorentzian wants `level_width`.

    Source: Klein1973.

    Examples
    --------
    >>> combined_width(3.0, 4.0).item()
    5.0
    """
    return np.sqrt(sum(np.square(width) for width in widths))


@np.errstate(all="ignore")
def lifetime_width(rate: Numbers) -> Numbers:
    """Full width ħΓ that escape at a given rate gives a level.

    Parameters
    ----------
    rate : float or array
        Total rate of leaving the level, in events per second, not cycles [1/s].

    Returns
    -------
    float or array
        Full width at half maximum [J].

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(lifetime_width(1e9) / 1.602176634e-19 * 1e6, 3))  # µeV
    0.658
    """
    return planck / (2 * pi) * rate
