"""Heat carried along wires, tubes and coaxial lines: conductivities, their integrals and the heat."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf, nan

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import lorenz_number
from triage.physics.kind import Numbers, within

Conductivity = Callable[[Numbers], Numbers]

COLDEST = 1e-3  # K; below it no material here is described
_GRID_POINTS = 6001  # linear interpolation on it is good to 1e-6 of T k(T)

STAINLESS_STEEL = (-1.4087, 1.3982, 0.2543, -0.6260, 0.2334, 0.4256, -0.4658, 0.1650, -0.0199)
PTFE = (2.7380, -30.677, 89.430, -136.99, 124.69, -69.556, 23.320, -4.3135, 0.33829)
POLYIMIDE = (5.73101, -39.5199, 79.9313, -83.8572, 50.9157, -17.9835, 3.42413, -0.27133)
BERYLLIUM_COPPER = (-0.50015, 1.93190, -1.69540, 0.71218, 1.27880, -1.61450, 0.68722, -0.10501)
# Numerator, then denominator, of log10 k in powers of the square root of T (not of log10 T).
COPPER_50 = (
    (1.8743, -0.6018, 0.26426, -0.051276, 0.003723),
    (1.0, -0.41538, 0.13294, -0.0219, 0.0014871),
)
COPPER_100 = (
    (2.2154, -0.88068, 0.29505, -0.04831, 0.003207),
    (1.0, -0.47461, 0.13871, -0.02043, 0.001281),
)
PHOSPHOR_BRONZE = ((4.2, 10.0, 20.0, 80.0, 150.0, 300.0), (1.6, 4.6, 10.0, 25.0, 34.0, 48.0))
MANGANIN = (
    (1.0, 4.0, 10.0, 20.0, 50.0, 77.0, 100.0, 200.0, 300.0),
    (0.079, 0.46, 1.45, 3.22, 8.2, 11.7, 13.3, 17.2, 22.2),
)
CUPRONICKEL = (
    (0.1, 1.0, 4.2, 10.0, 20.0, 77.0, 300.0),
    (0.0055, 0.062, 0.38, 1.4, 4.0, 15.0, 29.0),
)


def _joined(
    temperature: Numbers,
    fit: Callable[[NDArray[np.float64]], NDArray[np.float64]],
    join: float,
    exponent: float,
    high: float = 300.0,
    low: float = COLDEST,
) -> Numbers:
    """A fit from ``join`` to ``high``, a power law through its value at ``join`` below, nan outside."""
    t = np.asarray(temperature, dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        value = fit(np.clip(t, join, high)) * np.minimum(t / join, 1.0) ** exponent
    return np.where((t >= low) & (t <= high), value, nan)[()]


def _logarithmic(coefficients: Sequence[float], t: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(10.0 ** np.polynomial.polynomial.polyval(np.log10(t), coefficients))


def _rational(fractions: tuple[Sequence[float], Sequence[float]], t: NDArray[np.float64]) -> NDArray[np.float64]:
    polyval = np.polynomial.polynomial.polyval
    root = np.sqrt(t)
    return np.asarray(10.0 ** (polyval(root, fractions[0]) / polyval(root, fractions[1])))


def _straight(table: tuple[Sequence[float], Sequence[float]], t: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.interp(t, *table))


def _power(table: tuple[Sequence[float], Sequence[float]], t: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.exp(np.interp(np.log(t), np.log(table[0]), np.log(table[1]))))


@within(temperature=(4.0, 300.0, "K"))
def stainless_steel(temperature: Numbers) -> Numbers:
    """Thermal conductivity of stainless steel 304, 304L and 316.

    log10 k = sum a_i (log10 T)^i from 4 to 300 K; k proportional to T below 4 K.

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    2 % from 4 to 300 K. The fit itself falls too fast below its data (0.039 at 1 K where compilations
    have 0.07 to 0.14 W/(m K)), so the straight line of a residual-resistance metal replaces it.

    Source: Marquardt2002.

    Examples
    --------
    >>> round(float(stainless_steel(77.0)), 2)
    7.92
    """
    return _joined(temperature, lambda t: _logarithmic(STAINLESS_STEEL, t), join=4.0, exponent=1.0)


@within(temperature=(4.0, 300.0, "K"))
def copper_50(temperature: Numbers) -> Numbers:
    """Thermal conductivity of oxygen-free copper with residual resistance ratio 50.

    log10 k = P(sqrt T)/Q(sqrt T) from 4 to 300 K; k proportional to T below (Wiedemann-Franz).

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    2 %. The rational form takes T itself; with log10 T it gives plausible and wrong numbers.

    Source: Marquardt2002.

    Examples
    --------
    >>> round(float(copper_50(77.0)))
    515
    """
    return _joined(temperature, lambda t: _rational(COPPER_50, t), join=4.0, exponent=1.0)


@within(temperature=(4.0, 300.0, "K"))
def copper_100(temperature: Numbers) -> Numbers:
    """Thermal conductivity of oxygen-free copper with residual resistance ratio 100.

    log10 k = P(sqrt T)/Q(sqrt T) from 4 to 300 K; k proportional to T below (Wiedemann-Franz).

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    1 %. The rational form takes T itself, not log10 T.

    Source: Marquardt2002.

    Examples
    --------
    >>> round(float(copper_100(77.0)))
    547
    """
    return _joined(temperature, lambda t: _rational(COPPER_100, t), join=4.0, exponent=1.0)


@within(temperature=(1.0, 1250.0, "K"), residual_resistance_ratio=(1.5, 3000.0, "1"))
def copper(temperature: Numbers, residual_resistance_ratio: Numbers) -> Numbers:
    """Thermal conductivity of copper of any purity.

    k = 1/(W0 + Wi + Wi0), W0 = beta/T, beta = rho(273 K)/((RRR - 1) L0).

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 1250 [K].
    residual_resistance_ratio : float or array
        R(273 K)/R(4 K), above 1 [1].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    Below 1 K only W0 counts and the formula is the law of Wiedemann and Franz.

    Source: HustLankford1984.

    Examples
    --------
    >>> round(float(copper(4.0, 100.0)) / float(copper_100(4.0)), 2)
    0.98
    """
    t = np.asarray(temperature, dtype=np.float64)
    ratio = np.asarray(residual_resistance_ratio, dtype=np.float64)
    with np.errstate(all="ignore"):
        beta = 15.4e-9 / (ratio - 1.0) / 2.443e-8
        residual = beta / t
        dips = (
            -0.00012 * np.log(t / 420) * np.exp(-((np.log(t / 470) / 0.7) ** 2))
            - 0.00016 * np.log(t / 73) * np.exp(-((np.log(t / 87) / 0.45) ** 2))
            - 0.00002 * np.log(t / 18) * np.exp(-((np.log(t / 21) / 0.5) ** 2))
        )
        intrinsic = 1.754e-8 * t**2.763
        intrinsic /= 1.0 + 1.754e-8 * 1102.0 * t ** (2.763 - 0.165) * np.exp(-((70.0 / t) ** 1.765))
        intrinsic += dips
        mixed = 0.838 / (beta / 0.0003) ** 0.1661 * intrinsic * residual / (intrinsic + residual)
        value = 1.0 / (residual + intrinsic + mixed)
    return np.where((t >= COLDEST) & (t <= 1250.0) & (ratio > 1.0), value, nan)[()]


@within(temperature=(0.05, 300.0, "K"))
def manganin(temperature: Numbers) -> Numbers:
    """Thermal conductivity of manganin.

    Table, straight lines in log k against log T, 1 to 300 K; k = 0.079 T^1.22 below 1 K.

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    10 %. The handbook prints 0.07 at 1 K; the measured power law replaces that one point.

    Source: Haynes2016, Peroni1999.

    Examples
    --------
    >>> round(float(manganin(77.0)), 1)
    11.7
    """
    return _joined(temperature, lambda t: _power(MANGANIN, t), join=1.0, exponent=1.22)


@within(temperature=(4.2, 300.0, "K"))
def phosphor_bronze(temperature: Numbers) -> Numbers:
    """Thermal conductivity of phosphor-bronze wire.

    Table, straight lines, 4.2 to 300 K; k proportional to T below.

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    10 to 20 %. A published polynomial in ln T agrees up to 80 K and then runs away to 98 at 295 K,
    twice what is measured; the table holds above 80 K.

    Source: CommonPractice.

    Examples
    --------
    >>> round(float(phosphor_bronze(295.0)), 1)
    47.5
    """
    return _joined(temperature, lambda t: _straight(PHOSPHOR_BRONZE, t), join=4.2, exponent=1.0)


@within(temperature=(4.0, 8.5, "K"))
def niobium_titanium(temperature: Numbers) -> Numbers:
    """Thermal conductivity of superconducting niobium-titanium.

    k = 0.0075 T^1.85.

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 9 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside, as in the normal state.

    Notes
    -----
    Measured from 4 to 8.5 K. At 1 K two compilations have 0.0075 to 0.0091 and a third, probably
    mis-copied, 0.063 W/(m K): take a factor of 2 to 3 there.

    Source: Schmidt1979.

    Examples
    --------
    >>> round(float(niobium_titanium(4.2)), 3)
    0.107
    """
    return _joined(temperature, lambda t: 0.0075 * t**1.85, join=1.0, exponent=1.85, high=9.0)


@within(temperature=(0.1, 4.2, "K"))
def cupronickel(temperature: Numbers) -> Numbers:
    """Thermal conductivity of 70/30 copper-nickel.

    Table, straight lines in log k against log T, 0.1 to 300 K; k as T^1.05 below 0.1 K.

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    Factor 1.5: the usual power law 0.093 T^1.23 lies as far above the compiled points up to 4.2 K.
    The points above 4.2 K are handbook values from memory.

    Source: CommonPractice.

    Examples
    --------
    >>> round(float(cupronickel(4.2)), 2)
    0.38
    """
    return _joined(temperature, lambda t: _power(CUPRONICKEL, t), join=0.1, exponent=1.05)


@within(temperature=(2.0, 80.0, "K"))
def beryllium_copper(temperature: Numbers) -> Numbers:
    """Thermal conductivity of beryllium copper.

    log10 k = sum a_i (log10 T)^i.

    Parameters
    ----------
    temperature : float or array
        Temperature, 2 to 80 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    The fit ends at 80 K; at 295 K it would return a tenth of the true value, so it returns nan. At 20 K
    a handbook has 17, at 4 and 77 K it agrees.

    Source: Marquardt2002.

    Examples
    --------
    >>> round(float(beryllium_copper(20.0)))
    11
    """
    return _joined(temperature, lambda t: _logarithmic(BERYLLIUM_COPPER, t), 2.0, 0.0, high=80.0, low=2.0)


@within(temperature=(4.0, 300.0, "K"))
def ptfe(temperature: Numbers) -> Numbers:
    """Thermal conductivity of polytetrafluoroethylene.

    log10 k = sum a_i (log10 T)^i from 4 to 300 K; k as T^2 below 4 K.

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    5 % from 4 to 300 K; the square below 4 K, usual for glasses and polymers, is good to a factor of 2.

    Source: Marquardt2002.

    Examples
    --------
    >>> round(float(ptfe(77.0)), 3)
    0.232
    """
    return _joined(temperature, lambda t: _logarithmic(PTFE, t), join=4.0, exponent=2.0)


@within(temperature=(4.0, 300.0, "K"))
def polyimide(temperature: Numbers) -> Numbers:
    """Thermal conductivity of polyimide film.

    log10 k = sum a_i (log10 T)^i from 4 to 300 K; k proportional to T below 4 K.

    Parameters
    ----------
    temperature : float or array
        Temperature, 0.001 to 300 [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)]; nan outside.

    Notes
    -----
    2 % as a fit, a factor 1.8 between data sets above 77 K. Below 9 K another measurement has 0.0065 T,
    2.4 times the line used here.

    Source: Marquardt2002, Barucci2000.

    Examples
    --------
    >>> round(float(polyimide(77.0)), 3)
    0.126
    """
    return _joined(temperature, lambda t: _logarithmic(POLYIMIDE, t), join=4.0, exponent=1.0)


@dataclass(frozen=True)
class Material:
    """What a conduction estimate needs to know about a material."""

    name: str
    conductivity: Conductivity
    low: float  # K, coldest temperature described
    high: float  # K
    resistivity: float  # ohm m at 300 K; infinite for an insulator
    spread: float  # factor between data sets, 4 to 300 K
    cold_spread: float  # the same below 4 K
    reference: str


MATERIALS: dict[str, Material] = {
    material.name: material
    for material in (
        Material("stainless_steel", stainless_steel, COLDEST, 300.0, 72e-8, 1.05, 2.5, "Marquardt2002"),
        Material("copper_50", copper_50, COLDEST, 300.0, 1.7e-8, 1.1, 1.2, "Marquardt2002"),
        Material("copper_100", copper_100, COLDEST, 300.0, 1.7e-8, 1.1, 1.2, "Marquardt2002"),
        Material("manganin", manganin, COLDEST, 300.0, 43e-8, 1.2, 1.3, "Haynes2016"),
        Material("phosphor_bronze", phosphor_bronze, COLDEST, 300.0, 11e-8, 1.3, 2.0, "CommonPractice"),
        Material("niobium_titanium", niobium_titanium, COLDEST, 9.0, 60e-8, 1.5, 3.0, "Schmidt1979"),
        Material("cupronickel", cupronickel, COLDEST, 300.0, 37.5e-8, 1.5, 1.6, "CommonPractice"),
        Material("beryllium_copper", beryllium_copper, 2.0, 80.0, 7.7e-8, 1.6, 1.6, "Marquardt2002"),
        Material("ptfe", ptfe, COLDEST, 300.0, inf, 1.1, 2.0, "Marquardt2002"),
        Material("polyimide", polyimide, COLDEST, 300.0, inf, 1.8, 2.5, "Barucci2000"),
    )
}


@lru_cache(maxsize=64)
def copper_material(residual_resistance_ratio: float) -> Material:
    """Copper of a given purity as a material for the integrals.

    k from ``copper``.

    Parameters
    ----------
    residual_resistance_ratio : float
        R(273 K)/R(4 K), above 1 [1].

    Returns
    -------
    Material
        The material [conductivity in W/(m K)].

    Source: HustLankford1984.

    Examples
    --------
    >>> copper_material(30.0).name
    'copper_rrr_30'
    """

    def conductivity(temperature: Numbers) -> Numbers:
        return copper(temperature, residual_resistance_ratio)

    name = f"copper_rrr_{residual_resistance_ratio:g}"
    return Material(name, conductivity, COLDEST, 300.0, 1.7e-8, 1.1, 1.2, "HustLankford1984")


@lru_cache(maxsize=128)
def _cumulative(material: Material) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Temperatures and the integral of k from the coldest of them: three-point Gauss per step."""
    grid = np.geomspace(material.low, material.high, _GRID_POINTS)
    middle, half = (grid[1:] + grid[:-1]) / 2.0, (grid[1:] - grid[:-1]) / 2.0
    nodes, weights = np.polynomial.legendre.leggauss(3)
    inside = np.asarray(material.conductivity(middle[:, None] + half[:, None] * nodes))
    return grid, np.concatenate([[0.0], np.cumsum(half * (inside @ weights))])


