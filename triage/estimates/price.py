"""What the answer costs: platform, cryogens, electricity and water, people, each visible."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case
from triage.estimates.measuring import known
from triage.estimates.turnaround import already_cold
from triage.estimates.working_hours import DAY
from triage.physics.enthalpy import cryogen_to_cool

# Used where a facility states no prices; editable, common practice.
HELIUM = 30e3  # EUR/m3, 30 EUR per litre of liquid
HELIUM_RECOVERY = 0.0
LIQUEFACTION = 4e3  # EUR/m3
NITROGEN = 0.5e3  # EUR/m3
ELECTRICITY = 0.25 / 3.6e6  # EUR/J, 0.25 EUR per kilowatt-hour
WATER = 3.0  # EUR/m3
STAFF = 50.0 / 3600  # EUR/s
CAPITAL_LIFE = 10.0  # years
USABLE_DAYS = 180.0  # in a year, 150 to 220
AT_A_TRANSFER = 2.0  # people
_ROLES = ("technician", "expert", "user")


def estimate(case: Case) -> Any:
    """Write the price and its parts [EUR]; needs the clock of the turnaround gate."""
    parts = {
        "platform_cost": _platform(case),
        "helium_cost": _helium(case),
        "nitrogen_cost": _nitrogen(case),
        "electricity_cost": _electricity(case),
        "staff_cost": _staff(case),
    }
    parts = {name: cost for name, cost in parts.items() if cost is not None}
    return case.put("price", sum(parts.values()), "EUR", "platform + cryogens + electricity + people", *parts)


def _platform(case: Case) -> Any:
    """Days times the day price; nothing where the platform is cold anyway and has a free place."""
    day_price, uses = _day_price(case)
    if already_cold(case):
        return case.put("platform_cost", 0.0 * case.got("platform_time"), "EUR", "cold for others, with a free place",
                        "platform_time")  # fmt: skip
    return case.put("platform_cost", case.got("platform_time") * day_price, "EUR", "platform time × day price",
                    "platform_time", uses)  # fmt: skip


def _day_price(case: Case) -> tuple[Any, str]:
    """The stated day price, or what capital and yearly costs come to on a usable day [EUR/s], and its name."""
    running = case.platform.running
    capital = known(case, "platform.running.capital")
    if capital is None or running.day_price.basis != "common practice":
        return case.numeral("platform.running.day_price", 0.0), "platform.running.day_price"
    paths = ["platform.running.capital"]
    year = capital / CAPITAL_LIFE
    for name in ("service_per_year", "room_per_year"):
        if (cost := known(case, f"platform.running.{name}")) is not None:
            year = year + cost
            paths.append(f"platform.running.{name}")
    days = case.numeral("platform.running.usable_days", USABLE_DAYS, "common practice")
    price = year / (np.maximum(days, 1.0) * DAY)
    case.put("day_price", price if np.ndim(price) else float(price), "EUR/s",
             "(capital / 10 + service per year + room per year) / usable days", *paths,
             "platform.running.usable_days")  # fmt: skip
    return price, "day_price"


def _helium(case: Case) -> Any:
    """Helium to cool the metal, and what boils while the platform is taken; net of what is recovered."""
    each, path = _to_cool(case)
    cooldowns = case.got("cooldowns")
    daily, daily_path = _daily(case)
    used = cooldowns * each + case.got("platform_time") * daily
    uses = ["cooldowns", path, "platform_time", daily_path]
    if case.got("helium_boil_off") is not None and (load := case.got("boiled_by_load")) is not None:
        used = used + cooldowns * case.got("data_time") * load
        uses += ["data_time", "boiled_by_load"]
    helium = case.put("helium_used", used, "m3", "cooldowns × (helium to cool + boiled by the load) + time × daily use",
                      *uses)  # fmt: skip
    price = case.numeral("lab.prices.helium", HELIUM, "common practice")
    recovered = case.numeral("lab.prices.helium_recovery", HELIUM_RECOVERY, "default")
    liquefaction = case.numeral("lab.prices.helium_liquefaction", LIQUEFACTION, "common practice")
    return case.put(
        "helium_cost", helium * (price * (1 - recovered) + recovered * liquefaction), "EUR",
        "helium × (price × (1 − recovered) + recovered × liquefaction)", "helium_used", "lab.prices.helium",
        "lab.prices.helium_recovery", "lab.prices.helium_liquefaction",
    )  # fmt: skip


def _daily(case: Case) -> tuple[Any, str]:
    """What the bath takes all the time: the stated use with its transfer losses, else its boil-off [m3/s]."""
    path = "platform.running.helium_per_day"
    use = case.numeral(path, 0.0)
    boil_off = known(case, "platform.running.boil_off")
    if boil_off is None or case.platform.running.helium_per_day.basis != "common practice":
        return use, path
    return boil_off, "platform.running.boil_off"


def _to_cool(case: Case) -> tuple[Any, str]:
    """Helium of one cooldown: none where already cold, as stated, or from the metal that is cooled [m3]."""
    path = "platform.running.helium_per_cooldown"
    stated = case.numeral(path, 0.0)
    if already_cold(case):
        return 0.0, path
    mass = known(case, "platform.running.cooled_mass")
    running = case.platform.running
    if mass is None or running.helium_per_cooldown.basis != "common practice":
        return stated, path
    start = 77.355 if running.precooled else 300.0
    volume = mass * cryogen_to_cool(running.cooled_metal, start, "helium", running.vapour)
    says = {"wasted": "latent heat only", "used": "cold of the vapour used",
            "between": "geometric mean of vapour wasted and used"}[running.vapour]  # fmt: skip
    case.put("helium_to_cool", volume, "m3",
             f"mass × heat of the {running.cooled_metal} from {start:.0f} K / helium, {says}",
             "platform.running.cooled_mass", references=("Marquardt2002", "OrtizVega2023"))  # fmt: skip
    return volume, "helium_to_cool"


def _nitrogen(case: Case) -> Any:
    """Nitrogen to pre-cool the metal and to keep the jacket full, or None where there is none."""
    uses: list[str] = []
    used: Any = 0.0
    mass = known(case, "platform.running.cooled_mass")
    running = case.platform.running
    if mass is not None and running.precooled and not already_cold(case):
        volume = mass * cryogen_to_cool(running.cooled_metal, 300.0, "nitrogen", running.vapour)
        case.put("nitrogen_to_cool", volume, "m3",
                 f"mass × heat of the {running.cooled_metal} from 300 to 77 K / nitrogen",
                 "platform.running.cooled_mass", references=("Marquardt2002", "Span2000"))  # fmt: skip
        used = used + case.got("cooldowns") * volume
        uses += ["cooldowns", "nitrogen_to_cool"]
    rate, path = case.got("nitrogen_boil_off"), "nitrogen_boil_off"
    if rate is None:
        rate, path = known(case, "platform.running.nitrogen_boil_off"), "platform.running.nitrogen_boil_off"
    if rate is not None:
        used = used + rate * case.got("platform_time")
        uses += [path, "platform_time"]
    if not uses:
        return None
    case.put("nitrogen_used", used, "m3", "cooldowns × nitrogen to cool + boil-off × platform time", *uses)
    price = case.numeral("lab.prices.nitrogen", NITROGEN, "common practice")
    return case.put("nitrogen_cost", used * price, "EUR", "nitrogen × price", "nitrogen_used", "lab.prices.nitrogen")


def _electricity(case: Case) -> Any:
    """Power and cooling water while the platform is taken, or None where neither is used."""
    taken = case.got("platform_time")
    uses: list[str] = []
    rate: Any = 0.0
    for name, price, default in (("electricity", "electricity", ELECTRICITY), ("water", "water", WATER)):
        if (amount := known(case, f"platform.running.{name}")) is not None:
            rate = rate + amount * case.numeral(f"lab.prices.{price}", default, "common practice")
            uses += [f"platform.running.{name}", f"lab.prices.{price}"]
    if not uses:
        return None
    return case.put("electricity_cost", taken * rate, "EUR", "platform time × (power × price + water × price)",
                    "platform_time", *uses)  # fmt: skip


def _staff(case: Case) -> Any:
    """Hours by role and the money they cost; transfers take two, recycles one."""
    cooldowns = case.got("cooldowns")
    hours: dict[str, Any] = {}
    for role in _ROLES:
        stated = known(case, f"platform.running.staff.{role}")
        if stated is not None:
            hours[role] = case.put(f"{role}_time", cooldowns * stated, "s", "cooldowns × hours of the role",
                                   "cooldowns", f"platform.running.staff.{role}")  # fmt: skip
    if not hours:
        each = case.numeral("platform.running.staff_per_cooldown", 0.0)
        hours["staff"] = case.put("handling_time", cooldowns * each, "s", "cooldowns × staff time per cooldown",
                                  "cooldowns", "platform.running.staff_per_cooldown")  # fmt: skip
    pauses, uses = _at_pauses(case)
    names = ["handling_time" if role == "staff" else f"{role}_time" for role in hours]
    case.put("staff_time", sum(hours.values()) + pauses, "s",
             "handling + cooldowns × (recycles × recycle + 2 × transfers × transfer)", *names, *uses)  # fmt: skip
    cost = pauses * _rate(case, "staff")
    for role, time in hours.items():
        cost = cost + time * _rate(case, role)
    paths = [path for role in ("staff", *_ROLES) if (path := f"lab.prices.{role}") in case.bases]
    return case.put("staff_cost", cost, "EUR", "hours of each role × its rate", "staff_time", *paths)


def _at_pauses(case: Case) -> tuple[Any, list[str]]:
    """What recycles and transfers take of people [s]."""
    total: Any = 0.0
    uses: list[str] = []
    for name, pause, people in (("recycles", "recycle_pause", 1.0), ("transfers", "transfer_pause", AT_A_TRANSFER)):
        if (count := case.got(name)) is not None:
            total = total + case.got("cooldowns") * count * people * case.got(pause)
            uses += [name, pause]
    return total, uses


def _rate(case: Case, role: str) -> Any:
    """The rate of a role; that of staff where the role has none of its own [EUR/s]."""
    own = None if role == "staff" else known(case, f"lab.prices.{role}")
    if own is not None:
        return own
    case.bases.pop(f"lab.prices.{role}", None)
    return case.numeral("lab.prices.staff", STAFF, "common practice")
