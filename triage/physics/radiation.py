"""Heat that reaches a stage other than along a conductor: radiation, dissipation, ramps, current leads."""

from __future__ import annotations

from math import nan, pi

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import lorenz_number, stefan_boltzmann
from triage.physics.kind import Numbers, within


def effective_emissivity(cold_emissivity: Numbers, hot_emissivity: Numbers, area_ratio: Numbers = 1.0) -> Numbers:
    """Effective emissivity of a cold body inside a warm enclosure.

    1/eps = 1/eps_c + (A_c/A_h)(1/eps_h - 1).

    Parameters
    ----------
    cold_emissivity : float or array
        Emissivity of the cold body, 0 to 1 [1].
    hot_emissivity : float or array
        Emissivity of the enclosure, 0 to 1 [1].
    area_ratio : float or array
        Area of the cold body over that of the enclosure, at most 1 [1].

    Returns
    -------
    float or array
        Effective emissivity, referred to the cold area [1].

    Notes
    -----
    Grey, diffuse, concentric surfaces; ratio 1 is two parallel plates.

    Source: Ekin2006.

    Examples
    --------
    >>> round(float(effective_emissivity(0.05, 0.05)), 4)
    0.0256
    """
    return 1.0 / (1.0 / cold_emissivity + area_ratio * (1.0 / hot_emissivity - 1.0))


def radiation_heat(area: Numbers, cold: Numbers, hot: Numbers, emissivity: Numbers = 1.0) -> Numbers:
    """Heat radiated from a warm enclosure to a cold surface.

    Q = sigma eps A (T_h^4 - T_c^4).

    Parameters
    ----------
    area : float or array
        Area of the cold surface [m^2].
    cold : float or array
        Temperature of the cold surface [K].
    hot : float or array
        Temperature of what it sees [K].
    emissivity : float or array
        Effective emissivity, 1 for black [1].

    Returns
    -------
    float or array
        Heat [W]; negative if the surface is the warmer one.

    Source: Ekin2006.

    Examples
    --------
    >>> round(float(radiation_heat(1.0, 4.0, 300.0)))
    459
    """
    return stefan_boltzmann * emissivity * area * (hot**4 - cold**4)


@within(layers=(5, 80, ""), hot=(60.0, 320.0, "K"))
def multilayer_heat_flux(cold: Numbers, hot: Numbers, layers: Numbers) -> Numbers:
    """Heat flux through multilayer insulation.

    q = [a (T_h^4 - T_c^4) + b (T_h + T_c)/2 (T_h - T_c)]/(N + 1), a = 3.741e-9, b = 1.401e-4.

    Parameters
    ----------
    cold : float or array
        Cold boundary [K].
    hot : float or array
        Hot boundary [K].
    layers : float or array
        Number of reflecting layers [1].

    Returns
    -------
    float or array
        Heat flux [W/m^2].

    Notes
    -----
    Fitted to blankets on accelerator magnets in good vacuum; slits, feedthroughs and hand-made corners
    cost a factor of 2 or more.

    Source: Parma2014.

    Examples
    --------
    >>> round(float(multilayer_heat_flux(35.0, 293.0, 30)), 2)
    1.08
    """
    radiated = 3.741e-9 * (hot**4 - cold**4)
    conducted = 1.401e-4 * (hot + cold) / 2.0 * (hot - cold)
    return (radiated + conducted) / (layers + 1.0)


def window_heat(area: Numbers, hot: Numbers, transmission: Numbers = 1.0, half_angle: Numbers = pi / 2) -> Numbers:
    """Thermal radiation that comes through a window or an open line of sight.

    Q = tau sigma A T^4 sin^2(theta).

    Parameters
    ----------
    area : float or array
        Area of the cold aperture that is filled [m^2].
    hot : float or array
        Temperature seen through the window [K].
    transmission : float or array
        Part of the thermal spectrum the window passes, 0 to 1 [1].
    half_angle : float or array
        Half angle of the cone of warm radiation seen from the aperture; pi/2 for all [rad].

    Returns
    -------
    float or array
        Heat [W].

    Notes
    -----
    Glass passes little beyond 3 to 5 um, where a body at 300 K radiates; a bare hole passes all.

    Source: Ekin2006.

    Examples
    --------
    >>> round(float(window_heat(1e-4, 300.0)) * 1e3)
    46
    """
    return transmission * stefan_boltzmann * area * hot**4 * np.sin(half_angle) ** 2


