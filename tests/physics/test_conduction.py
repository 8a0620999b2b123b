"""Conductivities, their integrals and the heat along wires and lines."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from triage.physics import conduction
from triage.physics.conduction import MATERIALS, conductivity_integral
from triage.physics.constants import lorenz_number

METALS_NOT_PURE = ["stainless_steel", "manganin", "phosphor_bronze", "cupronickel", "niobium_titanium"]
JOINS = {"stainless_steel": 4.0, "copper_50": 4.0, "copper_100": 4.0, "manganin": 1.0, "ptfe": 4.0}


@pytest.mark.parametrize("name", list(MATERIALS))
def test_integral_agrees_with_adaptive_quadrature(name: str) -> None:
    """The table gives what scipy integrates from the same conductivity, from sub-kelvin to the top."""
    material = MATERIALS[name]
    bottom = max(material.low, 0.05)
    edges = [
        bottom,
        *(t for t in (0.5, 1.0, 4.0, 4.2, 9.0, 20.0, 77.0) if bottom < t < material.high),
        material.high,
    ]

    for cold, hot in pairwise(edges):
        expected = quad(material.conductivity, cold, hot, epsrel=1e-9, limit=300)[0]
        np.testing.assert_allclose(conductivity_integral(name, cold, hot), expected, rtol=1e-4)


@settings(max_examples=40, deadline=None)
@given(
    name=st.sampled_from(list(MATERIALS)),
    shares=st.lists(st.floats(0.0, 1.0), min_size=3, max_size=3).map(sorted),
)
def test_integral_is_additive_rises_and_changes_sign(name: str, shares: list[float]) -> None:
    """Two spans add up, a hotter end brings more, and swapped ends change the sign."""
    material = MATERIALS[name]
    low, middle, high = (material.low * (material.high / material.low) ** share for share in shares)

    whole = conductivity_integral(material, low, high)
    parts = conductivity_integral(material, low, middle) + conductivity_integral(material, middle, high)

    np.testing.assert_allclose(whole, parts, rtol=1e-9, atol=1e-12)
    assert whole >= conductivity_integral(material, low, middle) >= 0.0
    assert conductivity_integral(material, high, low) == -whole


@pytest.mark.parametrize("name", METALS_NOT_PURE)
def test_alloys_conduct_better_when_warmer(name: str) -> None:
    """In an alloy impurities scatter at every temperature, so k only rises (unlike pure copper)."""
    material = MATERIALS[name]
    k = np.asarray(material.conductivity(np.geomspace(material.low, material.high, 400)))

    assert np.all(np.diff(k) > 0.0)


@pytest.mark.parametrize(("name", "join"), list(JOINS.items()))
def test_no_step_where_two_forms_meet(name: str, join: float) -> None:
    """The law for the coldest part starts at the value of the fit."""
    conductivity = MATERIALS[name].conductivity

    np.testing.assert_allclose(conductivity(join * (1 - 1e-9)), conductivity(join * (1 + 1e-9)), rtol=1e-6)


@pytest.mark.parametrize(("name", "ratio", "error"), [("copper_50", 50.0, 0.02), ("copper_100", 100.0, 0.01)])
def test_two_independent_copper_formulae_agree(name: str, ratio: float, error: float) -> None:
    """From 10 K within the error of the fit and 2 % of the other formula (from memory), in quadrature.

    Below 10 K the ratio decides, and the two define it at 295 and 273 K.
    """
    t = np.geomspace(10.0, 295.0, 80)

    tolerance = (error**2 + 0.02**2) ** 0.5
    np.testing.assert_allclose(MATERIALS[name].conductivity(t), conduction.copper(t, ratio), rtol=tolerance)


def test_copper_takes_temperature_itself_not_its_logarithm() -> None:
    """With log10 T in the rational form copper of ratio 100 would have 380 W/(m K) at 77 K."""
    wrong = conduction._rational(conduction.COPPER_100, np.asarray(np.log10(77.0)))

    assert abs(float(wrong) - 547.0) > 100.0
    assert float(conduction.copper_100(77.0)) == pytest.approx(544.0, rel=0.01)  # Ekin2006, from memory


def test_coldest_copper_obeys_wiedemann_and_franz() -> None:
    """k rho = L0 T with the residual resistivity of a ratio of 100 (Pobell2007), within 3 %."""
    t = np.array([0.02, 0.1, 1.0])
    residual = 15.4e-9 / 99.0

    np.testing.assert_allclose(conduction.copper_100(t), lorenz_number * t / residual, rtol=0.03)
    np.testing.assert_allclose(conduction.copper(t, 100.0), lorenz_number * t / residual, rtol=0.003)


def test_beryllium_copper_has_no_number_above_its_fit() -> None:
    """At 295 K the polynomial would return a tenth of the truth; it returns nan, as does the integral."""
    assert np.isnan(conduction.beryllium_copper(81.0))
    assert np.isnan(conductivity_integral("beryllium_copper", 4.0, 300.0))
    assert np.isnan(conductivity_integral("niobium_titanium", 4.0, 12.0))


def test_phosphor_bronze_stays_within_published_alloys_at_room_temperature() -> None:
    """48 to 77 W/(m K) for the alloys in use (common practice); the ln polynomial has 98."""
    assert 46.0 < float(conduction.phosphor_bronze(295.0)) < 77.0


def test_stainless_steel_below_its_data_lies_within_the_stated_spread() -> None:
    """Compilations have 0.074 to 0.137 W/(m K) at 1 K (common practice)."""
    value = float(conduction.stainless_steel(1.0))
    spread = MATERIALS["stainless_steel"].cold_spread

    assert value / spread <= 0.074
    assert value * spread >= 0.137


@pytest.mark.parametrize(
    ("length", "cold", "hot", "remembered"),
    [
        (0.20, 35.0, 300.0, 13e-3),
        (0.29, 2.85, 35.0, 1.0e-3),
        (0.25, 0.882, 2.85, 2.7e-6),
        (0.17, 0.082, 0.882, 0.1e-6),
        (0.14, 0.006, 0.082, 4e-9),
    ],
)
def test_stainless_line_per_stage_is_of_the_published_size(
    length: float, cold: float, hot: float, remembered: float
) -> None:
    """A 0.085 inch line in the geometry of Krinner2019; loads from memory, data spread by 2 to 3."""
    steel = "stainless_steel"
    heat = conduction.coaxial_heat(steel, "ptfe", steel, 2.197e-3, 1.676e-3, 0.511e-3, length, cold, hot)

    assert remembered / 3.0 < float(heat) < remembered * 3.0


@settings(max_examples=20, deadline=None)
@given(factor=st.floats(1.5, 20.0))
def test_heat_goes_with_area_and_against_length(factor: float) -> None:
    """Twice the section, twice the heat; twice the length, half of it."""
    one = float(conduction.conduction_heat("manganin", 1e-8, 1.0, 4.0, 300.0))

    assert float(conduction.conduction_heat("manganin", factor * 1e-8, 1.0, 4.0, 300.0)) == pytest.approx(factor * one)
    assert float(conduction.conduction_heat("manganin", 1e-8, factor, 4.0, 300.0)) == pytest.approx(one / factor)


def test_arrays_broadcast_and_scalars_stay_scalar() -> None:
    """Many draws of an uncertain temperature cost one call."""
    hot = np.array([[50.0], [77.0]])
    cold = np.array([1.5, 4.2, 10.0])

    assert np.shape(conductivity_integral("ptfe", cold, hot)) == (2, 3)
    assert isinstance(conductivity_integral("ptfe", 4.2, 77.0), float)
    assert isinstance(conduction.stainless_steel(4.2), float)


def test_tube_is_the_difference_of_two_discs() -> None:
    """The wall formula equals outer disc less inner disc, and a wall beyond the radius has no meaning."""
    expected = conduction.wire_area(12.7e-3) - conduction.wire_area(12.2e-3)

    assert float(conduction.tube_area(12.7e-3, 0.25e-3)) == pytest.approx(float(expected))
    assert np.isnan(conduction.tube_area(1e-3, 0.6e-3))


def test_copper_of_any_purity_as_a_material() -> None:
    """Purer copper carries more, and ratio 100 equals the tabulated material within 2.5 %."""
    heat = [float(conductivity_integral(conduction.copper_material(r), 4.0, 300.0)) for r in (20.0, 100.0, 500.0)]

    assert heat[0] < heat[1] < heat[2]
    assert heat[1] == pytest.approx(float(conductivity_integral("copper_100", 4.0, 300.0)), rel=0.025)
