"""A proposed measurement as a person describes it (`proposals/*.yaml`)."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.names import Experience, Identifier, Title
from triage.models.quantity import (
    Count,
    Current,
    Entry,
    Field,
    Fraction,
    Frequency,
    Length,
    Money,
    Power,
    Temperature,
    Time,
    Voltage,
    fail,
)
from triage.models.tier import Tier


class Devices(Entry):
    """How many devices the claim needs and how they share lines and loads."""

    needed: Count | None = None
    lines_each: Count | None = None
    lines_shared: Count | None = None
    per_load: Count | None = None
    working: Fraction | None = None
    screened: Literal["no", "room temperature", "nitrogen", "helium"] = "no"
    frozen: bool = True


class Board(Entry):
    """The outline of what goes into the bore, connectors and bend radii included."""

    length: Length
    width: Length
    height: Length | None = None
    mounting: Literal["across", "along"] = "along"


class Lines(Entry):
    """Lines beyond those counted per device."""

    dc: Count | None = None
    coax: Count | None = None
    bandwidth: Frequency | None = None
    fibres: Count | None = None
    voltage: Voltage | None = None
    current: Current | None = None


class FieldWanted(Entry):
    """The field the measurement needs."""

    magnitude: Field
    axes: Annotated[int, Option(ge=1, le=3)] = 1
    superconducting_parts: bool = False


class Heat(Entry):
    """What the device and its surroundings dissipate at the sample stage."""

    device: Power | None = None
    lines: Power | None = None


class Signal(Entry):
    """The quantity read out, and where in frequency it lives."""

    read_as: Literal["current", "voltage", "rf reflectometry", "microwave", "optical", "counts"] | None = None
    smallest: Current | None = None
    band_low: Frequency | None = None
    band_high: Frequency | None = None
    vibration_sensitivity: Annotated[int, Option(ge=0, le=5)] | None = None
    field_gradient: bool = False


class Duration(Entry):
    """How long the data take, and whether they may be interrupted."""

    per_device: Time | None = None
    tuning: Time | None = None
    unbroken: bool = False
    deadline: Time | None = None


class Sweep(Entry):
    """The range over which temperature must be swept."""

    low: Temperature
    high: Temperature


class Asked(Entry):
    """What the proposer asked for, if they did."""

    platform: Identifier | None = None
    temperature: Temperature | None = None


class Risk(Entry):
    """What could be lost, and who is at the machine."""

    unique: bool = False
    brittle: bool = False
    destructive: bool = False
    thin_gates: bool = False
    contaminating: bool = False
    operator: Experience = "trained"
    null_result: bool = False


class Proposal(Entry):
    """One proposed measurement."""

    invented: str | None = None
    title: Title
    claim: str | None = None
    group: str | None = None
    date: datetime.date | None = None
    measurement: str
    tier: Tier = "measure"
    device: dict[str, Any] = Option(default_factory=dict)
    devices: Devices = Devices()
    board: Board | None = None
    lines: Lines = Lines()
    field: FieldWanted | None = None
    heat: Heat = Heat()
    signal: Signal = Signal()
    time: Duration = Duration()
    sweep: Sweep | None = None
    asked: Asked = Asked()
    risk: Risk = Risk()
    budget: Money | None = None
    notes: str | None = None

    @model_validator(mode="after")
    def _ranges_run_forward(self) -> Proposal:
        if self.sweep and self.sweep.low.nominal >= self.sweep.high.nominal:
            raise fail("the temperature sweep runs backwards", "write the lower end as low")
        return self
