"""What fits where: boards against a bore, pucks, boards per load."""

from __future__ import annotations

from math import floor, hypot, nan
from typing import Literal

import numpy as np

from triage.physics.kind import Numbers

Orientation = Literal["across", "along", "on edge"]
# Which sides of the board (length, width, height) lie in the cross-section, and which along the bore.
_LYING: dict[Orientation, tuple[int, int, int]] = {
    "across": (0, 1, 2),
    "along": (1, 2, 0),
    "on edge": (0, 2, 1),
}
CLEARANCE = 1e-3  # m per side; board diagonal at most the bore less 2 mm, common practice


def needed_bore(first: Numbers, second: Numbers, clearance: Numbers = CLEARANCE) -> Numbers:
    """Bore that a rectangular cross-section needs.

    D = sqrt(a^2 + b^2) + 2 c.

    Parameters
    ----------
    first : float or array
        One side of the cross-section, overhanging connectors included [m].
    second : float or array
        The other side [m].
    clearance : float or array
        Gap on each side [m].

    Returns
    -------
    float or array
        Bore diameter [m].

    Source: Elementary.

    Examples
    --------
    >>> round(float(needed_bore(30e-3, 20e-3)) * 1e3, 1)
    38.1
    """
    return np.hypot(first, second) + 2.0 * clearance


def board_bore(
    length: Numbers,
    width: Numbers,
    height: Numbers,
    orientation: Orientation,
    clearance: Numbers = CLEARANCE,
) -> Numbers:
    """Bore that a board needs in a given orientation.

    D = sqrt(a^2 + b^2) + 2 c; a, b = length, width (across), width, height (along), length, height (on edge).

    Parameters
    ----------
    length : float or array
        Length of the board [m].
    width : float or array
        Width of the board [m].
    height : float or array
        Height over components, connectors and wire bonds [m].
    orientation : str
        "across": board normal to the axis; "along": length along the axis; "on edge": width along it [-].
    clearance : float or array
        Gap on each side [m].

    Returns
    -------
    float or array
        Bore diameter [m].

    Raises
    ------
    KeyError
        The orientation is none of the three.

    Notes
    -----
    In a solenoid "across" puts the field normal to the chip, the other two in its plane.

    Source: Elementary.

    Examples
    --------
    >>> round(float(board_bore(60e-3, 20e-3, 8e-3, "along")) * 1e3, 1)
    23.5
    """
    sides = (length, width, height)
    first, second, _ = _LYING[orientation]
    return needed_bore(sides[first], sides[second], clearance)


def board_depth(length: Numbers, width: Numbers, height: Numbers, orientation: Orientation) -> Numbers:
    """Length of bore that a board takes up in a given orientation.

    The side that lies along the axis: height across, length along, width on edge.

    Parameters
    ----------
    length : float or array
        Length of the board [m].
    width : float or array
        Width of the board [m].
    height : float or array
        Height over components [m].
    orientation : str
        "across", "along" or "on edge" [-].

    Returns
    -------
    float or array
        Depth along the axis [m].

    Raises
    ------
    KeyError
        The orientation is none of the three.

    Source: Elementary.

    Examples
    --------
    >>> board_depth(60e-3, 20e-3, 8e-3, "along")
    0.06
    """
    return (length, width, height)[_LYING[orientation][2]]


def fitting_orientations(
    length: float, width: float, height: float, bore: float, depth: float, clearance: float = CLEARANCE
) -> dict[Orientation, float]:
    """Orientations in which a board enters a bore, and the room left.

    Margin = D - sqrt(a^2 + b^2) - 2 c, not negative, with the side along the axis at most the depth.

    Parameters
    ----------
    length : float
        Length of the board [m].
    width : float
        Width of the board [m].
    height : float
        Height over components [m].
    bore : float
        Diameter of the bore [m].
    depth : float
        Usable length of the bore [m].
    clearance : float
        Gap on each side [m].

    Returns
    -------
    dict
        Orientation to spare diameter [m]; empty if the board does not enter.

    Source: Elementary.

    Examples
    --------
    >>> fits = fitting_orientations(34e-3, 20e-3, 6e-3, bore=30e-3, depth=0.1)
    >>> {name: round(spare * 1e3, 1) for name, spare in fits.items()}
    {'along': 7.1}
    """
    found: dict[Orientation, float] = {}
    for orientation in _LYING:
        spare = bore - float(board_bore(length, width, height, orientation, clearance))
        if spare >= 0.0 and float(board_depth(length, width, height, orientation)) <= depth:
            found[orientation] = spare
    return found


