"""Where the sample sits: the room, the bore, the magnet, the vibration, the stored cryogens."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field as Option

from triage.models.names import Identifier
from triage.models.quantity import Count, Entry, Field, Frequency, Length, Rate, Volume


class Room(Entry):
    """A room that people and cryogens share."""

    id: Identifier
    volume: Volume
    air_changes: Rate | None = None


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

    level: Annotated[int, Option(ge=0, le=5)]
    comb: Frequency | None = None


class Stored(Entry):
    """The cryogens that a failure could release into the room."""

    room: Identifier | None = None
    helium: Volume
    nitrogen: Volume
