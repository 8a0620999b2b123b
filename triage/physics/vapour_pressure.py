"""Saturated vapour pressure and temperature of liquid helium, both isotopes, both directions.

Each isotope is one unbroken rising curve assembled from published scales; `scale_used` names the scale.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import cache
from math import exp, inf, log, nan, pi
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import (
    boltzmann,
    gas_constant,
    helium4_mass,
    planck,
    standard_atmosphere,
)
from triage.physics.kind import Numbers, within

Isotope = Literal["helium-4", "helium-3"]

helium4_latent_heat_at_zero = 59.83  # J/mol, DonnellyBarenghi1998, table 16.1
helium4_chemical_constant = log((2 * pi * helium4_mass / planck**2) ** 1.5 * boltzmann**2.5)  # pressure in Pa
lambda_temperature = 2.1768  # K, PrestonThomas1990
pascals_per_torr = standard_atmosphere / 760

_KNOTS = 1025
_BLOCK = 16384

_ITS90_HELIUM4_LOW = (
    (1.392408, 0.527153, 0.166756, 0.050988, 0.026514, 0.001975, -0.017976, 0.005409, 0.013259),
    5.6,
    2.9,
)
_ITS90_HELIUM4_HIGH = (
    (3.146631, 1.357655, 0.413923, 0.091159, 0.016349, 0.001826, -0.004325, -0.004973),
    10.3,
    1.9,
)
_ITS90_HELIUM3 = (
    (
        1.053447,
        0.980106,
        0.676380,
        0.372692,
        0.151656,
        -0.002263,
        0.006596,
        0.088966,
        -0.004770,
        -0.054943,
    ),
    7.3,
    4.3,
)
# ln p = inverse / T + polynomial in T + logarithm * ln T
_PTB2006 = (-2.49255841, (9.55598062, -0.10775789, 0.13899533, -0.03962933, 0.00432461), 2.16565173)
_SCALE1962 = (
    -2.49174,
    (4.80386 + log(pascals_per_torr), -0.286001, 0.198608, -0.0502237, 0.00505486),
    2.24846,
)
_THERMODYNAMIC = (
    -helium4_latent_heat_at_zero / gas_constant,
    (helium4_chemical_constant,),
    2.5,
)

# A relation returns its value and its slope; it works on a float or on an array.
Relation = Callable[[Any], tuple[Any, Any]]
LogPressure = tuple[float, Sequence[float], float]
Its90 = tuple[Sequence[float], float, float]


def _horner(coefficients: Sequence[float], x: Any) -> tuple[Any, Any]:
    value, slope = coefficients[-1], 0.0
    for coefficient in reversed(coefficients[:-1]):
        slope = slope * x + value
        value = value * x + coefficient
    return value, slope


def _log(x: Any) -> Any:
    return log(x) if isinstance(x, float) else np.log(x)


def _its90(coefficients: Its90) -> Relation:
    terms, centre, span = coefficients

    def temperature(log_pressure: Any) -> tuple[Any, Any]:
        value, slope = _horner(terms, (log_pressure - centre) * (1 / span))
        return value, slope * (1 / span)

    return temperature


def _thermodynamic(coefficients: LogPressure, join: tuple[float, float, float] = (inf, inf, 0.0)) -> Relation:
    """ln p of T, less `step` reached quadratically between the two temperatures of `join`."""
    inverse, polynomial, logarithm = coefficients
    start, end, step = join
    bend = step / (end - start) ** 2 if step else 0.0

    def log_pressure(temperature: Any) -> tuple[Any, Any]:
        value, slope = _horner(polynomial, temperature)
        one_over = 1 / temperature
        value = value + inverse * one_over + logarithm * _log(temperature)
        slope = slope + (logarithm - inverse * one_over) * one_over
        if bend:
            past = temperature - start
            value, slope = value - bend * past * past, slope - 2 * bend * past
        return value, slope

    return log_pressure


class _Stretch:
    """One scale over one span of temperature, with a table that starts Newton's method for its inverse."""

    def __init__(self, low: float, high: float, relation: Relation, *, gives: str) -> None:
        self.relation, self.gives_pressure = relation, gives == "pressure"
        if self.gives_pressure:
            temperatures = 1 / np.linspace(1 / low, 1 / high, _KNOTS)
            logs = relation(temperatures)[0]
        else:
            logs = np.linspace(_solve(relation, low), _solve(relation, high), _KNOTS)
            temperatures = relation(logs)[0]
        self.low, self.high = low, high
        self.log_low, self.log_high = float(logs[0]), float(logs[-1])
        self._known: NDArray[np.float64] = logs if self.gives_pressure else temperatures
        self._wanted: NDArray[np.float64] = temperatures if self.gives_pressure else logs
        # Plain lists serve single values, where numpy's overhead would dominate.
        self._known_list, self._wanted_list = self._known.tolist(), self._wanted.tolist()

    def log_pressure(self, temperature: Any) -> Any:
        return self.relation(temperature)[0] if self.gives_pressure else self._invert(temperature)

    def temperature(self, log_pressure: Any) -> Any:
        return self._invert(log_pressure) if self.gives_pressure else self.relation(log_pressure)[0]

    def _invert(self, value: Any) -> Any:
        known, wanted = self._known_list, self._wanted_list
        if isinstance(value, float):
            at = min(max(bisect_right(known, value), 1), _KNOTS - 1)
            part = (value - known[at - 1]) / (known[at] - known[at - 1])
            guess: Any = wanted[at - 1] + part * (wanted[at] - wanted[at - 1])
        else:
            guess = np.interp(value, self._known, self._wanted)
        for _ in range(2):
            found, slope = self.relation(guess)
            guess = guess - (found - value) / slope
        return guess


