"""Noise of a measured current and the time it takes to average it away."""

from __future__ import annotations

from math import nan, pi

import numpy as np

from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.kind import Numbers, within


def johnson_current_noise(temperature: Numbers, resistance: Numbers) -> Numbers:
    """Thermal current noise of a resistance.

    S = sqrt(4 k T/R).

    Parameters
    ----------
    temperature : float or array
        Temperature of the resistance, not of the stage below it [K].
    resistance : float or array
        Resistance [ohm].

    Returns
    -------
    float or array
        Noise density, rms [A/sqrt(Hz)].

    Notes
    -----
    hf << kT: below 20 GHz per kelvin.

    Source: Nyquist1928.

    Examples
    --------
    >>> round(float(johnson_current_noise(300.0, 1e7)) * 1e15, 1)
    40.7
    """
    return np.sqrt(4.0 * boltzmann * temperature / resistance)


def johnson_voltage_noise(temperature: Numbers, resistance: Numbers) -> Numbers:
    """Thermal voltage noise of a resistance.

    S = sqrt(4 k T R).

    Parameters
    ----------
    temperature : float or array
        Temperature of the resistance [K].
    resistance : float or array
        Resistance [ohm].

    Returns
    -------
    float or array
        Noise density, rms [V/sqrt(Hz)].

    Source: Nyquist1928.

    Examples
    --------
    >>> round(float(johnson_voltage_noise(300.0, 1e3)) * 1e9, 2)
    4.07
    """
    return np.sqrt(4.0 * boltzmann * temperature * resistance)


def shot_noise(current: Numbers, fano: Numbers = 1.0) -> Numbers:
    """Shot noise of a current.

    S = sqrt(2 e |I| F).

    Parameters
    ----------
    current : float or array
        Mean current [A].
    fano : float or array
        Fano factor: 1 tunnel junction, 1/3 diffusive wire, 0 open channel [1].

    Returns
    -------
    float or array
        Noise density, rms [A/sqrt(Hz)].

    Notes
    -----
    For eV >> kT; below that thermal noise replaces it, do not add both.

    Source: BlanterButtiker2000.

    Examples
    --------
    >>> round(float(shot_noise(1e-9)) * 1e15, 1)
    17.9
    """
    return np.sqrt(2.0 * elementary_charge * np.abs(current) * fano)


def capacitance_noise(voltage_noise: Numbers, frequency: Numbers, capacitance: Numbers) -> Numbers:
    """Current noise that the voltage noise of an amplifier drives through the cable capacitance.

    S = e_n 2 pi f C.

    Parameters
    ----------
    voltage_noise : float or array
        Input voltage noise density of the amplifier [V/sqrt(Hz)].
    frequency : float or array
        Frequency [Hz].
    capacitance : float or array
        Capacitance at the input, cable and filters [F].

    Returns
    -------
    float or array
        Noise density, rms [A/sqrt(Hz)].

    Source: Elementary.

    Examples
    --------
    >>> round(float(capacitance_noise(5e-9, 1e3, 1e-9)) * 1e15, 1)
    31.4
    """
    return voltage_noise * 2.0 * pi * frequency * capacitance


def total_noise(*densities: Numbers) -> Numbers:
    """Sum of independent noise densities.

    S = sqrt(sum S_i^2).

    Parameters
    ----------
    *densities : float or array
        Noise densities in one unit [A/sqrt(Hz) or V/sqrt(Hz)].

    Returns
    -------
    float or array
        Total, 0 for none [the same unit].

    Source: Elementary.

    Examples
    --------
    >>> float(total_noise(3.0, 4.0))
    5.0
    """
    return np.sqrt(sum((np.square(density) for density in densities), np.float64(0.0)))


def current_noise(
    frequency: Numbers,
    temperature: Numbers,
    resistance: Numbers,
    current: Numbers = 0.0,
    amplifier_current_noise: Numbers = 0.0,
    amplifier_voltage_noise: Numbers = 0.0,
    capacitance: Numbers = 0.0,
    fano: Numbers = 1.0,
) -> Numbers:
    """Total current noise at the input of a current amplifier.

    S^2 = 2 e F I coth(eV/2kT) + (1 - F) 4kT/R + i_n^2 + (e_n/R)^2 + (e_n omega C)^2, V = I R.

    Parameters
    ----------
    frequency : float or array
        Frequency of the measurement [Hz].
    temperature : float or array
        Electron temperature of the device [K].
    resistance : float or array
        Resistance of the device [ohm].
    current : float or array
        Mean current [A].
    amplifier_current_noise : float or array
        Input current noise density of the amplifier [A/sqrt(Hz)].
    amplifier_voltage_noise : float or array
        Input voltage noise density of the amplifier [V/sqrt(Hz)].
    capacitance : float or array
        Capacitance at the input [F].
    fano : float or array
        Fano factor of the device [1].

    Returns
    -------
    float or array
        Noise density, rms [A/sqrt(Hz)].

    Notes
    -----
    The first two terms go over from thermal to shot noise without counting either twice. White parts
    only: 1/f noise, triboelectric and microphonic currents come on top.

    Source: BlanterButtiker2000.

    Examples
    --------
    >>> round(float(current_noise(100.0, 300.0, 1e7)) * 1e15, 1)
    40.7
    """
    thermal = 4.0 * boltzmann * np.asarray(temperature, dtype=np.float64) / resistance
    reduced = elementary_charge * np.abs(current) * resistance / (2.0 * boltzmann * temperature)
    with np.errstate(all="ignore"):
        # x coth x: 1 at no bias, x far above the thermal voltage.
        crossover = np.where(reduced < 1e-6, 1.0, reduced / np.tanh(reduced))
    device = np.sqrt(thermal * (1.0 - fano + fano * crossover))
    admittance = np.sqrt(1.0 / np.square(resistance) + np.square(2.0 * pi * frequency * capacitance))
    return total_noise(device, amplifier_current_noise, amplifier_voltage_noise * admittance)


