"""Screening of the named room: air after a release and in normal boil-off, stray field, who is there, how dewars come.

Part of the gate risk and cost. Screening figures only; local codes and the safety officer decide.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case
from triage.models.surroundings import Room
from triage.physics.evaporation import Liquid, liquid_helium, liquid_nitrogen
from triage.physics.oxygen import (
    EXPANSION,
    escape_time,
    gas_volume,
    oxygen_displaced,
    oxygen_effect,
    oxygen_mixed,
    oxygen_steady,
    trapped_pressure,
)

RELEASE_TIME = 600.0  # s in which a dewar that lost its vacuum empties; common practice
_REFERENCES = ("CFR1910146", "EIGA44")
_CRYOGENS = ("helium", "nitrogen")
_LIQUID: dict[str, Liquid] = {"helium": liquid_helium, "nitrogen": liquid_nitrogen}


def estimate(case: Case) -> None:
    """Write what the room's air becomes, and the facts that the safety rules read."""
    room = _room(case)
    gas = _release(case)
    _stored(case)
    if not np.all(np.isfinite(gas)):
        case.fact("room_described", "no")
    if room is None or not room.volume.nominal > 0:
        if np.any(np.asarray(gas) > 0):
            case.fact("room_described", "no")
        return
    case.bases["room.volume"] = room.volume.basis
    _after_release(case, room, gas)
    _everything(case, room)
    _boil_off(case, room)
    case.fact("room_monitor", {None: "not known", True: "yes", False: "no"}[room.monitor])
    case.fact("alone_in_room", {None: "not known", True: "yes", False: "no"}[room.alone])
    case.fact("dewars_by_lift", "yes" if room.lift else "no")


def _room(case: Case) -> Room | None:
    return next((each for each in case.lab.rooms if each.id == case.platform.stored.room), None)


def _release(case: Case) -> Any:
    """The gas of everything that a failure of this platform sets free, that of a quenching magnet included [m3]."""
    gas: Any = 0.0
    uses = [f"platform.stored.{cryogen}" for cryogen in _CRYOGENS]
    for cryogen in _CRYOGENS:
        gas = gas + gas_volume(case.numeral(f"platform.stored.{cryogen}", 0.0), EXPANSION[cryogen])
    quench = _quench(case)
    if quench is not None:
        gas, uses = gas + quench, [*uses, "quench_gas"]
    formula = "stored helium × 749.6 + stored nitrogen × 692" + (" + quench gas" if quench is not None else "")
    if case.platform.stored.vented_outdoors:
        gas, formula = 0.0 * gas, "vents and relief lines lead outdoors"
    return case.put("gas_released", gas, "m^3", formula, *uses)


def _quench(case: Case) -> Any:
    """The helium gas that a quench makes: the magnet's energy over the latent heat, at most the magnet's bath [m3]."""
    bath = case.number("platform.field.bath")
    if bath is None:
        return None
    energy = case.number("platform.field.stored_energy")
    boiled: Any = bath
    uses = ["platform.field.bath"]
    if energy is not None:
        boiled = np.minimum(np.asarray(bath), np.asarray(energy) / (liquid_helium.density * liquid_helium.latent_heat))[
            ()
        ]
        uses.append("platform.field.stored_energy")
    gas = gas_volume(boiled, EXPANSION["helium"])
    return case.put(
        "quench_gas", gas, "m^3", "smaller of magnet energy / latent heat and the magnet's bath, × 749.6", *uses
    )


def _stored(case: Case) -> None:
    """Which cryogens stand there, and what liquid does that is trapped."""
    held = [
        cryogen for cryogen in _CRYOGENS
        if np.any(np.asarray(case.number(f"platform.stored.{cryogen}")) > 0)
    ]  # fmt: skip
    case.fact("cryogens", "both" if len(held) == 2 else held[0] if held else "none")
    if held:
        liquid = held[0]
        case.put("trapped_pressure", trapped_pressure(_LIQUID[liquid].density, _LIQUID[liquid].molar_mass), "Pa",
                 f"density × R × 293 K / molar mass of liquid {liquid} trapped in its own volume", basis="published",
                 references=("Pobell2007",))  # fmt: skip