def _solve(relation: Relation, temperature: float) -> float:
    low, high = 1.0, 12.5
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if relation(middle)[0] < temperature else (low, middle)
    return 0.5 * (low + high)


class _Curve:
    """Stretches end to end; outside them the answer is nan."""

    def __init__(self, *stretches: _Stretch) -> None:
        self.stretches = stretches
        self._temperatures = [s.low for s in stretches] + [stretches[-1].high]
        slack = 1e-12  # so that the inverse of an end point is still inside
        self._logs = [s.log_low for s in stretches] + [stretches[-1].log_high + slack]
        self._logs[0] -= slack

    def pressure(self, temperature: Numbers) -> Any:
        edges = self._temperatures
        if isinstance(temperature, (float, int)):
            value = float(temperature)
            if not edges[0] <= value <= edges[-1]:
                return nan
            at = min(bisect_right(edges, value), len(self.stretches)) - 1
            return exp(self.stretches[at].log_pressure(value))
        return _in_blocks(np.asarray(temperature, dtype=float), self._pressures)

    def temperature(self, pressure: Numbers) -> Any:
        edges = self._logs
        if isinstance(pressure, (float, int)):
            value = log(pressure) if 0 < pressure < inf else nan
            if not edges[0] <= value <= edges[-1]:
                return nan
            at = min(bisect_right(edges, value), len(self.stretches)) - 1
            return min(max(self.stretches[at].temperature(value), self._temperatures[0]), self._temperatures[-1])
        return _in_blocks(np.asarray(pressure, dtype=float), self._temperatures_of)

    def _pressures(self, block: NDArray[np.float64]) -> NDArray[np.float64]:
        logs = _by_stretch(block, self._temperatures, [s.log_pressure for s in self.stretches])
        return np.exp(logs, out=logs)

    def _temperatures_of(self, block: NDArray[np.float64]) -> NDArray[np.float64]:
        with np.errstate(invalid="ignore", divide="ignore"):
            logs = np.log(block)
        found = _by_stretch(logs, self._logs, [s.temperature for s in self.stretches])
        return np.clip(found, self._temperatures[0], self._temperatures[-1], out=found)


