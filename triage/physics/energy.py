"""Conversions between the energy scales that decide how cold a measurement has to be."""

from __future__ import annotations

from math import exp, pi

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import (
    bohr_magneton,
    boltzmann,
    electron_mass,
    elementary_charge,
    planck,
    reduced_planck,
    speed_of_light,
)
from triage.physics.kind import Numbers

# Measured (CODATA 2022, 1.6e-10), F/m.
vacuum_permittivity = 8.8541878188e-12

# 1.76388: the gap at zero temperature over k Tc in the weak-coupling limit.
weak_coupling_ratio = pi * exp(-float(np.euler_gamma))


def meaningful(value: Numbers, condition: bool | np.bool | NDArray[np.bool]) -> Numbers:
    """Keep a result where its formula has a meaning; nan elsewhere.

    Parameters
    ----------
    value : float or array
        Result of a formula [any].
    condition : bool or array
        Where the formula has a meaning [1]; broadcasts with `value`.

    Returns
    -------
    float or array
        `value`, or nan where the condition fails [as `value`].

    Examples
    --------
    >>> float(meaningful(2.0, False))
    nan
    """
    kept: Numbers = np.where(condition, value, np.nan)[()]
    return kept


@np.errstate(all="ignore")
def thermal_energy(temperature: Numbers) -> Numbers:
    """Thermal energy kT.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Energy [J]; nan below zero.

    Source: BIPM2019.

    Examples
    --------
    >>> print(round(thermal_energy(4.2) / 1.602176634e-19 * 1e6))  # µeV
    362
    """
    return meaningful(boltzmann * temperature, np.greater_equal(temperature, 0))


@np.errstate(all="ignore")
def temperature_of_energy(energy: Numbers) -> Numbers:
    """Temperature E/k at which the thermal energy equals a given energy.

    Parameters
    ----------
    energy : float or array
        Energy [J]; may be negative, as a difference.

    Returns
    -------
    float or array
        Energy as a temperature [K].

    Source: BIPM2019.

    Examples
    --------
    >>> print(round(temperature_of_energy(1e-3 * 1.602176634e-19), 4))
    11.6045
    """
    return energy / boltzmann


@np.errstate(all="ignore")
def energy_of_frequency(frequency: Numbers) -> Numbers:
    """Quantum of energy h f.

    Parameters
    ----------
    frequency : float or array
        Frequency, not angular [Hz].

    Returns
    -------
    float or array
        Energy [J].

    Source: BIPM2019.

    Examples
    --------
    >>> print(round(temperature_of_energy(energy_of_frequency(1e9)) * 1e3, 4))
    47.9924
    """
    return planck * frequency


@np.errstate(all="ignore")
def frequency_of_energy(energy: Numbers) -> Numbers:
    """Frequency E/h of a quantum of energy.

    Parameters
    ----------
    energy : float or array
        Energy [J].

    Returns
    -------
    float or array
        Frequency, not angular [Hz].

    Source: BIPM2019.

    Examples
    --------
    >>> print(round(frequency_of_energy(thermal_energy(1.0)) / 1e9, 4))
    20.8366
    """
    return energy / planck


@np.errstate(all="ignore")
def energy_of_wavelength(wavelength: Numbers) -> Numbers:
    """Photon energy h c / λ.

    Parameters
    ----------
    wavelength : float or array
        Wavelength in vacuum [m].

    Returns
    -------
    float or array
        Energy [J]; nan for a wavelength that is not positive.

    Source: BIPM2019.

    Examples
    --------
    >>> print(round(energy_of_wavelength(500e-9) / 1.602176634e-19, 2))  # eV
    2.48
    """
    wavelength = np.asarray(wavelength, dtype=float)
    return meaningful(planck * speed_of_light / wavelength, wavelength > 0)


@np.errstate(all="ignore")
def zeeman_energy(field: Numbers, g_factor: Numbers = 2.0) -> Numbers:
    """Zeeman splitting |g| µB |B| between neighbouring spin levels.

    Parameters
    ----------
    field : float or array
        Magnetic flux density [T].
    g_factor : float or array
        Effective g factor [1]; sign ignored.

    Returns
    -------
    float or array
        Energy [J].

    Notes
    -----
    2.0 is silicon to 0.1 %; GaAs has -0.44, InAs near -15, InSb near -50.

    Source: Mohr2025.

    Examples
    --------
    >>> print(round(temperature_of_energy(zeeman_energy(1.5)), 3))
    2.015
    """
    return bohr_magneton * np.abs(field * g_factor)


