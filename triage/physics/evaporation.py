"""Heat of evaporation, density and gas volume of the cold liquids, and what a heat load boils off."""

from __future__ import annotations

from functools import cache
from math import inf
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import (
    gas_constant,
    helium4_molar_mass,
    nitrogen_molar_mass,
    standard_atmosphere,
    zero_celsius,
)
from triage.physics.kind import Numbers, within
from triage.physics.vapour_pressure import helium3_pressure, helium4_latent_heat_at_zero

Cryogen = Literal["helium", "nitrogen"]


class Liquid(NamedTuple):
    """A liquid at its boiling point under one standard atmosphere."""

    boiling_temperature: float  # K
    density: float  # kg/m3
    latent_heat: float  # J/kg
    molar_mass: float  # kg/mol


liquid_helium = Liquid(4.2221, 124.7, 20.56e3, helium4_molar_mass)  # OrtizVega2023
liquid_nitrogen = Liquid(77.355, 806.1, 199.2e3, nitrogen_molar_mass)  # Span2000
helium3_molar_volume = 36.84e-6  # m3/mol, liquid at low temperature, Greywall1983
helium3_latent_heat_at_zero = 2.49255841 * gas_constant  # J/mol, the 1/T term of Engert2007


def _interpolate(value: Numbers, nodes: NDArray[np.float64], heights: NDArray[np.float64]) -> Any:
    found = np.interp(value, nodes, heights, left=np.nan, right=np.nan)
    return float(found) if isinstance(value, (float, int)) else found


# Mean of the measurements of DonnellyBarenghi1998, table 16.1, up to 3.3 K; OrtizVega2023 above.
_HELIUM4_LATENT = np.array(
    [
        (1.0028, 80.22), (1.1030, 82.22), (1.2033, 84.17), (1.3033, 86.03), (1.4035, 87.76), (1.5036, 89.53),
        (1.6037, 90.80), (1.7039, 91.90), (1.8041, 92.72), (1.9042, 93.15), (2.0042, 93.07), (2.1044, 92.18),
        (2.1546, 91.32), (2.1748, 90.86), (2.4049, 91.93), (2.5052, 92.61), (2.6054, 92.91), (2.7057, 93.35),
        (2.8060, 93.69), (2.9061, 93.93), (3.0063, 94.03), (3.1064, 94.03), (3.2066, 93.91), (3.3067, 93.47),
        (3.5, 92.56), (3.6, 91.79), (3.7, 90.84), (3.8, 89.71), (3.9, 88.36), (4.0, 86.79), (4.1, 84.96),
        (4.2, 82.86), (4.3, 80.43), (4.4, 77.64), (4.5, 74.42), (4.6, 70.69), (4.7, 66.31), (4.8, 61.10),
        (4.85, 58.10), (4.9, 54.76), (4.95, 50.99), (5.0, 46.66),
    ]
).T  # fmt: skip
_COLD = np.linspace(0.0, 0.9, 10)
_HELIUM4_LATENT_NODES = np.concatenate((_COLD, _HELIUM4_LATENT[0]))
_HELIUM4_LATENT_HEIGHTS = np.concatenate((helium4_latent_heat_at_zero + 2.5 * gas_constant * _COLD, _HELIUM4_LATENT[1]))

# DonnellyBarenghi1998 to the lambda point, OrtizVega2023 above.
_HELIUM4_DENSITY = np.array(
    [
        (0.0, 145.14), (1.0, 145.12), (1.5, 145.16), (2.0, 145.62), (2.1768, 146.1), (2.2, 145.99),
        (2.4, 145.38), (2.6, 144.29), (2.8, 142.88), (3.0, 141.20), (3.2, 139.27), (3.4, 137.09),
        (3.6, 134.64), (3.8, 131.88), (4.0, 128.74), (4.1, 127.00), (4.2, 125.14), (4.3, 123.11),
        (4.4, 120.91), (4.5, 118.49), (4.6, 115.80), (4.7, 112.76), (4.8, 109.26), (4.9, 105.08),
        (5.0, 99.84),
    ]
).T  # fmt: skip

