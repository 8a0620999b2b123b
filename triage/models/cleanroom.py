"""A cleanroom as its keepers describe it: tools, resists, terms of access, and who else has what it lacks.

Every number has a common-practice value, used where the keepers state none and shown as such.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.names import Identifier, Title
from triage.models.quantity import (
    Bounds,
    DayPrice,
    Entry,
    Length,
    Money,
    Temperature,
    Time,
    Value,
    fail,
)

BASIS = "common practice"
Cleanliness = Literal["A", "B", "C"]
CLASSES: tuple[Cleanliness, ...] = ("A", "B", "C")  # cleanest first
IsoClass = Annotated[int, Option(ge=1, le=9)]
Dose = Annotated[Value, Bounds("C/m2", above=0, most=1e6)]
SpinSpeed = Annotated[Value, Bounds("1/s", above=0, most=2000)]
WriteSpeed = Annotated[Value, Bounds("m2/s", above=0, most=1)]
Chance = Annotated[Value, Bounds("", above=0, most=1)]
Loss = Annotated[Value, Bounds("", least=0, most=0.99)]
Hours = Annotated[Value, Bounds("s", above=0, most=86400)]
Days = Annotated[Value, Bounds("", above=0, most=7)]
Some = Annotated[Value, Bounds("", least=1, most=1e7)]
Exponent = Annotated[Value, Bounds("", above=0, most=2)]
Factor = Annotated[Value, Bounds("", least=0, most=100)]
Clock = Annotated[Value, Bounds("Hz", above=0, most=1e12)]
BeamVoltage = Annotated[Value, Bounds("V", above=0, most=1e6)]
BeamCurrent = Annotated[Value, Bounds("A", above=0, most=1)]
Gap = Annotated[Value, Bounds("m", least=0, most=1e-3)]


def usual(text: str, basis: str = BASIS) -> Any:
    """The default of a quantity, marked as nobody's own number."""
    return Option(default={"value": text, "basis": basis}, validate_default=True)


class Filled(Entry):
    """An entry whose unknown numbers fall back to the usual ones."""

    @model_validator(mode="before")
    @classmethod
    def _unknown_is_usual(cls, raw: Any) -> Any:
        if not isinstance(raw, dict):
            return raw
        optional = {name for name, each in cls.model_fields.items() if not each.is_required()}
        return {key: value for key, value in raw.items() if not (key in optional and is_unknown(value))}


def is_unknown(raw: Any) -> bool:
    """Whether a person wrote that a number is not known."""
    value = raw.get("value") if isinstance(raw, dict) else raw
    return isinstance(value, str) and value.strip().lower() == "unknown"


class Tool(Filled):
    """What every tool has: whom it accepts, what an hour costs, how long the queue is, where it stands."""

    id: Identifier
    name: Title
    accepts: Cleanliness = "C"
    passes_on: bool = True
    rate: DayPrice = usual("30 EUR/h")
    queue: Time = usual("2 days")
    iso_class: IsoClass = 6


class ProcessTool(Tool):
    """A tool that treats whole pieces, several in one run."""

    run_time: Time = usual("2 h")
    pieces_per_run: Some = usual("4")


class Beam(Entry):
    """One setting of a writer: its current and the spot it gives."""

    current: BeamCurrent
    spot: Length


def _beam(current: str, spot: str) -> dict[str, Any]:
    return {key: {"value": text, "basis": BASIS} for key, text in (("current", current), ("spot", spot))}


_BEAMS = (_beam("0.1 nA", "3 nm"), _beam("1 nA", "5 nm"), _beam("10 nA", "15 nm"), _beam("100 nA", "60 nm"))


class ElectronBeam(Tool):
    """A writer with an electron beam: any pattern, no mask, one chip after another."""

    kind: Literal["electron-beam writer"]
    passes_on: bool = False
    voltage: BeamVoltage = usual("100 kV")
    beams: Annotated[tuple[Beam, ...], Option(min_length=1)] = Option(default=_BEAMS, validate_default=True)
    write_field: Length = usual("500 um")
    stitching: Length = usual("30 nm")
    overlay: Length = usual("40 nm")
    overlay_on_optical_marks: Length = usual("120 nm")
    clock: Clock = usual("50 MHz")
    field_time: Time = usual("0.5 s")
    load_time: Time = usual("1.5 h")
    align_time: Time = usual("5 min")
    pieces_per_run: Some = usual("1")
    layer_yield: Chance = usual("95 %")
    rate: DayPrice = usual("55 EUR/h")
    queue: Time = usual("1 week")
    iso_class: IsoClass = 5


