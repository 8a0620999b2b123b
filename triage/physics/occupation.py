"""How thermal energy fills states: leads, cavities, two-level systems, spins read out by energy.

Everything broadcasts; energies are in joule and may be negative where that has a meaning.
"""

from __future__ import annotations

import numpy as np

from triage.physics.constants import boltzmann, planck
from triage.physics.energy import meaningful
from triage.physics.kind import Numbers


def _reduced(energy: Numbers, temperature: Numbers) -> Numbers:
    """Energy over kT, with the limit at zero temperature and nan below it."""
    temperature = np.asarray(temperature, dtype=float)
    ratio = energy / (boltzmann * temperature)
    return meaningful(ratio, temperature >= 0)


@np.errstate(all="ignore")
def boltzmann_factor(energy: Numbers, temperature: Numbers) -> Numbers:
    """Relative weight exp(-E/kT) of a state above another.

    Parameters
    ----------
    energy : float or array
        Energy of the state above the reference [J].
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Weight [1]; nan below zero temperature.

    Source: AshcroftMermin1976.

    Examples
    --------
    >>> print(round(boltzmann_factor(1.380649e-23, 1.0), 4))
    0.3679
    """
    return np.exp(-_reduced(energy, temperature))


@np.errstate(all="ignore")
def fermi(energy: Numbers, temperature: Numbers) -> Numbers:
    """Occupation of a state in a lead, 1/(e^(E/kT) + 1).

    Parameters
    ----------
    energy : float or array
        Energy from the Fermi level [J].
    temperature : float or array
        Electron temperature [K].

    Returns
    -------
    float or array
        Occupation, 0 to 1 [1]; nan below zero temperature.

    Source: AshcroftMermin1976.

    Examples
    --------
    >>> print(round(fermi(1.380649e-23, 1.0), 4))
    0.2689
    """
    x = _reduced(energy, temperature)
    decay = np.exp(-np.abs(x))
    filled: Numbers = np.where(x > 0, decay, 1.0)[()] / (1 + decay)
    return filled


@np.errstate(all="ignore")
def bose(energy: Numbers, temperature: Numbers) -> Numbers:
    """Mean number of quanta in a mode, 1/(e^(E/kT) - 1).

    Parameters
    ----------
    energy : float or array
        Quantum of energy of the mode [J].
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Mean number, without the half of the vacuum [1]; nan unless the energy is positive.

    Source: AshcroftMermin1976.

    Examples
    --------
    >>> print(round(bose(1.380649e-23, 1.0), 4))
    0.582
    """
    x = _reduced(energy, temperature)
    return meaningful(1 / np.expm1(x), np.greater(energy, 0))


@np.errstate(all="ignore")
def thermal_photons(frequency: Numbers, temperature: Numbers) -> Numbers:
    """Mean number of thermal photons in a mode, 1/(e^(hf/kT) - 1).

    Parameters
    ----------
    frequency : float or array
        Frequency of the mode [Hz].
    temperature : float or array
        Temperature of what the mode is in equilibrium with [K].

    Returns
    -------
    float or array
        Mean number [1]; nan unless the frequency is positive.

    Source: Krinner2019.

    Examples
    --------
    >>> print(round(thermal_photons(5e9, 0.3), 2))
    0.82
    """
    return bose(planck * frequency, temperature)


@np.errstate(all="ignore")
def temperature_of_photons(frequency: Numbers, photons: Numbers) -> Numbers:
    """Temperature hf/(k ln(1 + 1/n)) at which a mode holds a given mean number of photons.

    Parameters
    ----------
    frequency : float or array
        Frequency of the mode [Hz].
    photons : float or array
        Mean number of photons [1].

    Returns
    -------
    float or array
        Temperature [K]; nan unless both are positive.

    Source: Krinner2019.

    Examples
    --------
    >>> print(round(temperature_of_photons(5e9, 1e-3) * 1e3, 1))
    34.7
    """
    photons = np.asarray(photons, dtype=float)
    warmth = planck * frequency / (boltzmann * np.log1p(1 / photons))
    return meaningful(warmth, (photons > 0) & np.greater(frequency, 0))


@np.errstate(all="ignore")
def two_level_polarisation(energy: Numbers, temperature: Numbers) -> Numbers:
    """Equilibrium polarisation of a two-level system, tanh(E/2kT).

    Parameters
    ----------
    energy : float or array
        Splitting of the levels, hf or the Zeeman energy [J].
    temperature : float or array
        Temperature of its environment [K].

    Returns
    -------
    float or array
        Ground less excited population [1]; nan below zero temperature.

    Source: Phillips1987.

    Examples
    --------
    >>> print(round(two_level_polarisation(6.62607015e-34 * 5e9, 0.3), 2))
    0.38
    """
    return np.tanh(_reduced(energy, temperature) / 2)