def smallest_bore(
    length: float, width: float, height: float, depth: float, clearance: float = CLEARANCE
) -> tuple[Orientation | None, float]:
    """Orientation that needs the smallest bore within a usable depth.

    min over orientations with depth enough of sqrt(a^2 + b^2) + 2 c.

    Parameters
    ----------
    length : float
        Length of the board [m].
    width : float
        Width of the board [m].
    height : float
        Height over components [m].
    depth : float
        Usable length of the bore [m].
    clearance : float
        Gap on each side [m].

    Returns
    -------
    tuple
        Orientation and bore diameter [m]; (None, nan) if no side is short enough for the depth.

    Source: Elementary.

    Examples
    --------
    >>> name, bore = smallest_bore(60e-3, 20e-3, 8e-3, 0.1)
    >>> name, round(bore * 1e3, 1)
    ('along', 23.5)
    """
    fits = fitting_orientations(length, width, height, float("inf"), depth, clearance)
    bores = {name: float(board_bore(length, width, height, name, clearance)) for name in fits}
    if not bores:
        return None, nan
    best = min(bores, key=lambda name: bores[name])
    return best, bores[best]


def fits_opening(first: float, second: float, opening_first: float, opening_second: float, clearance: float) -> bool:
    """Whether a rectangle goes through a rectangular opening, turned by a right angle if need be.

    Both sides, with a gap on each side, within the opening.

    Parameters
    ----------
    first : float
        One side of the board [m].
    second : float
        The other side [m].
    opening_first : float
        One side of the opening [m].
    opening_second : float
        The other side [m].
    clearance : float
        Gap on each side [m].

    Returns
    -------
    bool
        True if it goes through [-].

    Notes
    -----
    A board turned askew may pass where this says no.

    Source: Elementary.

    Examples
    --------
    >>> fits_opening(20e-3, 30e-3, 32e-3, 22e-3, 1e-3)
    True
    """
    board = sorted((first + 2.0 * clearance, second + 2.0 * clearance))
    opening = sorted((opening_first, opening_second))
    # A picometre of slack: 20 + 2 x 1 mm shall pass 22 mm in binary arithmetic too.
    return all(side <= space + 1e-12 for side, space in zip(board, opening, strict=True))


def boards_on_round_plate(first: float, second: float, diameter: float, gap: float = CLEARANCE) -> int:
    """Boards that lie side by side in a rectangular array on a round plate.

    max n m with the array n a + (n-1) g by m b + (m-1) g inside the circle.

    Parameters
    ----------
    first : float
        One side of a board [m].
    second : float
        The other side [m].
    diameter : float
        Usable diameter of the plate [m].
    gap : float
        Gap between boards and to the rim [m].

    Returns
    -------
    int
        Number of boards [1].

    Notes
    -----
    A lower bound: rows of unequal length may hold more.

    Source: Elementary.

    Examples
    --------
    >>> boards_on_round_plate(20e-3, 20e-3, 62e-3)
    4
    """
    inner = diameter - 2.0 * gap + 1e-12
    best = 0
    for n in range(1, floor((inner + gap) / (first + gap)) + 1 if inner > 0.0 else 1):
        side = n * (first + gap) - gap
        if side > inner:
            break
        m = floor(((inner**2 - side**2) ** 0.5 + gap) / (second + gap))
        best = max(best, n * m)
    return best


def boards_per_load(board_depth: float, depth: float, gap: float = CLEARANCE, side_by_side: int = 1) -> int:
    """Boards in one load when they are stacked along the axis.

    N = s floor((H + g)/(d + g)).

    Parameters
    ----------
    board_depth : float
        Depth of one board along the axis, its carrier included [m].
    depth : float
        Usable length of the bore or puck [m].
    gap : float
        Gap between boards [m].
    side_by_side : int
        Boards per layer [1].

    Returns
    -------
    int
        Number of boards [1].

    Notes
    -----
    Wires and field homogeneity usually limit the load before the room does.

    Source: Elementary.

    Examples
    --------
    >>> boards_per_load(8e-3, 50e-3, 2e-3)
    5
    """
    return side_by_side * max(0, floor((depth + gap + 1e-12) / (board_depth + gap)))


def largest_square(bore: float, clearance: float = CLEARANCE) -> float:
    """Side of the largest square board that lies across a bore.

    a = (D - 2 c)/sqrt(2).

    Parameters
    ----------
    bore : float
        Diameter of the bore [m].
    clearance : float
        Gap on each side [m].

    Returns
    -------
    float
        Side [m]; 0 if nothing fits.

    Source: Elementary.

    Examples
    --------
    >>> round(largest_square(30e-3) * 1e3, 1)
    19.8
    """
    return max(0.0, (bore - 2.0 * clearance) / hypot(1.0, 1.0))
