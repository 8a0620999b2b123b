"""Electron temperature of a device: what the leads, the phonons and its own heat leave of the cold.

Every function broadcasts over its arguments.
"""

from __future__ import annotations

from math import nan, pi

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.energy import meaningful
from triage.physics.kind import Numbers

# How heat leaves the electrons: through the leads (Wiedemann-Franz) or into the phonons of a metal.
lead_cooled = 2.0
phonon_cooled = 5.0


def electron_temperature(bath: Numbers, saturation: Numbers, exponent: Numbers = phonon_cooled) -> Numbers:
    """Electron temperature at a bath temperature, (T_b^n + T_s^n)^(1/n).

    Parameters
    ----------
    bath : float or array
        Temperature of stage and lattice [K].
    saturation : float or array
        Electron temperature left on a perfectly cold stage: a property of the loom [K].
    exponent : float or array
        n [1]: `lead_cooled` 2 or `phonon_cooled` 5.

    Returns
    -------
    float or array
        Electron temperature [K]; nan below zero or for an exponent that is not positive.

    Notes
    -----
    Heat load taken as independent of bath temperature. Typical saturation: 25 mK filtered, 50 to
    200 mK unfiltered (common practice).

    Source: Giazotto2006.

    Examples
    --------
    >>> print(round(electron_temperature(0.02, 0.025) * 1e3, 1))  # mK
    26.5
    """
    return _combine(bath, saturation, exponent, 1.0)


def bath_for_electrons(electrons: Numbers, saturation: Numbers, exponent: Numbers = phonon_cooled) -> Numbers:
    """Warmest stage that still gives an electron temperature, (T_e^n - T_s^n)^(1/n).

    Parameters
    ----------
    electrons : float or array
        Electron temperature wanted [K].
    saturation : float or array
        Electron temperature left on a perfectly cold stage [K].
    exponent : float or array
        n [1]: `lead_cooled` 2 or `phonon_cooled` 5.

    Returns
    -------
    float or array
        Bath temperature [K]; nan where the loom alone is warmer than wanted.

    Source: Giazotto2006.

    Examples
    --------
    >>> print(round(bath_for_electrons(0.03, 0.025) * 1e3, 1))  # mK
    27.1
    """
    return _combine(electrons, saturation, exponent, -1.0)


def saturation_from_measurement(electrons: Numbers, bath: Numbers, exponent: Numbers = phonon_cooled) -> Numbers:
    """Saturation temperature of a loom from one measurement, (T_e^n - T_b^n)^(1/n).

    Parameters
    ----------
    electrons : float or array
        Electron temperature measured [K].
    bath : float or array
        Stage temperature during the measurement [K].
    exponent : float or array
        n [1]: `lead_cooled` 2 or `phonon_cooled` 5.

    Returns
    -------
    float or array
        Saturation temperature [K]; nan where the electrons read colder than the stage.

    Notes
    -----
    Only sharp where T_e is clearly above T_b: take it on the coldest stage there is.

    Source: Giazotto2006.

    Examples
    --------
    >>> print(round(saturation_from_measurement(0.0265, 0.02) * 1e3))  # mK
    25
    """
    return _combine(electrons, bath, exponent, -1.0)


def _combine(larger: Numbers, smaller: Numbers, exponent: Numbers, sign: float) -> Numbers:
    """(a^n ± b^n)^(1/n), scaled so that the fifth powers of millikelvins stay precise; quick for plain numbers."""
    if isinstance(larger, float) and isinstance(smaller, float) and isinstance(exponent, float) and exponent >= 0.1:
        return _combine_plain(larger, smaller, exponent, sign)
    larger, smaller = np.asarray(larger, dtype=float), np.asarray(smaller, dtype=float)
    with np.errstate(all="ignore"):
        scale = np.maximum(np.maximum(larger, smaller), 1e-300)
        inside = (larger / scale) ** exponent + sign * (smaller / scale) ** exponent
        value = scale * np.maximum(inside, 0.0) ** (1 / np.asarray(exponent, dtype=float))
        return meaningful(value, (inside >= 0) & (larger >= 0) & (smaller >= 0) & np.greater(exponent, 0))


def _combine_plain(larger: float, smaller: float, exponent: float, sign: float) -> float:
    """The same for an exponent whose root cannot overflow."""
    if not (larger >= 0 and smaller >= 0):
        return nan
    scale = max(larger, smaller, 1e-300)
    inside = (larger / scale) ** exponent + sign * (smaller / scale) ** exponent
    return float(scale * inside ** (1 / exponent)) if inside >= 0 else nan