def attenuator_heat(power: Numbers, attenuation: NDArray[np.float64]) -> NDArray[np.float64]:
    """Power dissipated in each attenuator of a line, warm to cold, and what is left at its end.

    P_i = P_(i-1) (1 - 10^(-a_i/10)).

    Parameters
    ----------
    power : float or array
        Power at the top of the line, averaged over the duty cycle [W].
    attenuation : array
        Attenuation of each stage along the last axis, cable loss included [dB].

    Returns
    -------
    array
        Dissipation per stage, then the power delivered, along a last axis one longer [W].

    Notes
    -----
    The parts add up to the power put in. Matched line; a mirror at the end sends the delivered part back.

    Source: Krinner2019.

    Examples
    --------
    >>> [f"{x:.3g}" for x in attenuator_heat(1e-3, np.array([20.0, 20.0, 20.0]))]
    ['0.00099', '9.9e-06', '9.9e-08', '1e-09']
    """
    loss = np.asarray(attenuation, dtype=np.float64)
    after = np.asarray(power, dtype=np.float64)[..., None] * 10.0 ** (-np.cumsum(loss, axis=-1) / 10.0)
    before = np.broadcast_to(np.asarray(power, dtype=np.float64)[..., None], (*after.shape[:-1], 1))
    levels = np.concatenate([before, after], axis=-1)
    return np.concatenate([levels[..., :-1] - levels[..., 1:], levels[..., -1:]], axis=-1)


def eddy_heat_disc(radius: Numbers, thickness: Numbers, resistivity: Numbers, ramp_rate: Numbers) -> Numbers:
    """Eddy-current heat of a round plate normal to a field that is being ramped.

    P = pi t r^4 (dB/dt)^2/(8 rho).

    Parameters
    ----------
    radius : float or array
        Radius [m].
    thickness : float or array
        Thickness along the field [m].
    resistivity : float or array
        Resistivity at the working temperature [ohm m].
    ramp_rate : float or array
        Ramp rate of the field [T/s].

    Returns
    -------
    float or array
        Heat [W].

    Notes
    -----
    Slow ramp: the field of the currents is neglected. A slit across the disc cuts it severalfold.

    Source: Pobell2007.

    Examples
    --------
    >>> f"{eddy_heat_disc(0.02, 3e-3, 1.6e-10, 0.1 / 60):.2g}"
    '3.3e-06'
    """
    return pi * thickness * radius**4 * ramp_rate**2 / (8.0 * resistivity)


def eddy_heat_plate(
    length: Numbers, width: Numbers, thickness: Numbers, resistivity: Numbers, ramp_rate: Numbers
) -> Numbers:
    """Eddy-current heat of a rectangular plate normal to a field that is being ramped.

    P = t (dB/dt)^2 J/(4 rho), J = a b^3 [1/3 - 0.21 (b/a)(1 - b^4/(12 a^4))], a >= b.

    Parameters
    ----------
    length : float or array
        One side across the field [m].
    width : float or array
        The other side across the field [m].
    thickness : float or array
        Thickness along the field [m].
    resistivity : float or array
        Resistivity at the working temperature [ohm m].
    ramp_rate : float or array
        Ramp rate of the field [T/s].

    Returns
    -------
    float or array
        Heat [W].

    Notes
    -----
    The stream function of the currents obeys the equation of a twisted bar, hence the torsion constant.
    For a board standing along the field put the copper thickness for ``width``.

    Source: YoungBudynas2002.

    Examples
    --------
    >>> f"{eddy_heat_plate(0.03, 0.02, 35e-6, 1.6e-10, 0.1 / 60):.2g}"
    '7.1e-09'
    """
    long_side, short_side = np.maximum(length, width), np.minimum(length, width)
    slender = short_side / long_side
    torsion: Numbers = long_side * short_side**3 * (1.0 / 3.0 - 0.21 * slender * (1.0 - slender**4 / 12.0))
    return thickness * ramp_rate**2 * torsion / (4.0 * resistivity)


def joule_heat(current: Numbers, resistance: Numbers) -> Numbers:
    """Heat made by a current in a resistance.

    P = I^2 R.

    Parameters
    ----------
    current : float or array
        Current, rms [A].
    resistance : float or array
        Resistance [ohm].

    Returns
    -------
    float or array
        Heat [W].

    Notes
    -----
    Of the heat made evenly in a wire between two anchors half goes to each end.

    Source: Elementary.

    Examples
    --------
    >>> round(float(joule_heat(1e-6, 1e5)) * 1e9, 3)
    100.0
    """
    return current**2 * resistance