def averaging_time(signal: Numbers, noise: Numbers, ratio: Numbers) -> Numbers:
    """Time to average white noise down to a wanted signal-to-noise ratio.

    t = (R S/dI)^2/2, from sigma = S/sqrt(2 t).

    Parameters
    ----------
    signal : float or array
        Signal, or the step to be seen [A].
    noise : float or array
        Noise density, rms [A/sqrt(Hz)].
    ratio : float or array
        Wanted ratio of signal to standard deviation [1].

    Returns
    -------
    float or array
        Averaging time per point [s]; infinite for no signal.

    Notes
    -----
    White noise only. Below the 1/f corner longer averaging does not help; modulate instead.

    Source: Elementary.

    Examples
    --------
    >>> round(float(averaging_time(100e-15, 46e-15, 10.0)), 1)
    10.6
    """
    with np.errstate(divide="ignore"):
        return 0.5 * np.square(ratio * np.asarray(noise, dtype=np.float64) / signal)


def averaged_noise(noise: Numbers, time: Numbers) -> Numbers:
    """Standard deviation of a reading averaged for a time.

    sigma = S/sqrt(2 t).

    Parameters
    ----------
    noise : float or array
        Noise density, rms [A/sqrt(Hz)].
    time : float or array
        Averaging time [s].

    Returns
    -------
    float or array
        Standard deviation [A].

    Source: Elementary.

    Examples
    --------
    >>> round(float(averaged_noise(46e-15, 0.5)) * 1e15)
    46
    """
    return noise / np.sqrt(2.0 * np.asarray(time, dtype=np.float64))


def map_time(points: Numbers, averaging: Numbers, settling: Numbers = 0.0, repeats: Numbers = 1) -> Numbers:
    """Time of a map or sweep.

    t = N n (t_settle + t_average).

    Parameters
    ----------
    points : float or array
        Number of points N [1].
    averaging : float or array
        Averaging time per point [s].
    settling : float or array
        Settling time per point [s].
    repeats : float or array
        Repeats n [1].

    Returns
    -------
    float or array
        Time [s].

    Source: Elementary.

    Examples
    --------
    >>> round(float(map_time(200 * 200, 10.6)) / 3600)
    118
    """
    return points * repeats * (settling + averaging)


@within(poles=(1, 4, ""))
def lock_in_settling(time_constant: Numbers, poles: int = 4, remainder: Numbers = 0.01) -> Numbers:
    """Time for a lock-in output to settle after a step.

    exp(-x) sum_(k<n) x^k/k! = r, t = x tau.

    Parameters
    ----------
    time_constant : float or array
        Time constant of one filter pole [s].
    poles : int
        Number of equal poles, 6 dB per octave each [1].
    remainder : float or array
        Part of the step still missing, above 0 and below 1 [1].

    Returns
    -------
    float or array
        Settling time [s]; nan for a remainder outside 0 to 1.

    Source: Elementary.

    Examples
    --------
    >>> round(float(lock_in_settling(1.0, 4)), 2)
    10.05
    """
    wanted = np.asarray(remainder, dtype=np.float64)
    low, high = np.zeros_like(wanted), np.full_like(wanted, 800.0)
    for _ in range(60):
        middle = (low + high) / 2.0
        term, missing = np.exp(-middle), np.zeros_like(wanted)
        for k in range(poles):
            missing = missing + term
            term = term * middle / (k + 1)
        low, high = np.where(missing > wanted, middle, low), np.where(missing > wanted, high, middle)
    return time_constant * np.where((wanted > 0.0) & (wanted < 1.0), (low + high) / 2.0, nan)[()]


@within(poles=(1, 4, ""))
def lock_in_bandwidth(time_constant: Numbers, poles: int = 4) -> Numbers:
    """Equivalent noise bandwidth of a lock-in output filter.

    B = (2n - 3)!!/((2n - 2)!! 4 tau): 1/4, 1/8, 3/32, 5/64 for n = 1 to 4.

    Parameters
    ----------
    time_constant : float or array
        Time constant of one filter pole [s].
    poles : int
        Number of equal poles [1].

    Returns
    -------
    float or array
        Bandwidth [Hz].

    Notes
    -----
    The noise of one reading is S sqrt(B); readings closer than the settling time are not independent.

    Source: Elementary.

    Examples
    --------
    >>> float(lock_in_bandwidth(0.1, 1))
    2.5
    """
    share = 0.25
    for n in range(2, poles + 1):
        share *= (2 * n - 3) / (2 * n - 2)
    return share / np.asarray(time_constant, dtype=np.float64)[()]


def thermal_excitation(electron_temperature: Numbers, fraction: Numbers = 1.0) -> Numbers:
    """Largest excitation voltage that does not smear more than temperature does.

    V = a k T_e/e.

    Parameters
    ----------
    electron_temperature : float or array
        Electron temperature [K].
    fraction : float or array
        Part a of the thermal voltage allowed; 1 by common practice [1].

    Returns
    -------
    float or array
        Excitation [V].

    Source: Elementary.

    Examples
    --------
    >>> round(float(thermal_excitation(0.3)) * 1e6, 1)
    25.9
    """
    return fraction * boltzmann * electron_temperature / elementary_charge
