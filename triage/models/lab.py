"""A facility as its people describe it: rooms, prices and cold platforms (`lab.yaml`)."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.archetypes import KINDS, fill_in
from triage.models.quantity import (
    Altitude,
    Charge,
    Count,
    DayPrice,
    Entry,
    Field,
    Fraction,
    Frequency,
    Length,
    Number,
    Power,
    Pressure,
    PumpSpeed,
    Rate,
    Temperature,
    Time,
    Volume,
    VolumePrice,
    VolumeRate,
    fail,
)
from triage.models.tier import Tier

Identifier = Annotated[str, Option(pattern=r"^[a-z0-9][a-z0-9-]{0,59}$")]
Title = Annotated[str, Option(min_length=1, max_length=200)]
Experience = Literal["new", "trained", "expert"]
VibrationLevel = Annotated[int, Option(ge=0, le=5)]


class Room(Entry):
    """A room that people and cryogens share."""

    id: Identifier
    volume: Volume
    air_changes: Rate | None = None


class Prices(Entry):
    """What the facility pays; every entry has a common-practice default."""

    helium: VolumePrice | None = None
    helium_recovery: Fraction | None = None
    helium_liquefaction: VolumePrice | None = None
    nitrogen: VolumePrice | None = None
    staff: DayPrice | None = None


class Ambient(Entry):
    """Room temperature or a heated box."""

    mechanism: Literal["ambient"]
    temperature: Temperature


class NitrogenBath(Entry):
    """Boiling nitrogen at the pressure of the site."""

    mechanism: Literal["nitrogen bath"]
    largest_load: Power


class HeliumBath(Entry):
    """Boiling helium at the pressure of the site."""

    mechanism: Literal["helium bath"]
    largest_load: Power


class PumpedHelium(Entry):
    """Helium-4 pumped to low pressure: pump, line and heat decide the temperature."""

    mechanism: Literal["pumped helium"]
    pump_speed: PumpSpeed
    line_diameter: Length | None = None
    line_length: Length | None = None
    static_load: Power
    base_temperature: Temperature | None = None
    power_at_base: Power | None = None


class Helium3Charge(Entry):
    """A helium-3 charge condensed on a pumped pot and pumped by a sorbent: the load decides the hold."""

    mechanism: Literal["helium-3 charge"]
    charge: Charge
    pot_temperature: Temperature
    condensed: Fraction
    static_load: Power
    base_temperature: Temperature
    largest_load: Power


class Dilution(Entry):
    """A dilution unit, described by its base temperature and one cooling power."""

    mechanism: Literal["dilution"]
    base_temperature: Temperature
    cooling_power: Power
    power_at: Temperature


class Cooler(Entry):
    """A closed-cycle or flow stage, described by its base temperature and one rated power."""

    mechanism: Literal["cooler"]
    base_temperature: Temperature
    cooling_power: Power
    power_at: Temperature


Cooling = Annotated[
    Ambient | NitrogenBath | HeliumBath | PumpedHelium | Helium3Charge | Dilution | Cooler,
    Option(discriminator="mechanism"),
]


class Electrons(Entry):
    """What is known of the electron temperature on the platform's loom."""

    measured: Temperature | None = None
    at_stage: Temperature | None = None
    method: str | None = None
    date: datetime.date | None = None
    loom_changed: datetime.date | None = None
    saturation: Temperature
    exponent: Number


class Wiring(Entry):
    """Lines that reach the sample."""

    dc_lines: Count
    coax_lines: Count
    coax_bandwidth: Frequency | None = None
    fibres: Count
    filtering: Literal["none", "pi", "rc", "metal powder"]


class Space(Entry):
    """Room for the sample: a round bore, a largest board, or both."""

    bore: Length | None = None
    clearance: Length
    board_length: Length | None = None
    board_width: Length | None = None
    height: Length | None = None
    devices: Count | None = None


class Magnet(Entry):
    """The field at the sample."""

    magnitude: Field
    axes: Annotated[int, Option(ge=0, le=3)] = 1


class Vibration(Entry):
    """How quiet the platform is: 0 silent to 5 strong, and the comb of its machine where it has one."""

    level: VibrationLevel
    comb: Frequency | None = None


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


class Stored(Entry):
    """The cryogens that a failure could release into the room."""

    room: Identifier | None = None
    helium: Volume
    nitrogen: Volume


class Platform(Entry):
    """One cold platform."""

    id: Identifier
    name: Title
    kind: str
    cooling: Cooling
    warmest: Temperature
    electrons: Electrons
    wiring: Wiring
    space: Space
    field: Magnet
    vibration: Vibration
    clock: Clock
    running: Running
    people: People
    stored: Stored
    notes: str | None = None

    @model_validator(mode="before")
    @classmethod
    def _with_defaults(cls, raw: Any) -> Any:
        if not isinstance(raw, dict):
            raise fail("a platform is a set of entries", "see `cold-triage schema lab`")
        kind = raw.get("kind")
        if kind not in KINDS:
            raise fail(f"'{kind}' is not a kind of platform", "use one of: " + ", ".join(KINDS))
        return fill_in(raw, kind)


class Lab(Entry):
    """A facility: `lab.yaml`."""

    invented: str | None = None
    name: Title
    pressure: Pressure | None = None
    altitude: Altitude | None = None
    rooms: tuple[Room, ...] = ()
    prices: Prices = Prices()
    platforms: Annotated[tuple[Platform, ...], Option(min_length=1, max_length=200)]
    tiers: dict[str, dict[Tier, Number]] = Option(default_factory=dict)
    notes: str | None = None

    @model_validator(mode="after")
    def _names_agree(self) -> Lab:
        rooms = {room.id for room in self.rooms}
        seen: set[str] = set()
        for platform in self.platforms:
            if platform.id in seen:
                raise fail(f"platform '{platform.id}' is given twice", "give each platform its own id")
            seen.add(platform.id)
            if platform.stored.room and platform.stored.room not in rooms:
                raise fail(
                    f"platform '{platform.id}' stands in room '{platform.stored.room}', which is not listed",
                    "add it under rooms",
                )
        return self

    def platform(self, identifier: str) -> Platform | None:
        """The platform of that id, or None."""
        return next((each for each in self.platforms if each.id == identifier), None)