def _known(material: str | Material) -> Material:
    return MATERIALS[material] if isinstance(material, str) else material


def conductivity_integral(material: str | Material, cold: Numbers, hot: Numbers) -> Numbers:
    """Integral of thermal conductivity between two temperatures.

    theta = integral of k(T) dT from cold to hot.

    Parameters
    ----------
    material : str or Material
        Name in ``MATERIALS``, or a material [-].
    cold : float or array
        Cold end [K].
    hot : float or array
        Hot end [K]; below ``cold`` the integral is negative.

    Returns
    -------
    float or array
        Conductivity integral [W/m]; nan where an end is outside the material's range.

    Raises
    ------
    KeyError
        The name is not in ``MATERIALS``.

    Notes
    -----
    Read from one cumulative table per material, made on first use; error 1e-6 of T k(T).

    Source: Marquardt2002.

    Examples
    --------
    >>> round(float(conductivity_integral("stainless_steel", 4.0, 300.0)), -1)
    3030.0
    """
    grid, table = _cumulative(_known(material))
    warm = np.interp(hot, grid, table, left=nan, right=nan)
    value: Numbers = warm - np.interp(cold, grid, table, left=nan, right=nan)
    return value


def conduction_heat(material: str | Material, area: Numbers, length: Numbers, cold: Numbers, hot: Numbers) -> Numbers:
    """Heat conducted along a bar, tube or wire to its cold end.

    Q = (A/L) integral of k dT.

    Parameters
    ----------
    material : str or Material
        Name in ``MATERIALS``, or a material [-].
    area : float or array
        Cross-section, all parallel conductors together [m^2].
    length : float or array
        Length between the two anchors [m].
    cold : float or array
        Cold anchor [K].
    hot : float or array
        Hot anchor [K].

    Returns
    -------
    float or array
        Heat [W]; nan where a temperature is outside the material's range.

    Raises
    ------
    KeyError
        The name is not in ``MATERIALS``.

    Notes
    -----
    No gas, no radiation along the way, both ends at the temperature of their anchor.

    Source: Marquardt2002.

    Examples
    --------
    >>> tube = tube_area(12.7e-3, 0.25e-3)
    >>> round(float(conduction_heat("stainless_steel", tube, 0.5, 4.0, 300.0)) * 1e3)
    59
    """
    return area / length * conductivity_integral(material, cold, hot)