class MaskAligner(Tool):
    """A lamp, a mask and a gap: everything at once, once the mask is there."""

    kind: Literal["mask aligner"]
    passes_on: bool = False
    wavelength: Length = usual("365 nm")
    gap: Gap = usual("0 um")
    smallest: Length = usual("0.8 um")
    overlay: Length = usual("1 um")
    run_time: Time = usual("20 min")
    mask_price: Money = usual("200 EUR")
    mask_lead: Time = usual("9 days")
    layer_yield: Chance = usual("95 %")
    rate: DayPrice = usual("40 EUR/h")
    iso_class: IsoClass = 5


class LaserWriter(Tool):
    """A focused laser: no mask, the pattern's whole outline swept."""

    kind: Literal["laser writer"]
    passes_on: bool = False
    smallest: Length = usual("1 um")
    overlay: Length = usual("0.7 um")
    speed: WriteSpeed = usual("10 mm2/min")
    load_time: Time = usual("15 min")
    pieces_per_run: Some = usual("1")
    layer_yield: Chance = usual("95 %")
    rate: DayPrice = usual("60 EUR/h")
    queue: Time = usual("3 days")
    iso_class: IsoClass = 5


class Stepper(Tool):
    """A reduction lens and a reticle, in the ultraviolet or deep ultraviolet."""

    kind: Literal["stepper"]
    passes_on: bool = False
    smallest: Length = usual("0.35 um")
    overlay: Length = usual("60 nm")
    run_time: Time = usual("30 min")
    mask_price: Money = usual("4000 EUR")
    mask_lead: Time = usual("6 weeks")
    layer_yield: Chance = usual("98 %")
    rate: DayPrice = usual("200 EUR/h")
    queue: Time = usual("2 weeks")
    iso_class: IsoClass = 4


class Spinner(ProcessTool):
    """Spinning, baking, developing, stripping."""

    kind: Literal["spinner"]
    passes_on: bool = False
    run_time: Time = usual("40 min")
    pieces_per_run: Some = usual("1")
    rate: DayPrice = usual("0 EUR/h")
    queue: Time = usual("0 h")
    iso_class: IsoClass = 5


class Evaporator(ProcessTool):
    """Metal in a straight line from source to sample; with a tilting stage, from an angle."""

    kind: Literal["evaporator"]
    tilt: bool = False
    run_time: Time = usual("3 h")


class Sputter(ProcessTool):
    """Metal or oxide from every direction."""

    kind: Literal["sputter"]
    run_time: Time = usual("2.5 h")


class Etcher(ProcessTool):
    """Plasma or wet etch."""

    kind: Literal["etcher"]
    run_time: Time = usual("1.5 h")


class Furnace(ProcessTool):
    """Oxidation, growth or anneal in a hot tube; the cleanest tool of the room."""

    kind: Literal["furnace"]
    accepts: Cleanliness = "A"
    highest: Temperature = usual("1373 K")
    run_time: Time = usual("6 h")
    pieces_per_run: Some = usual("10")


class Implanter(ProcessTool):
    """Dopants by ion beam."""

    kind: Literal["implanter"]
    accepts: Cleanliness = "A"
    run_time: Time = usual("3 h")
    pieces_per_run: Some = usual("10")


class AtomicLayer(ProcessTool):
    """Dielectric one atomic layer at a time."""

    kind: Literal["atomic-layer reactor"]
    accepts: Cleanliness = "B"
    run_time: Time = usual("3 h")
    pieces_per_run: Some = usual("10")


class TransferStation(ProcessTool):
    """Flakes picked up and set down by hand."""

    kind: Literal["transfer station"]
    run_time: Time = usual("5 h")
    pieces_per_run: Some = usual("1")
    iso_class: IsoClass = 7
    rate: DayPrice = usual("10 EUR/h")
    queue: Time = usual("0 h")


class Bonder(ProcessTool):
    """Dicing, gluing and wire bonding."""

    kind: Literal["bonder"]
    passes_on: bool = False
    run_time: Time = usual("40 min")
    pieces_per_run: Some = usual("1")
    iso_class: IsoClass = 8
    rate: DayPrice = usual("15 EUR/h")
    queue: Time = usual("0 h")


