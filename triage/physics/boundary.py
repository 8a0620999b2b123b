"""Steps of temperature where two bodies meet, and how long they take to level out."""

from __future__ import annotations

from math import nan

import numpy as np

from triage.physics.kind import Numbers, within

# Area times resistance times T^3, order of magnitude, common practice (Pobell2007 gives the same sizes).
BOUNDARY_RESISTIVITY = {
    "glued chip": 1.0e-3,  # K^4 m^2/W, thin varnish or epoxy between metal and dielectric
    "soldered chip": 3.0e-4,  # normal-state solder
    "helium": 2.0e-2,  # liquid helium against metal, 20 mK to 1 K
}


@within(stage=(0.005, 4.2, "K"))
def boundary_temperature(power: Numbers, area: Numbers, stage: Numbers, resistivity: Numbers = 1e-3) -> Numbers:
    """Temperature of a body that dumps heat through a thermal boundary.

    T = (T_s^4 + 4 r Q/A)^(1/4), from R = r/(A T^3).

    Parameters
    ----------
    power : float or array
        Heat through the boundary [W].
    area : float or array
        Contact area [m^2].
    stage : float or array
        Temperature of the stage side [K].
    resistivity : float or array
        Boundary resistance times area times T^3 [K^4 m^2/W].

    Returns
    -------
    float or array
        Temperature of the heated side [K].

    Notes
    -----
    The T^-3 law holds below some kelvin. The resistivity differs by ten between joints; 1e-3 is a thin
    glued joint by common practice. A body that is cooled instead (negative power) may reach nan.

    Source: SwartzPohl1989.

    Examples
    --------
    >>> round(float(boundary_temperature(1e-6, 25e-6, 0.02)) * 1e3)
    112
    """
    with np.errstate(invalid="ignore"):
        return (stage**4 + 4.0 * resistivity * np.asarray(power, dtype=np.float64) / area) ** 0.25


def boundary_power(rise: Numbers, area: Numbers, stage: Numbers, resistivity: Numbers = 1e-3) -> Numbers:
    """Heat that may pass a thermal boundary for a given rise of temperature.

    Q = A ((T_s + dT)^4 - T_s^4)/(4 r).

    Parameters
    ----------
    rise : float or array
        Permitted rise above the stage [K].
    area : float or array
        Contact area [m^2].
    stage : float or array
        Temperature of the stage side [K].
    resistivity : float or array
        Boundary resistance times area times T^3 [K^4 m^2/W].

    Returns
    -------
    float or array
        Heat [W].

    Source: SwartzPohl1989.

    Examples
    --------
    >>> f"{boundary_power(0.01, 25e-6, 0.02):.2g}"
    '4.1e-09'
    """
    return area * ((stage + rise) ** 4 - stage**4) / (4.0 * resistivity)


def boundary_conductance(area: Numbers, temperature: Numbers, resistivity: Numbers = 1e-3) -> Numbers:
    """Thermal conductance of a boundary for small differences.

    G = A T^3/r.

    Parameters
    ----------
    area : float or array
        Contact area [m^2].
    temperature : float or array
        Temperature [K].
    resistivity : float or array
        Boundary resistance times area times T^3 [K^4 m^2/W].

    Returns
    -------
    float or array
        Conductance [W/K].

    Source: SwartzPohl1989.

    Examples
    --------
    >>> f"{boundary_conductance(25e-6, 0.1):.2g}"
    '2.5e-05'
    """
    return area * temperature**3 / resistivity


def contact_temperature(power: Numbers, conductance: Numbers, stage: Numbers) -> Numbers:
    """Temperature behind a pressed or bolted metal contact.

    T = sqrt(T_s^2 + 2 Q/g), from G = g T.

    Parameters
    ----------
    power : float or array
        Heat through the contact [W].
    conductance : float or array
        Conductance of the contact divided by temperature [W/K^2].
    stage : float or array
        Temperature of the stage side [K].

    Returns
    -------
    float or array
        Temperature of the heated side [K].

    Notes
    -----
    Electrons carry the heat, so g = L0/R with R the contact resistance measured cold; about 0.1 W/K^2
    for a bolted gilded copper joint by common practice.

    Source: Pobell2007.

    Examples
    --------
    >>> round(float(contact_temperature(10e-6, 0.1, 0.01)) * 1e3, 1)
    17.3
    """
    with np.errstate(invalid="ignore"):
        return np.sqrt(stage**2 + 2.0 * np.asarray(power, dtype=np.float64) / conductance)


def thermal_time_constant(heat_capacity: Numbers, conductance: Numbers) -> Numbers:
    """Time constant of a body behind a thermal link.

    tau = C/G.

    Parameters
    ----------
    heat_capacity : float or array
        Heat capacity at the working temperature [J/K].
    conductance : float or array
        Conductance of the link there [W/K].

    Returns
    -------
    float or array
        Time constant [s].

    Source: Elementary.

    Examples
    --------
    >>> round(float(thermal_time_constant(1e-6, 2.5e-5)), 3)
    0.04
    """
    return heat_capacity / conductance


def thermalisation_time(time_constant: Numbers, start: Numbers, finish: Numbers) -> Numbers:
    """Time until a difference of temperature has died down to what is allowed.

    t = tau ln(dT_0/dT_1).

    Parameters
    ----------
    time_constant : float or array
        Time constant at the final temperature, where it is usually longest [s].
    start : float or array
        Difference at the start [K].
    finish : float or array
        Difference allowed at the end [K].

    Returns
    -------
    float or array
        Time, 0 if the start is within the allowance [s]; nan for differences that are not positive.

    Notes
    -----
    One time constant throughout. Below 100 mK boards and heavy copper in a field can take hours.

    Source: Elementary.

    Examples
    --------
    >>> round(float(thermalisation_time(600.0, 0.1, 0.001)) / 60)
    46
    """
    first, last = np.asarray(start, dtype=np.float64), np.asarray(finish, dtype=np.float64)
    with np.errstate(all="ignore"):
        waited = time_constant * np.maximum(np.log(first / last), 0.0)
    return np.where((first > 0.0) & (last > 0.0), waited, nan)[()]
