"""Gate: risk and cost. Price against budget, people against the machine, and the air in the room."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.physics.oxygen import EXPANSION, gas_volume, oxygen_displaced

_DAY = 86400.0
_RANK = {"new": 1.0, "trained": 2.0, "expert": 3.0}
# Used where a facility states no prices; editable, common practice.
HELIUM_PRICE = 30e3  # EUR/m3, 30 EUR per litre of liquid
HELIUM_RECOVERY = 0.0
LIQUEFACTION_PRICE = 4e3  # EUR/m3
STAFF_PRICE = 50.0 / 3600  # EUR/s


def estimate(case: Case) -> None:
    """Write the risk and cost gate; needs the clock of the turnaround gate."""
    price = _price(case)
    budget = case.number("budget")
    margin = 1e6 if budget is None else ratio(budget, price)
    if budget is not None:
        case.fact("budget_margin", margin)
    case.gate("risk_cost", price, budget, "EUR", margin, "no budget is set" if budget is None else "")
    _people(case)
    _air(case)
    risk = case.proposal.risk
    case.fact("unique_sample", "yes" if risk.unique else "no")
    case.fact("brittle_sample", "yes" if risk.brittle else "no")
    case.fact("null_result", "yes" if risk.null_result else "no")


def _price(case: Case) -> Any:
    days = case.got("platform_time") / _DAY
    day_price = case.numeral("platform.running.day_price", 0.0)
    place = case.put("platform_cost", days * day_price * _DAY, "EUR", "platform time × day price", "platform_time",
                     "platform.running.day_price")  # fmt: skip
    helium = case.put(
        "helium_used",
        case.got("cooldowns") * case.numeral("platform.running.helium_per_cooldown", 0.0)
        + days * _DAY * case.numeral("platform.running.helium_per_day", 0.0),
        "m3", "cooldowns × helium per cooldown + platform time × helium per day",
        "cooldowns", "platform.running.helium_per_cooldown", "platform_time", "platform.running.helium_per_day",
    )  # fmt: skip
    price = case.numeral("lab.prices.helium", HELIUM_PRICE, "common practice")
    recovered = case.numeral("lab.prices.helium_recovery", HELIUM_RECOVERY, "default")
    liquefaction = case.numeral("lab.prices.helium_liquefaction", LIQUEFACTION_PRICE, "common practice")
    cryogen = case.put(
        "helium_cost", helium * (price * (1 - recovered) + recovered * liquefaction), "EUR",
        "helium × (price × (1 − recovered) + recovered × liquefaction)", "helium_used", "lab.prices.helium",
        "lab.prices.helium_recovery", "lab.prices.helium_liquefaction",
    )  # fmt: skip
    staff = case.put(
        "staff_time", case.got("cooldowns") * case.numeral("platform.running.staff_per_cooldown", 0.0), "s",
        "cooldowns × staff time per cooldown", "cooldowns", "platform.running.staff_per_cooldown",
    )  # fmt: skip
    people = case.put("staff_cost", staff * case.numeral("lab.prices.staff", STAFF_PRICE, "common practice"),
                      "EUR", "staff time × rate", "staff_time", "lab.prices.staff")  # fmt: skip
    return case.put("price", place + cryogen + people, "EUR", "platform + helium + staff", "platform_cost",
                    "helium_cost", "staff_cost")  # fmt: skip


def _people(case: Case) -> None:
    operator = _RANK[case.proposal.risk.operator]
    needed = _RANK[case.platform.people.experience]
    case.fact("operator_margin", operator / needed)
    case.fact("operator", case.proposal.risk.operator)
    hours_alone = "yes" if np.any(np.asarray(case.got("run")) > 10 * 3600) else "no"
    case.fact("runs_overnight", hours_alone)
    case.fact("may_run_unattended", "yes" if case.platform.people.unattended else "no")


def _air(case: Case) -> None:
    """Oxygen left in the room if all that is stored boils off at once, in the conservative form."""
    room = next((each for each in case.lab.rooms if each.id == case.platform.stored.room), None)
    gas: Any = 0.0
    for cryogen in ("helium", "nitrogen"):
        gas = gas + gas_volume(case.numeral(f"platform.stored.{cryogen}", 0.0), EXPANSION[cryogen])
    if room is None or not room.volume.known:
        if np.any(np.asarray(gas) > 0):
            case.fact("room_described", "no")
        return
    case.bases["room.volume"] = room.volume.basis
    oxygen = np.maximum(oxygen_displaced(gas, room.volume.nominal), 0.0)
    oxygen = oxygen if np.ndim(oxygen) else float(oxygen)
    case.put(
        "oxygen_after_release", oxygen, "%", "20.95 % × (1 − released gas / room volume)",
        "platform.stored.helium", "platform.stored.nitrogen", "room.volume", references=("CFR1910146", "EIGA44"),
    )  # fmt: skip
    case.fact("oxygen_after_release", oxygen)