def coaxial_heat(
    outer: str | Material,
    dielectric: str | Material,
    centre: str | Material,
    outer_diameter: Numbers,
    dielectric_diameter: Numbers,
    centre_diameter: Numbers,
    length: Numbers,
    cold: Numbers,
    hot: Numbers,
) -> Numbers:
    """Heat conducted along one coaxial line, its three parts in parallel.

    Q = (1/L) sum A_i integral of k_i dT.

    Parameters
    ----------
    outer : str or Material
        Material of the outer conductor [-].
    dielectric : str or Material
        Material of the dielectric [-].
    centre : str or Material
        Material of the centre conductor [-].
    outer_diameter : float or array
        Outside diameter of the line [m].
    dielectric_diameter : float or array
        Diameter over the dielectric [m].
    centre_diameter : float or array
        Diameter of the centre conductor [m].
    length : float or array
        Length between the two anchors [m].
    cold : float or array
        Cold anchor [K].
    hot : float or array
        Hot anchor [K].

    Returns
    -------
    float or array
        Heat of one line [W].

    Raises
    ------
    KeyError
        A name is not in ``MATERIALS``.

    Notes
    -----
    The centre conductor is taken as anchored like the outer; without an attenuator it is not.
    Silver plating is left out and can double the load of a thin line.

    Source: Krinner2019.

    Examples
    --------
    >>> metal = "stainless_steel"
    >>> round(float(coaxial_heat(metal, "ptfe", metal, 2.197e-3, 1.676e-3, 0.511e-3, 0.2, 35, 300)) * 1e3)
    27
    """
    shell = wire_area(outer_diameter) - wire_area(dielectric_diameter)
    filling = wire_area(dielectric_diameter) - wire_area(centre_diameter)
    return (
        conduction_heat(outer, shell, length, cold, hot)
        + conduction_heat(dielectric, filling, length, cold, hot)
        + conduction_heat(centre, wire_area(centre_diameter), length, cold, hot)
    )