def lead_heat(current: Numbers, cold: Numbers, hot: Numbers) -> Numbers:
    """Least heat of one metal current lead cooled only at its cold end.

    Q = I sqrt(L0 (T_h^2 - T_c^2)).

    Parameters
    ----------
    current : float or array
        Current the lead is made for [A].
    cold : float or array
        Cold end [K].
    hot : float or array
        Hot end [K].

    Returns
    -------
    float or array
        Heat at the cold end, per lead [W].

    Notes
    -----
    Any metal that obeys the law of Wiedemann and Franz, shaped for this current; at no current an
    optimum lead still brings about half.

    Source: McFee1959.

    Examples
    --------
    >>> round(float(lead_heat(1.0, 4.2, 300.0)) * 1e3, 1)
    46.9
    """
    with np.errstate(invalid="ignore"):
        return current * np.sqrt(lorenz_number * (np.square(hot) - np.square(cold)))


def lead_resistance(current: Numbers, cold: Numbers, hot: Numbers) -> Numbers:
    """Resistance of the optimum conduction-cooled lead in operation.

    R = sqrt(L0 (T_h^2 - T_c^2))/I, since no heat enters at its warm end.

    Parameters
    ----------
    current : float or array
        Current the lead is made for [A].
    cold : float or array
        Cold end [K].
    hot : float or array
        Hot end [K].

    Returns
    -------
    float or array
        Resistance, cold to hot, at the optimum temperature profile [ohm].

    Source: McFee1959.

    Examples
    --------
    >>> round(float(lead_resistance(100.0, 4.2, 300.0)) * 1e3, 3)
    0.469
    """
    return lead_heat(current, cold, hot) / current**2


def _temperature_span(slope: NDArray[np.float64], start: NDArray[np.float64]) -> NDArray[np.float64]:
    """ln(T_h/T_c) reached by a vapour-cooled lead whose heat falls to zero at its warm end."""
    root = np.sqrt(lorenz_number - slope**2 / 4.0)
    angle = np.arctan((start - slope / 2.0) / root) + np.arctan(slope / (2.0 * root))
    span = 0.5 * np.log((start**2 - slope * start + lorenz_number) / lorenz_number) + slope / (2.0 * root) * angle
    return np.asarray(span)


def vapour_cooled_lead_heat(
    current: Numbers,
    cold: Numbers = 4.222,
    hot: Numbers = 300.0,
    latent_heat: Numbers = 20.56e3,
    gas_heat_capacity: Numbers = 5193.0,
) -> Numbers:
    """Least heat of one metal current lead cooled by the vapour it boils off itself.

    With s = q/I: ds/dT = mu c_p - L0 T/s, mu = s(T_c)/L, s(T_h) = 0, solved for s(T_c).

    Parameters
    ----------
    current : float or array
        Current the lead is made for [A].
    cold : float or array
        Temperature of the liquid [K].
    hot : float or array
        Warm end [K].
    latent_heat : float or array
        Latent heat of the liquid [J/kg].
    gas_heat_capacity : float or array
        Specific heat of the gas at constant pressure, taken constant [J/(kg K)].

    Returns
    -------
    float or array
        Heat into the liquid, per lead [W]; nan for a warm end not above the cold one.

    Notes
    -----
    Gas and metal at one temperature everywhere (perfect exchange), Wiedemann-Franz metal. Leads in use
    take 1.0 to 1.2 mW/A. The equation is homogeneous in s and T, hence closed but for one root.

    Source: Wilson1983.

    Examples
    --------
    >>> round(float(vapour_cooled_lead_heat(1.0)) * 1e3, 2)
    1.11
    """
    cold_, hot_, latent, capacity = (
        np.asarray(x, dtype=np.float64) for x in (cold, hot, latent_heat, gas_heat_capacity)
    )
    wanted = np.log(hot_ / cold_)
    low = np.zeros(np.broadcast_shapes(wanted.shape, latent.shape, capacity.shape))
    high = 2.0 * np.sqrt(lorenz_number) * latent / capacity + low
    with np.errstate(all="ignore"):
        for _ in range(80):
            middle = (low + high) / 2.0
            short = _temperature_span(middle * capacity / latent, middle / cold_) < wanted
            low, high = np.where(short, middle, low), np.where(short, high, middle)
    return current * np.where(hot_ > cold_, (low + high) / 2.0, nan)[()]
