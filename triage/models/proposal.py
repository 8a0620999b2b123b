"""A proposed measurement as a person describes it (`proposals/*.yaml`)."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.fabrication import Fabrication
from triage.models.names import Experience, Identifier, Title
from triage.models.quantity import (
    Area,
    Capacitance,
    Count,
    Current,
    ElectricCharge,
    Entry,
    Field,
    FieldRate,
    Flux,
    Fraction,
    Frequency,
    Gradient,
    Length,
    Mass,
    Money,
    Motion,
    NoiseDensity,
    Number,
    Power,
    Quality,
    Temperature,
    Time,
    Voltage,
    Volume,
    fail,
)
from triage.models.surroundings import Carrier
from triage.models.tier import Tier


class Devices(Entry):
    """How many devices the claim needs and how they share lines and loads.

    `proxy` is the share of the cold quantity's variance that a warm test explains; `difference` is the effect
    to be seen between two groups over the spread within a group.
    """

    needed: Count | None = None
    lines_each: Count | None = None
    lines_shared: Count | None = None
    per_load: Count | None = None
    working: Fraction | None = None
    proxy: Fraction | None = None
    difference: Number | None = None
    screened: Literal["no", "room temperature", "nitrogen", "helium"] = "no"
    frozen: bool = True


class Connectors(Entry):
    """What sticks out of a board: how far connectors reach, and how tightly their cables bend."""

    side: Literal["end", "top"] = "end"
    overhang: Length | None = None
    bend_radius: Length | None = None


class Board(Entry):
    """The outline of what goes into the bore; `connectors` adds what the outline does not contain."""

    length: Length
    width: Length
    height: Length | None = None
    mounting: Literal["across", "along"] = "along"
    connectors: Connectors | None = None
    carrier: Carrier | None = None
    chip: Length | None = None
    chip_from_end: Length | None = None
    mass: Mass | None = None
    per_load: Count | None = None


class Lines(Entry):
    """Lines beyond those counted per device.

    `rf_power` is what goes in at the top of each coaxial line while it is on, `duty` the part of the time
    it is on; `extra_coax` counts lines that the proposal brings and the platform does not have.
    """

    dc: Count | None = None
    coax: Count | None = None
    bandwidth: Frequency | None = None
    fibres: Count | None = None
    voltage: Voltage | None = None
    current: Current | None = None
    rf_power: Power | None = None
    duty: Fraction | None = None
    extra_coax: Count | None = None


class FieldWanted(Entry):
    """The field the measurement needs."""

    magnitude: Field
    ramp_rate: FieldRate | None = None
    axes: Annotated[int, Option(ge=1, le=3)] = 1
    across: Field | None = None
    homogeneity: Fraction | None = None
    over: Length | None = None
    ramps: Count | None = None
    persistent: bool = False
    residual: Field | None = None
    rotation: bool = False
    superconducting_parts: bool = False


class Heat(Entry):
    """What the device and its surroundings dissipate at the sample stage.

    `duty` is the part of the time that device and amplifier are on. The chip's contact area and joint
    set how far it warms above its stage, the island's volume and metal how far its electrons do.
    """

    device: Power | None = None
    lines: Power | None = None
    amplifier: Power | None = None
    amplifier_at: Literal["sample", "4 K"] = "sample"
    duty: Fraction | None = None
    chip_area: Area | None = None
    joint: Literal["glued", "soldered", "in liquid"] = "glued"
    island_volume: Volume | None = None
    island_material: Literal["copper", "gold", "silver", "aluminium", "titanium"] = "copper"
    island_power: Power | None = None


SensitiveTo = Literal["current", "charge", "tip gap", "field gradient", "loop voltage", "loop flux"]


class Signal(Entry):
    """The quantity read out, and where in frequency it lives.

    `smallest` over `noise` (in one root hertz) at the wanted `ratio` sets the averaging time. Where the
    excitation is limited by temperature, `smallest` holds at `excited_at` and falls in proportion below it.
    `sensitive_to` names the path by which motion reaches the signal; each path but the current has a
    smallest signal of its own.
    """

    read_as: Literal["current", "voltage", "rf reflectometry", "microwave", "optical", "counts"] | None = None
    smallest: Current | None = None
    noise: NoiseDensity | None = None
    ratio: Number | None = None
    excitation_limited: bool = False
    excited_at: Temperature | None = None
    band_low: Frequency | None = None
    band_high: Frequency | None = None
    vibration_sensitivity: Annotated[int, Option(ge=0, le=5)] | None = None
    field_gradient: bool = False
    sensitive_to: SensitiveTo | None = None
    bias: Voltage | None = None
    capacitance: Capacitance | None = None
    gap: Length | None = None
    smallest_charge: ElectricCharge | None = None
    smallest_motion: Motion | None = None
    head_resonance: Frequency | None = None
    head_quality: Quality | None = None
    gradient: Gradient | None = None
    smallest_field: Field | None = None
    loop_area: Area | None = None
    tilt_arm: Length | None = None
    smallest_voltage: Voltage | None = None
    smallest_flux: Flux | None = None

    @model_validator(mode="after")
    def _band_runs_forward(self) -> Signal:
        low, high = self.band_low, self.band_high
        if low is not None and high is not None and low.nominal > high.nominal:
            raise fail("the band of the signal runs backwards", "write its lower end as band_low")
        return self


class Duration(Entry):
    """How long the data take, and whether they may be interrupted.

    Without a time per device, `points` times settling and averaging gives it. `retune` is what a recycle
    costs where charges jump; `drift` the time over which the observable wanders.
    """

    per_device: Time | None = None
    trace: Time | None = None
    points: Count | None = None
    settle: Time | None = None
    tuning: Time | None = None
    retune: Time | None = None
    drift: Time | None = None
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


class Screen(Entry):
    """A warmer platform on which devices are sorted before the cold run, and how well it sorts them."""

    platform: Identifier
    keeps_good: Fraction
    stops_bad: Fraction
    per_device: Time | None = None


class Campaign(Entry):
    """How devices are brought to the wanted number of good ones."""

    good: Annotated[int, Option(ge=1, le=50)]
    confidence: Fraction | None = None
    candidates: Annotated[int, Option(ge=1, le=200)] | None = None
    cost_per_device: Money | None = None
    lost_per_cycle: Fraction | None = None
    screens: Annotated[tuple[Screen, ...], Option(max_length=3)] = ()
    cheapest: bool = False


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
    fabrication: Fabrication | None = None
    budget: Money | None = None
    campaign: Campaign | None = None
    notes: str | None = None

    @model_validator(mode="after")
    def _ranges_run_forward(self) -> Proposal:
        if self.sweep and self.sweep.low.nominal >= self.sweep.high.nominal:
            raise fail("the temperature sweep runs backwards", "write the lower end as low")
        return self
