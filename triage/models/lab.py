"""A facility as its people describe it: rooms, prices and cold platforms (`lab.yaml`)."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.archetypes import KINDS, fill_in
from triage.models.cleanroom import Cleanroom
from triage.models.cooling import Cooling
from triage.models.loom import Electrons, Wiring
from triage.models.measured import Measured
from triage.models.names import Identifier, Title
from triage.models.quantity import Altitude, Entry, Number, Pressure, Temperature, fail
from triage.models.running import Clock, People, Prices, Running, Supply
from triage.models.stages import Loom
from triage.models.surroundings import Magnet, Room, Space, Stored, Vibration
from triage.models.tier import Tier


class Platform(Entry):
    """One cold platform."""

    id: Identifier
    name: Title
    kind: str
    cooling: Cooling
    warmest: Temperature
    electrons: Electrons
    wiring: Wiring
    loom: Loom | None = None
    measured: Measured | None = None
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
        if not isinstance(kind, str) or kind not in KINDS:
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
    supply: Supply | None = None
    cleanroom: Cleanroom | None = None
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