@np.errstate(all="ignore")
def island_temperature(power: Numbers, phonon_temperature: Numbers, volume: Numbers, coupling: Numbers) -> Numbers:
    """Temperature of heated electrons in a small metal island, (P/ΣΩ + T_ph⁵)^(1/5).

    Parameters
    ----------
    power : float or array
        Heat into the electrons [W].
    phonon_temperature : float or array
        Temperature of the lattice [K].
    volume : float or array
        Volume Ω of the island [m³].
    coupling : float or array
        Electron-phonon coupling Σ [W/(m³ K⁵)]: copper 2e9, gold 2.4e9, silver 0.5e9, normal
        aluminium 0.2e9 to 0.3e9, titanium 1.3e9 (from memory, within a factor of 2).

    Returns
    -------
    float or array
        Electron temperature [K]; nan for negative power or temperature.

    Notes
    -----
    Normal metal, no heat out through the leads. A superconductor couples a hundred times less at Tc/3.

    Source: Wellstood1994, Giazotto2006.

    Examples
    --------
    >>> print(round(island_temperature(1e-15, 0.02, 1e-20, 2e9) * 1e3))  # mK
    138
    """
    power, phonon = np.asarray(power, dtype=float), np.asarray(phonon_temperature, dtype=float)
    room = np.asarray(volume, dtype=float) * coupling
    value = (np.maximum(power, 0) / room + np.maximum(phonon, 0) ** 5) ** 0.2
    return meaningful(value, (power >= 0) & (phonon >= 0) & (room > 0))


@np.errstate(all="ignore")
def island_power(electrons: Numbers, phonon_temperature: Numbers, volume: Numbers, coupling: Numbers) -> Numbers:
    """Heat from the electrons of a metal island into its lattice, ΣΩ (T_e⁵ - T_ph⁵).

    Parameters
    ----------
    electrons : float or array
        Electron temperature [K].
    phonon_temperature : float or array
        Temperature of the lattice [K].
    volume : float or array
        Volume Ω of the island [m³].
    coupling : float or array
        Electron-phonon coupling Σ, see `island_temperature` [W/(m³ K⁵)].

    Returns
    -------
    float or array
        Power [W]; negative where the lattice heats the electrons.

    Notes
    -----
    The power a device may dissipate for a given electron temperature.

    Source: Wellstood1994, Giazotto2006.

    Examples
    --------
    >>> print(round(island_power(0.04, 0.02, 1e-18, 2e9) * 1e15, 2))  # fW per µm³ to double 20 mK
    0.2
    """
    hot, cold = np.asarray(electrons, dtype=float), np.asarray(phonon_temperature, dtype=float)
    fifth: NDArray[np.float64] = hot**5 - cold**5
    power: NDArray[np.float64] = np.asarray(volume, dtype=float) * np.asarray(coupling, dtype=float) * fifth
    return power


@np.errstate(all="ignore")
def wire_temperature(bath: Numbers, voltage: Numbers) -> Numbers:
    """Hottest electrons in a short biased wire cooled by its ends, √(T_b² + (3/4π²)(eV/k)²).

    Parameters
    ----------
    bath : float or array
        Temperature of the contacts [K].
    voltage : float or array
        Voltage across the wire [V].

    Returns
    -------
    float or array
        Electron temperature in the middle [K].

    Notes
    -----
    Wiedemann-Franz cooling alone: longer than electron-electron, shorter than electron-phonon scattering.

    Source: Giazotto2006.

    Examples
    --------
    >>> print(round(wire_temperature(0.02, 10e-6) * 1e3, 1))  # mK
    37.7
    """
    rise = 3 / (4 * pi**2) * (elementary_charge / boltzmann) ** 2 * np.square(voltage)
    hottest: NDArray[np.float64] = np.sqrt(np.square(np.asarray(bath, dtype=float)) + rise)
    return hottest


@np.errstate(all="ignore")
def dissipated_power(voltage: Numbers, resistance: Numbers) -> Numbers:
    """Power V²/R a device dissipates.

    Parameters
    ----------
    voltage : float or array
        Voltage across the device, rms for an excitation [V].
    resistance : float or array
        Resistance [Ω].

    Returns
    -------
    float or array
        Power [W]; nan unless the resistance is positive.

    Notes
    -----
    In a chain of tunnel junctions half of each junction's share heats each of its electrodes.

    Source: Giazotto2006.

    Examples
    --------
    >>> print(round(dissipated_power(10e-6, 100e3) * 1e15, 3))  # fW
    1.0
    """
    resistance = np.asarray(resistance, dtype=float)
    return meaningful(np.square(voltage) / resistance, resistance > 0)


@np.errstate(all="ignore")
def excitation_limit(temperature: Numbers) -> Numbers:
    """Largest excitation kT/e that does not smear a feature more than temperature does.

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Voltage across the device [V]; nan below zero.

    Notes
    -----
    Zero to peak; across the device, not the line.

    Source: common practice.

    Examples
    --------
    >>> print(round(excitation_limit(0.02) * 1e6, 2))  # µV
    1.72
    """
    return meaningful(boltzmann / elementary_charge * temperature, np.greater_equal(temperature, 0))


@np.errstate(all="ignore")
def excitation_current_limit(temperature: Numbers, resistance: Numbers) -> Numbers:
    """Largest current kT/eR that keeps the voltage across a device below kT/e.

    Parameters
    ----------
    temperature : float or array
        Electron temperature [K].
    resistance : float or array
        Resistance of the device [Ω].

    Returns
    -------
    float or array
        Current [A]; nan unless the resistance is positive.

    Source: common practice.

    Examples
    --------
    >>> print(round(excitation_current_limit(0.3, 1e3) * 1e9, 1))  # nA
    25.9
    """
    resistance = np.asarray(resistance, dtype=float)
    return meaningful(excitation_limit(temperature) / resistance, resistance > 0)
