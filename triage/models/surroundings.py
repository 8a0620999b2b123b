"""Where the sample sits: the room, the bore, the magnet, the vibration, the stored cryogens."""

from __future__ import annotations

import datetime
from typing import Annotated, Literal, get_args

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.names import Identifier, Title
from triage.models.quantity import (
    Count,
    Current,
    Energy,
    Entry,
    Field,
    FieldRate,
    Fraction,
    Frequency,
    Length,
    Motion,
    NoiseDensity,
    Rate,
    TemperatureRate,
    Time,
    Velocity,
    Volume,
    fail,
)

VibrationClass = Literal[
    "workshop", "office", "residential", "operating theatre",
    "VC-A", "VC-B", "VC-C", "VC-D", "VC-E", "VC-F", "VC-G",
]  # fmt: skip
CLASSES: tuple[str, ...] = get_args(VibrationClass)  # lenient to strict


class Room(Entry):
    """A room that people and cryogens share."""

    id: Identifier
    volume: Volume
    air_changes: Rate | None = None
    monitor: bool | None = None
    alone: bool | None = None
    lift: bool = False


class Carrier(Entry):
    """A sample carrier that moves from platform to platform: its name, how it is wired, what it is made of."""

    name: Identifier
    pinout: Identifier | None = None
    connectors: Identifier | None = None
    magnetic: bool = False


class Space(Entry):
    """Room for the sample: a round bore, a largest board, or both; puck, rotator and place of the field centre."""

    bore: Length | None = None
    clearance: Length
    board_length: Length | None = None
    board_width: Length | None = None
    height: Length | None = None
    puck: Length | None = None
    rotator: Length | None = None
    below_centre: Length | None = None
    devices: Count | None = None
    carriers: Annotated[tuple[Carrier, ...], Option(max_length=50)] = ()


class Neighbour(Entry):
    """Something nearby that a stray field disturbs."""

    name: Title
    distance: Length
    tolerates: Field


class Magnet(Entry):
    """The field at the sample, and what it does to its surroundings."""

    magnitude: Field
    axes: Annotated[int, Option(ge=0, le=3)] = 1
    across: Field | None = None
    homogeneity: Fraction | None = None
    homogeneous_over: Length | None = None
    ramp_rate: FieldRate | None = None
    persistent: bool = False
    residual: Field | None = None
    stored_energy: Energy | None = None
    bath: Volume | None = None
    stray_line: Length | None = None
    neighbours: Annotated[tuple[Neighbour, ...], Option(max_length=50)] = ()


class SpectralLine(Entry):
    """One line of a measured spectrum, rms, as velocity or as displacement."""

    frequency: Frequency
    velocity: Velocity | None = None
    displacement: Motion | None = None

    @model_validator(mode="after")
    def _one_measure(self) -> SpectralLine:
        if (self.velocity is None) == (self.displacement is None):
            raise fail("a line has a velocity or a displacement", "write one of the two, as rms")
        if not self.frequency.nominal > 0:
            raise fail("a line needs a frequency above zero", "leave the constant part out")
        return self


class Vibration(Entry):
    """How quiet the platform is: a measured spectrum, else a class, else a level from 0 silent to 5 strong."""

    level: Annotated[int, Option(ge=0, le=5)]
    criterion: VibrationClass | None = None
    spectrum: Annotated[tuple[SpectralLine, ...], Option(max_length=500)] = ()
    date: datetime.date | None = None
    comb: Frequency | None = None
    comb_displacement: Motion | None = None
    cable_current: Current | None = None
    cable_density: NoiseDensity | None = None
    cable_low: Frequency | None = None
    cable_high: Frequency | None = None
    quiet_window: Time | None = None
    quiet_drift: TemperatureRate | None = None
    quiet_criterion: VibrationClass | None = None


class Stored(Entry):
    """The cryogens that a failure could release into the room."""

    room: Identifier | None = None
    helium: Volume
    nitrogen: Volume
    vented_outdoors: bool = False
    release_time: Time | None = None