# Entropy of the liquid [J/(g K)]: DonnellyBarenghi1998, table 8.1, then OrtizVega2023 from the lambda point.
_HELIUM4_ENTROPY = np.array(
    [
        (1.1530, 0.0395), (1.2033, 0.0515), (1.2532, 0.0665), (1.3033, 0.0855), (1.3534, 0.1075),
        (1.4035, 0.1325), (1.4536, 0.1620), (1.5036, 0.1960), (1.5536, 0.2370), (1.9042, 0.7338),
        (1.9542, 0.8447), (2.0042, 0.9671), (2.0543, 1.1050), (2.1768, 1.5790), (2.2, 1.6117), (2.25, 1.6766),
        (2.3, 1.7357), (2.4, 1.8418), (2.5, 1.9379), (2.75, 2.1590), (3.0, 2.3719), (3.25, 2.5864),
        (3.5, 2.8062), (3.75, 3.0345), (4.0, 3.2748), (4.2, 3.4793), (4.4, 3.6994), (4.6, 3.9428),
        (4.8, 4.2251), (5.0, 4.5873),
    ]
).T  # fmt: skip

# Vapour above the saturated vapour at 1 atm: heat capacity of the ideal gas, and what exceeds it [J/kg].
_HELIUM_SLOPE, _NITROGEN_SLOPE = 5193.2, 1040.0
_HELIUM_EXCESS = np.array(
    [
        (4.2221, 0.0), (4.3, 307.0), (4.5, 937.0), (4.75, 1516.0), (5.0, 1960.0), (5.5, 2618.0),
        (6.0, 3093.0),
        (7.0, 3752.0), (8.0, 4198.0), (10.0, 4774.0), (12.0, 5137.0), (15.0, 5489.0), (20.0, 5835.0),
        (30.0, 6180.0), (50.0, 6454.0), (77.0, 6596.0), (100.0, 6650.0), (200.0, 6725.0), (310.0, 6734.0),
    ]
).T  # fmt: skip
_NITROGEN_EXCESS = np.array(
    [
        (77.355, 0.0), (78.0, 53.0), (80.0, 207.0), (90.0, 790.0), (100.0, 1174.0), (150.0, 2011.0),
        (200.0, 2288.0), (250.0, 2383.0), (310.0, 2500.0),
    ]
).T  # fmt: skip


@within(temperature=(0.0, 5.0, "K"))
def helium4_latent_heat(temperature: Numbers) -> Any:
    """Heat of evaporation of liquid helium-4 per mole.

    L = L0 + (5/2) R T up to 0.9 K; straight lines between measured values above.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Heat of evaporation [J/mol]; nan outside 0 to 5.0 K.

    Notes
    -----
    The table is the mean of the adopted measurements up to 3.3 K (they scatter by 0.3 %), an equation of
    state above. The maxima near 1.95 and 3.05 K and the dip at the lambda point are real.

    Source: DonnellyBarenghi1998, table 16.1; OrtizVega2023.

    Examples
    --------
    >>> round(helium4_latent_heat(0.5), 2), round(helium4_latent_heat(4.2), 2)
    (70.22, 82.86)
    """
    return _interpolate(temperature, _HELIUM4_LATENT_NODES, _HELIUM4_LATENT_HEIGHTS)


@within(temperature=(0.0, 5.0, "K"))
def helium4_latent_heat_by_mass(temperature: Numbers) -> Any:
    """Heat of evaporation of liquid helium-4 per kilogram.

    L/M.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Heat of evaporation [J/kg]; nan outside 0 to 5.0 K.

    Notes
    -----
    As `helium4_latent_heat`.

    Source: DonnellyBarenghi1998, table 16.1; OrtizVega2023.

    Examples
    --------
    >>> round(helium4_latent_heat_by_mass(4.2) / 1e3, 2)
    20.7
    """
    return helium4_latent_heat(temperature) / helium4_molar_mass


@within(temperature=(0.0, 5.0, "K"))
def helium4_density(temperature: Numbers) -> Any:
    """Density of liquid helium-4 under its own vapour.

    Straight lines between tabulated values.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Density [kg/m3]; nan outside 0 to 5.0 K.

    Notes
    -----
    Handbook and equation of state differ by 0.2 % at 4.2 K.

    Source: DonnellyBarenghi1998; OrtizVega2023.

    Examples
    --------
    >>> round(helium4_density(1.5), 2)
    145.16
    """
    return _interpolate(temperature, _HELIUM4_DENSITY[0], _HELIUM4_DENSITY[1])


