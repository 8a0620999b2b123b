"""What a proposal can say, as questions in the trade's words: a few first, the rest by subject.

The fields come from the model of a proposal, so that a form and a file always ask the same things.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from types import NoneType
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from triage.display import pretty, show
from triage.measurements.kind import Input, Kind
from triage.models.proposal import Proposal
from triage.models.quantity import Bounds, Value
from triage.units import CUSTOMARY

Form = Literal["quantity", "choice", "yes or no", "text", "date"]
MOST_FIRST = 8  # more than this at once and people stop reading; the kind of measurement is one of them


@dataclass(frozen=True)
class Default:
    """What stands in where nothing is written, and on what it rests."""

    text: str
    basis: str


@dataclass(frozen=True)
class Question:
    """One entry of a proposal: where it is written, what is asked, and how it is answered."""

    path: str
    label: str
    ask: str
    form: Form
    units: str = ""
    choices: tuple[str, ...] = ()
    default: Default | None = None
    needed: bool = False

    @property
    def section(self) -> str:
        """The subject the question belongs to."""
        root, _, rest = self.path.partition(".")
        return SECTIONS.get(root, "The document") if rest or root in SECTIONS else "The document"


SECTIONS = {
    "device": "The device", "devices": "How many devices", "board": "Board and carrier", "lines": "Lines",
    "field": "Magnetic field", "heat": "Heat at the sample", "signal": "Signal", "time": "Time",
    "sweep": "Temperature sweep", "asked": "What was asked for", "risk": "Risk and people",
}  # fmt: skip
# Label and question, where the name of the entry alone does not say enough.
_WORDS: dict[str, tuple[str, str]] = {
    "title": ("Title", "What is the proposal called?"),
    "claim": ("Claim", "What will be claimed, with which number and how well?"),
    "group": ("Group", "Which group or project asks?"),
    "date": ("Date", "When was this written?"),
    "tier": ("Wanted quality", "See the feature, measure the number, or publish it?"),
    "budget": ("Budget", "What may the answer cost?"),
    "notes": ("Notes", "Anything a reader should know."),
    "devices.needed": ("Devices needed", "How many working devices does the claim need?"),
    "devices.lines_each": ("Lines per device", "How many DC lines does one device take?"),
    "devices.lines_shared": ("Shared lines", "How many lines do all devices share?"),
    "devices.per_load": ("Devices per load", "How many are wired for one cooldown?"),
    "devices.working": ("Working share", "Which part of the devices works once cold?"),
    "devices.proxy": ("Warm test tells", "Which share of the cold result does a warm test explain?"),
    "devices.difference": ("Difference of groups", "How large is the effect over the spread within a group?"),
    "devices.screened": ("Screened before", "How cold were the devices tested before?"),
    "devices.frozen": ("Wiring is fixed", "Is the wiring of the board final?"),
    "board.length": ("Board length", "How long is the board?"),
    "board.width": ("Board width", "How wide is the board?"),
    "board.height": ("Board height", "How high, with everything on it?"),
    "board.mounting": ("Mounted", "Across or along the bore?"),
    "board.chip": ("Chip size", "How large is the chip?"),
    "board.chip_from_end": ("Chip from end", "How far is the chip from the end of the board?"),
    "board.mass": ("Mass", "What does board and carrier weigh?"),
    "board.per_load": ("Boards per load", "How many boards go in at once?"),
    "board.connectors.side": ("Connectors on", "Do the connectors leave at the end or on top?"),
    "board.connectors.overhang": ("Overhang", "How far do connectors stick out?"),
    "board.connectors.bend_radius": ("Bend radius", "How tightly do the cables bend?"),
    "board.carrier.name": ("Carrier", "Which carrier holds the chip?"),
    "board.carrier.pinout": ("Pin-out", "How is the carrier wired?"),
    "board.carrier.connectors": ("Carrier plugs", "Which plugs does the carrier have?"),
    "board.carrier.magnetic": ("Magnetic parts", "Is anything on the carrier magnetic?"),
    "lines.dc": ("DC lines", "How many DC lines in all, if not counted per device?"),
    "lines.coax": ("Coaxial lines", "How many coaxial lines?"),
    "lines.bandwidth": ("Bandwidth", "Up to which frequency?"),
    "lines.fibres": ("Fibres", "How many optical fibres?"),
    "lines.voltage": ("Voltage", "What is the largest voltage on a line?"),
    "lines.current": ("Current", "What is the largest current on a line?"),
    "lines.rf_power": ("RF power", "What goes into each coaxial line at the top while it is on?"),
    "lines.duty": ("RF duty", "Which part of the time is it on?"),
    "lines.extra_coax": ("Own coax", "How many coaxial lines do you bring?"),
    "field.magnitude": ("Field", "How much field at the sample?"),
    "field.ramp_rate": ("Ramp rate", "How fast is the field ramped?"),
    "field.axes": ("Axes", "Along how many axes?"),
    "field.across": ("Field across", "How much across the main axis?"),
    "field.homogeneity": ("Homogeneity", "How even must it be?"),
    "field.over": ("Even over", "Over which length?"),
    "field.ramps": ("Ramps", "How many ramps?"),
    "field.persistent": ("Persistent", "Must the magnet be persistent?"),
    "field.residual": ("Residual field", "How much may remain at zero?"),
    "field.rotation": ("Rotation", "Is the sample turned in the field?"),
    "field.superconducting_parts": ("Superconducting parts", "Does the field hurt superconducting parts?"),
    "heat.device": ("Device", "What does the device dissipate?"),
    "heat.lines": ("Lines", "What do your own lines bring in?"),
    "heat.amplifier": ("Cold amplifier", "What does a cold amplifier dissipate?"),
    "heat.amplifier_at": ("Amplifier sits at", "On which stage?"),
    "heat.duty": ("Duty", "Which part of the time is it on?"),
    "heat.chip_area": ("Chip contact", "Over which area does the chip touch its carrier?"),
    "heat.joint": ("Chip joint", "Glued, soldered or in liquid?"),
    "heat.island_volume": ("Island volume", "How large is the island that is heated?"),
    "heat.island_material": ("Island metal", "Which metal?"),
    "heat.island_power": ("Island power", "What is dissipated in it?"),
    "signal.read_as": ("Read as", "How is the signal read?"),
    "signal.smallest": ("Smallest signal", "What is the smallest current to be told from noise?"),
    "signal.noise": ("Noise", "How much noise in one root hertz?"),
    "signal.ratio": ("Signal over noise", "Which ratio is wanted?"),
    "signal.excitation_limited": ("Excitation limited", "Does a colder sample allow less excitation?"),
    "signal.excited_at": ("Excited at", "At which temperature does the smallest signal hold?"),
    "signal.band_low": ("Band from", "Where does the signal band begin?"),
    "signal.band_high": ("Band to", "Where does it end?"),
    "signal.vibration_sensitivity": ("Cares for vibration", "From 0, not at all, to 5, most of all."),
    "signal.sensitive_to": ("Motion enters by", "By which path does motion reach the signal?"),
    "time.per_device": ("Data per device", "How long are data taken on one device?"),
    "time.trace": ("One trace", "How long does one unbroken trace take?"),
    "time.points": ("Points", "How many points are taken?"),
    "time.settle": ("Settling", "How long does a point settle?"),
    "time.tuning": ("Tuning", "How long is the device tuned once cold?"),
    "time.retune": ("Tuning again", "What does a recycle cost in tuning?"),
    "time.drift": ("Drift", "Within which time does the device wander?"),
    "time.unbroken": ("Unbroken", "Must the data come in one piece?"),
    "time.deadline": ("Answer within", "By when must the answer be there?"),
    "sweep.low": ("Coldest", "From which temperature?"),
    "sweep.high": ("Warmest", "Up to which temperature?"),
    "asked.platform": ("Platform asked for", "Which platform did you have in mind?"),
    "asked.temperature": ("Temperature asked for", "Which temperature did you have in mind?"),
    "risk.unique": ("One of a kind", "Is the sample irreplaceable?"),
    "risk.brittle": ("Brittle", "Does it suffer from thermal cycles?"),
    "risk.destructive": ("Destructive", "Will the measurement destroy it?"),
    "risk.thin_gates": ("Thin gates", "Can static electricity kill it?"),
    "risk.contaminating": ("Contaminating", "Can it soil the machine?"),
    "risk.operator": ("Operator", "Who is at the machine?"),
    "risk.null_result": ("Claims absence", "Would nothing seen be the result?"),
}
# Where a kind keeps what is customary for an entry, and the unit of a bare number there.
_USUAL = {
    "devices.lines_each": ("dc", ""), "lines.coax": ("coax", ""), "lines.fibres": ("fibres", ""),
    "devices.needed": ("devices", ""), "time.per_device": ("per_device", ""), "time.tuning": ("tuning", ""),
    "signal.read_as": ("read_as", ""), "signal.band_low": ("band_low", "Hz"), "signal.band_high": ("band_high", "Hz"),
    "signal.smallest": ("smallest", ""), "signal.vibration_sensitivity": ("vibration", ""),
}  # fmt: skip
# Layers and materials of the chip are asked where its fabrication is planned.
_NOT_ASKED = ("measurement", "device", "invented", "fabrication", "signal.field_gradient")
_FIRST = ("devices.lines_each", "field.magnitude", "board", "devices.needed", "time.deadline")


@lru_cache(maxsize=1)
def _proposal_fields() -> tuple[tuple[str, FieldInfo], ...]:
    return tuple(_fields(Proposal, ""))


def first_questions(kind: Kind) -> tuple[Question, ...]:
    """What to ask first about a kind of measurement; the kind itself is the first of at most eight questions.

    The two sides of a board count as one question.
    """
    scale = [each for each in _device(kind) if each.needed] or list(_device(kind)[:1])
    general = _general(kind)
    room = MOST_FIRST - 2 - len(scale)
    wanted = list(_FIRST)
    if not kind.needs_field:
        wanted.sort(key=lambda path: path == "field.magnitude")
    chosen = [path for path in _FIRST if path in wanted[: max(room, 0)]]
    found: list[Question] = [*scale, general["tier"]]
    for path in chosen:
        found += [general["board.length"], general["board.width"]] if path == "board" else [general[path]]
    return tuple(found)


def other_questions(kind: Kind) -> dict[str, tuple[Question, ...]]:
    """Everything else a proposal can say, by subject."""
    first = {each.path for each in first_questions(kind)}
    rest = [each for each in (*_device(kind), *_general(kind).values()) if each.path not in first]
    named = ["The device", *(title for title in SECTIONS.values() if title != "The device"), "The document"]
    found = {title: tuple(each for each in rest if each.section == title) for title in named}
    return {title: questions for title, questions in found.items() if questions}


def all_questions(kind: Kind) -> dict[str, Question]:
    """Every question of a kind, by path."""
    return {each.path: each for each in (*_device(kind), *_general(kind).values())}


@lru_cache(maxsize=64)
def _device_cached(inputs: tuple[Input, ...]) -> tuple[Question, ...]:
    return tuple(
        Question(
            path=f"device.{each.name}",
            label=_label(each.name),
            ask=each.question,
            form="quantity",
            units=_energy_units(each),
            default=Default(each.default, each.basis) if each.default is not None else None,
            needed=each.default is None and not each.optional,
        )
        for each in inputs
    )


def _device(kind: Kind) -> tuple[Question, ...]:
    return _device_cached(kind.inputs)


def _energy_units(asked: Input) -> str:
    if asked.reads == "quantity":
        return _units(asked.unit)
    return "meV, K, GHz or T" + (", or fF" if asked.reads == "charging energy" else "")


def _units(unit: str) -> str:
    return CUSTOMARY.get(unit, pretty(unit)).replace("uW", "µW")


def _general(kind: Kind) -> dict[str, Question]:
    found: dict[str, Question] = {}
    for path, info in _proposal_fields():
        if path in _NOT_ASKED or path.partition(".")[0] in _NOT_ASKED:
            continue
        form, units, choices = _form(info.annotation, info.metadata)
        label, ask = _WORDS.get(path, (_label(path.rpartition(".")[2]), ""))
        needed = path in ("title", "tier") or (path == "field.magnitude" and kind.needs_field)
        found[path] = Question(path, label, ask, form, units, choices, _default(kind, path, info, form), needed)
    return found


def _default(kind: Kind, path: str, info: FieldInfo, form: Form) -> Default | None:
    name, unit = _USUAL.get(path, ("", ""))
    if name and name in kind.usual:
        usual = kind.usual[name]
        return Default(show(float(usual), unit) if unit else str(usual), "common practice")
    if form == "yes or no" and isinstance(info.default, bool):
        return Default("yes" if info.default else "no", "default")
    if form == "choice" and isinstance(info.default, str):
        return Default(info.default, "default")
    if isinstance(info.default, int) and not isinstance(info.default, bool):
        return Default(str(info.default), "default")
    return None


def _fields(model: type[BaseModel], prefix: str) -> Iterator[tuple[str, FieldInfo]]:
    for name, info in model.model_fields.items():
        inner = next((part for part in _parts(info.annotation) if _is_model(part)), None)
        if inner is None:
            yield prefix + name, info
        else:
            yield from _fields(inner, f"{prefix}{name}.")


def _parts(annotation: Any) -> list[Any]:
    """The alternatives of an annotation, without None."""
    if get_origin(annotation) is Literal or not get_args(annotation):
        return [annotation]
    if hasattr(annotation, "__metadata__"):
        return [annotation]
    return [part for each in get_args(annotation) if each is not NoneType for part in _parts(each)]


def _is_model(part: Any) -> bool:
    return isinstance(part, type) and issubclass(part, BaseModel)


def _form(annotation: Any, metadata: list[Any]) -> tuple[Form, str, tuple[str, ...]]:
    for part in _parts(annotation):
        notes = [*getattr(part, "__metadata__", ()), *metadata]
        bounds = next((each for each in notes if isinstance(each, Bounds)), None)
        bare = get_args(part)[0] if hasattr(part, "__metadata__") else part
        if bounds is not None or bare is Value:
            return "quantity", _units(bounds.unit) if bounds else "", ()
        if get_origin(bare) is Literal:
            return "choice", "", tuple(str(each) for each in get_args(bare))
        if bare is bool:
            return "yes or no", "", ("yes", "no")
        if bare is datetime.date:
            return "date", "", ()
    return "text", "", ()


def _label(name: str) -> str:
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:]
