"""Heat in the metals of an insert, and the cryogen it takes to cool them."""

from __future__ import annotations

from functools import cache
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from triage.physics.evaporation import (
    Cryogen,
    helium_vapour_heat,
    liquid_helium,
    liquid_nitrogen,
    liquid_of,
    nitrogen_vapour_heat,
)
from triage.physics.kind import Numbers, within

Metal = Literal["copper", "aluminium", "stainless steel"]
Vapour = Literal["wasted", "used", "between"]


class _Fit(NamedTuple):
    """log10 of the specific heat [J/(kg K)] as a polynomial in log10 of the temperature [K]."""

    coefficients: tuple[float, ...]
    spread: float  # relative, of the enthalpy above 77 K
    cold_spread: float  # relative, of the enthalpy below 77 K


_FITS: dict[str, _Fit] = {
    "copper": _Fit((-1.91844, -0.15973, 8.61013, -18.996, 21.9661, -12.7328, 3.54322, -0.3797), 0.05, 0.05),
    "aluminium": _Fit((46.6467, -314.292, 866.662, -1298.3, 1162.27, -637.795, 210.351, -38.3094, 2.96344), 0.06, 0.10),
    "stainless steel": _Fit(
        (22.0061, -127.5528, 303.647, -381.0098, 274.0328, -112.9212, 24.7593, -2.239153), 0.16, 0.40
    ),
}
_GRID = np.geomspace(4.0, 300.0, 2001)


@within(temperature=(4.0, 300.0, "K"))
def specific_heat(metal: Metal, temperature: Numbers) -> Any:
    """Specific heat of a metal.

    log10 c = sum a_i (log10 T)^i.

    Parameters
    ----------
    metal : {"copper", "aluminium", "stainless steel"}
        Oxygen-free copper, alloy 6061, grade 304 [none].
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Specific heat [J/(kg K)]; nan outside 4 to 300 K.

    Notes
    -----
    The fits are stated good to 5 %. Stainless steel below 77 K depends on its magnetic state: 30 to 50 %.

    Source: Marquardt2002.

    Examples
    --------
    >>> round(specific_heat("copper", 300.0))
    389
    """
    given = np.asarray(temperature, dtype=float)
    inside = (given >= 4.0) & (given <= 300.0)
    x = np.log10(np.where(inside, given, 10.0))
    total = np.zeros_like(x)
    for coefficient in reversed(_FITS[metal].coefficients):
        total = total * x + coefficient
    found = np.where(inside, 10.0**total, np.nan)
    return float(found) if found.ndim == 0 else found


@cache
def _running(metal: Metal, carried: str) -> NDArray[np.float64]:
    """Integral from 4 K of c, or of c over the cold a kilogram of cryogen gives at that temperature."""
    height = specific_heat(metal, _GRID)
    if carried == "helium":
        height = height / (liquid_helium.latent_heat + helium_vapour_heat(np.maximum(_GRID, 4.2221)))
    elif carried == "nitrogen":
        height = height / (liquid_nitrogen.latent_heat + nitrogen_vapour_heat(np.maximum(_GRID, 77.355)))
    steps = 0.5 * (height[1:] + height[:-1]) * np.diff(_GRID)
    return np.concatenate(([0.0], np.cumsum(steps)))


def _between(metal: Metal, carried: str, start: Numbers, end: Numbers) -> Any:
    table = _running(metal, carried)
    ends = [np.interp(value, _GRID, table, left=np.nan, right=np.nan) for value in (start, end)]
    found = ends[0] - ends[1]
    return float(found) if np.ndim(found) == 0 else found


@within(start=(4.0, 300.0, "K"), end=(4.0, 300.0, "K"))
def heat_to_remove(metal: Metal, start: Numbers = 300.0, end: Numbers = 4.2221) -> Any:
    """Heat that leaves one kilogram of metal between two temperatures.

    Integral of c dT.

    Parameters
    ----------
    metal : {"copper", "aluminium", "stainless steel"}
        Oxygen-free copper, alloy 6061, grade 304 [none].
    start : float or array
        Temperature before [K].
    end : float or array
        Temperature after [K].

    Returns
    -------
    float or array
        Heat [J/kg]; nan outside 4 to 300 K.

    Notes
    -----
    Nine tenths and more of it lie above 77 K: pre-cool with nitrogen.

    Source: Marquardt2002.

    Examples
    --------
    >>> round(heat_to_remove("copper") / 1e3)
    80
    """
    return _between(metal, "heat", start, end)


@within(start=(4.3, 300.0, "K"))
def cryogen_to_cool(
    metal: Metal,
    start: Numbers = 300.0,
    cryogen: Cryogen = "helium",
    vapour: Vapour = "between",
) -> Any:
    """Liquid needed to cool one kilogram of metal to the boiling point of the liquid.

    integral of c dT/(rho L) with the vapour wasted; integral of c dT/(rho [L + h(T) - h_sat]) with it used.

    Parameters
    ----------
    metal : {"copper", "aluminium", "stainless steel"}
        Oxygen-free copper, alloy 6061, grade 304 [none].
    start : float or array
        Temperature of the metal before [K].
    cryogen : {"helium", "nitrogen"}
        Which liquid [none].
    vapour : {"wasted", "used", "between"}
        Whether the cold of the vapour goes to waste, is fully used, or the geometric mean of both [none].

    Returns
    -------
    float or array
        Volume of liquid per mass of metal [m3/kg]; nan where the metal starts colder than the liquid.

    Notes
    -----
    Real transfers lie between the two bounds, a factor of 40 apart for helium from 300 K; how slowly the
    liquid is let in decides. Starting from 77 K saves a factor of 15 to 20 of helium.

    Source: Marquardt2002; OrtizVega2023; Span2000.

    Examples
    --------
    >>> round(cryogen_to_cool("copper", 77.0, vapour="wasted") * 1e3, 2)
    2.1
    """
    liquid = liquid_of(cryogen)
    end = liquid.boiling_temperature
    wasted = _between(metal, "heat", start, end) / (liquid.density * liquid.latent_heat)
    used = _between(metal, cryogen, start, end) / liquid.density
    with np.errstate(invalid="ignore"):
        chosen = {"wasted": wasted, "used": used, "between": np.sqrt(np.asarray(wasted) * used)}[vapour]
        found = np.where(np.asarray(start) >= end, chosen, np.nan)
    return float(found) if found.ndim == 0 else found


def relative_spread(metal: Metal, start: float) -> float:
    """How far published figures for cooling a metal lie from these, as a part of the value.

    Parameters
    ----------
    metal : {"copper", "aluminium", "stainless steel"}
        Which metal [none].
    start : float
        Temperature of the metal before cooling [K].

    Returns
    -------
    float
        Relative spread [1].

    Notes
    -----
    For stainless steel from 77 K or colder the published figures differ by 30 to 50 %.

    Source: Marquardt2002; CoolantTablePMC9017651.

    Examples
    --------
    >>> relative_spread("stainless steel", 77.0)
    0.4
    """
    fit = _FITS[metal]
    return fit.cold_spread if start <= 80.0 else fit.spread