class Inspection(ProcessTool):
    """Microscope, profile and room-temperature probe after each layer."""

    kind: Literal["inspection"]
    passes_on: bool = False
    run_time: Time = usual("15 min")
    pieces_per_run: Some = usual("1")
    rate: DayPrice = usual("20 EUR/h")
    queue: Time = usual("0 h")


Exposing = ElectronBeam | MaskAligner | LaserWriter | Stepper
AnyTool = Annotated[
    ElectronBeam | MaskAligner | LaserWriter | Stepper | Spinner | Evaporator | Sputter | Etcher | Furnace
    | Implanter | AtomicLayer | TransferStation | Bonder | Inspection,
    Option(discriminator="kind"),
]  # fmt: skip


class Resist(Filled):
    """One resist (or bilayer) with its calibrated point; in a bilayer the thickness is that of the lower layer."""

    name: Title
    sensitive_to: Literal["electrons", "light"]
    tone: Literal["positive", "negative"] = "positive"
    undercut: bool = False
    thickness: Length
    at_speed: SpinSpeed = usual("4000 rpm")
    exponent: Exponent = usual("0.5")
    slowest: SpinSpeed = usual("2000 rpm")
    fastest: SpinSpeed = usual("6000 rpm")
    finest: Length = usual("15 nm")
    dose: Dose = usual("260 uC/cm2")
    dose_at: BeamVoltage = usual("30 kV")


def _resist(name: str, to: str, thickness: str, slowest: str, fastest: str, undercut: bool = False,
            finest: str = "15 nm") -> dict[str, Any]:  # fmt: skip
    figures = {"thickness": thickness, "slowest": slowest, "fastest": fastest, "finest": finest}
    return {"name": name, "sensitive_to": to, "undercut": undercut} | {
        key: {"value": text, "basis": BASIS} for key, text in figures.items()
    }


_RESISTS = (
    _resist("thin PMMA", "electrons", "120 nm", "5000 rpm", "7000 rpm"),
    _resist("PMMA", "electrons", "220 nm", "5000 rpm", "7000 rpm"),
    _resist("PMMA on copolymer", "electrons", "450 nm", "5000 rpm", "7000 rpm", True, "30 nm"),
    _resist("optical resist", "light", "1.3 um", "2000 rpm", "6000 rpm", finest="0.5 um"),
    _resist("optical resist on lift-off layer", "light", "0.6 um", "2000 rpm", "6000 rpm", True, "0.8 um"),
)


class Access(Filled):
    """On whose terms the tools are used; the factor multiplies every rate."""

    terms: Literal["academic", "outside", "subsidised"] = "academic"
    factor: Factor | None = None
    room_rate: DayPrice = usual("45 EUR/h")


class Node(Filled):
    """A room with tools: this one, or another that takes guests."""

    name: Title
    tools: Annotated[tuple[AnyTool, ...], Option(max_length=200)] = ()
    access: Access = Access()
    hours_per_day: Hours = usual("9 h")
    days_per_week: Days = usual("5")
    lead: Time = usual("3 weeks")


class Foundry(Filled):
    """A production line with rigid rules: its own materials, its own features, whole wafers."""

    name: Title
    smallest: Length = usual("120 nm")
    overlay: Length = usual("20 nm")
    run_price: Money = usual("30000 EUR")
    chips_per_run: Some = usual("1000")
    lead: Time = usual("36 weeks")
    layer_yield: Chance = usual("99 %")


class Cleanroom(Node):
    """The cleanroom of a facility (`cleanroom:` in `lab.yaml`)."""

    name: Title = "the cleanroom"
    lead: Time = usual("0 h")
    resists: tuple[Resist, ...] = Option(default=_RESISTS, validate_default=True)
    handling_loss: Loss = usual("5 %")
    bonding_loss: Loss = usual("3 %")
    waiting: DayPrice = usual("30 EUR/day")
    materials: dict[str, Cleanliness] = Option(default_factory=dict)
    nodes: tuple[Node, ...] = ()
    foundries: tuple[Foundry, ...] = ()

    @model_validator(mode="after")
    def _names_agree(self) -> Cleanroom:
        seen: set[str] = set()
        for tool in (tool for node in (self, *self.nodes) for tool in node.tools):
            if tool.id in seen:
                raise fail(f"tool '{tool.id}' is given twice", "give each tool its own id")
            seen.add(tool.id)
        return self
