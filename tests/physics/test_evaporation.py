"""Heats of evaporation, densities and losses against independent routes and a fluid library."""

from __future__ import annotations

from math import inf, isnan

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy import constants as codata
from scipy.integrate import quad

from triage.physics import evaporation
from triage.physics.vapour_pressure import (
    helium3_pressure_1962,
    helium3_pressure_ptb2006,
    helium4_pressure,
)

MOLAR_MASS = 4.002602e-3


@pytest.mark.parametrize("temperature", [2.2, 2.45, 2.75, 3.05, 3.25])
def test_measured_helium4_latent_heat_against_the_equation_of_state(temperature: float) -> None:
    """Measured values (tabulated) and the library's equation of state agree within their 0.5 %."""
    expected = PropsSI("H", "T", temperature, "Q", 1, "Helium") - PropsSI("H", "T", temperature, "Q", 0, "Helium")
    assert evaporation.helium4_latent_heat_by_mass(temperature) == pytest.approx(expected, rel=0.005)


@pytest.mark.parametrize("temperature", [3.65, 4.05, 4.2221, 4.55, 4.825, 4.925])
def test_helium4_latent_heat_between_the_nodes(temperature: float) -> None:
    """Above 3.3 K the table is from that equation: this checks the straight lines between its nodes."""
    expected = PropsSI("H", "T", temperature, "Q", 1, "Helium") - PropsSI("H", "T", temperature, "Q", 0, "Helium")
    assert evaporation.helium4_latent_heat_by_mass(temperature) == pytest.approx(expected, rel=0.004)


@pytest.mark.parametrize("temperature", [2.3, 3.0, 3.6, 4.2])
def test_helium4_latent_heat_from_the_slope_of_its90(temperature: float) -> None:
    """Clausius and Clapeyron: T (Vg - Vl) dp/dT, volumes from the library, slope from the scale."""
    step = 1e-3
    slope = (helium4_pressure(temperature + step) - helium4_pressure(temperature - step)) / (2 * step)
    volume = 1 / PropsSI("D", "T", temperature, "Q", 1, "Helium") - 1 / PropsSI("D", "T", temperature, "Q", 0, "Helium")
    assert evaporation.helium4_latent_heat_by_mass(temperature) == pytest.approx(
        temperature * volume * slope, rel=0.006
    )


@pytest.mark.parametrize("temperature", [1.3, 1.5, 1.7, 1.9])
def test_superfluid_latent_heat_from_the_slope_of_its90(temperature: float) -> None:
    """The same with an ideal vapour and a second virial coefficient of -420/T cm3/mol + 20 (from memory)."""
    step = 1e-3
    pressure = helium4_pressure(temperature)
    slope = (helium4_pressure(temperature + step) - helium4_pressure(temperature - step)) / (2 * step)
    vapour = codata.R * temperature / pressure + (20 - 420 / temperature) * 1e-6
    expected = temperature * slope * (vapour - 27.58e-6)
    assert evaporation.helium4_latent_heat(temperature) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(
    ("relation", "temperatures"),
    [
        (helium3_pressure_ptb2006, (0.66, 0.8, 1.0, 1.2, 1.5)),
        (helium3_pressure_1962, (0.25, 0.3, 0.4, 0.5, 0.6)),
    ],
)
def test_helium3_latent_heat_from_the_slope_of_the_scales(relation: object, temperatures: tuple[float, ...]) -> None:
    """The caloric route (heat capacity) and the slope of the vapour pressure agree within 0.6 %."""
    for temperature in temperatures:
        step = 1e-4
        pressure = relation(temperature)  # type: ignore[operator]
        slope = (relation(temperature + step) - relation(temperature - step)) / (2 * step)  # type: ignore[operator]
        vapour = codata.R * temperature / pressure + (4.942 - 270.986 / temperature) * 1e-6
        expected = temperature * slope * (vapour - 36.84e-6)
        assert evaporation.helium3_latent_heat(temperature) == pytest.approx(expected, rel=0.006)


def test_helium3_latent_heat_over_the_range() -> None:
    """Rises all the way; nan beyond the range in which one virial coefficient is enough."""
    grid = np.linspace(0.2, 1.6, 200)
    assert (np.diff(evaporation.helium3_latent_heat(grid)) > 0).all()
    assert isnan(evaporation.helium3_latent_heat(1.61))


def test_helium3_heat_capacity_is_a_fermi_liquid_when_cold() -> None:
    """C/T approaches (1 + F1/3) times that of free fermions: 22.8 J/(mol K2) (Greywall1983)."""
    assert evaporation.helium3_heat_capacity(0.007) / 0.007 == pytest.approx(22.8, rel=0.02)
    below, above = evaporation.helium3_heat_capacity(np.array([0.0999999, 0.1000001]))
    assert below == pytest.approx(above, rel=2e-3)


def test_self_cooling_of_helium3() -> None:
    """Liquid alone below the book's figure for liquid and vessel, about 20 % (Pobell2007, chapter 6)."""
    alone = evaporation.helium3_lost_by_cooling(1.5, 0.3)
    direct = 1 - np.exp(
        -quad(lambda t: evaporation.helium3_heat_capacity(t) / evaporation.helium3_latent_heat(t), 0.3, 1.5)[0]
    )
    assert alone == pytest.approx(direct, rel=1e-3)
    assert 0.10 < alone < 0.20
    assert evaporation.helium3_lost_by_cooling(1.2, 0.3) < alone
    assert evaporation.helium3_lost_by_cooling(0.3, 0.3) == 0


