"""Oxygen after a release: limits, bounds and the equations themselves."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from triage.physics import oxygen
from triage.physics.constants import helium4_molar_mass, nitrogen_molar_mass

rooms = st.floats(10.0, 1000.0)


@pytest.mark.parametrize(("gas", "fluid"), [("helium", "Helium"), ("nitrogen", "Nitrogen")])
def test_expansion_is_the_ratio_of_densities(gas: str, fluid: str) -> None:
    """Boiling liquid over gas at 20 C, one atmosphere, by CoolProp."""
    liquid = PropsSI("D", "P", 101325.0, "Q", 0.0, fluid)
    vapour = PropsSI("D", "P", 101325.0, "T", 293.15, fluid)

    assert oxygen.EXPANSION[gas] == pytest.approx(liquid / vapour, abs=0.05)


@settings(max_examples=40, deadline=None)
@given(room=rooms, gas=st.floats(0.0, 2000.0))
def test_conservative_form_never_exceeds_the_mixed_one(room: float, gas: float) -> None:
    """1 - x is at most exp(-x), and both lie between 0 and air."""
    displaced, mixed = oxygen.oxygen_displaced(gas, room), oxygen.oxygen_mixed(gas, room)

    assert 0.0 <= displaced <= mixed * (1 + 1e-12) <= oxygen.AIR * (1 + 1e-12)


@settings(max_examples=40, deadline=None)
@given(room=rooms, liquid=st.floats(1e-3, 0.5), share=st.floats(0.01, 0.9))
def test_more_liquid_or_a_smaller_room_leaves_less_oxygen(room: float, liquid: float, share: float) -> None:
    """Both ways of making it worse make it worse."""
    gas = oxygen.gas_volume(liquid, oxygen.EXPANSION["helium"])

    assert oxygen.oxygen_mixed(gas * (1 + share), room) < oxygen.oxygen_mixed(gas, room)
    assert oxygen.oxygen_displaced(gas, room * (1 - share)) <= oxygen.oxygen_displaced(gas, room)


@settings(max_examples=30, deadline=None)
@given(room=rooms, fraction=st.floats(0.05, 0.2))
def test_inventory_limit_gives_back_its_fraction(room: float, fraction: float) -> None:
    """Releasing exactly the limit leaves exactly the fraction."""
    liquid = oxygen.inventory_limit(room, 749.6, fraction)

    assert oxygen.oxygen_displaced(oxygen.gas_volume(liquid, 749.6), room) == pytest.approx(fraction)


@pytest.mark.parametrize("ventilation", [0.0, 0.02, 0.2])
def test_course_solves_the_balance_of_a_mixed_room(ventilation: float) -> None:
    """V dx/dt = Q x_air - (Q + q) x, integrated by scipy."""
    room, leak, end = 60.0, 0.05, 900.0

    def rate(_: float, x: np.ndarray) -> np.ndarray:
        return (ventilation * oxygen.AIR - (ventilation + leak) * x) / room

    expected = solve_ivp(rate, (0.0, end), [oxygen.AIR], rtol=1e-10, atol=1e-12).y[0, -1]
    assert oxygen.oxygen_course(end, room, leak, ventilation) == pytest.approx(expected, rel=1e-8)


def test_course_ends_at_the_steady_value_and_stays_without_flow() -> None:
    """After many air changes the start no longer matters; with no flow nothing changes."""
    assert oxygen.oxygen_course(1e6, 60.0, 0.01, 0.1) == pytest.approx(oxygen.oxygen_steady(0.01, 0.1))
    assert oxygen.oxygen_course(1e6, 60.0, 0.0, 0.0, 0.15) == pytest.approx(0.15)


@settings(max_examples=30, deadline=None)
@given(room=rooms, leak=st.floats(1e-4, 1.0))
def test_escape_time_is_when_the_course_crosses_the_limit(room: float, leak: float) -> None:
    """The unventilated course has fallen to the limit then."""
    time = oxygen.escape_time(room, leak)

    assert oxygen.oxygen_course(time, room, leak, 0.0) == pytest.approx(oxygen.DEFICIENT)


@pytest.mark.parametrize(
    ("fluid", "mass", "least", "most"),
    [("Helium", helium4_molar_mass, 1.4, 1.6), ("Nitrogen", nitrogen_molar_mass, 3.5, 4.5)],
)
def test_real_trapped_liquid_presses_harder_than_an_ideal_gas(
    fluid: str, mass: float, least: float, most: float
) -> None:
    """By CoolProp, about 1.5 times for helium and 4 times for nitrogen at 20 C."""
    density = PropsSI("D", "P", 101325.0, "Q", 0.0, fluid)
    real = PropsSI("P", "T", 293.15, "D", density, fluid)

    assert least < real / oxygen.trapped_pressure(density, mass) < most


def test_limits_are_those_of_the_regulation() -> None:
    """19.5 and 23.5 % (CFR1910146); between them there is no effect to report."""
    assert (oxygen.DEFICIENT, oxygen.ENRICHED) == (0.195, 0.235)
    assert oxygen.oxygen_effect(oxygen.DEFICIENT) == "no effect"
    assert oxygen.oxygen_effect(0.19499) != "no effect"
    assert "death" in oxygen.oxygen_effect(0.02)
    assert oxygen.oxygen_effect(float("nan")) == ""
