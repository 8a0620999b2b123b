"""The price and its parts: published litres per kilogram, arithmetic by hand, and what can never be cheaper."""

from __future__ import annotations

from typing import Any

import numpy as np
import pint
import pytest
from estimates.cases import case, lab

from triage.estimates.case import Case
from triage.physics.enthalpy import relative_spread

HOUR, DAY, LITRE = 3600.0, 86400.0, 1e-3
PARTS = ("platform_cost", "helium_cost", "nitrogen_cost", "electricity_cost", "staff_cost")


def to_cool(name: str, **running: Any) -> float:
    """Litres that one kilogram takes."""
    found = case(lab("insert", running={"cooled_mass": "1 kg", **running}))
    return float(found.got(name)) / LITRE


@pytest.mark.parametrize(
    ("metal", "precooled", "wasted", "used"),
    [  # L/kg from the table of PMC9017651 (litres per pound over 0.45359)
        ("copper", False, 31.1, 0.79),
        ("aluminium", False, 66.6, 1.61),
        ("stainless steel", False, 33.3, 0.79),
        ("copper", True, 2.16, 0.154),
        ("aluminium", True, 3.20, 0.22),
        ("stainless steel", True, 1.43, 0.11),
    ],
)
def test_helium_to_cool_a_kilogram(metal: str, precooled: bool, wasted: float, used: float) -> None:
    """Latent heat only, cold of the vapour used, and between the two the geometric mean."""
    entries = {"cooled_metal": metal, "precooled": precooled}
    spread = relative_spread(metal, 77.355 if precooled else 300.0)  # type: ignore[arg-type]
    for vapour, published in (("wasted", wasted), ("used", used), ("between", (wasted * used) ** 0.5)):
        found = to_cool("helium_to_cool", vapour=vapour, **entries)
        assert abs(found - published) <= spread * found, vapour


@pytest.mark.parametrize(("vapour", "published"), [("wasted", 0.46), ("used", 0.29)])
def test_nitrogen_to_precool_a_kilogram_of_copper(vapour: str, published: float) -> None:
    """The same table, 300 to 77 K."""
    assert to_cool("nitrogen_to_cool", precooled=True, vapour=vapour) == pytest.approx(published, rel=0.05)


def test_stated_helium_per_cooldown_wins() -> None:
    """A facility that has metered its cooldowns is believed."""
    found = case(lab("insert", running={"cooled_mass": "5 kg", "helium_per_cooldown": "7 L"}))

    assert found.got("helium_to_cool") is None
    assert found.got("helium_used") == pytest.approx((7 + 3.5 * found.got("platform_time") / DAY) * LITRE)


@pytest.mark.parametrize(("recovery", "a_day"), [("0 %", 450.0), ("90 %", 99.0)])
def test_helium_of_a_wet_unit_a_day(recovery: str, a_day: float) -> None:
    """15 L/day at 30 EUR/L: 450 EUR; with 90 % recovered and 4 EUR/L to liquefy it 45 + 54 EUR."""
    prices = {"helium": "30 EUR/L", "helium_recovery": recovery, "helium_liquefaction": "4 EUR/L"}
    running = {"helium_per_day": "15 L/day", "helium_per_cooldown": "0 L"}
    found = case(lab("wet", prices, running=running))

    assert found.got("helium_cost") / (found.got("platform_time") / DAY) == pytest.approx(a_day)


def test_load_boils_helium_during_the_data_only() -> None:
    """0.5 W for 4 h is 2.81 L on top of the dip's own 2 L (1.404 L/h per watt)."""
    found = case(lab("stick", running={"helium_per_cooldown": "2 L"}), heat={"device": "0.5 W"})

    assert found.got("helium_used") / LITRE == pytest.approx(2 + 0.5 * 4 * 1.404, abs=0.01)