def conduction_spread(material: str | Material, hot: float) -> float:
    """Factor by which published data scatter about a conduction estimate.

    The spread below 4 K applies when the hot end is there, since the hot end carries the integral.

    Parameters
    ----------
    material : str or Material
        Name in ``MATERIALS``, or a material [-].
    hot : float
        Hot end [K].

    Returns
    -------
    float
        Factor, at least 1: the heat lies between Q/factor and Q times factor [1].

    Raises
    ------
    KeyError
        The name is not in ``MATERIALS``.

    Source: CommonPractice.

    Examples
    --------
    >>> conduction_spread("stainless_steel", 0.9)
    2.5
    """
    found = _known(material)
    return found.spread if hot > 4.2 else found.cold_spread


def residual_conductivity(resistivity: Numbers, temperature: Numbers) -> Numbers:
    """Electronic thermal conductivity of a metal from its residual resistivity.

    k = L0 T/rho (Wiedemann-Franz).

    Parameters
    ----------
    resistivity : float or array
        Electrical resistivity at low temperature [ohm m].
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Conductivity [W/(m K)].

    Notes
    -----
    Exact where impurities scatter, below about 4 K, and not in a superconductor.

    Source: Pobell2007.

    Examples
    --------
    >>> round(float(residual_conductivity(15.4e-9 / 99, 1.0)))
    157
    """
    return lorenz_number * temperature / resistivity