def _by_stretch(
    values: NDArray[np.float64], edges: Sequence[float], functions: Sequence[Callable[[Any], Any]]
) -> NDArray[np.float64]:
    answer = np.full(values.shape, nan)
    for index, function in enumerate(functions):
        last = index == len(functions) - 1
        low, high = edges[index], edges[index + 1]
        inside = (values >= low) & (values <= high if last else values < high)
        if inside.all():
            return np.asarray(function(values))
        if inside.any():
            answer[inside] = function(values[inside])
    return answer


def _in_blocks(
    values: NDArray[np.float64], function: Callable[[NDArray[np.float64]], NDArray[np.float64]]
) -> NDArray[np.float64]:
    """Long arrays go in pieces that stay in the processor's cache."""
    flat = values.reshape(-1)
    answer = np.empty_like(flat)
    for start in range(0, flat.size, _BLOCK):
        piece = slice(start, start + _BLOCK)
        answer[piece] = function(flat[piece])
    return answer.reshape(values.shape)


def _branches_meet(low: Relation, high: Relation) -> float:
    """Temperature just below the lambda point where the two ITS-90 branches cross."""
    cold, warm = _solve(low, 2.16), _solve(low, lambda_temperature)
    for _ in range(60):
        middle = 0.5 * (cold + warm)
        cold, warm = (middle, warm) if low(middle)[0] > high(middle)[0] else (cold, middle)
    return float(high(cold)[0])


@cache
def _helium4_its90() -> _Curve:
    low, high = _its90(_ITS90_HELIUM4_LOW), _its90(_ITS90_HELIUM4_HIGH)
    meet = _branches_meet(low, high)
    return _Curve(_Stretch(1.25, meet, low, gives="temperature"), _Stretch(meet, 5.0, high, gives="temperature"))


@cache
def _helium4_thermodynamic() -> _Curve:
    return _Curve(_Stretch(0.1, 1.25, _thermodynamic(_THERMODYNAMIC), gives="pressure"))


@cache
def _helium4() -> _Curve:
    its90 = _helium4_its90().stretches
    cold = _thermodynamic(_THERMODYNAMIC)
    step = cold(1.25)[0] - its90[0].log_low
    return _Curve(
        _Stretch(0.1, 1.2, cold, gives="pressure"),
        _Stretch(1.2, 1.25, _thermodynamic(_THERMODYNAMIC, (1.2, 1.25, step)), gives="pressure"),
        *its90,
    )


@cache
def _helium3_its90() -> _Curve:
    return _Curve(_Stretch(0.65, 3.2, _its90(_ITS90_HELIUM3), gives="temperature"))


@cache
def _helium3_ptb2006() -> _Curve:
    return _Curve(_Stretch(0.65, 3.2, _thermodynamic(_PTB2006), gives="pressure"))


@cache
def _helium3_1962() -> _Curve:
    return _Curve(_Stretch(0.2, 3.324, _thermodynamic(_SCALE1962), gives="pressure"))


@cache
def _helium3() -> _Curve:
    cold, warm = _thermodynamic(_SCALE1962), _thermodynamic(_PTB2006)
    step = cold(0.65)[0] - warm(0.65)[0]
    return _Curve(
        _Stretch(0.2, 0.5, cold, gives="pressure"),
        _Stretch(0.5, 0.65, _thermodynamic(_SCALE1962, (0.5, 0.65, step)), gives="pressure"),
        _Stretch(0.65, 3.2, warm, gives="pressure"),
    )


@within(temperature=(0.1, 5.0, "K"))
def helium4_pressure(temperature: Numbers) -> Any:
    """Saturated vapour pressure of helium-4.

    ln p = i0 - L0/(R T) + (5/2) ln T below 1.25 K, with i0 = ln[(2 pi m/h^2)^(3/2) k^(5/2)] = 9.94163
    for p in Pa; the inverse of the ITS-90 relation above.

    Parameters
    ----------
    temperature : float or array
        Temperature of the liquid surface [K].

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside 0.1 to 5.0 K.

    Notes
    -----
    The two forms differ by 0.016 % at 1.25 K; a quadratic term from 1.20 K takes this up, so the curve has
    no step. A constant of 12.2440 is the same formula in dyn/cm2 and would be ten times too high in Pa.
    The vapour is ideal and the liquid volume neglected below 1.25 K.

    Source: PrestonThomas1990; DonnellyBarenghi1998, chapter 17.

    Examples
    --------
    >>> round(helium4_pressure(1.5), 1)
    471.5
    """
    return _helium4().pressure(temperature)


