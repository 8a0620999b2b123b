"""Yields multiply, chips get lost on the way to the cold finger, and so more are started than are wanted."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, inf

from triage.physics.statistics import chance_of_good, devices_to_start, series_yield


def chip_yield(layers: Iterable[float], handling_loss: float, bonding_loss: float) -> float:
    """Part of the started chips that end up bonded and working.

    Y = prod y_i (1 - h)(1 - b).

    Parameters
    ----------
    layers : iterable of float
        Yield of each layer [1].
    handling_loss : float
        Part lost to discharge and handling [1].
    bonding_loss : float
        Part lost in bonding [1].

    Returns
    -------
    float
        Yield [1].

    Source: CommonPractice.

    Examples
    --------
    >>> round(chip_yield([0.9] * 5, 0.0, 0.0), 2)
    0.59
    """
    return series_yield([*layers, 1.0 - handling_loss, 1.0 - bonding_loss])


def chips_to_start(good: float, part_good: float, confidence: float) -> float:
    """Chips to start so that enough are good.

    min N: P(Bin(N, y) >= k) >= c.

    Parameters
    ----------
    good : float
        Good chips wanted k, rounded up [1].
    part_good : float
        Yield y [1].
    confidence : float
        Chance c [1].

    Returns
    -------
    float
        Chips, a whole number; infinite for a yield of 0 [1].

    Source: Elementary.

    Examples
    --------
    >>> chips_to_start(3, 0.20, 0.90)
    25
    """
    return devices_to_start(ceil(good - 1e-9), part_good, min(confidence, 1.0 - 1e-9))


def chance(chips: float, good: float, part_good: float) -> float:
    """Chance that enough of the started chips are good.

    P(Bin(N, y) >= k).

    Parameters
    ----------
    chips : float
        Chips started N [1].
    good : float
        Good chips wanted k [1].
    part_good : float
        Yield y [1].

    Returns
    -------
    float
        Chance [1].

    Source: Elementary.

    Examples
    --------
    >>> round(chance(2, 1, 0.5), 2)
    0.75
    """
    return chance_of_good(int(chips), ceil(good - 1e-9), part_good)


def mask_pays_from(once: float, per_chip_saved: float) -> float:
    """Number of chips from which something bought once pays.

    n = C/s, rounded up.

    Parameters
    ----------
    once : float
        Price of the masks, of waiting for them, and of the runs that use them [EUR].
    per_chip_saved : float
        What each chip costs less [EUR].

    Returns
    -------
    float
        Number of chips, a whole number; infinite where nothing is saved [1].

    Source: Elementary.

    Examples
    --------
    >>> mask_pays_from(146.0, 14.6)
    10
    """
    if per_chip_saved <= 0.0:
        return inf
    return max(1, ceil(once / per_chip_saved - 1e-9))
