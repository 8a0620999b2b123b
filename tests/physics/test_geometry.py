"""What fits into a bore or onto a plate."""

from __future__ import annotations

from math import hypot, isnan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.physics import geometry

sides = st.floats(1e-3, 0.1)


@settings(max_examples=50, deadline=None)
@given(length=sides, width=sides, height=sides, bore=st.floats(5e-3, 0.15), depth=st.floats(5e-3, 0.2))
def test_a_board_that_fits_has_its_corners_inside(
    length: float, width: float, height: float, bore: float, depth: float
) -> None:
    """Every orientation offered leaves the corner of the cross-section a clearance inside the circle."""
    along = {"across": height, "along": length, "on edge": width}
    section = {"across": (length, width), "along": (width, height), "on edge": (length, height)}
    fits = geometry.fitting_orientations(length, width, height, bore, depth, 1e-3)

    for name in along:
        a, b = section[name]
        inside = hypot(a / 2, b / 2) + 1e-3 <= bore / 2 and along[name] <= depth
        margin = abs(hypot(a, b) + 2e-3 - bore)
        assert (name in fits) is inside or margin < 1e-12


@settings(max_examples=30, deadline=None)
@given(length=sides, width=sides, height=sides)
def test_smallest_bore_is_the_least_of_the_three_ways(length: float, width: float, height: float) -> None:
    """With depth enough the longest side lies along the axis."""
    name, bore = geometry.smallest_bore(length, width, height, 1.0)

    short, middle, _ = sorted((length, width, height))
    assert name is not None
    assert bore == pytest.approx(hypot(short, middle) + 2e-3)


def test_a_shallow_bore_forces_the_board_across() -> None:
    """With 10 mm of depth only the height fits along the axis; with 5 mm nothing does."""
    assert geometry.smallest_bore(30e-3, 20e-3, 6e-3, 10e-3)[0] == "across"
    name, bore = geometry.smallest_bore(30e-3, 20e-3, 6e-3, 5e-3)
    assert name is None
    assert isnan(bore)


def test_board_of_34_mm_does_not_lie_across_a_bore_of_22_mm() -> None:
    """But stands in a bore of 24 mm if it is 20 mm wide and 6 mm high."""
    assert geometry.fitting_orientations(34e-3, 20e-3, 6e-3, 22e-3, 0.1) == {}
    assert list(geometry.fitting_orientations(34e-3, 20e-3, 6e-3, 24e-3, 0.1)) == ["along"]


@settings(max_examples=30, deadline=None)
@given(bore=st.floats(5e-3, 0.2))
def test_largest_square_just_fits_across(bore: float) -> None:
    """Its diagonal and the two gaps are the bore."""
    side = geometry.largest_square(bore)

    assert geometry.needed_bore(side, side) == pytest.approx(bore)
    assert geometry.largest_square(1e-3) == 0.0


@pytest.mark.parametrize(
    ("count", "diameter"),
    [(1, 2**0.5), (2, 5**0.5), (3, 10**0.5), (4, 8**0.5), (6, 13**0.5), (9, 18**0.5)],
)
def test_unit_squares_in_an_array_need_the_diagonal_of_the_array(count: int, diameter: float) -> None:
    """n by m unit squares need sqrt(n^2 + m^2); a thousandth less holds fewer."""
    assert geometry.boards_on_round_plate(1.0, 1.0, diameter, gap=0.0) >= count
    if count != 3:
        assert geometry.boards_on_round_plate(1.0, 1.0, 0.999 * diameter, gap=0.0) < count


@settings(max_examples=40, deadline=None)
@given(first=sides, second=sides, diameter=st.floats(0.01, 0.4))
def test_boards_on_a_plate_grow_with_it_and_never_exceed_its_area(first: float, second: float, diameter: float) -> None:
    """Turning the board changes nothing, a larger plate holds at least as many."""
    number = geometry.boards_on_round_plate(first, second, diameter)

    assert number == geometry.boards_on_round_plate(second, first, diameter)
    assert geometry.boards_on_round_plate(first, second, 1.1 * diameter) >= number
    assert number * first * second <= 3.1416 * diameter**2 / 4


def test_stack_counts_boards_and_the_gaps_between_them() -> None:
    """Five of 8 mm with four gaps of 2 mm fill 48 mm; 47 mm hold four; two side by side double it."""
    assert geometry.boards_per_load(8e-3, 48e-3, 2e-3) == 5
    assert geometry.boards_per_load(8e-3, 47e-3, 2e-3) == 4
    assert geometry.boards_per_load(8e-3, 48e-3, 2e-3, side_by_side=2) == 10
    assert geometry.boards_per_load(8e-3, 5e-3) == 0


def test_opening_takes_a_board_either_way_round() -> None:
    """20 by 30 mm with 1 mm around passes 22 by 32 mm, not 21 by 40 mm."""
    assert geometry.fits_opening(20e-3, 30e-3, 22e-3, 32e-3, 1e-3)
    assert geometry.fits_opening(30e-3, 20e-3, 22e-3, 32e-3, 1e-3)
    assert not geometry.fits_opening(20e-3, 30e-3, 21e-3, 40e-3, 1e-3)
