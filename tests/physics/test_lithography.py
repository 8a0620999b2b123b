"""Write time, films, optics, overlay and clean rooms."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from triage.physics import lithography


@settings(max_examples=40, deadline=None)
@given(
    area=st.floats(1e-12, 1e-4),
    dose=st.floats(0.5, 20.0),
    current=st.floats(1e-10, 1e-6),
    step=st.floats(2e-9, 50e-9),
)
def test_write_time_without_overheads_is_the_beam_on_time(
    area: float, dose: float, current: float, step: float
) -> None:
    """Shots times dwell is dose times area over current whatever the step, and overheads only add."""
    bare = lithography.exposure_time(area, dose, current)

    assert lithography.write_time(area, dose, current, step=step) == pytest.approx(bare)
    slow = lithography.write_time(area, dose, current, 4, 0.5, step, 1e-9, fixed_overhead=600.0)
    assert slow == pytest.approx(bare + area / step**2 * 1e-9 + 2.0 + 600.0)


def test_clock_of_the_pattern_generator_limits_a_strong_beam() -> None:
    """Above 1/clock per shot more current saves nothing."""
    shots = lithography.shot_count(1e-8, 10e-9)
    times = [lithography.write_time(1e-8, 3.0, i, step=10e-9, clock=20e6) for i in (1e-9, 100e-9, 200e-9)]

    assert times[0] == pytest.approx(30.0)
    assert times[1] == times[2] == pytest.approx(shots / 20e6)
    assert lithography.shot_rate(3.0, 100e-9, 10e-9) > 20e6


@settings(max_examples=40, deadline=None)
@given(
    columns=st.integers(1, 40),
    rows=st.integers(1, 40),
    field=st.sampled_from([50e-6, 100e-6, 200e-6, 500e-6]),
)
def test_whole_fields_count_as_whole(columns: int, rows: int, field: float) -> None:
    """Exact multiples of the field are not rounded up; borders are counted on the grid by hand."""
    length, width = columns * field, rows * field
    borders = sum((i + 1 < columns) + (j + 1 < rows) for i in range(columns) for j in range(rows))

    assert lithography.field_count(length, width, field) == columns * rows
    assert lithography.stitch_count(length, width, field) == borders
    assert lithography.field_count(length * 1.001, width, field) == (columns + 1) * rows


@settings(max_examples=30, deadline=None)
@given(speed=st.floats(105.0, 838.0), exponent=st.floats(0.4, 0.7))
def test_spin_curve_passes_its_point_and_falls(speed: float, exponent: float) -> None:
    """The calibrated point is returned; faster is thinner; the logarithmic slope is the exponent."""
    t = lithography.spin_thickness(speed, 100e-9, 419.0, exponent)

    assert lithography.spin_thickness(419.0, 100e-9, 419.0, exponent) == pytest.approx(100e-9)
    assert lithography.spin_thickness(2 * speed, 100e-9, 419.0, exponent) == pytest.approx(t * 2**-exponent)


def test_viscous_film_solves_its_equation() -> None:
    """dh/dt = -2 rho w^2 h^3/(3 eta) (EmslieBonnerPeck1958), integrated by scipy."""
    speed, viscosity, density, start = 300.0, 0.02, 900.0, 50e-6

    def rate(_: float, h: np.ndarray) -> np.ndarray:
        return -2 * density * speed**2 * h**3 / (3 * viscosity)

    expected = solve_ivp(rate, (0.0, 10.0), [start], rtol=1e-10, atol=1e-16, method="LSODA").y[0, -1]
    found = lithography.newtonian_thickness(10.0, speed, start, viscosity, density)
    assert found == pytest.approx(expected, rel=1e-6)


@settings(max_examples=30, deadline=None)
@given(gap=st.floats(0.0, 50e-6), resist=st.floats(0.1e-6, 5e-6))
def test_proximity_blurs_with_gap_resist_and_wavelength(gap: float, resist: float) -> None:
    """Each of the three makes the smallest feature larger; four times the optics doubles it."""
    b = lithography.proximity_feature(365e-9, gap, resist)

    assert lithography.proximity_feature(365e-9, gap + 1e-6, resist) > b
    assert lithography.proximity_feature(405e-9, gap, resist) > b
    assert lithography.proximity_feature(365e-9, 4 * gap, 4 * resist) == pytest.approx(2 * b)


def test_overlay_adds_in_squares_and_is_kept_below_a_third_of_the_gap() -> None:
    """3-4-5, and a gap of 150 nm just takes 50 nm."""
    assert lithography.overlay_error(30e-9, 40e-9) == pytest.approx(50e-9)
    assert lithography.overlay_margin(150e-9, 30e-9, 40e-9) == pytest.approx(1.0)
    assert lithography.overlay_margin(150e-9) == np.inf


def test_lift_off_ratio_and_its_two_levels() -> None:
    """300 nm of resist over 100 nm of metal just reaches the lower level."""
    assert lithography.lift_off_ratio(300e-9, 100e-9) == pytest.approx(lithography.LIFT_OFF_LEAST)
    assert lithography.LIFT_OFF_LEAST < lithography.LIFT_OFF_COMFORTABLE


def test_layer_yield_multiplies_and_handling_takes_its_part() -> None:
    """Two layers of 0.9 with a tenth lost leave 0.729."""
    assert lithography.layer_yield(0.9, 2, 0.1) == pytest.approx(0.729)


@settings(max_examples=40, deadline=None)
@given(iso_class=st.integers(1, 9), size=st.floats(0.1e-6, 5e-6))
def test_particle_limit_is_the_formula_to_three_figures(iso_class: int, size: float) -> None:
    """10^N (0.1/D)^2.08 within half a unit of the third figure, or within half a particle."""
    exact = 10.0**iso_class * (0.1e-6 / size) ** 2.08
    found = float(lithography.particle_limit(iso_class, size))

    assert abs(found - exact) <= max(0.5 + 1e-9, 0.005 * exact)
    assert found == float(f"{found:.2e}")


def test_particle_limit_ends_with_the_standard() -> None:
    """Outside 0.1 to 5 um and classes 1 to 9 there is no limit to give."""
    assert np.isnan(lithography.particle_limit(5, 10e-6))
    assert np.isnan(lithography.particle_limit(10, 0.5e-6))
    assert np.isnan(lithography.particle_limit(5, 0.05e-6))