@within(pressure=(3.7e-30, 196016.5, "Pa"))
def helium4_temperature(pressure: Numbers) -> Any:
    """Temperature of liquid helium-4 under its own vapour pressure.

    T = A0 + sum Ai [(ln p - B)/C]^i (ITS-90) from 1.25 K; the inverse of the thermodynamic form below.

    Parameters
    ----------
    pressure : float or array
        Saturated vapour pressure at the surface [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside the pressures of 0.1 to 5.0 K.

    Notes
    -----
    The pressure is that at the liquid: the drop along the pumping tube, the head of liquid above and the
    thermomolecular effect (below about 100 Pa in narrow tubes) are not included.

    Source: PrestonThomas1990; DonnellyBarenghi1998, chapter 17.

    Examples
    --------
    >>> round(helium4_temperature(101325.0), 4)
    4.2221
    """
    return _helium4().temperature(pressure)


@within(temperature=(0.2, 3.2, "K"))
def helium3_pressure(temperature: Numbers) -> Any:
    """Saturated vapour pressure of helium-3.

    ln p = a/T + b0 + b1 T + b2 T^2 + b3 T^3 + b4 T^4 + c ln T: PTB-2006 from 0.65 K, the 1962 scale below.

    Parameters
    ----------
    temperature : float or array
        Temperature of the liquid surface [K].

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside 0.2 to 3.2 K.

    Notes
    -----
    No official vapour-pressure scale exists below 0.65 K. The 1962 scale lies 1.3 % higher in pressure at
    0.65 K (1.4 mK); a quadratic term from 0.5 K takes this up, so the curve has no step.

    Source: Engert2007, equation 8; Sherman1964.

    Examples
    --------
    >>> round(helium3_pressure(1.0), 1), round(helium3_pressure(0.3), 2)
    (1163.7, 0.25)
    """
    return _helium3().pressure(temperature)


@within(pressure=(1.6117e-3, 101662.8, "Pa"))
def helium3_temperature(pressure: Numbers) -> Any:
    """Temperature of liquid helium-3 under its own vapour pressure.

    The inverse of `helium3_pressure`, by Newton's method from a table.

    Parameters
    ----------
    pressure : float or array
        Saturated vapour pressure at the surface [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside the pressures of 0.2 to 3.2 K.

    Notes
    -----
    The thermomolecular effect, tens of per cent at 0.3 K in narrow tubes, is not included.

    Source: Engert2007, equation 8; Sherman1964.

    Examples
    --------
    >>> round(helium3_temperature(1163.7), 4)
    1.0
    """
    return _helium3().temperature(pressure)


@within(temperature=(0.1, 1.25, "K"))
def helium4_pressure_thermodynamic(temperature: Numbers) -> Any:
    """Vapour pressure of helium-4 from its latent heat at zero and the ideal vapour.

    ln p = ln[(2 pi m/h^2)^(3/2) k^(5/2)] - L0/(R T) + (5/2) ln T.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside 0.1 to 1.25 K.

    Notes
    -----
    Ideal vapour, liquid without entropy or volume: within 0.1 % of the handbook table up to 1.25 K.

    Source: DonnellyBarenghi1998, chapter 17.

    Examples
    --------
    >>> round(helium4_pressure_thermodynamic(1.0), 2)
    15.58
    """
    return _helium4_thermodynamic().pressure(temperature)


@within(temperature=(1.25, 5.0, "K"))
def helium4_pressure_its90(temperature: Numbers) -> Any:
    """Vapour pressure of helium-4 on ITS-90: the scale's relation inverted.

    Solves T = A0 + sum Ai [(ln p - B)/C]^i for p.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside 1.25 to 5.0 K.

    Notes
    -----
    The branches below and above the lambda point are exchanged where they cross, 2 mK below it; there they
    differ by less than 1 microkelvin.

    Source: PrestonThomas1990.

    Examples
    --------
    >>> round(helium4_pressure_its90(2.1768), 1)
    5041.8
    """
    return _helium4_its90().pressure(temperature)


