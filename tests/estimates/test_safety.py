"""Safety of the room: dilution formulas and real-gas expansion through the estimate, and what more gas can never do."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from estimates.one_platform import case, lab

from triage.estimates.case import Case
from triage.models.lab import Lab
from triage.reasoning.plain import masks
from triage.services.workspace import open_facility

LITRE = 1e-3


NOTHING = {"helium": "0 L", "nitrogen": "0 L"}


def standing(room: str, stored: dict[str, Any], flags: dict[str, Any] | None = None, **entries: Any) -> Lab:
    """A platform with its store in a room of its own."""
    return lab("wet", {"volume": room, **(flags or {})}, stored={**NOTHING, **stored}, **entries)


def at(room: str, stored: dict[str, Any], **entries: Any) -> Case:
    return case(standing(room, stored, **entries))


@pytest.mark.parametrize(
    ("room", "stored", "driven_out", "mixed"),
    [
        ("60 m3", {"helium": "100 L"}, 0.0, 6.0),
        ("150 m3", {"helium": "50 L"}, 15.7, 16.3),
        ("60 m3", {"nitrogen": "10 L"}, 18.5, 18.7),
        ("150 m3", {"nitrogen": "50 L"}, 16.1, 16.6),
        ("300 m3", {"helium": "250 L"}, 7.9, 11.2),
        ("150 m3", {"helium": "60 L"}, 14.7, None),
    ],
)
def test_oxygen_by_the_dilution_formulas(
    room: str, stored: dict[str, str], driven_out: float, mixed: float | None
) -> None:
    """20.95 (1 - V/V_room) and 20.95 exp(-V/V_room), worked out by hand with 750 and 692 volumes of gas."""
    found = at(room, stored)

    assert found.got("oxygen_after_release") * 100 == pytest.approx(driven_out, abs=0.06)
    if mixed is not None:
        assert found.got("oxygen_after_release_mixed") * 100 == pytest.approx(mixed, abs=0.06)


@pytest.mark.parametrize(("cryogen", "litres"), [("helium", 9.2), ("nitrogen", 10.0)])
def test_nine_litres_per_hundred_cubic_metres_are_the_limit(cryogen: str, litres: float) -> None:
    """What just keeps 19.5 % (29 CFR 1910.146): 9.2 L of helium or 10.0 L of nitrogen per 100 m3."""
    below, above = (at("100 m3", {cryogen: f"{litres + step} L"}).got("oxygen_after_release") for step in (-0.06, 0.06))

    assert below > 0.195 > above


@pytest.mark.parametrize(("cryogen", "fluid"), [("helium", "Helium"), ("nitrogen", "Nitrogen")])
def test_gas_from_a_litre_of_liquid(cryogen: str, fluid: str) -> None:
    """Density of the boiling liquid over that of the gas at 20 C, both at one atmosphere, by CoolProp."""
    expansion = PropsSI("D", "P", 101325, "Q", 0, fluid) / PropsSI("D", "P", 101325, "T", 293.15, fluid)

    assert at("500 m3", {cryogen: "10 L"}).got("gas_released") == pytest.approx(10 * LITRE * expansion, rel=0.005)


def test_a_megajoule_boils_what_the_latent_heat_says() -> None:
    """0.5 MJ over the latent heat of helium by CoolProp; a smaller bath is the limit."""
    latent = PropsSI("H", "P", 101325, "Q", 1, "Helium") - PropsSI("H", "P", 101325, "Q", 0, "Helium")
    density = PropsSI("D", "P", 101325, "T", 293.15, "Helium")
    magnet = {"stored_energy": "0.5 MJ", "bath": "300 L"}
    found = at("500 m3", {"helium": "10 L"}, field=magnet)
    small = at("500 m3", {"helium": "10 L"}, field={**magnet, "bath": "60 L"})

    assert found.got("quench_gas") == pytest.approx(0.5e6 / latent / density, rel=0.01)
    assert small.got("quench_gas") == pytest.approx(60 * LITRE * 749.6)
    assert found.got("gas_released") == pytest.approx(found.got("quench_gas") + 10 * LITRE * 749.6)


def test_steady_boil_off_against_the_ventilation() -> None:
    """20.95 Q/(Q + q): 1 m3/h of gas into 60 m3 changed once an hour leaves 20.61 %."""
    daily = 24.0 / 749.6 / LITRE
    found = at("60 m3", {}, flags={"air_changes": "1 1/h"}, running={"helium_per_day": f"{daily} L/day"})

    assert found.got("oxygen_in_boil_off") * 100 == pytest.approx(20.61, abs=0.005)
    assert "oxygen_in_boil_off" not in at("60 m3", {}).facts


def test_time_to_escape_by_hand() -> None:
    """40 L of helium in 5 min are 0.1 m3/s; 60 m3 are at 19.5 % after 600 s x ln(20.95/19.5) = 43 s."""
    found = at("60 m3", {"helium": f"{30 / 0.7496} L", "release_time": "5 min"})

    assert found.got("escape_time") == pytest.approx(43, abs=0.5)
    assert found.facts["escape_minutes"] == pytest.approx(43 / 60, abs=0.01)


def test_trapped_helium_is_at_least_seventy_six_megapascal() -> None:
    """One litre of liquid in one litre at 20 C, as an ideal gas; the real gas is higher (CoolProp)."""
    ideal = at("60 m3", {"helium": "10 L"}).got("trapped_pressure")
    real = PropsSI("P", "D", PropsSI("D", "P", 101325, "Q", 0, "Helium"), "T", 293.15, "Helium")

    assert ideal == pytest.approx(76e6, rel=0.01)
    assert real > ideal


def test_vents_outdoors_keep_the_gas_out() -> None:
    """What leaves through a line never enters the room."""
    found = at("60 m3", {"helium": "100 L", "vented_outdoors": True})

    assert found.got("oxygen_after_release") == pytest.approx(0.2095)
    assert "escape_minutes" not in found.facts


def test_a_store_without_a_room_is_said() -> None:
    """Nothing is worked out for a room that nobody described."""
    found = case(lab("wet", stored={"helium": "50 L"}))

    assert found.facts["room_described"] == "no"
    assert "oxygen_after_release" not in found.facts


def test_more_helium_never_more_oxygen() -> None:
    """On the chain itself, with an array of stores."""
    stores = np.linspace(0.0, 0.3, 40)
    found = case(standing("150 m3", {"helium": "50 L"}), {"platform.stored.helium": stores})

    for name in ("oxygen_after_release", "oxygen_after_release_mixed"):
        assert np.all(np.diff(found.got(name)) <= 0)
    assert np.all(np.diff(found.got("oxygen_after_release")[:20]) < 0)


def test_flags_of_the_room_reach_the_rules() -> None:
    """Monitor, work alone and lift as written; not known where nothing is."""
    told = at("60 m3", {"helium": "10 L"}, flags={"monitor": False, "alone": True, "lift": True})
    silent = at("60 m3", {"helium": "10 L"})

    names = ("room_monitor", "alone_in_room", "dewars_by_lift")
    assert [told.facts[name] for name in names] == ["no", "yes", "yes"]
    assert [silent.facts[name] for name in names] == ["not known", "not known", "no"]
    assert told.facts["cryogens"] == "helium"


@pytest.mark.parametrize(
    ("helium", "rule"),
    [("60 L", "safety.oxygen-forbidden"), ("30 L", "safety.oxygen-not-alone"), ("10 L", "safety.oxygen-monitor")],
)
def test_the_number_decides_by_rule(helium: str, rule: str) -> None:
    """60 m3: 5.2, 13.1 and 18.3 % of oxygen; forbidden, not alone, monitor (limits 10, 17 and 19.5 %)."""
    rulebase = open_facility().rulebase
    found = {name for name, mask in masks(rulebase, at("60 m3", {"helium": helium}).facts).items() if np.all(mask)}
    oxygen = {"safety.oxygen-forbidden", "safety.oxygen-not-alone", "safety.oxygen-monitor"}

    assert found & oxygen == {rule}
    assert [each.effect for each in rulebase.rules if each.id == "safety.oxygen-forbidden"] == ["veto"]


def test_an_unknown_store_is_said() -> None:
    """A number that nobody knows is not taken for nothing."""
    found = at("60 m3", {"helium": "unknown"})

    assert found.facts["room_described"] == "no"
    assert "oxygen_after_release" not in found.facts