@np.errstate(all="ignore")
def zeeman_field(energy: Numbers, g_factor: Numbers = 2.0) -> Numbers:
    """Field E/(|g| µB) that splits two spin levels by a given energy.

    Parameters
    ----------
    energy : float or array
        Splitting wanted [J].
    g_factor : float or array
        Effective g factor [1]; sign ignored.

    Returns
    -------
    float or array
        Magnetic flux density [T]; nan for g = 0.

    Source: Mohr2025.

    Examples
    --------
    >>> print(round(zeeman_field(energy_of_frequency(28e9)), 4))
    1.0003
    """
    size = np.abs(np.asarray(g_factor, dtype=float))
    return meaningful(energy / (bohr_magneton * size), size > 0)


@np.errstate(all="ignore")
def charging_energy(capacitance: Numbers) -> Numbers:
    """Energy e²/2C of one electron on an island.

    Parameters
    ----------
    capacitance : float or array
        Total capacitance of the island, C_Σ: both junctions, gates and ground [F].

    Returns
    -------
    float or array
        Charging energy [J]; nan for a capacitance that is not positive.

    Notes
    -----
    Beware of texts that call e²/C the charging energy: the addition energy here is twice this.

    Source: AverinLikharev1991.

    Examples
    --------
    >>> print(round(temperature_of_energy(charging_energy(1e-15)), 3))
    0.93
    """
    capacitance = np.asarray(capacitance, dtype=float)
    return meaningful(elementary_charge**2 / (2 * capacitance), capacitance > 0)


@np.errstate(all="ignore")
def capacitance_of_charging_energy(energy: Numbers) -> Numbers:
    """Total capacitance e²/2E of an island with a given charging energy.

    Parameters
    ----------
    energy : float or array
        Charging energy e²/2C [J].

    Returns
    -------
    float or array
        Total capacitance [F]; nan for an energy that is not positive.

    Source: AverinLikharev1991.

    Examples
    --------
    >>> print(round(capacitance_of_charging_energy(thermal_energy(9.3)) * 1e18))  # aF
    100
    """
    return charging_energy(energy)


@np.errstate(all="ignore")
def cyclotron_energy(field: Numbers, mass_ratio: Numbers = 1.0) -> Numbers:
    """Spacing ħ e B / m of the Landau levels of massive carriers.

    Parameters
    ----------
    field : float or array
        Flux density normal to the layer [T].
    mass_ratio : float or array
        Effective over free electron mass [1]: GaAs 0.067, silicon transverse 0.19.

    Returns
    -------
    float or array
        Energy [J]; nan for a mass that is not positive.

    Source: Shoenberg1984.

    Examples
    --------
    >>> print(round(temperature_of_energy(cyclotron_energy(5.0, 0.067))))
    100
    """
    mass = electron_mass * np.asarray(mass_ratio, dtype=float)
    return meaningful(reduced_planck * elementary_charge * np.abs(field) / mass, mass > 0)


@np.errstate(all="ignore")
def graphene_landau_energy(field: Numbers, index: Numbers = 1.0, fermi_velocity: Numbers = 1e6) -> Numbers:
    """Landau level of single-layer graphene, sign(n) v √(2 e ħ B |n|), from the neutrality point.

    Parameters
    ----------
    field : float or array
        Flux density normal to the sheet [T].
    index : float or array
        Level number n, negative for holes [1].
    fermi_velocity : float or array
        Fermi velocity [m/s].

    Returns
    -------
    float or array
        Energy [J].

    Source: Novoselov2007.

    Examples
    --------
    >>> print(round(temperature_of_energy(graphene_landau_energy(10.0))))
    1331
    """
    root = np.sqrt(2 * elementary_charge * reduced_planck * np.abs(field * index))
    return np.sign(index) * fermi_velocity * root


@np.errstate(all="ignore")
def thouless_energy(diffusion: Numbers, length: Numbers) -> Numbers:
    """Thouless energy ħ D / L² of a diffusive conductor.

    Parameters
    ----------
    diffusion : float or array
        Diffusion constant [m²/s].
    length : float or array
        Length along the current [m].

    Returns
    -------
    float or array
        Energy [J]; nan for a length that is not positive.

    Source: EdwardsThouless1972.

    Examples
    --------
    >>> print(round(temperature_of_energy(thouless_energy(0.01, 1e-6)) * 1e3))  # mK
    76
    """
    length = np.asarray(length, dtype=float)
    return meaningful(reduced_planck * diffusion / length**2, length > 0)


