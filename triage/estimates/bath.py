"""The bath that keeps a platform cold: what boils off, how long a filling lasts, when it must be refilled."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.estimates.measuring import known
from triage.estimates.working_hours import DAY
from triage.physics.evaporation import Cryogen, boil_off, hold_time

RESERVE = 1.3  # a filling should last this much longer than what it is asked for (common practice)


def estimate(case: Case, data: Any) -> None:
    """Write boil-off, autonomy and refill interval of the bath, and the facts that rules ask of them."""
    cryogen: Cryogen = "nitrogen" if case.platform.cooling.mechanism == "nitrogen bath" else "helium"
    rate = _boil_off(case, cryogen)
    volume = known(case, "platform.running.bath_volume")
    if case.platform.cooling.mechanism not in ("ambient", "cooler"):
        case.fact("bath_described", "no" if volume is None else "yes")
    if volume is not None:
        autonomy = case.put("bath_autonomy", hold_time(volume, rate), "s", "usable bath / boil-off",
                            "platform.running.bath_volume", f"{cryogen}_boil_off")  # fmt: skip
        case.fact("bath_margin", ratio(autonomy, data))
        days = np.floor(autonomy / RESERVE / DAY)
        interval = np.where(days >= 1, days * DAY, autonomy / RESERVE)
        case.put("refill_interval", interval if interval.ndim else float(interval), "s",
                 "bath autonomy / 1.3, in whole days where it is longer than one", "bath_autonomy")  # fmt: skip
        if case.proposal.time.unbroken:
            case.gate("hold", data, autonomy, "s", ratio(autonomy, data), "until the bath must be refilled")
    _nitrogen(case, data)
    _supply(case, cryogen, rate)


def _boil_off(case: Case, cryogen: Cryogen) -> Any:
    """What the bath loses by itself and by the proposal's load [m3/s]."""
    path = "platform.running.nitrogen_boil_off" if cryogen == "nitrogen" else "platform.running.boil_off"
    static = known(case, path)
    if static is None and cryogen == "helium":
        path = "platform.running.helium_per_day"
        static = case.numeral(path, 0.0)
    uses = () if static is None else (path,)
    static = 0.0 if static is None else static
    if not _has_bath(case, static):
        return case.put(f"{cryogen}_boil_off", static, "m3/s", "as stated", *uses)
    load = case.put("boiled_by_load", boil_off(case.got("heat_load"), cryogen), "m3/s",
                    "heat load / (density × latent heat)", "heat_load",
                    references=("OrtizVega2023" if cryogen == "helium" else "Span2000",))  # fmt: skip
    return case.put(f"{cryogen}_boil_off", static + load, "m3/s", "without load + by the load", *uses,
                    "boiled_by_load")  # fmt: skip


def _has_bath(case: Case, static: Any) -> bool:
    running = case.platform.running
    wet = case.platform.cooling.mechanism in ("helium bath", "nitrogen bath", "pumped helium", "helium-3 charge")
    return wet or running.bath_volume is not None or bool(np.any(np.asarray(static) > 0))


def _nitrogen(case: Case, data: Any) -> None:
    """How long the nitrogen jacket lasts where one is described."""
    volume = known(case, "platform.running.nitrogen_volume")
    rate = known(case, "platform.running.nitrogen_boil_off")
    if volume is None or rate is None:
        return
    autonomy = case.put("nitrogen_autonomy", hold_time(volume, rate), "s", "nitrogen / its boil-off",
                        "platform.running.nitrogen_volume", "platform.running.nitrogen_boil_off")  # fmt: skip
    case.fact("nitrogen_margin", ratio(autonomy, data))


def _supply(case: Case, cryogen: Cryogen, rate: Any) -> None:
    """Helium that one delivery brings over what the platform takes until the next."""
    supply = case.lab.supply
    if supply is None or cryogen != "helium":
        return
    case.fact("helium_rationed", "yes" if supply.rationed else "no")
    delivery, volume = known(case, "lab.supply.delivery"), known(case, "lab.supply.volume")
    if delivery is not None and volume is not None:
        case.fact("helium_supply_margin", ratio(volume, rate * delivery))
