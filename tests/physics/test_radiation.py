"""Radiation, dissipation, ramps and current leads."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.constants import Stefan_Boltzmann
from scipy.integrate import quad, solve_ivp

from triage.physics import radiation
from triage.physics.constants import lorenz_number

emissivities = st.floats(0.01, 1.0)


@settings(max_examples=30, deadline=None)
@given(first=emissivities, second=emissivities, ratio=st.floats(0.01, 1.0))
def test_effective_emissivity_lies_below_that_of_the_cold_body(first: float, second: float, ratio: float) -> None:
    """A grey enclosure only takes away; a large one acts as black whatever its surface."""
    assert radiation.effective_emissivity(first, second, ratio) <= first * (1 + 1e-12)
    assert radiation.effective_emissivity(first, second, 0.0) == pytest.approx(first)


def test_radiation_between_equal_temperatures_vanishes() -> None:
    """No net heat at equal temperatures, and sigma T^4 against 0 K by the constants of scipy."""
    assert radiation.radiation_heat(1.0, 77.0, 77.0) == 0.0
    assert radiation.radiation_heat(1.0, 0.0, 300.0) == pytest.approx(Stefan_Boltzmann * 300.0**4, rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(layers=st.integers(5, 79), hot=st.floats(80.0, 310.0), cold=st.floats(4.0, 70.0))
def test_more_layers_and_a_colder_outside_let_less_through(layers: int, hot: float, cold: float) -> None:
    """Heat falls with the number of layers and rises with the hot boundary."""
    flux = radiation.multilayer_heat_flux(cold, hot, layers)

    assert radiation.multilayer_heat_flux(cold, hot, layers + 1) < flux
    assert radiation.multilayer_heat_flux(cold, hot + 5.0, layers) > flux > 0.0


def test_multilayer_coefficients_are_unchanged() -> None:
    """Our own output, 77 to 4.2 K and 300 to 77 K through ten layers: says unchanged, not right."""
    flux = radiation.multilayer_heat_flux(np.array([4.2, 77.0]), np.array([77.0, 300.0]), 10)

    np.testing.assert_allclose(flux, [0.0495997, 3.2781605], rtol=1e-5)


@settings(max_examples=30, deadline=None)
@given(losses=st.lists(st.floats(0.0, 40.0), min_size=1, max_size=5), power=st.floats(1e-9, 1e-2))
def test_attenuators_share_out_all_the_power(losses: list[float], power: float) -> None:
    """What is dissipated and what is delivered add up to what was put in."""
    parts = radiation.attenuator_heat(power, np.array(losses))

    assert parts.sum() == pytest.approx(power)
    assert parts[-1] == pytest.approx(power * 10 ** (-sum(losses) / 10))
    assert np.all(parts >= 0.0)


def test_attenuator_powers_broadcast_over_lines() -> None:
    """Two powers on one line give two rows."""
    parts = radiation.attenuator_heat(np.array([1e-3, 2e-3]), np.array([20.0, 10.0]))

    assert parts.shape == (2, 3)
    np.testing.assert_allclose(parts[1], 2 * parts[0])


def test_disc_heat_is_the_integral_over_rings() -> None:
    """Rings of radius x carry E = x B'/2; the integral of E^2/rho over the disc is the formula."""
    rate, resistivity, radius, thickness = 0.01, 1e-9, 0.02, 1e-3
    expected = quad(lambda x: (x * rate / 2) ** 2 / resistivity * thickness * 2 * np.pi * x, 0, radius)[0]

    assert radiation.eddy_heat_disc(radius, thickness, resistivity, rate) == pytest.approx(expected, rel=1e-9)


def test_long_plate_heat_is_that_of_a_strip_and_sides_may_be_swapped() -> None:
    """A long strip has E = x B', P/V = (B' b)^2/(12 rho), within the end correction of 0.63 b/a."""
    strip = 0.01**2 * 0.01**2 / (12 * 1e-9) * (10.0 * 0.01 * 1e-3)
    plate = radiation.eddy_heat_plate(10.0, 0.01, 1e-3, 1e-9, 0.01)

    assert plate == pytest.approx(strip, rel=1e-3)
    assert plate == radiation.eddy_heat_plate(0.01, 10.0, 1e-3, 1e-9, 0.01)


def test_square_plate_lies_between_its_inner_and_outer_disc() -> None:
    """Currents in a square enclose more than the inscribed and less than the circumscribed disc."""
    square = radiation.eddy_heat_plate(0.02, 0.02, 1e-3, 1e-9, 0.01)

    assert radiation.eddy_heat_disc(0.01, 1e-3, 1e-9, 0.01) < square
    assert square < radiation.eddy_heat_disc(0.01 * 2**0.5, 1e-3, 1e-9, 0.01)


def test_optimum_lead_carries_its_joule_heat_to_the_cold_end() -> None:
    """At the optimum no heat enters warm, so I^2 R equals the heat at the cold end."""
    resistance = radiation.lead_resistance(50.0, 4.2, 300.0)

    assert radiation.joule_heat(50.0, resistance) == pytest.approx(radiation.lead_heat(50.0, 4.2, 300.0))


@pytest.mark.parametrize(("cold", "latent", "capacity"), [(4.222, 20.56e3, 5193.0), (77.36, 199.2e3, 1040.0)])
def test_vapour_cooled_lead_solves_its_differential_equation(cold: float, latent: float, capacity: float) -> None:
    """Integrated by scipy from the cold end, the heat in the lead falls to zero at 300 K."""
    heat = float(radiation.vapour_cooled_lead_heat(1.0, cold, 300.0, latent, capacity))

    def slope(t: float, s: np.ndarray) -> np.ndarray:
        return heat / latent * capacity - lorenz_number * t / s

    warm = solve_ivp(slope, (cold, 299.99), [heat], rtol=1e-10, atol=1e-14).y[0, -1]
    # Near the end s^2 = 2 L0 T dT, so 0.01 K short of it a tenth of a percent of the span is left.
    assert warm == pytest.approx(np.sqrt(2 * lorenz_number * 300.0 * 0.01), rel=0.02)


def test_vapour_cooling_beats_conduction_cooling() -> None:
    """The boil-off gas takes up most of the heat, and nothing is defined for a warm end that is cold."""
    assert radiation.vapour_cooled_lead_heat(1.0) < 0.05 * radiation.lead_heat(1.0, 4.222, 300.0)
    assert np.isnan(radiation.vapour_cooled_lead_heat(1.0, 4.2, 4.0))
    assert np.isnan(radiation.lead_heat(1.0, 300.0, 4.2))


def test_window_takes_the_cone_it_sees() -> None:
    """Half angle 30 degrees lets in a quarter; half the transmission, half the heat."""
    whole = radiation.window_heat(1e-4, 300.0)

    assert radiation.window_heat(1e-4, 300.0, half_angle=np.pi / 6) == pytest.approx(whole / 4)
    assert radiation.window_heat(1e-4, 300.0, transmission=0.5) == pytest.approx(whole / 2)