@within(pressure=(114.7344, 196016.5, "Pa"))
def helium4_temperature_its90(pressure: Numbers) -> Any:
    """ITS-90 temperature from the vapour pressure of helium-4.

    T = A0 + sum Ai [(ln p - B)/C]^i, two branches.

    Parameters
    ----------
    pressure : float or array
        Saturated vapour pressure [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside the pressures of 1.25 to 5.0 K.

    Notes
    -----
    The scale's own uncertainty is about 0.5 mK.

    Source: PrestonThomas1990.

    Examples
    --------
    >>> round(helium4_temperature_its90(101325.0), 4)
    4.2221
    """
    return _helium4_its90().temperature(pressure)


@within(temperature=(0.65, 3.2, "K"))
def helium3_pressure_its90(temperature: Numbers) -> Any:
    """Vapour pressure of helium-3 on ITS-90: the scale's relation inverted.

    Solves T = A0 + sum Ai [(ln p - B)/C]^i for p.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside 0.65 to 3.2 K.

    Notes
    -----
    Below about 1 K it departs from PTB-2006, by 1.4 % in pressure (1.5 mK) at 0.65 K.

    Source: PrestonThomas1990.

    Examples
    --------
    >>> round(helium3_pressure_its90(0.65), 1)
    115.9
    """
    return _helium3_its90().pressure(temperature)


@within(pressure=(115.906, 101662.1, "Pa"))
def helium3_temperature_its90(pressure: Numbers) -> Any:
    """ITS-90 temperature from the vapour pressure of helium-3.

    T = A0 + sum Ai [(ln p - B)/C]^i, i = 1 to 9.

    Parameters
    ----------
    pressure : float or array
        Saturated vapour pressure [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside the pressures of 0.65 to 3.2 K.

    Notes
    -----
    The scale's own uncertainty is about 0.5 mK; below 1 K PTB-2006 is to be preferred.

    Source: PrestonThomas1990.

    Examples
    --------
    >>> round(helium3_temperature_its90(101325.0), 4)
    3.1968
    """
    return _helium3_its90().temperature(pressure)


@within(temperature=(0.65, 3.2, "K"))
def helium3_pressure_ptb2006(temperature: Numbers) -> Any:
    """Vapour pressure of helium-3 on the PTB-2006 scale.

    ln p = a/T + sum bj T^j + c ln T, j = 0 to 4.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside 0.65 to 3.2 K.

    Notes
    -----
    Agrees with the melting-pressure scale PLTS-2000 where they overlap.

    Source: Engert2007, equation 8.

    Examples
    --------
    >>> round(helium3_pressure_ptb2006(0.8), 1)
    380.4
    """
    return _helium3_ptb2006().pressure(temperature)


@within(pressure=(117.557, 101662.8, "Pa"))
def helium3_temperature_ptb2006(pressure: Numbers) -> Any:
    """Temperature on the PTB-2006 scale from the vapour pressure of helium-3.

    The inverse of `helium3_pressure_ptb2006`.

    Parameters
    ----------
    pressure : float or array
        Saturated vapour pressure [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside the pressures of 0.65 to 3.2 K.

    Notes
    -----
    Newton's method from a table, to the last digits.

    Source: Engert2007, equation 8.

    Examples
    --------
    >>> round(helium3_temperature_ptb2006(380.4), 4)
    0.8
    """
    return _helium3_ptb2006().temperature(pressure)


@within(temperature=(0.2, 3.324, "K"))
def helium3_pressure_1962(temperature: Numbers) -> Any:
    """Vapour pressure of helium-3 on the 1962 scale.

    ln p = a/T + sum bj T^j + c ln T, j = 0 to 4, published for p in torr.

    Parameters
    ----------
    temperature : float or array
        Temperature [K] on the scale of 1962.

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside 0.2 to 3.324 K.

    Notes
    -----
    An old temperature scale: 1.3 % high in pressure at 1 K against PTB-2006.

    Source: Sherman1964.

    Examples
    --------
    >>> round(helium3_pressure_1962(0.4), 2)
    3.75
    """
    return _helium3_1962().pressure(temperature)


