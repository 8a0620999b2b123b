"""What a run takes: hours, cryogens, people and money."""

from __future__ import annotations

from triage.models.names import Experience
from triage.models.quantity import DayPrice, Entry, Fraction, Time, Volume, VolumePrice, VolumeRate


class Prices(Entry):
    """What the facility pays; every entry has a common-practice default."""

    helium: VolumePrice | None = None
    helium_recovery: Fraction | None = None
    helium_liquefaction: VolumePrice | None = None
    nitrogen: VolumePrice | None = None
    staff: DayPrice | None = None


class Clock(Entry):
    """The times of one run, from mounting to demounting."""

    mount: Time
    cooldown: Time
    thermalise: Time
    warm_up: Time
    slot: Time
    queue: Time
    hold: Time | None = None
    recycle: Time | None = None
    working_day: Time


class Running(Entry):
    """What a day and a cooldown consume."""

    day_price: DayPrice
    helium_per_day: VolumeRate
    helium_per_cooldown: Volume
    staff_per_cooldown: Time


class People(Entry):
    """Who may run the platform."""

    experience: Experience
    unattended: bool = True
