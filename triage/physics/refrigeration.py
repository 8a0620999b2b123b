"""What each way of cooling gives: temperature under a heat load, cooling power, and how long it lasts.

More heat never gives a colder answer; nan stands for a load the machine cannot carry.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf, log, nan, pi, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import (
    bohr_magneton,
    boltzmann,
    gas_constant,
    helium4_molar_mass,
)
from triage.physics.evaporation import helium3_latent_heat, helium3_lost_by_cooling, helium4_latent_heat
from triage.physics.kind import Numbers, within
from triage.physics.vapour_pressure import helium3_pressure, helium4_pressure, helium4_temperature

room_temperature = 295.0  # K, of pumps and gauges
film_flow = 2.72e-4  # mol/(s m) of the narrowest perimeter, clean smooth wall; Pobell2007, from memory
dilution_dilute = 95.0  # J/(mol K2), enthalpy of the dilute phase along osmotic equilibrium
dilution_concentrated = 11.0  # J/(mol K2), enthalpy of the concentrated phase
dilution_floor = 2e-3  # K, viscous heating; common practice

_NOTHING = 1e-18  # mol/s, keeps the logarithm of no flow finite
_ROUNDS = 60
_CLOSE = 1e-9  # of ln(carried/needed)


def _plain(*values: Any) -> bool:
    return all(isinstance(value, (float, int)) for value in values)


def _balance(excess: Callable[[Any], Any], cold: float, warm: float, shape: tuple[int, ...] | None) -> Any:
    """Temperature at which a rising function is zero, or nan; false position (Illinois) in -1/T.

    In -1/T the logarithm of a vapour pressure is nearly straight, so a few steps are enough.
    """
    if shape is None:
        return _balance_float(excess, cold, warm)
    a, b = np.full(shape, -1 / cold), np.full(shape, -1 / warm)
    at_a, at_b = np.asarray(excess(-1 / a), dtype=float), np.asarray(excess(-1 / b), dtype=float)
    possible = (at_a <= 0) & (at_b >= 0)
    side = np.zeros(shape)
    c = a
    with np.errstate(invalid="ignore", divide="ignore"):
        for _ in range(_ROUNDS):
            c = b - at_b * (b - a) / (at_b - at_a)
            at_c = np.asarray(excess(-1 / c), dtype=float)
            below = at_c < 0
            halved_a = np.where(side < 0, 0.5 * at_a, at_a)
            halved_b = np.where(side > 0, 0.5 * at_b, at_b)
            at_a, at_b = np.where(below, at_c, halved_a), np.where(below, halved_b, at_c)
            a, b = np.where(below, c, a), np.where(below, b, c)
            side = np.where(below, 1.0, -1.0)
            if not (possible & (np.abs(at_c) > _CLOSE)).any():
                break
    return np.where(possible, -1 / c, nan)


def _balance_float(excess: Callable[[float], float], cold: float, warm: float) -> float:
    at_a, at_b = excess(cold), excess(warm)
    if not at_a <= 0 <= at_b:
        return nan
    a, b, side = -1 / cold, -1 / warm, 0
    c = a if at_a == 0 else b
    for _ in range(_ROUNDS):
        c = b - at_b * (b - a) / (at_b - at_a)
        at_c = excess(-1 / c)
        if abs(at_c) <= _CLOSE:
            break
        if at_c < 0:
            a, at_a, at_b, side = c, at_c, 0.5 * at_b if side > 0 else at_b, 1
        else:
            b, at_b, at_a, side = c, at_c, 0.5 * at_a if side < 0 else at_a, -1
    return -1 / c


def helium_viscosity(temperature: Numbers) -> Any:
    """Viscosity of dilute helium-4 gas.

    eta = 0.5023 uPa s (T/K)^0.647.

    Parameters
    ----------
    temperature : float or array
        Gas temperature [K].

    Returns
    -------
    float or array
        Viscosity [Pa s].

    Notes
    -----
    Within some 5 % from 4 to 300 K.

    Source: Keesom1942 (from memory).

    Examples
    --------
    >>> round(helium_viscosity(300.0) * 1e6, 1)
    20.1
    """
    return 5.023e-7 * temperature**0.647


def molecular_conductance(
    diameter: Numbers,
    length: Numbers,
    temperature: Numbers = room_temperature,
    molar_mass: float = helium4_molar_mass,
) -> Any:
    """Conductance of a round tube for molecular flow.

    C = (pi d^3 v/12 l) / (1 + 4 d/3 l), v = sqrt(8 R T/(pi M)).

    Parameters
    ----------
    diameter : float or array
        Inner diameter [m].
    length : float or array
        Length [m].
    temperature : float or array
        Gas temperature [K].
    molar_mass : float
        Molar mass of the gas [kg/mol].

    Returns
    -------
    float or array
        Conductance [m3/s].

    Notes
    -----
    The divisor is the opening in series with the tube.

    Source: Lafferty1998.

    Examples
    --------
    >>> round(molecular_conductance(0.01, 1000.0, 293.0, 28.96e-3) * 1e3 * 1e5, 1)
    12.1
    """
    speed = (8 * gas_constant * temperature / (pi * molar_mass)) ** 0.5
    return pi * diameter**3 * speed / (12 * length) / (1 + 4 * diameter / (3 * length))


def viscous_conductance(diameter: Numbers, length: Numbers, mean_pressure: Numbers, viscosity: Numbers) -> Any:
    """Conductance of a round tube for viscous flow.

    C = pi d^4 p/(128 eta l).

    Parameters
    ----------
    diameter : float or array
        Inner diameter [m].
    length : float or array
        Length [m].
    mean_pressure : float or array
        Mean of the pressures at the two ends [Pa].
    viscosity : float or array
        Viscosity of the gas [Pa s].

    Returns
    -------
    float or array
        Conductance [m3/s].

    Notes
    -----
    Laminar, long tube.

    Source: Lafferty1998.

    Examples
    --------
    >>> round(viscous_conductance(0.05, 2.0, 100.0, 2e-5), 3)
    0.383
    """
    return pi * diameter**4 * mean_pressure / (128 * viscosity * length)


def _slip(diameter: Any, mean_pressure: Any, temperature: Any, molar_mass: float) -> Any:
    """Factor on the molecular term: 1 at low pressure, 0.81 at high, by radius over mean free path."""
    free_path_pressure = helium_viscosity(temperature) * (pi * gas_constant * temperature / (2 * molar_mass)) ** 0.5
    ratio = 0.5 * diameter * mean_pressure / free_path_pressure
    return (1 + 2.507 * ratio) / (1 + 3.095 * ratio)


def line_conductance(
    diameter: Numbers,
    length: Numbers,
    mean_pressure: Numbers,
    temperature: Numbers = room_temperature,
    molar_mass: float = helium4_molar_mass,
) -> Any:
    """Conductance of a pumping line for helium at any pressure.

    C = C_viscous + C_molecular (1 + 2.507 r/l)/(1 + 3.095 r/l), r the radius, l the mean free path.

    Parameters
    ----------
    diameter : float or array
        Inner diameter [m].
    length : float or array
        Length [m].
    mean_pressure : float or array
        Mean of the pressures at the two ends [Pa].
    temperature : float or array
        Gas temperature [K].
    molar_mass : float
        Molar mass of the gas [kg/mol].

    Returns
    -------
    float or array
        Conductance [m3/s].

    Notes
    -----
    Knudsen's interpolation, with the viscosity of helium-4. Bends and baffles count as extra length.

    Source: Lafferty1998.

    Examples
    --------
    >>> round(line_conductance(0.05, 2.0, 10.0), 4)
    0.0546
    """
    viscous = viscous_conductance(diameter, length, mean_pressure, helium_viscosity(temperature))
    molecular = molecular_conductance(diameter, length, temperature, molar_mass)
    return viscous + molecular * _slip(diameter, mean_pressure, temperature, molar_mass)


def effective_pumping_speed(
    pumping_speed: Numbers,
    pressure: Numbers,
    diameter: Numbers,
    length: Numbers,
    temperature: Numbers = room_temperature,
    molar_mass: float = helium4_molar_mass,
) -> Any:
    """Pumping speed at the cold end of a line.

    S_eff p = S p_pump = C(mean p) (p - p_pump), solved for p_pump.

    Parameters
    ----------
    pumping_speed : float or array
        Speed of the pump [m3/s].
    pressure : float or array
        Pressure at the cold end [Pa].
    diameter : float or array
        Inner diameter of the line [m].
    length : float or array
        Length of the line [m].
    temperature : float or array
        Gas temperature in the line [K].
    molar_mass : float
        Molar mass of the gas [kg/mol].

    Returns
    -------
    float or array
        Effective speed [m3/s], never more than that of the pump.

    Notes
    -----
    One gas temperature for the whole line; a cold lower part conducts better than this says.

    Source: Lafferty1998.

    Examples
    --------
    >>> round(effective_pumping_speed(0.0111, 15.6, 0.05, 2.0), 5)
    0.00962
    """
    viscous = viscous_conductance(diameter, length, 1.0, helium_viscosity(temperature))
    molecular = molecular_conductance(diameter, length, temperature, molar_mass)
    at_pump = 0.5 * pressure
    for _ in range(6):
        # (v/2)(p^2 - q^2) + c (p - q) = S q, a quadratic for q once the slip factor is taken.
        slip = molecular * _slip(diameter, 0.5 * (pressure + at_pump), temperature, molar_mass)
        b = slip + pumping_speed
        c = pressure * (0.5 * viscous * pressure + slip)
        at_pump = 2 * c / (b + (b * b + 2 * viscous * c) ** 0.5)
    return pumping_speed * at_pump / pressure


@within(temperature=(0.3, 4.5, "K"))
def helium4_pot_cooling_power(
    temperature: Numbers,
    pumping_speed: Numbers,
    pump_temperature: Numbers = room_temperature,
    film_perimeter: Numbers = 0.0,
) -> Any:
    """Cooling power of a pumped pot of helium-4.

    Q = L(T) [p(T) S/(R T_pump) - film flow].

    Parameters
    ----------
    temperature : float or array
        Temperature of the pot [K].
    pumping_speed : float or array
        Speed at the pot, the line allowed for [m3/s].
    pump_temperature : float or array
        Temperature at which the speed is stated [K].
    film_perimeter : float or array
        Narrowest perimeter over which superfluid film escapes [m]; 0 for none.

    Returns
    -------
    float or array
        Cooling power [W]; 0 where the film alone takes all the pump can carry.

    Notes
    -----
    Ideal gas at the pump. The film figure is for a clean smooth wall; dirt or roughness multiplies it.

    Source: Pobell2007, chapter 5.

    Examples
    --------
    >>> round(helium4_pot_cooling_power(1.5, 40 / 3600) * 1e3)
    191
    """
    flow = helium4_pressure(temperature) * pumping_speed / (gas_constant * pump_temperature)
    film = np.where(np.asarray(temperature) < 2.1768, film_flow * np.asarray(film_perimeter), 0.0)
    found = helium4_latent_heat(temperature) * np.maximum(flow - film, 0.0)
    return float(found) if np.ndim(found) == 0 else found


@within(heat=(0.0, 10.0, "W"), pumping_speed=(1e-6, 1.0, "m3/s"))
def helium4_pot_temperature(
    heat: Numbers,
    pumping_speed: Numbers,
    pump_temperature: Numbers = room_temperature,
    line_diameter: Numbers = inf,
    line_length: Numbers = 1.0,
    film_perimeter: Numbers = 0.0,
) -> Any:
    """Temperature of a pumped pot or bath of helium-4 under a heat load.

    Solves p(T) S_eff(p)/(R T_pump) = Q/L(T) + film flow.

    Parameters
    ----------
    heat : float or array
        All heat into the pot [W]; with 0 and a film the base temperature results.
    pumping_speed : float or array
        Speed of the pump [m3/s].
    pump_temperature : float or array
        Temperature of pump and line [K].
    line_diameter : float or array
        Inner diameter of the pumping line [m]; infinite for no line.
    line_length : float or array
        Length of the pumping line [m].
    film_perimeter : float or array
        Narrowest perimeter over which superfluid film escapes [m].

    Returns
    -------
    float or array
        Temperature [K], 0.3 to 4.5 K; nan where the load is too much (or nothing holds it above 0.3 K).

    Notes
    -----
    Twenty times the pumping speed buys about 0.3 K: p(T) is that steep. The film counts to the lambda point.

    Source: Pobell2007, chapter 5; Lafferty1998.

    Examples
    --------
    >>> round(helium4_pot_temperature(10e-3, 40 / 3600), 2)
    1.06
    """
    plain = _plain(heat, pumping_speed, pump_temperature, line_diameter, line_length, film_perimeter)
    has_line = bool(np.all(np.isfinite(line_diameter)))
    logarithm = _log_of(plain)

    def excess(T: Any) -> Any:
        p = helium4_pressure(T)
        speed = pumping_speed
        if has_line:
            speed = effective_pumping_speed(pumping_speed, p, line_diameter, line_length, pump_temperature)
        # Smooth shut-off of the film over the last 10 mK below the lambda point keeps the balance continuous.
        closing = (2.1768 - T) / 0.01
        share = min(max(closing, 0.0), 1.0) if plain else np.clip(closing, 0.0, 1.0)
        needed = heat / helium4_latent_heat(T) + film_flow * film_perimeter * share + _NOTHING
        return logarithm(p * speed / (gas_constant * pump_temperature)) - logarithm(needed)

    shape = None if plain else _shape(heat, pumping_speed, pump_temperature, line_diameter, line_length, film_perimeter)
    return _balance(excess, 0.3, 4.5, shape)


def _shape(*values: Any) -> tuple[int, ...]:
    return np.broadcast_shapes(*(np.shape(value) for value in values))


def _log_of(plain: bool) -> Callable[[Any], Any]:
    def scalar(x: float) -> float:
        return log(x) if x > 0 else -inf

    def array(x: Any) -> Any:
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.log(x)

    return scalar if plain else array


@within(pressure_drop=(0.0, 1e4, "Pa"))
def pumped_bath_temperature(pressure: Numbers, pressure_drop: Numbers = 0.0) -> Any:
    """Temperature of a pumped helium-4 bath from a gauge reading.

    The saturation temperature at the gauge's pressure plus the drop between bath and gauge.

    Parameters
    ----------
    pressure : float or array
        Pressure at the gauge [Pa].
    pressure_drop : float or array
        Drop between bath and gauge [Pa].

    Returns
    -------
    float or array
        Temperature [K].

    Notes
    -----
    About 4.7 hPa gives 1.5 K.

    Source: PrestonThomas1990.

    Examples
    --------
    >>> round(pumped_bath_temperature(470.0), 2)
    1.5
    """
    return helium4_temperature(pressure + pressure_drop)


def sorption_energy(
    amount: Numbers,
    temperature: Numbers = 0.3,
    condensed_at: Numbers = 1.5,
    condensed_part: Numbers = 1.0,
) -> Any:
    """Heat a condensed helium-3 charge can take up at its working temperature.

    E = n eta (1 - x) L(T), x the part lost in cooling the charge from where it was condensed.

    Parameters
    ----------
    amount : float or array
        Helium-3 in the closed volume [mol].
    temperature : float or array
        Working temperature [K].
    condensed_at : float or array
        Temperature at which the charge was condensed [K].
    condensed_part : float or array
        Part eta of the charge that condenses, the rest staying as gas [1].

    Returns
    -------
    float or array
        Energy [J].

    Notes
    -----
    x is 0.127 from 1.5 to 0.3 K for the liquid alone; books say about 0.20 with the pot.

    Source: Greywall1983; Pobell2007, chapter 6.

    Examples
    --------
    >>> round(sorption_energy(0.2008), 2)
    4.62
    """
    kept = condensed_part * (1 - helium3_lost_by_cooling(condensed_at, temperature))
    return amount * kept * helium3_latent_heat(temperature)


def sorption_hold_time(
    amount: Numbers,
    load: Numbers,
    temperature: Numbers = 0.3,
    condensed_at: Numbers = 1.5,
    condensed_part: Numbers = 1.0,
) -> Any:
    """Time for which a helium-3 charge holds its temperature.

    t = E/Q.

    Parameters
    ----------
    amount : float or array
        Helium-3 in the closed volume [mol].
    load : float or array
        All heat: parasitic, wiring and experiment [W].
    temperature : float or array
        Working temperature [K].
    condensed_at : float or array
        Temperature at which the charge was condensed [K].
    condensed_part : float or array
        Part of the charge that condenses [1].

    Returns
    -------
    float or array
        Time [s]; infinite without load.

    Notes
    -----
    4.5 standard litres last about two days with 20 to 30 microwatt in all.

    Source: Greywall1983; Pobell2007, chapter 6.

    Examples
    --------
    >>> round(sorption_hold_time(0.2008, 26e-6) / 3600)
    49
    """
    energy = sorption_energy(amount, temperature, condensed_at, condensed_part)
    if _plain(energy, load):
        return energy / load if load > 0 else inf
    with np.errstate(divide="ignore"):
        return np.where(np.asarray(load) > 0, np.divide(energy, load), inf)


def sorption_pumping_speed(temperature: Numbers, load: Numbers, pump_temperature: Numbers = 4.2) -> Any:
    """Effective speed of a sorption pump from one known temperature under a known load.

    S = Q R T_pump/(L(T) p(T)).

    Parameters
    ----------
    temperature : float or array
        Temperature of the helium-3 [K].
    load : float or array
        All heat at that temperature [W].
    pump_temperature : float or array
        Gas temperature to which the speed is referred [K].

    Returns
    -------
    float or array
        Effective speed [m3/s].

    Notes
    -----
    Charcoal, tube and collar in one number; use the same reference temperature in both directions.

    Source: Pobell2007, chapter 6.

    Examples
    --------
    >>> round(sorption_pumping_speed(0.30, 30e-6) * 1e3, 3)
    0.159
    """
    return load * gas_constant * pump_temperature / (helium3_latent_heat(temperature) * helium3_pressure(temperature))


@within(load=(0.0, 1.0, "W"), pumping_speed=(1e-7, 1.0, "m3/s"))
def sorption_temperature(load: Numbers, pumping_speed: Numbers, pump_temperature: Numbers = 4.2) -> Any:
    """Temperature of a pumped helium-3 pot under a heat load.

    Solves p(T) S/(R T_pump) = Q/L(T).

    Parameters
    ----------
    load : float or array
        All heat: parasitic, wiring and experiment [W].
    pumping_speed : float or array
        Effective speed at the pot [m3/s].
    pump_temperature : float or array
        Gas temperature to which the speed is referred [K].

    Returns
    -------
    float or array
        Temperature [K], 0.2 to 1.6 K; nan where the load is too much or too small for that range.

    Notes
    -----
    The molecular share of the tube makes the speed fall at low pressure, so far below the known point this
    is a few hundredths of a kelvin too cold.

    Source: Pobell2007, chapter 6.

    Examples
    --------
    >>> round(sorption_temperature(100e-6, sorption_pumping_speed(0.30, 30e-6)), 3)
    0.337
    """
    plain = _plain(load, pumping_speed, pump_temperature)
    logarithm = _log_of(plain)

    def excess(T: Any) -> Any:
        carried = helium3_pressure(T) * pumping_speed / (gas_constant * pump_temperature)
        return logarithm(carried * helium3_latent_heat(T)) - logarithm(load)

    return _balance(excess, 0.2, 1.6, None if plain else _shape(load, pumping_speed, pump_temperature))


@within(temperature=(0.002, 0.3, "K"))
def dilution_cooling_power(
    temperature: Numbers, circulation: Numbers, exchanger_temperature: Numbers | None = None
) -> Any:
    """Cooling power of a dilution unit at its mixing chamber.

    Q = n3 (95 T^2 - 11 T_ex^2); 84 n3 T^2 with a perfect heat exchanger.

    Parameters
    ----------
    temperature : float or array
        Temperature of the mixing chamber [K].
    circulation : float or array
        Flow of helium-3 [mol/s].
    exchanger_temperature : float or array, optional
        Temperature at which the concentrated stream enters [K]; that of the chamber if not given.

    Returns
    -------
    float or array
        Cooling power [W]; negative where the incoming stream brings more heat than is taken.

    Notes
    -----
    Nearly exact to 40 mK, within 10 % to 100 mK, optimistic above.

    Source: Pobell2007, chapter 7; Radebaugh1967.

    Examples
    --------
    >>> round(dilution_cooling_power(0.1, 476e-6) * 1e6)
    400
    """
    entering = temperature if exchanger_temperature is None else exchanger_temperature
    return circulation * (dilution_dilute * temperature**2 - dilution_concentrated * entering**2)


@within(power=(0.0, 5e-3, "W"), temperature=(0.01, 0.3, "K"))
def dilution_circulation(power: Numbers, temperature: Numbers = 0.1) -> Any:
    """Helium-3 flow that a quoted cooling power implies.

    n3 = Q/(84 T^2).

    Parameters
    ----------
    power : float or array
        Quoted cooling power [W].
    temperature : float or array
        Temperature at which it is quoted, by custom 100 mK [K].

    Returns
    -------
    float or array
        Flow of helium-3 [mol/s].

    Notes
    -----
    The least flow that can give the figure; real exchangers need some 10 to 30 % more.

    Source: Pobell2007, chapter 7.

    Examples
    --------
    >>> round(dilution_circulation(400e-6) * 1e6)
    476
    """
    return power / ((dilution_dilute - dilution_concentrated) * temperature**2)


@within(load=(0.0, 5e-3, "W"), circulation=(1e-7, 5e-3, "mol/s"))
def dilution_temperature(
    load: Numbers,
    circulation: Numbers,
    base_temperature: Numbers = dilution_floor,
    exchanger_temperature: Numbers | None = None,
) -> Any:
    """Temperature of the mixing chamber of a dilution unit under a heat load.

    T = sqrt(T0^2 + Q/(84 n3)); with a known exchanger, the larger of T0 and sqrt((Q/n3 + 11 T_ex^2)/95).

    Parameters
    ----------
    load : float or array
        Heat into the mixing chamber beyond what sets its base [W].
    circulation : float or array
        Flow of helium-3 [mol/s].
    base_temperature : float or array
        Temperature without load [K].
    exchanger_temperature : float or array, optional
        Temperature at which the concentrated stream enters [K].

    Returns
    -------
    float or array
        Temperature [K]; nan above 0.3 K, where the quadratic laws no longer hold.

    Notes
    -----
    At fixed flow. The chip is warmer than the chamber by its own boundary and wiring.

    Source: Pobell2007, chapter 7.

    Examples
    --------
    >>> round(dilution_temperature(20e-6, 300e-6, exchanger_temperature=0.03) * 1e3)
    28
    """
    if exchanger_temperature is None:
        square = base_temperature**2 + load / ((dilution_dilute - dilution_concentrated) * circulation)
    else:
        square = (load / circulation + dilution_concentrated * exchanger_temperature**2) / dilution_dilute
    if _plain(square, base_temperature):
        found = max(sqrt(square), base_temperature)
        return found if found <= 0.3 else nan
    warm = np.maximum(np.sqrt(square), base_temperature)
    return np.where(warm <= 0.3, warm, nan)


def dilution_base_temperature(exchanger_temperature: Numbers) -> Any:
    """Lowest temperature a dilution unit reaches when its stream enters at a known temperature.

    T = T_ex sqrt(11/95) = 0.340 T_ex.

    Parameters
    ----------
    exchanger_temperature : float or array
        Temperature at which the concentrated stream enters the mixing chamber [K].

    Returns
    -------
    float or array
        Temperature [K], not below the practical floor of 2 mK.

    Notes
    -----
    No heat leak, no viscous heating.

    Source: Pobell2007, chapter 7.

    Examples
    --------
    >>> round(dilution_base_temperature(0.030) * 1e3, 1)
    10.2
    """
    found = sqrt(dilution_concentrated / dilution_dilute) * exchanger_temperature
    return max(found, dilution_floor) if _plain(found) else np.maximum(found, dilution_floor)


def circulation_from_still(power: Numbers, still_temperature: Numbers = 0.7) -> Any:
    """Helium-3 flow that a still evaporates with a given heat.

    n3 = Q/L3(T).

    Parameters
    ----------
    power : float or array
        All heat at the still: heater, wiring, film burner [W].
    still_temperature : float or array
        Temperature of the still [K].

    Returns
    -------
    float or array
        Flow of helium-3 [mol/s].

    Notes
    -----
    With the heat of evaporation of pure helium-3, and the vapour taken as helium-3 alone.

    Source: Pobell2007, chapter 7; Greywall1983.

    Examples
    --------
    >>> round(circulation_from_still(10e-3) * 1e6)
    301
    """
    return power / helium3_latent_heat(still_temperature)


def circulation_from_pump(
    pressure: Numbers, pumping_speed: Numbers, pump_temperature: Numbers = room_temperature
) -> Any:
    """Flow that a pump carries at its inlet pressure: the limit of the circulation.

    n = p S/(R T).

    Parameters
    ----------
    pressure : float or array
        Pressure at the pump's inlet [Pa].
    pumping_speed : float or array
        Speed of the pump at that pressure [m3/s].
    pump_temperature : float or array
        Gas temperature at the pump [K].

    Returns
    -------
    float or array
        Flow [mol/s].

    Notes
    -----
    Ideal gas.

    Source: Lafferty1998.

    Examples
    --------
    >>> round(circulation_from_pump(5.0, 0.25) * 1e6)
    510
    """
    return pressure * pumping_speed / (gas_constant * pump_temperature)


@within(start_temperature=(0.05, 10.0, "K"))
def demagnetised_temperature(
    start_temperature: Numbers, start_field: Numbers, end_field: Numbers = 0.0, internal_field: Numbers = 0.05
) -> Any:
    """Temperature of a paramagnet after slow demagnetisation.

    T_f = T_i sqrt((B_f^2 + b^2)/(B_i^2 + b^2)).

    Parameters
    ----------
    start_temperature : float or array
        Temperature when isolated [K].
    start_field : float or array
        Field when isolated [T].
    end_field : float or array
        Field afterwards [T].
    internal_field : float or array
        The salt's own field b [T].

    Returns
    -------
    float or array
        Temperature [K].

    Notes
    -----
    Without heat leak and without the heat capacity of anything but the spins; b is the salt's and decides.

    Source: Pobell2007, chapter 9; Shirron2014.

    Examples
    --------
    >>> round(demagnetised_temperature(1.5, 2.0) * 1e3, 1)
    37.5
    """
    return start_temperature * ((end_field**2 + internal_field**2) / (start_field**2 + internal_field**2)) ** 0.5


def paramagnet_entropy(temperature: Numbers, field: Numbers, internal_field: Numbers = 0.05, spin: float = 2.5) -> Any:
    """Entropy per mole of independent spins in a field.

    S/R = ln[sinh((2J+1) x)/sinh x] - x [(2J+1) coth((2J+1) x) - coth x], x = mu_B sqrt(B^2 + b^2)/(k T).

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    field : float or array
        Applied field [T].
    internal_field : float or array
        The salt's own field b [T].
    spin : float
        Spin J [none]; 5/2 for iron(III), 7/2 for gadolinium.

    Returns
    -------
    float or array
        Entropy [J/(mol K)].

    Notes
    -----
    Equally spaced levels with g = 2; the internal field stands for everything the ions do to each other.

    Source: Pobell2007, chapter 9.

    Examples
    --------
    >>> round(paramagnet_entropy(10.0, 0.0), 2)
    14.9
    """
    total = np.sqrt(np.square(field) + np.square(internal_field))
    x = bohr_magneton * total / (boltzmann * np.asarray(temperature, dtype=float))
    many = 2 * spin + 1
    found = gas_constant * (_log_sinh_entropy(many * x) - _log_sinh_entropy(x) + np.log(many))
    return float(found) if np.ndim(found) == 0 else found


def _log_sinh_entropy(y: NDArray[np.float64]) -> NDArray[np.float64]:
    """ln(sinh y/y) - (y coth y - 1), written so that neither end overflows or cancels."""
    safe = np.maximum(y, 1e-3)
    decay = np.exp(-2 * safe)
    full = safe + np.log1p(-decay) - np.log(2 * safe) - safe * (1 + decay) / (1 - decay) + 1
    return np.where(y > 1e-3, full, -np.square(y) / 6)


def demagnetisation_hold_time(
    load: Numbers,
    amount: Numbers,
    hold_temperature: Numbers,
    start_temperature: Numbers,
    start_field: Numbers,
    internal_field: Numbers = 0.05,
    spin: float = 2.5,
) -> Any:
    """Time for which a demagnetisation stage is held at a regulated temperature.

    t = n T [S(T, 0) - S(T_i, B_i)]/Q.

    Parameters
    ----------
    load : float or array
        All heat into the salt [W].
    amount : float or array
        Magnetic ions [mol].
    hold_temperature : float or array
        Regulated temperature [K].
    start_temperature : float or array
        Temperature when isolated [K].
    start_field : float or array
        Field when isolated [T].
    internal_field : float or array
        The salt's own field [T].
    spin : float
        Spin of the ion [none].

    Returns
    -------
    float or array
        Time [s]; 0 where the temperature is not reached, infinite without load.

    Notes
    -----
    The field is lowered to zero at constant temperature; lattice, addenda and switch losses left out.

    Source: Pobell2007, chapter 9; Shirron2014.

    Examples
    --------
    >>> round(demagnetisation_hold_time(1e-6, 0.2, 0.1, 1.5, 4.0) / 3600)
    55
    """
    before = paramagnet_entropy(start_temperature, start_field, internal_field, spin)
    after = paramagnet_entropy(hold_temperature, 0.0, internal_field, spin)
    heat = np.asarray(amount * hold_temperature * np.maximum(after - before, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.where(np.asarray(load) > 0, heat / load, inf)
    return float(found) if found.ndim == 0 else found


@within(load=(0.0, 100.0, "W"))
def closed_cycle_temperature(
    load: Numbers, base_temperature: Numbers, rated_power: Numbers, rated_temperature: Numbers
) -> Any:
    """Temperature of a closed-cycle cooler's stage under a heat load.

    T = T0 + (T_rated - T0) Q/Q_rated.

    Parameters
    ----------
    load : float or array
        Heat into the stage [W].
    base_temperature : float or array
        Temperature without load [K].
    rated_power : float or array
        Cooling power at the rated temperature [W].
    rated_temperature : float or array
        Temperature at which the power is quoted [K].

    Returns
    -------
    float or array
        Mean temperature [K]; nan for a load beyond the rated power, where the straight line says nothing.

    Notes
    -----
    A line between two known points; the ripple of the cycle comes on top. A measured load map is better.

    Source: CommonPractice.

    Examples
    --------
    >>> round(closed_cycle_temperature(0.5, 2.8, 1.0, 4.2), 2)
    3.5
    """
    found = base_temperature + (rated_temperature - base_temperature) * (load / rated_power)
    if _plain(found):
        return found if 0 <= load <= rated_power else nan
    return np.where((np.asarray(load) >= 0) & (load <= np.asarray(rated_power)), found, nan)


def closed_cycle_power(
    temperature: Numbers, base_temperature: Numbers, rated_power: Numbers, rated_temperature: Numbers
) -> Any:
    """Cooling power of a closed-cycle cooler's stage at a temperature.

    Q = Q_rated (T - T0)/(T_rated - T0).

    Parameters
    ----------
    temperature : float or array
        Temperature of the stage [K].
    base_temperature : float or array
        Temperature without load [K].
    rated_power : float or array
        Cooling power at the rated temperature [W].
    rated_temperature : float or array
        Temperature at which the power is quoted [K].

    Returns
    -------
    float or array
        Cooling power [W]; 0 below the base, nan above the rated temperature.

    Notes
    -----
    The inverse of `closed_cycle_temperature`.

    Source: CommonPractice.

    Examples
    --------
    >>> round(closed_cycle_power(3.5, 2.8, 1.0, 4.2), 2)
    0.5
    """
    part = (temperature - np.asarray(base_temperature)) / (np.asarray(rated_temperature) - base_temperature)
    found = np.where(part <= 1 + 1e-12, rated_power * np.maximum(part, 0.0), nan)
    return float(found) if found.ndim == 0 else found