@within(pressure=(1.6117e-3, 116317.4, "Pa"))
def helium3_temperature_1962(pressure: Numbers) -> Any:
    """Temperature on the 1962 scale from the vapour pressure of helium-3.

    The inverse of `helium3_pressure_1962`.

    Parameters
    ----------
    pressure : float or array
        Saturated vapour pressure [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside the pressures of 0.2 to 3.324 K.

    Notes
    -----
    Kept for readings taken on that scale and for the range below 0.65 K.

    Source: Sherman1964.

    Examples
    --------
    >>> round(helium3_temperature_1962(3.748), 3)
    0.4
    """
    return _helium3_1962().temperature(pressure)


def boiling_temperature(isotope: Isotope, pressure: Numbers = standard_atmosphere) -> Any:
    """Temperature of a bath boiling at a given pressure.

    The inverse of the saturated vapour pressure of that isotope.

    Parameters
    ----------
    isotope : {"helium-4", "helium-3"}
        The liquid [none].
    pressure : float or array
        Pressure above the bath [Pa].

    Returns
    -------
    float or array
        Temperature [K]; nan outside the range of the scales.

    Notes
    -----
    The surface temperature; the bottom of a deep bath above the lambda point is warmer by the liquid's head.

    Source: PrestonThomas1990; Engert2007.

    Examples
    --------
    >>> round(boiling_temperature("helium-4"), 4)
    4.2221
    """
    return helium4_temperature(pressure) if isotope == "helium-4" else helium3_temperature(pressure)


def scale_used(isotope: Isotope, temperature: float) -> str:
    """Name the scale that serves a temperature.

    Parameters
    ----------
    isotope : {"helium-4", "helium-3"}
        The liquid [none].
    temperature : float
        Temperature [K].

    Returns
    -------
    str
        Name of the scale, or "none" outside the range [none].

    Notes
    -----
    The joins between 1.20 and 1.25 K and between 0.5 and 0.65 K are named as such.

    Source: PrestonThomas1990; DonnellyBarenghi1998; Engert2007; Sherman1964.

    Examples
    --------
    >>> scale_used("helium-3", 0.3)
    '1962 scale (T62)'
    """
    spans = {
        "helium-4": (
            (0.1, 1.2, "thermodynamic form"),
            (1.2, 1.25, "thermodynamic form joined to ITS-90"),
            (1.25, 5.0, "ITS-90"),
        ),
        "helium-3": (
            (0.2, 0.5, "1962 scale (T62)"),
            (0.5, 0.65, "1962 scale (T62) joined to PTB-2006"),
            (0.65, 3.2, "PTB-2006"),
        ),
    }[isotope]
    if temperature == spans[-1][1]:
        return spans[-1][2]
    return next((name for low, high, name in spans if low <= temperature < high), "none")


@within(altitude=(-2000.0, 11000.0, "m"))
def pressure_at_altitude(altitude: Numbers) -> Any:
    """Mean air pressure at a height above the sea.

    p = p0 (1 - L H/T0)^(g M/(R L)), L = 6.5 K/km, T0 = 288.15 K.

    Parameters
    ----------
    altitude : float or array
        Geopotential altitude [m].

    Returns
    -------
    float or array
        Pressure [Pa]; nan outside -2000 to 11 000 m.

    Notes
    -----
    The standard atmosphere; weather moves it by some 3 %, which is about 30 mK on a helium bath.

    Source: ISO2533.

    Examples
    --------
    >>> round(pressure_at_altitude(1000.0))
    89875
    """
    height = np.asarray(altitude, dtype=float)
    inside = (height >= -2000.0) & (height <= 11000.0)
    fall = 1 - 0.0065 * np.where(inside, height, 0.0) / 288.15
    pressure = np.where(inside, standard_atmosphere * fall**5.25588, nan)
    return float(pressure) if pressure.ndim == 0 else pressure
