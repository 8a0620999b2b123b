"""How many devices a claim needs, and what a count of good ones says."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, exp, expm1, fsum, inf, lgamma, log, log1p, prod, sqrt
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Interval = Literal["wilson", "clopper-pearson"]
_SLACK = 1e-12  # a tie in exact arithmetic must stay a tie in binary arithmetic
_MOST_DEVICES = 10_000_000  # beyond this no laboratory starts
_RUN = 6  # sizes in a row that must satisfy a width, since widths are not quite monotone in n


def _two_sided(confidence: float) -> float:
    return NormalDist().inv_cdf(0.5 + confidence / 2.0)


def _up(value: float) -> int:
    return ceil(value - _SLACK * max(1.0, abs(value)))


def wilson_interval(good: float, devices: int, confidence: float = 0.95) -> tuple[float, float]:
    """Score interval for a yield.

    [p + z^2/2n -+ z sqrt(p(1-p)/n + z^2/4n^2)]/(1 + z^2/n).

    Parameters
    ----------
    good : float
        Number of good devices [1].
    devices : int
        Number of devices, at least 1 [1].
    confidence : float
        Two-sided confidence [1].

    Returns
    -------
    tuple of float
        Lower and upper limit of the yield [1].

    Notes
    -----
    Covers the stated share on average, not for every yield; to be preferred for small n.

    Source: Wilson1927, Newcombe1998.

    Examples
    --------
    >>> [round(x, 4) for x in wilson_interval(81, 263)]
    [0.2553, 0.3662]
    """
    z = _two_sided(confidence)
    p = good / devices
    centre, scale = p + z * z / (2 * devices), 1.0 + z * z / devices
    half = z * sqrt(max(p * (1.0 - p) / devices + (z / (2 * devices)) ** 2, 0.0))
    return max((centre - half) / scale, 0.0), min((centre + half) / scale, 1.0)


def clopper_pearson_interval(good: int, devices: int, confidence: float = 0.95) -> tuple[float, float]:
    """Exact interval for a yield, covering at least the stated share for every yield.

    Beta quantiles: B(a/2; k, n-k+1) and B(1-a/2; k+1, n-k), a = 1 - confidence.

    Parameters
    ----------
    good : int
        Number of good devices [1].
    devices : int
        Number of devices, at least 1 [1].
    confidence : float
        Two-sided confidence [1].

    Returns
    -------
    tuple of float
        Lower and upper limit of the yield [1].

    Source: ClopperPearson1934, Newcombe1998.

    Examples
    --------
    >>> [round(x, 4) for x in clopper_pearson_interval(81, 263)]
    [0.2527, 0.3676]
    """
    low, high = _exact_limits(np.array([good]), devices, confidence)
    return float(low[0]), float(high[0])


def _exact_limits(
    good: NDArray[np.int64], devices: int, confidence: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    from scipy.stats import beta

    tail = (1.0 - confidence) / 2.0
    with np.errstate(invalid="ignore"):
        low = np.where(good == 0, 0.0, beta.ppf(tail, good, devices - good + 1))
        high = np.where(good == devices, 1.0, beta.ppf(1.0 - tail, good + 1, devices - good))
    return low, high


def _half_width(devices: int, share: float | None, confidence: float, interval: Interval) -> float:
    """Half-width for n devices: the widest over all counts, or the mean for a given true yield."""
    counts = np.arange(devices + 1)
    if interval == "wilson":
        z = _two_sided(confidence)
        p = counts / devices
        half = z * np.sqrt(p * (1 - p) / devices + (z / (2 * devices)) ** 2) / (1 + z * z / devices)
    else:
        low, high = _exact_limits(counts, devices, confidence)
        half = (high - low) / 2.0
    if share is None:
        return float(half.max())
    from scipy.stats import binom

    return float(half @ binom.pmf(counts, devices, share))


def devices_for_yield(
    half_width: float,
    expected_yield: float | None = None,
    confidence: float = 0.95,
    interval: Interval = "wilson",
) -> int:
    """Devices needed to know a yield to plus or minus x.

    Smallest n whose interval, and those of the next five n, have a half-width of at most x.

    Parameters
    ----------
    half_width : float
        Wanted half-width x, above 0 and below 0.5 [1].
    expected_yield : float or None
        True yield for which the mean half-width counts; None for the worst count [1].
    confidence : float
        Two-sided confidence [1].
    interval : str
        "wilson" for display, "clopper-pearson" where a guarantee is asked for [-].

    Returns
    -------
    int
        Number of devices [1].

    Raises
    ------
    ValueError
        The half-width is outside 0 to 0.5.

    Source: Wilson1927, ClopperPearson1934.

    Examples
    --------
    >>> devices_for_yield(0.10), devices_for_yield(0.10, interval="clopper-pearson")
    (93, 104)
    """
    if not 0.0 < half_width < 0.5:
        raise ValueError(f"half-width {half_width} is outside 0 to 0.5")

    def narrow(n: int) -> bool:
        return _half_width(n, expected_yield, confidence, interval) <= half_width + _SLACK

    low, high = 0, 1
    while not narrow(high):
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if narrow(middle) else (middle, high)
    # Widths ripple with n, so the search only brackets: walk from a little below.
    n = max(1, high - 2 * _RUN)
    while not all(narrow(n + k) for k in range(_RUN)):
        n += 1
    return n


def devices_for_yield_normal(half_width: float, expected_yield: float = 0.5, confidence: float = 0.95) -> int:
    """Devices needed to know a yield to plus or minus x, by the normal approximation.

    n = z^2 p(1-p)/x^2, rounded up.

    Parameters
    ----------
    half_width : float
        Wanted half-width x [1].
    expected_yield : float
        Yield p [1].
    confidence : float
        Two-sided confidence [1].

    Returns
    -------
    int
        Number of devices [1].

    Notes
    -----
    Poor where fewer than 5 good or 5 bad devices are expected.

    Source: Brown2001.

    Examples
    --------
    >>> devices_for_yield_normal(0.10)
    97
    """
    return _up(_two_sided(confidence) ** 2 * expected_yield * (1.0 - expected_yield) / half_width**2)


def devices_to_see(rate: float, confidence: float = 0.95) -> float:
    """Devices needed to see a fault of a given rate at least once.

    n = ln(1 - c)/ln(1 - q), rounded up.

    Parameters
    ----------
    rate : float
        Rate q of the fault per device [1].
    confidence : float
        Chance c of seeing it [1].

    Returns
    -------
    float
        Number of devices, a whole number; infinite for a rate of 0 [1].

    Source: Elementary.

    Examples
    --------
    >>> [devices_to_see(q) for q in (0.10, 0.05, 0.02)]
    [29, 59, 149]
    """
    if rate <= 0.0:
        return inf
    if rate >= 1.0:
        return 1
    return max(1, _up(log1p(-confidence) / log1p(-rate)))


def zero_failure_bound(devices: int, confidence: float = 0.95) -> float:
    """Largest fault rate compatible with no fault seen in n devices.

    q = 1 - (1 - c)^(1/n), near 3/n at 95 % (rule of three).

    Parameters
    ----------
    devices : int
        Number of devices without the fault, at least 1 [1].
    confidence : float
        One-sided confidence [1].

    Returns
    -------
    float
        Upper limit of the rate [1].

    Source: HanleyLippmanHand1983.

    Examples
    --------
    >>> round(zero_failure_bound(100), 4)
    0.0295
    """
    return -expm1(log1p(-confidence) / devices)


def devices_per_recipe_mean(
    difference: float, deviation: float, confidence: float = 0.95, power: float = 0.80
) -> float:
    """Devices per recipe needed to tell two mean values apart.

    n = 2 (z_(1-a/2) + z_power)^2 (s/d)^2, rounded up; 16 (s/d)^2 at 95 % and 80 %.

    Parameters
    ----------
    difference : float
        Difference d of the means that matters [any unit].
    deviation : float
        Standard deviation s between devices [the same unit].
    confidence : float
        Two-sided confidence [1].
    power : float
        Chance of finding the difference if it is there [1].

    Returns
    -------
    float
        Devices per recipe, a whole number; infinite for no difference [1].

    Notes
    -----
    Normal values, equal spread. Below about 10 per recipe add 1 or 2 for the unknown spread.

    Source: Lehr1992.

    Examples
    --------
    >>> devices_per_recipe_mean(1.0, 1.0)
    16
    """
    if difference == 0.0:
        return inf
    z = _two_sided(confidence) + NormalDist().inv_cdf(power)
    return _up(2.0 * (z * deviation / difference) ** 2)


def devices_per_recipe_yield(first: float, second: float, confidence: float = 0.95, power: float = 0.80) -> float:
    """Devices per recipe needed to tell two yields apart.

    n = [z_(1-a/2) sqrt(2 p(1-p)) + z_power sqrt(p1(1-p1) + p2(1-p2))]^2/(p1-p2)^2, p = (p1+p2)/2.

    Parameters
    ----------
    first : float
        Yield of one recipe [1].
    second : float
        Yield of the other [1].
    confidence : float
        Two-sided confidence [1].
    power : float
        Chance of finding the difference if it is there [1].

    Returns
    -------
    float
        Devices per recipe, a whole number; infinite for equal yields [1].

    Source: Fleiss2003.

    Examples
    --------
    >>> devices_per_recipe_yield(0.5, 0.8)
    39
    """
    if first == second:
        return inf
    mean = (first + second) / 2.0
    null = _two_sided(confidence) * sqrt(2.0 * mean * (1.0 - mean))
    real = NormalDist().inv_cdf(power) * sqrt(first * (1.0 - first) + second * (1.0 - second))
    return _up(((null + real) / (first - second)) ** 2)


def series_yield(yields: Iterable[float]) -> float:
    """Yield of a device whose steps, layers or gates must all work.

    Y = prod y_i.

    Parameters
    ----------
    yields : iterable of float
        Yield of each step [1].

    Returns
    -------
    float
        Yield of the whole [1].

    Notes
    -----
    Independent faults. Faults that come in clusters leave more good devices than this says.

    Source: Elementary.

    Examples
    --------
    >>> round(series_yield([0.9] * 5), 2)
    0.59
    """
    return prod(yields)


def chance_of_good(devices: int, good: int, device_yield: float) -> float:
    """Chance that at least k of n devices are good.

    P(Bin(n, y) >= k).

    Parameters
    ----------
    devices : int
        Devices started n [1].
    good : int
        Good devices wanted k [1].
    device_yield : float
        Yield y [1].

    Returns
    -------
    float
        Chance [1].

    Source: Elementary.

    Examples
    --------
    >>> round(chance_of_good(101, 51, 0.5), 9)
    0.5
    """
    if good <= 0:
        return 1.0
    if devices < good or device_yield <= 0.0:
        return 0.0
    if device_yield >= 1.0:
        return 1.0
    # The fewer side is summed: few wanted of many is the usual case, and needs no library to be loaded.
    low = 2 * good <= devices
    terms = range(good) if low else range(good, devices + 1)
    total = fsum(_binomial_term(devices, each, device_yield) for each in terms)
    return 1.0 - total if low else total


def _binomial_term(devices: int, good: int, device_yield: float) -> float:
    ways = lgamma(devices + 1) - lgamma(good + 1) - lgamma(devices - good + 1)
    return exp(ways + good * log(device_yield) + (devices - good) * log1p(-device_yield))


def devices_to_start(good: int, device_yield: float, confidence: float = 0.90) -> float:
    """Devices to start so that at least k are good.

    min N: P(Bin(N, y) >= k) >= c, that is k plus a quantile of the negative binomial law.

    Parameters
    ----------
    good : int
        Good devices wanted k [1].
    device_yield : float
        Yield y [1].
    confidence : float
        Chance c of having them [1].

    Returns
    -------
    float
        Number of devices, a whole number; infinite for a yield of 0 [1].

    Notes
    -----
    Library quantiles are one too high at exact ties (k = 51, y = c = 1/2 gives 101); the result is
    stepped down while the chance still reaches c.

    Source: Elementary.

    Examples
    --------
    >>> devices_to_start(3, 0.20), devices_to_start(51, 0.5, 0.5)
    (25, 101)
    """
    if good <= 0:
        return 0
    if device_yield <= 0.0:
        return inf
    if device_yield >= 1.0:
        return good
    enough = max(good, 1)
    while chance_of_good(enough, good, device_yield) < confidence - _SLACK:
        enough *= 2
        if enough > _MOST_DEVICES:
            return inf
    few = max(good, enough // 2)
    while few < enough:
        middle = (few + enough) // 2
        if chance_of_good(middle, good, device_yield) >= confidence - _SLACK:
            enough = middle
        else:
            few = middle + 1
    return enough


def defect_yield(area: float, density: float, clustering: float = inf) -> float:
    """Yield of an area with randomly placed killing defects.

    Y = (1 + A D/a)^-a; exp(-A D) for unclustered defects.

    Parameters
    ----------
    area : float
        Critical area [m^2].
    density : float
        Density of killing defects [1/m^2].
    clustering : float
        Clustering parameter a; infinite for none, 1 to 3 usual [1].

    Returns
    -------
    float
        Yield [1].

    Source: Stapper1983.

    Examples
    --------
    >>> round(defect_yield(1e-6, 1e5), 3)
    0.905
    """
    if clustering == inf:
        return exp(-area * density)
    return exp(-clustering * log1p(area * density / clustering))