@np.errstate(all="ignore")
def josephson_energy(critical_current: Numbers) -> Numbers:
    """Josephson coupling energy ħ Ic / 2e.

    Parameters
    ----------
    critical_current : float or array
        Critical current [A].

    Returns
    -------
    float or array
        Energy [J].

    Notes
    -----
    The barrier between phase minima at zero current is twice this.

    Source: AmbegaokarBaratoff1963.

    Examples
    --------
    >>> print(round(temperature_of_energy(josephson_energy(41.95e-9)), 3))
    1.0
    """
    return reduced_planck * critical_current / (2 * elementary_charge)


@np.errstate(all="ignore")
def weak_coupling_gap(transition_temperature: Numbers) -> Numbers:
    """Energy gap at zero temperature of a weak-coupling superconductor, π e^(-γ) k Tc = 1.764 k Tc.

    Parameters
    ----------
    transition_temperature : float or array
        Transition temperature [K].

    Returns
    -------
    float or array
        Half the pair-breaking energy, Δ0 [J]; nan below zero.

    Notes
    -----
    γ is Euler's constant. Strong coupling raises the ratio (niobium 1.9, lead 2.2).

    Source: BardeenCooperSchrieffer1957.

    Examples
    --------
    >>> print(round(weak_coupling_gap(1.2) / 1.602176634e-19 * 1e6, 1))  # µeV
    182.4
    """
    return weak_coupling_ratio * thermal_energy(transition_temperature)


@np.errstate(all="ignore")
def plate_capacitance(area: Numbers, separation: Numbers, permittivity: Numbers = 1.0) -> Numbers:
    """Capacitance ε A / d of two parallel plates, as of a tunnel junction.

    Parameters
    ----------
    area : float or array
        Area of overlap [m²].
    separation : float or array
        Thickness of the dielectric [m].
    permittivity : float or array
        Relative permittivity [1].

    Returns
    -------
    float or array
        Capacitance [F]; nan for a separation that is not positive.

    Notes
    -----
    Fringing adds to it: see `dot_capacitance` when the separation is not small beside the plate.

    Source: Jackson1999.

    Examples
    --------
    >>> print(round(plate_capacitance(1e-14, 1.5e-9, 9.0) * 1e15, 2))  # (100 nm)², fF
    0.53
    """
    separation = np.asarray(separation, dtype=float)
    return meaningful(vacuum_permittivity * permittivity * area / separation, separation > 0)


@np.errstate(all="ignore")
def disc_capacitance(radius: Numbers, permittivity: Numbers = 1.0) -> Numbers:
    """Capacitance 8 ε a of a thin disc far from every other conductor.

    Parameters
    ----------
    radius : float or array
        Radius of the disc [m].
    permittivity : float or array
        Relative permittivity all around [1]; between two half spaces, their mean.

    Returns
    -------
    float or array
        Self-capacitance [F].

    Notes
    -----
    A lower bound for an island: electrodes nearby only add to it. A sphere has 4π ε a.

    Source: Jackson1999.

    Examples
    --------
    >>> print(round(disc_capacitance(200e-9, 13.0) * 1e18))  # aF
    184
    """
    return 8 * vacuum_permittivity * permittivity * radius


@np.errstate(all="ignore")
def dot_capacitance(radius: Numbers, depth: Numbers, permittivity: Numbers = 1.0) -> Numbers:
    """Capacitance of a disc-shaped dot in a two-dimensional layer below a gate, ε(8a + π a²/d).

    Parameters
    ----------
    radius : float or array
        Radius a of the dot [m].
    depth : float or array
        Distance d from the layer to the gate that covers it [m].
    permittivity : float or array
        Relative permittivity [1].

    Returns
    -------
    float or array
        Total capacitance [F]; nan for a depth that is not positive.

    Notes
    -----
    Isolated disc plus plate: exact in both limits, within 10 % of the exact solution between them
    (Love's equation). Lateral gates and the leads add 10 to 50 % (common practice).

    Source: Kouwenhoven1997.

    Examples
    --------
    >>> print(round(dot_capacitance(100e-9, 90e-9, 12.9) * 1e18))  # aF
    131
    """
    return disc_capacitance(radius, permittivity) + plate_capacitance(pi * np.square(radius), depth, permittivity)