def wire_area(diameter: Numbers) -> Numbers:
    """Cross-section of a round wire.

    A = pi d^2/4.

    Parameters
    ----------
    diameter : float or array
        Diameter of the metal, without insulation [m].

    Returns
    -------
    float or array
        Area [m^2].

    Source: Elementary.

    Examples
    --------
    >>> f"{wire_area(0.1e-3):.3e}"
    '7.854e-09'
    """
    return np.pi / 4.0 * diameter**2


def tube_area(outer_diameter: Numbers, wall: Numbers) -> Numbers:
    """Cross-section of the wall of a round tube.

    A = pi w (D - w).

    Parameters
    ----------
    outer_diameter : float or array
        Outside diameter [m].
    wall : float or array
        Wall thickness, at most half the diameter [m].

    Returns
    -------
    float or array
        Area [m^2]; nan for a wall thicker than the radius.

    Source: Elementary.

    Examples
    --------
    >>> round(float(tube_area(12.7e-3, 0.25e-3)) * 1e6, 2)
    9.78
    """
    possible = np.asarray(wall) <= np.asarray(outer_diameter) / 2.0
    return np.where(possible, np.pi * wall * (outer_diameter - wall), nan)[()]


@within(gauge=(0, 50, ""))
def american_wire_diameter(gauge: Numbers) -> Numbers:
    """Diameter of a wire from its American wire gauge number.

    d = 0.127 mm x 92^((36 - n)/39).

    Parameters
    ----------
    gauge : float or array
        Gauge number; 0 for 1/0, -1 for 2/0 [1].

    Returns
    -------
    float or array
        Diameter [m].

    Source: ASTMB258.

    Examples
    --------
    >>> round(float(american_wire_diameter(36)) * 1e3, 3)
    0.127
    """
    return 0.127e-3 * 92.0 ** ((36.0 - np.asarray(gauge, dtype=np.float64)) / 39.0)[()]


def wire_resistance(resistivity: Numbers, area: Numbers, length: Numbers) -> Numbers:
    """Resistance of a wire.

    R = rho L/A.

    Parameters
    ----------
    resistivity : float or array
        Electrical resistivity [ohm m].
    area : float or array
        Cross-section [m^2].
    length : float or array
        Length [m].

    Returns
    -------
    float or array
        Resistance [ohm].

    Source: Elementary.

    Examples
    --------
    >>> round(float(wire_resistance(43e-8, wire_area(0.1e-3), 1.0)), 1)
    54.7
    """
    return resistivity * length / area