def test_pumping_down_a_bath() -> None:
    """Parts multiply; above the lambda point the library's liquid gives the same loss."""
    first, second = (
        evaporation.helium4_lost_by_pumping(4.2, 2.2),
        evaporation.helium4_lost_by_pumping(2.2, 1.5),
    )
    assert evaporation.helium4_lost_by_pumping(4.2, 1.5) == pytest.approx(1 - (1 - first) * (1 - second))
    grid = np.linspace(2.2, 4.2, 400)
    entropy = np.array([PropsSI("S", "T", t, "Q", 0, "Helium") for t in grid])
    latent = np.array([PropsSI("H", "T", t, "Q", 1, "Helium") - PropsSI("H", "T", t, "Q", 0, "Helium") for t in grid])
    assert first == pytest.approx(1 - np.exp(-np.trapezoid(grid / latent, entropy)), rel=0.02)


@pytest.mark.parametrize("temperature", [2.3, 3.1, 3.9, 4.35, 4.75])
def test_density_against_a_fluid_library(temperature: float) -> None:
    """Between the nodes of the table."""
    expected = PropsSI("D", "T", temperature, "Q", 0, "Helium")
    assert evaporation.helium4_density(temperature) == pytest.approx(expected, rel=0.003)


@pytest.mark.parametrize("temperature", [4.6, 6.5, 9.0, 25.0, 77.0, 150.0, 290.0])
def test_helium_vapour_against_a_fluid_library(temperature: float) -> None:
    """Enthalpy above the saturated vapour."""
    saturated = PropsSI("H", "P", 101325, "Q", 1, "Helium")
    expected = PropsSI("H", "P", 101325, "T", temperature, "Helium") - saturated
    assert evaporation.helium_vapour_heat(temperature) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("temperature", [85.0, 120.0, 180.0, 295.0])
def test_nitrogen_vapour_against_a_fluid_library(temperature: float) -> None:
    """Enthalpy above the saturated vapour."""
    saturated = PropsSI("H", "P", 101325, "Q", 1, "Nitrogen")
    expected = PropsSI("H", "P", 101325, "T", temperature, "Nitrogen") - saturated
    assert evaporation.nitrogen_vapour_heat(temperature) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("pressure", [60e3, 80e3, 95e3, 101325.0, 110e3, 150e3])
def test_nitrogen_boiling_against_a_fluid_library(pressure: float) -> None:
    """Stated to 0.06 K."""
    expected = PropsSI("T", "P", pressure, "Q", 0, "Nitrogen")
    assert evaporation.nitrogen_boiling_temperature(pressure) == pytest.approx(expected, abs=0.06)


def test_boiling_liquids_against_a_fluid_library() -> None:
    """Density and heat of evaporation at one atmosphere."""
    for name, liquid in (("Helium", evaporation.liquid_helium), ("Nitrogen", evaporation.liquid_nitrogen)):
        latent = PropsSI("H", "P", 101325, "Q", 1, name) - PropsSI("H", "P", 101325, "Q", 0, name)
        assert liquid.latent_heat == pytest.approx(latent, rel=0.001)
        assert liquid.density == pytest.approx(PropsSI("D", "P", 101325, "Q", 0, name), rel=0.001)
        assert liquid.molar_mass == pytest.approx(PropsSI("M", name), rel=1e-5)


@pytest.mark.parametrize("temperature", [273.15, 288.15, 293.15, 300.0])
@pytest.mark.parametrize(("cryogen", "name"), [("helium", "Helium"), ("nitrogen", "Nitrogen")])
def test_expansion_against_a_fluid_library(cryogen: evaporation.Cryogen, name: str, temperature: float) -> None:
    """698 to 767 and 645 to 708, by the temperature of the gas."""
    expected = PropsSI("D", "P", 101325, "Q", 0, name) / PropsSI("D", "P", 101325, "T", temperature, name)
    assert evaporation.expansion_ratio(cryogen, temperature) == pytest.approx(expected, rel=0.001)


def test_using_the_vapour_boils_less() -> None:
    """Down to a seventy-sixth with all of its cold up to room temperature."""
    use = np.linspace(0, 1, 11)
    rates = evaporation.boil_off(1.0, vapour_use=use)
    assert (np.diff(rates) < 0).all()
    assert rates[0] / rates[-1] == pytest.approx(76, rel=0.01)
    assert evaporation.boil_off(2.0) == pytest.approx(2 * evaporation.boil_off(1.0))


def test_hold_time_and_helium3_volume() -> None:
    """Nothing boiling lasts for ever; a mole of cold helium-3 is 36.84 cm3 and weighs 81.9 kg/m3."""
    assert evaporation.hold_time(1.0, 0.0) == inf
    assert evaporation.hold_time(np.array([1.0, 2.0]), np.array([0.5, 0.0])).tolist() == [2.0, inf]
    assert 3.016029e-3 / evaporation.helium3_liquid_volume(1.0) == pytest.approx(81.9, abs=0.05)
