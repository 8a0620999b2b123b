"""Oxygen in a room after a release of helium or nitrogen: screening figures, not a safety case."""

from __future__ import annotations

from math import nan

import numpy as np

from triage.physics.constants import gas_constant
from triage.physics.kind import Numbers

AIR = 0.2095  # oxygen fraction of dry air
DEFICIENT = 0.195  # below: oxygen-deficient (CFR1910146; the entry minimum of EIGA44)
ENRICHED = 0.235  # above: oxygen-enriched (CFR1910146)
# Effects, lower edge of the band of oxygen fraction (EIGA44 and common practice).
EFFECTS = (
    (0.195, "no effect"),
    (0.16, "loss of performance that the person does not notice"),
    (0.10, "impaired judgement, then collapse without warning"),
    (0.06, "unconscious within minutes"),
    (0.0, "unconscious within a minute, death"),
)
# Volume of gas at 20 C and one atmosphere from one volume of liquid boiling at one atmosphere.
EXPANSION = {"helium": 749.6, "nitrogen": 692.0}


def gas_volume(liquid_volume: Numbers, expansion: Numbers) -> Numbers:
    """Volume of gas that a volume of liquid makes.

    V_g = E V_l.

    Parameters
    ----------
    liquid_volume : float or array
        Liquid [m^3].
    expansion : float or array
        Expansion ratio, as in ``EXPANSION`` [1].

    Returns
    -------
    float or array
        Gas at 20 C and one atmosphere [m^3].

    Notes
    -----
    The ratio goes with the temperature of the gas: helium 698 at 0 C, 750 at 20 C.

    Source: OrtizVega2023, Span2000.

    Examples
    --------
    >>> round(float(gas_volume(60e-3, EXPANSION["helium"])), 1)
    45.0
    """
    return liquid_volume * expansion


def oxygen_displaced(gas: Numbers, room: Numbers) -> Numbers:
    """Oxygen fraction after a sudden release that drives pure air out (conservative).

    x = 0.2095 (1 - V_g/V_r), not below 0.

    Parameters
    ----------
    gas : float or array
        Gas released, at room temperature [m^3].
    room : float or array
        Free volume of the room [m^3].

    Returns
    -------
    float or array
        Oxygen fraction [1].

    Notes
    -----
    Room average. Helium gathers under the ceiling and cold nitrogen on the floor.

    Source: EIGA44.

    Examples
    --------
    >>> round(float(oxygen_displaced(0.75 * 60, 60.0)) * 100, 1)
    5.2
    """
    return np.maximum(AIR * (1.0 - np.asarray(gas, dtype=np.float64) / room), 0.0)


def oxygen_mixed(gas: Numbers, room: Numbers) -> Numbers:
    """Oxygen fraction after a release that mixes while the mixture is driven out.

    x = 0.2095 exp(-V_g/V_r).

    Parameters
    ----------
    gas : float or array
        Gas released, at room temperature [m^3].
    room : float or array
        Free volume of the room [m^3].

    Returns
    -------
    float or array
        Oxygen fraction [1].

    Source: Elementary.

    Examples
    --------
    >>> round(float(oxygen_mixed(75.0, 60.0)) * 100, 1)
    6.0
    """
    return AIR * np.exp(-np.asarray(gas, dtype=np.float64) / room)


def oxygen_steady(boil_off: Numbers, ventilation: Numbers) -> Numbers:
    """Oxygen fraction of a ventilated room with a steady boil-off.

    x = 0.2095 Q/(Q + q).

    Parameters
    ----------
    boil_off : float or array
        Flow of gas q into the room, at room temperature [m^3/s].
    ventilation : float or array
        Flow of fresh air Q [m^3/s].

    Returns
    -------
    float or array
        Oxygen fraction; nan for neither flow [1].

    Source: EIGA44.

    Examples
    --------
    >>> round(float(oxygen_steady(1 / 3600, 60 / 3600)) * 100, 2)
    20.61
    """
    fresh = np.asarray(ventilation, dtype=np.float64)
    with np.errstate(invalid="ignore"):
        return AIR * fresh / (fresh + boil_off)


