"""What the physics functions share: their number type and how they state where a formula holds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Numbers = float | NDArray[np.float64]

Bounds = tuple[float, float, str]
F = TypeVar("F", bound=Callable[..., object])


def within(**bounds: Bounds) -> Callable[[F], F]:
    """Attach the range in which a formula holds, as data: ``name=(low, high, unit)``.

    Parameters
    ----------
    **bounds : tuple
        One (low, high, unit) per argument of the function that has a range [unit given third].

    Returns
    -------
    callable
        The function itself, unwrapped, with the attribute ``validity``.

    Examples
    --------
    >>> @within(temperature=(1.0, 2.0, "K"))
    ... def double(temperature): return 2 * temperature
    >>> double.validity["temperature"]
    (1.0, 2.0, 'K')
    """

    def mark(function: F) -> F:
        function.validity = dict(bounds)  # type: ignore[attr-defined]
        return function

    return mark


def outside(function: Callable[..., object], arguments: Mapping[str, Numbers]) -> list[str]:
    """Say which arguments lie outside the stated range of a formula.

    Parameters
    ----------
    function : callable
        A physics function, with or without a stated range.
    arguments : mapping
        Name to value [SI], as they will be passed.

    Returns
    -------
    list of str
        One sentence per argument outside its range; empty where the formula holds.

    Examples
    --------
    >>> @within(temperature=(1.0, 2.0, "K"))
    ... def double(temperature): return 2 * temperature
    >>> outside(double, {"temperature": 3.0})
    ['temperature 3 K is outside 1 to 2 K']
    """
    bounds: Mapping[str, Bounds] = getattr(function, "validity", {})
    found = []
    for name, (low, high, unit) in bounds.items():
        if name in arguments:
            value = np.asarray(arguments[name], dtype=float)
            wrong = ~((value >= low) & (value <= high))
            if wrong.any():
                first = value[wrong].flat[0]
                found.append(f"{name} {first:g} {unit} is outside {low:g} to {high:g} {unit}".replace("  ", " "))
    return found