# Greywall1983, table IV, at a molar volume of 36.84 cm3: rows are powers of T, columns powers of volume.
_VOLUME = helium3_molar_volume * 1e6
_GREYWALL_COLD = np.array(
    [
        (-2.9190414, 5.2893401e2, -1.8869641e4, 2.6031315e5),
        (-2.4752597e3, 1.8377260e5, -3.4946553e6, 0.0),
        (3.8887481e4, -2.8649769e6, 5.2526785e7, 0.0),
        (-1.7505655e5, 1.2809001e7, -2.3037701e8, 0.0),
    ]
) @ (_VOLUME ** -np.arange(4.0))
_POWERS = _VOLUME ** np.arange(3.0)
_GREYWALL_WARM = (
    np.array(
        [
            (-6.5521193e-2, 1.3502371e-2, 0.0),
            (4.1359033e-2, 3.8233755e-4, -5.3468396e-5),
            (5.7976786e-3, -6.5611532e-4, 1.2689707e-5),
            (-3.8374623e-4, 3.2072581e-5, -5.3038906e-7),
        ]
    )
    @ _POWERS
)
_GREYWALL_GAP = (
    np.array(
        [
            (-2.5482958e1, 1.6416936, -1.5110378e-2),
            (3.7882751e1, -2.8769188, 3.5751181e-2),
            (2.4412956e1, -2.4244083, 6.7775905e-2),
        ]
    )
    @ _POWERS
)
_GREYWALL_EXPONENT = float(np.array((-7.1613436, 6.0525139e-1, -7.1295855e-3)) @ _POWERS)


@within(temperature=(0.007, 2.5, "K"))
def helium3_heat_capacity(temperature: Numbers) -> Any:
    """Molar heat capacity of normal liquid helium-3 at 36.84 cm3/mol.

    C/R = sum a_i T^i below 0.1 K; sum b_i T^-i + exp(-d/T) sum c_i T^-i above.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Heat capacity [J/(mol K)]; nan outside 0.007 to 2.5 K.

    Notes
    -----
    At constant volume; above about 1.5 K the liquid under its own vapour expands and takes up more.

    Source: Greywall1983, equations 7 and 8.

    Examples
    --------
    >>> round(helium3_heat_capacity(0.3), 2)
    3.03
    """
    given = np.asarray(temperature, dtype=float)
    inside = (given >= 0.007) & (given <= 2.5)
    T = np.where(inside, given, 1.0)
    found = np.where(inside, gas_constant * _reduced_heat_capacity(T), np.nan)
    return float(found) if found.ndim == 0 else found


def _reduced_heat_capacity(T: NDArray[np.float64]) -> NDArray[np.float64]:
    a, b, c, d = _GREYWALL_COLD, _GREYWALL_WARM, _GREYWALL_GAP, _GREYWALL_EXPONENT
    u = 1 / np.maximum(T, 0.05)
    cold = T * (a[0] + T * T * (a[1] + T * (a[2] + T * a[3])))
    warm = b[0] + u * (b[1] + u * (b[2] + u * b[3])) + np.exp(-d * u) * u * (c[0] + u * (c[1] + u * c[2]))
    reduced: NDArray[np.float64] = np.where(T < 0.1, cold, warm)
    return reduced


def _running_integral(nodes: NDArray[np.float64], heights: NDArray[np.float64]) -> NDArray[np.float64]:
    steps = 0.5 * (heights[1:] + heights[:-1]) * np.diff(nodes)
    return np.concatenate(([0.0], np.cumsum(steps)))


