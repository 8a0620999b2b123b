"""What a run takes: hours, cryogens, electricity, people and money."""

from __future__ import annotations

from typing import Literal

from triage.models.names import Experience
from triage.models.quantity import (
    Count,
    DayPrice,
    EnergyPrice,
    Entry,
    Fraction,
    Mass,
    Money,
    Power,
    Time,
    Volume,
    VolumePrice,
    VolumeRate,
)


class Prices(Entry):
    """What the facility pays; every entry has a common-practice default.

    `staff` stands for every role whose own rate is not given.
    """

    helium: VolumePrice | None = None
    helium_recovery: Fraction | None = None
    helium_liquefaction: VolumePrice | None = None
    nitrogen: VolumePrice | None = None
    electricity: EnergyPrice | None = None
    water: VolumePrice | None = None
    staff: DayPrice | None = None
    technician: DayPrice | None = None
    expert: DayPrice | None = None
    user: DayPrice | None = None


class Supply(Entry):
    """How liquid helium reaches the facility."""

    delivery: Time
    volume: Volume
    rationed: bool = False


class Clock(Entry):
    """The times of one run, from mounting to demounting.

    `working_day` is how long people are there each day; what needs nobody runs on. `already_cold` says that
    the platform is cold for others and has a free place.
    """

    mount: Time
    leak_check: Time | None = None
    cooldown: Time
    thermalise: Time
    warm_up: Time
    demount: Time | None = None
    slot: Time
    queue: Time
    hold: Time | None = None
    recycle: Time | None = None
    transfer: Time | None = None
    settle: Time | None = None
    working_day: Time
    already_cold: bool = False


class Roles(Entry):
    """Hours of each role that one cooldown takes."""

    technician: Time | None = None
    expert: Time | None = None
    user: Time | None = None


class Running(Entry):
    """What a day and a cooldown consume.

    Where no day price is stated, `capital` and the yearly costs give it. `boil_off` is what the bath loses
    without the proposal's load; `cooled_mass` is the metal that goes from room temperature to helium.
    """

    day_price: DayPrice
    capital: Money | None = None
    service_per_year: Money | None = None
    room_per_year: Money | None = None
    usable_days: Count | None = None
    helium_per_day: VolumeRate
    helium_per_cooldown: Volume
    bath_volume: Volume | None = None
    boil_off: VolumeRate | None = None
    nitrogen_volume: Volume | None = None
    nitrogen_boil_off: VolumeRate | None = None
    cooled_mass: Mass | None = None
    cooled_metal: Literal["copper", "aluminium", "stainless steel"] = "copper"
    precooled: bool = False
    vapour: Literal["wasted", "used", "between"] = "between"
    electricity: Power | None = None
    water: VolumeRate | None = None
    staff_per_cooldown: Time
    staff: Roles = Roles()


class People(Entry):
    """Who may run the platform, and how many can."""

    experience: Experience
    unattended: bool = True
    trained: Count | None = None