def _after_release(case: Case, room: Room, gas: Any) -> None:
    """Oxygen after everything boiled off at once, driven out unmixed and mixed, its effect, and the time to escape."""
    volume = room.volume.nominal
    oxygen = oxygen_displaced(gas, volume)
    oxygen = case.put(
        "oxygen_after_release", oxygen if np.ndim(oxygen) else float(oxygen), "%",
        "20.95 % × (1 − released gas / room volume)", "gas_released", "room.volume", references=_REFERENCES,
    )  # fmt: skip
    case.fact("oxygen_after_release", oxygen)
    if (quench := case.got("quench_gas")) is not None and np.any(np.asarray(gas) > 0):
        case.fact("quench_share", quench / volume)
    case.put("oxygen_after_release_mixed", oxygen_mixed(gas, volume), "%",
             "20.95 % × exp(−released gas / room volume)", "gas_released", "room.volume")  # fmt: skip
    if np.ndim(oxygen) == 0:
        case.put("oxygen_effect", oxygen_effect(oxygen), "", "what this much oxygen does to a person",
                 "oxygen_after_release", references=("EIGA44",))  # fmt: skip
    if not np.any(np.asarray(gas) > 0):
        return
    duration = case.number("platform.stored.release_time")
    if duration is None:
        duration = case.put(
            "release_time", RELEASE_TIME, "s", "usual for a dewar without vacuum", basis="common practice"
        )
    else:
        duration = case.put("release_time", duration, "s", "as stated", "platform.stored.release_time")
    flow = np.asarray(gas) / np.maximum(duration, 1e-3)
    time = case.put("escape_time", escape_time(volume, flow), "s",
                    "room volume / flow × ln(20.95 / 19.5), well mixed", "gas_released", "release_time", "room.volume",
                    references=_REFERENCES)  # fmt: skip
    case.fact("escape_minutes", time / 60.0)


def _everything(case: Case, room: Room) -> None:
    """Oxygen if every platform that keeps its cryogens in the room let go at once, as in a fire."""
    stores = [
        each.stored for each in case.lab.platforms
        if each.stored.room == room.id and not each.stored.vented_outdoors
    ]  # fmt: skip
    gas = sum(
        held.nominal * EXPANSION[cryogen]
        for stored in stores
        for cryogen, held in (("helium", stored.helium), ("nitrogen", stored.nitrogen))
        if held.known
    )
    everything = case.put("gas_in_room", gas, "m^3", f"all cryogens kept in room {room.id}", basis="stated")
    oxygen = case.put("oxygen_after_all", float(oxygen_displaced(everything, room.volume.nominal)), "%",
                      "20.95 % × (1 − gas of all stores in the room / room volume)", "gas_in_room", "room.volume",
                      references=_REFERENCES)  # fmt: skip
    case.fact("oxygen_after_all", oxygen)


def _boil_off(case: Case, room: Room) -> None:
    """Oxygen while the platform boils off as it does every day, with the room's ventilation."""
    daily = case.numeral("platform.running.helium_per_day", 0.0)
    if room.air_changes is None or not room.air_changes.known or not np.any(np.asarray(daily) > 0):
        return
    recovered = case.numeral("lab.prices.helium_recovery", 0.0)
    leaving = 0.0 if case.platform.stored.vented_outdoors else 1.0
    flow = case.put(
        "gas_boiled_off", leaving * gas_volume(daily * (1.0 - np.asarray(recovered)), EXPANSION["helium"]), "m^3/s",
        "helium per day × (1 − recovered) × 749.6", "platform.running.helium_per_day", "lab.prices.helium_recovery",
    )  # fmt: skip
    fresh = case.put("fresh_air", room.air_changes.nominal * room.volume.nominal, "m^3/s",
                     f"air changes × volume of room {room.id}", basis=room.air_changes.basis)  # fmt: skip
    oxygen = case.put("oxygen_in_boil_off", oxygen_steady(flow, fresh), "%",
                      "20.95 % × fresh air / (fresh air + boil-off)", "gas_boiled_off", "fresh_air",
                      references=_REFERENCES)  # fmt: skip
    case.fact("oxygen_in_boil_off", oxygen)