@cache
def _helium3_table() -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Temperature, heat of evaporation, and integral of C/L: what a charge loses cooling itself."""
    T = np.linspace(0.0, 1.6, 1601)
    capacity = gas_constant * _reduced_heat_capacity(T)
    # Second virial coefficient 4.942 - 270.986/T cm3/mol: the vapour term is p (B - T dB/dT).
    warm = np.maximum(T, 0.2)
    vapour = np.where(T < 0.2, 0.0, helium3_pressure(warm) * (4.942 - 2 * 270.986 / warm) * 1e-6)
    latent = helium3_latent_heat_at_zero + 2.5 * gas_constant * T - _running_integral(T, capacity) + vapour
    return T, latent, _running_integral(T, capacity / latent)


@within(temperature=(0.02, 1.6, "K"))
def helium3_latent_heat(temperature: Numbers) -> Any:
    """Heat of evaporation of liquid helium-3 per mole.

    L = L0 + (5/2) R T - integral of C dT + p (B - T dB/dT).

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Heat of evaporation [J/mol]; nan outside 0.02 to 1.6 K.

    Notes
    -----
    L0 from the 1/T term of the vapour-pressure relation, C measured, B = 4.942 - 270.986/T cm3/mol. The
    slope of the PTB-2006 relation gives the same within 0.5 %; above 1.6 K one virial term is not enough.

    Source: Greywall1983; Engert2007; Sherman1964 (virial coefficient, from memory).

    Examples
    --------
    >>> round(helium3_latent_heat(0.3), 1)
    26.3
    """
    T, latent, _ = _helium3_table()
    return _interpolate(temperature, T[20:], latent[20:])


@within(start=(0.02, 1.6, "K"), end=(0.02, 1.6, "K"))
def helium3_lost_by_cooling(start: Numbers, end: Numbers) -> Any:
    """Part of a helium-3 charge that evaporates to cool the rest.

    1 - exp(-integral from end to start of C/L dT).

    Parameters
    ----------
    start : float or array
        Temperature at which it was condensed [K].
    end : float or array
        Temperature to which it cools itself [K].

    Returns
    -------
    float or array
        Part lost [1], 0 to 1; nan outside 0.02 to 1.6 K, 0 where nothing is cooled.

    Notes
    -----
    Liquid only. The book value of about 20 % from 1.5 K includes pot and walls.

    Source: Greywall1983; Pobell2007, chapter 6.

    Examples
    --------
    >>> round(helium3_lost_by_cooling(1.5, 0.3), 3)
    0.127
    """
    T, _, loss = _helium3_table()
    gone = _interpolate(start, T[20:], loss[20:]) - _interpolate(end, T[20:], loss[20:])
    found = -np.expm1(-np.maximum(gone, 0.0))
    return float(found) if np.ndim(found) == 0 else found


@cache
def _helium4_loss_table() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    T = np.concatenate((np.linspace(1.153, 2.1768, 400), np.linspace(2.1768, 5.0, 600)[1:]))
    entropy = np.exp(np.interp(np.log(T), np.log(_HELIUM4_ENTROPY[0]), np.log(_HELIUM4_ENTROPY[1])))
    latent = helium4_latent_heat_by_mass(T) / 1e3
    return T, _running_integral(entropy, T / latent)


@within(start=(1.153, 5.0, "K"), end=(1.153, 5.0, "K"))
def helium4_lost_by_pumping(start: Numbers, end: Numbers) -> Any:
    """Part of a helium-4 bath that evaporates when the bath is pumped from one temperature to another.

    1 - exp(-integral of T dS/L), S the entropy of the liquid.

    Parameters
    ----------
    start : float or array
        Temperature before pumping [K].
    end : float or array
        Temperature reached [K].

    Returns
    -------
    float or array
        Part lost [1], 0 to 1; nan outside 1.153 to 5.0 K, 0 where nothing is cooled.

    Notes
    -----
    Liquid only, no heat leak: real baths lose 35 to 45 % to 1.5 K with their walls (common practice).

    Source: DonnellyBarenghi1998, tables 8.1 and 16.1; OrtizVega2023.

    Examples
    --------
    >>> round(helium4_lost_by_pumping(4.2, 1.5), 2)
    0.32
    """
    T, loss = _helium4_loss_table()
    gone = _interpolate(start, T, loss) - _interpolate(end, T, loss)
    found = -np.expm1(-np.maximum(gone, 0.0))
    return float(found) if np.ndim(found) == 0 else found


@within(temperature=(4.2221, 310.0, "K"))
def helium_vapour_heat(temperature: Numbers) -> Any:
    """Heat taken up by cold helium vapour on its way out of a bath at one atmosphere.

    h(T) - h(saturated vapour) = cp (T - Tb) + a tabulated excess for the real gas.

    Parameters
    ----------
    temperature : float or array
        Temperature at which the gas leaves [K].

    Returns
    -------
    float or array
        Heat [J/kg]; nan outside 4.2221 to 310 K.

    Notes
    -----
    75 times the heat of evaporation up to 300 K: the cold of a helium bath is mostly in its vapour.

    Source: OrtizVega2023.

    Examples
    --------
    >>> round(helium_vapour_heat(300.0) / 1e3)
    1543
    """
    excess = _interpolate(temperature, _HELIUM_EXCESS[0], _HELIUM_EXCESS[1])
    return _HELIUM_SLOPE * (temperature - liquid_helium.boiling_temperature) + excess


@within(temperature=(77.355, 310.0, "K"))
def nitrogen_vapour_heat(temperature: Numbers) -> Any:
    """Heat taken up by cold nitrogen vapour on its way out of a bath at one atmosphere.

    h(T) - h(saturated vapour) = cp (T - Tb) + a tabulated excess for the real gas.

    Parameters
    ----------
    temperature : float or array
        Temperature at which the gas leaves [K].

    Returns
    -------
    float or array
        Heat [J/kg]; nan outside 77.355 to 310 K.

    Notes
    -----
    1.2 times the heat of evaporation up to 300 K.

    Source: Span2000.

    Examples
    --------
    >>> round(nitrogen_vapour_heat(300.0) / 1e3)
    234
    """
    excess = _interpolate(temperature, _NITROGEN_EXCESS[0], _NITROGEN_EXCESS[1])
    return _NITROGEN_SLOPE * (temperature - liquid_nitrogen.boiling_temperature) + excess


def liquid_of(cryogen: Cryogen) -> Liquid:
    """Properties of a cryogen boiling at one atmosphere.

    Parameters
    ----------
    cryogen : {"helium", "nitrogen"}
        Which liquid [none].

    Returns
    -------
    Liquid
        Boiling temperature [K], density [kg/m3], heat of evaporation [J/kg], molar mass [kg/mol].

    Notes
    -----
    The boiling temperature of helium is that of ITS-90; the equation of state puts it 1.7 mK higher.

    Source: OrtizVega2023; Span2000.

    Examples
    --------
    >>> liquid_of("nitrogen").density
    806.1
    """
    return liquid_helium if cryogen == "helium" else liquid_nitrogen


@within(gas_temperature=(200.0, 330.0, "K"))
def expansion_ratio(
    cryogen: Cryogen, gas_temperature: Numbers = 293.15, pressure: Numbers = standard_atmosphere
) -> Any:
    """Volume of gas from one volume of liquid that boiled at one atmosphere.

    rho R T/(M p), rho the density of the liquid.

    Parameters
    ----------
    cryogen : {"helium", "nitrogen"}
        Which liquid [none].
    gas_temperature : float or array
        Temperature of the gas [K].
    pressure : float or array
        Pressure of the gas [Pa].

    Returns
    -------
    float or array
        Ratio of volumes [1].

    Notes
    -----
    The gas is ideal, which is within 0.1 % at room temperature. A ratio without a temperature means little:
    the familiar 757 and 694 belong to 296 and 294 K.

    Source: OrtizVega2023; Span2000.

    Examples
    --------
    >>> round(expansion_ratio("helium")), round(expansion_ratio("nitrogen"))
    (749, 692)
    """
    liquid = liquid_of(cryogen)
    return liquid.density * gas_constant * gas_temperature / (liquid.molar_mass * pressure)


def boil_off(
    power: Numbers,
    cryogen: Cryogen = "helium",
    vapour_use: Numbers = 0.0,
    exit_temperature: Numbers = 300.0,
) -> Any:
    """Rate at which a heat load evaporates liquid boiling at one atmosphere.

    dV/dt = P / (rho [L + f (h(T) - h_sat)]).

    Parameters
    ----------
    power : float or array
        Heat into the bath [W].
    cryogen : {"helium", "nitrogen"}
        Which liquid [none].
    vapour_use : float or array
        Part f of the vapour's own cold that is used on the load, 0 to 1 [1].
    exit_temperature : float or array
        Temperature up to which the vapour is used [K].

    Returns
    -------
    float or array
        Volume of liquid per time [m3/s]; multiply by 3.6e6 for litres an hour.

    Notes
    -----
    With f = 0 one watt boils 1.40 litres of helium or 0.0224 litres of nitrogen an hour.

    Source: OrtizVega2023; Span2000.

    Examples
    --------
    >>> round(boil_off(1.0) * 3.6e6, 3)
    1.404
    """
    liquid = liquid_of(cryogen)
    sensible = helium_vapour_heat(exit_temperature) if cryogen == "helium" else nitrogen_vapour_heat(exit_temperature)
    return power / (liquid.density * (liquid.latent_heat + vapour_use * sensible))


def hold_time(volume: Numbers, boil_off_rate: Numbers) -> Any:
    """Time for which a volume of liquid lasts.

    t = V / (dV/dt).

    Parameters
    ----------
    volume : float or array
        Usable liquid [m3].
    boil_off_rate : float or array
        All that boils, static loss of the dewar included [m3/s].

    Returns
    -------
    float or array
        Time [s]; infinite where nothing boils.

    Notes
    -----
    The usable volume is what lies between the full level and the lowest level the experiment stands.

    Source: CommonPractice.

    Examples
    --------
    >>> round(hold_time(0.060, 2.5e-7) / 3600, 1)
    66.7
    """
    if isinstance(boil_off_rate, (float, int)) and isinstance(volume, (float, int)):
        return volume / boil_off_rate if boil_off_rate > 0 else inf
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(np.asarray(boil_off_rate) > 0, np.divide(volume, boil_off_rate), inf)


def amount_of_gas(volume: Numbers, temperature: Numbers = zero_celsius, pressure: Numbers = standard_atmosphere) -> Any:
    """Amount of gas in a volume at a stated temperature and pressure.

    n = p V/(R T).

    Parameters
    ----------
    volume : float or array
        Volume of gas [m3].
    temperature : float or array
        Temperature at which the volume is stated [K]; 0 degC for standard litres.
    pressure : float or array
        Pressure at which the volume is stated [Pa]; one atmosphere for standard litres.

    Returns
    -------
    float or array
        Amount [mol].

    Notes
    -----
    One standard litre is 44.6 mmol. Some makers state litres at 20 degC or 1 bar: say which.

    Source: CommonPractice.

    Examples
    --------
    >>> round(amount_of_gas(1e-3) * 1e3, 1)
    44.6
    """
    return pressure * volume / (gas_constant * temperature)


def helium3_liquid_volume(amount: Numbers) -> Any:
    """Volume of cold liquid helium-3.

    V = n Vm.

    Parameters
    ----------
    amount : float or array
        Amount of helium-3 [mol].

    Returns
    -------
    float or array
        Volume [m3].

    Notes
    -----
    With 36.84 cm3/mol, below about 0.5 K; the liquid takes a few per cent more at 1.5 K.

    Source: Greywall1983.

    Examples
    --------
    >>> round(helium3_liquid_volume(0.0446) * 1e6, 2)
    1.64
    """
    return amount * helium3_molar_volume


@within(pressure=(60e3, 150e3, "Pa"))
def nitrogen_boiling_temperature(pressure: Numbers = standard_atmosphere) -> Any:
    """Temperature of a nitrogen bath boiling at a given pressure.

    1/T = 1/Tb - z R/(M L) ln(p/p0): the Clausius-Clapeyron line.

    Parameters
    ----------
    pressure : float or array
        Pressure above the bath [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside 60 to 150 kPa.

    Notes
    -----
    z = 0.96, the compressibility of the saturated vapour; good to 0.06 K.

    Source: Span2000.

    Examples
    --------
    >>> round(nitrogen_boiling_temperature(101325.0), 3)
    77.355
    """
    given = np.asarray(pressure, dtype=float)
    inside = (given >= 60e3) & (given <= 150e3)
    x = np.log(np.where(inside, given, standard_atmosphere) / standard_atmosphere)
    slope = 0.96 * gas_constant / (liquid_nitrogen.molar_mass * liquid_nitrogen.latent_heat)
    found = np.where(inside, 1 / (1 / liquid_nitrogen.boiling_temperature - slope * x), np.nan)
    return float(found) if found.ndim == 0 else found