@np.errstate(all="ignore")
def excited_population(energy: Numbers, temperature: Numbers) -> Numbers:
    """Equilibrium population of the upper of two levels, 1/(e^(E/kT) + 1).

    Parameters
    ----------
    energy : float or array
        Splitting of the levels [J].
    temperature : float or array
        Temperature of its environment [K].

    Returns
    -------
    float or array
        Population, 0 to 1/2 [1]; nan below zero temperature.

    Notes
    -----
    Superconducting qubits stay at 0.1 to 5 % (30 to 60 mK) however cold the stage (from memory).

    Source: Jin2015.

    Examples
    --------
    >>> print(round(excited_population(6.62607015e-34 * 5e9, 0.05), 4))
    0.0082
    """
    return fermi(energy, temperature)


@np.errstate(all="ignore")
def temperature_for_population(energy: Numbers, population: Numbers) -> Numbers:
    """Temperature E/(k ln(1/p - 1)) at which the upper of two levels has a given population.

    Parameters
    ----------
    energy : float or array
        Splitting of the levels [J].
    population : float or array
        Population of the upper level [1].

    Returns
    -------
    float or array
        Temperature [K]; nan unless 0 < population < 1/2.

    Source: Jin2015.

    Examples
    --------
    >>> print(round(temperature_for_population(6.62607015e-34 * 5e9, 1e-3) * 1e3))  # mK
    35
    """
    population = np.asarray(population, dtype=float)
    warmth = energy / (boltzmann * np.log(1 / population - 1))
    return meaningful(warmth, (population > 0) & (population < 0.5))


@np.errstate(all="ignore")
def readout_tail_error(splitting: Numbers, temperature: Numbers) -> Numbers:
    """Wrong occupation in energy-selective readout, 1/(e^(E/2kT) + 1).

    Parameters
    ----------
    splitting : float or array
        Splitting E of the two spin levels, the reservoir set midway between them [J].
    temperature : float or array
        Electron temperature of the reservoir [K].

    Returns
    -------
    float or array
        Probability [1]; nan below zero temperature.

    Notes
    -----
    Of the thermal tail alone: tunnel rates, relaxation and bandwidth add errors of their own.

    Source: Elzerman2004.

    Examples
    --------
    >>> print(round(readout_tail_error(5 * 1.380649e-23, 1.0), 3))
    0.076
    """
    return fermi(np.asarray(splitting) / 2, temperature)


@np.errstate(all="ignore")
def ratio_for_tail_error(error: Numbers) -> Numbers:
    """Splitting over kT that energy-selective readout needs, 2 ln(1/error - 1).

    Parameters
    ----------
    error : float or array
        Wrong occupation allowed [1].

    Returns
    -------
    float or array
        E/kT of the reservoir's electrons [1]; nan unless 0 < error < 1/2.

    Source: Elzerman2004.

    Examples
    --------
    >>> print(round(ratio_for_tail_error(0.01), 2))
    9.19
    """
    error = np.asarray(error, dtype=float)
    return meaningful(2 * np.log(1 / error - 1), (error > 0) & (error < 0.5))


@np.errstate(all="ignore")
def attenuated_photons(
    frequency: Numbers, source_temperature: Numbers, attenuation: Numbers, temperature: Numbers
) -> Numbers:
    """Thermal photons left on a line after a chain of attenuators at their own temperatures.

    n_i = n_(i-1)/A_i + (1 - 1/A_i) n_thermal(f, T_i)

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    source_temperature : float or array
        Noise temperature of what feeds the line, 300 for a matched load at room temperature [K].
    attenuation : float or array
        Attenuation of each stage, warm end first along the LAST axis [dB].
    temperature : float or array
        Temperature of each stage, along the same last axis [K].

    Returns
    -------
    float or array
        Mean number per mode at the cold end [1]: the shape of `frequency` and `source_temperature`
        broadcast with what `attenuation` and `temperature` have left without their last axis.

    Notes
    -----
    Matched, lossless line between the stages; each attenuator at the temperature of its stage.
    Signal and noise are attenuated alike, so the same chain bounds the drive.

    Source: Krinner2019.

    Examples
    --------
    >>> stages = np.array([20.0, 20.0, 20.0]), np.array([4.0, 0.1, 0.02])
    >>> print(round(attenuated_photons(6e9, 300.0, *stages), 5))
    0.00296
    """
    losses, warmths = np.broadcast_arrays(np.atleast_1d(attenuation), np.atleast_1d(temperature))
    photons = thermal_photons(frequency, source_temperature)
    for stage in range(losses.shape[-1]):
        kept = 10.0 ** (-np.abs(losses[..., stage]) / 10)
        photons = photons * kept + (1 - kept) * thermal_photons(frequency, warmths[..., stage])
    return photons