def test_day_price_from_capital() -> None:
    """600 000 EUR over ten years, 20 000 of service, 10 000 of room, on 180 days: 500 EUR a day."""
    running = {"capital": "600000 EUR", "service_per_year": "20000 EUR", "room_per_year": "10000 EUR"}
    found = case(lab("dry", running=running))
    assert found.got("day_price") * DAY == pytest.approx(500)
    assert found.got("platform_cost") == pytest.approx(found.got("platform_time") / DAY * 500)

    stated = case(lab("dry", running={**running, "day_price": "700 EUR/day"}))
    assert stated.got("day_price") is None
    assert stated.got("platform_cost") == pytest.approx(stated.got("platform_time") / DAY * 700)


def test_electricity_and_water_of_a_day() -> None:
    """8 kW at 0.30 EUR/kWh and 10 m3 of water at 3 EUR; 57.6 + 30 EUR a day, the power through pint."""
    running = {"electricity": "8 kW", "water": "10 m3/day"}
    found = case(lab("dry", {"electricity": "0.30 EUR/kWh", "water": "3 EUR/m3"}, running=running))
    energy = pint.UnitRegistry().Quantity("8 kW * 24 h").to("kWh").magnitude

    assert found.got("electricity_cost") / (found.got("platform_time") / DAY) == pytest.approx(0.30 * energy + 30)


def test_hours_by_role() -> None:
    """Six hours of a technician at 40, eight of an expert at 60, four of a user at the rate of staff, 45."""
    staff = {"technician": "6 h", "expert": "8 h", "user": "4 h"}
    prices = {"technician": "40 EUR/h", "expert": "60 EUR/h", "staff": "45 EUR/h"}
    found = case(lab("dry", prices, running={"staff": staff}))

    assert found.got("staff_time") == pytest.approx(18 * HOUR)
    assert found.got("staff_cost") == pytest.approx(6 * 40 + 8 * 60 + 4 * 45)


def test_transfers_take_two_people() -> None:
    """Three transfers of an hour and a half each beside the 16 h of a cooldown."""
    found = case(lab("wet"), time={"per_device": "10 days", "tuning": "0 h"})

    assert found.got("staff_time") == pytest.approx((16 + 3 * 2 * 1.5) * HOUR)


def test_cold_already_costs_no_platform_days() -> None:
    """What is left is power, people and helium that boils."""
    cold, warm = (case(lab("dry", clock={"already_cold": answer})) for answer in (True, False))

    assert cold.got("platform_cost") == 0
    assert 0 < cold.got("price") < 0.2 * warm.got("price")
    assert cold.got("electricity_cost") > 0


def parts(found: Case) -> float:
    return float(sum(found.got(name) or 0.0 for name in PARTS))


@pytest.mark.parametrize("platform", ["stick", "insert", "wet", "dry"])
def test_price_is_the_sum_of_what_is_shown(platform: str) -> None:
    """Platform, cryogens, electricity, people; each with its own chain."""
    running = {"cooled_mass": "3 kg", "precooled": True, "nitrogen_boil_off": "5 L/day"}
    for entries in ({}, running):
        found = case(lab(platform, running=entries), time={"per_device": "200 h"})
        assert found.got("price") == pytest.approx(parts(found))
        assert set(found.estimates["price"].uses) == {name for name in PARTS if found.got(name) is not None}


@pytest.mark.parametrize("path", ["lab.prices.helium", "lab.prices.staff", "lab.prices.electricity", "heat.device"])
def test_dearer_never_costs_less(path: str) -> None:
    """Prices and load from a tenth to tenfold."""
    now = {"lab.prices.helium": 30e3, "lab.prices.staff": 0.014, "lab.prices.electricity": 7e-8, "heat.device": 1e-6}[
        path
    ]
    found = case(lab("insert"), {path: np.geomspace(now / 10, now * 10, 50)}, heat={"device": "1 uW"})

    assert np.all(np.diff(found.got("price")) >= -1e-9)