def oxygen_course(
    time: Numbers, room: Numbers, boil_off: Numbers, ventilation: Numbers, start: Numbers = AIR
) -> Numbers:
    """Oxygen fraction against time in a well mixed room.

    x = x_s + (x_0 - x_s) exp(-(Q + q) t/V).

    Parameters
    ----------
    time : float or array
        Time since the flows began [s].
    room : float or array
        Free volume of the room [m^3].
    boil_off : float or array
        Flow of gas into the room, at room temperature [m^3/s].
    ventilation : float or array
        Flow of fresh air [m^3/s].
    start : float or array
        Oxygen fraction at the start [1].

    Returns
    -------
    float or array
        Oxygen fraction [1].

    Source: Elementary.

    Examples
    --------
    >>> round(float(oxygen_course(3600.0, 60.0, 0.0, 5 * 60 / 3600, start=0.10)) * 100, 1)
    20.9
    """
    flow = np.asarray(ventilation, dtype=np.float64) + boil_off
    with np.errstate(invalid="ignore", divide="ignore"):
        steady = np.where(flow > 0.0, AIR * np.asarray(ventilation) / flow, start)
    return (steady + (start - steady) * np.exp(-flow * time / room))[()]


def inventory_limit(room: Numbers, expansion: Numbers, fraction: Numbers = DEFICIENT) -> Numbers:
    """Liquid whose sudden release just brings a room to an oxygen limit.

    V_l = V_r (1 - x/0.2095)/E.

    Parameters
    ----------
    room : float or array
        Free volume of the room [m^3].
    expansion : float or array
        Expansion ratio, as in ``EXPANSION`` [1].
    fraction : float or array
        Oxygen fraction not to be undercut [1].

    Returns
    -------
    float or array
        Liquid, all vessels that can fail together [m^3].

    Source: CFR1910146.

    Examples
    --------
    >>> round(float(inventory_limit(100.0, EXPANSION["helium"])) * 1e3, 1)
    9.2
    """
    return room * (1.0 - np.asarray(fraction, dtype=np.float64) / AIR) / expansion


def trapped_pressure(density: Numbers, molar_mass: Numbers, temperature: Numbers = 293.15) -> Numbers:
    """Pressure of liquid that is trapped in its own volume and warms up, as an ideal gas.

    p = rho R T/M.

    Parameters
    ----------
    density : float or array
        Density of the liquid that fills the volume [kg/m^3].
    molar_mass : float or array
        Molar mass [kg/mol].
    temperature : float or array
        Temperature reached [K].

    Returns
    -------
    float or array
        Pressure [Pa].

    Notes
    -----
    Too low: at this density the real gas is at about 1.5 times this for helium, 4 times for
    nitrogen. Either bursts what holds it: every volume that can trap liquid needs a relief device.

    Source: Elementary.

    Examples
    --------
    >>> round(float(trapped_pressure(124.7, 4.0026e-3)) / 1e6)
    76
    """
    return density * gas_constant * temperature / molar_mass


def oxygen_effect(fraction: float) -> str:
    """What an oxygen fraction does to a person.

    The band of ``EFFECTS`` that holds the fraction.

    Parameters
    ----------
    fraction : float
        Oxygen fraction [1].

    Returns
    -------
    str
        Effect, in words [-]; empty for a fraction that is not a number.

    Source: EIGA44.

    Examples
    --------
    >>> oxygen_effect(0.17)
    'loss of performance that the person does not notice'
    """
    return next((effect for edge, effect in EFFECTS if fraction >= edge), "")


def escape_time(room: Numbers, boil_off: Numbers, fraction: Numbers = DEFICIENT) -> Numbers:
    """Time from the start of a leak to an oxygen limit in a room without ventilation.

    t = (V/q) ln(0.2095/x).

    Parameters
    ----------
    room : float or array
        Free volume of the room [m^3].
    boil_off : float or array
        Flow of gas into the room, at room temperature [m^3/s].
    fraction : float or array
        Oxygen fraction not to be undercut [1].

    Returns
    -------
    float or array
        Time, well mixed [s]; nan for no flow.

    Source: Elementary.

    Examples
    --------
    >>> round(float(escape_time(60.0, 0.1)))
    43
    """
    flow = np.asarray(boil_off, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(flow > 0.0, room / flow * np.log(AIR / np.asarray(fraction)), nan)[()]
