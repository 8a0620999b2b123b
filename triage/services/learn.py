"""What could still be learnt on a platform, and what a device must be to work there."""

from __future__ import annotations

from dataclasses import dataclass

from triage.display import show
from triage.estimates.chain import evaluate
from triage.measurements.catalogue import CATALOGUE
from triage.measurements.inputs import read_inputs
from triage.measurements.kind import Kind
from triage.models.lab import Lab, Platform
from triage.models.proposal import FieldWanted, Proposal
from triage.models.quantity import Value
from triage.models.tier import TIERS, Tier
from triage.planning.reverse import Requirement, requirements
from triage.services.workspace import Facility, Request
from triage.source import Source


@dataclass(frozen=True)
class Lesson:
    """What one kind of measurement asks of the device at the temperature a platform gives."""

    platform: str
    kind: str
    title: str
    temperature: float
    asks: str
    unit: str
    requirements: dict[Tier, Requirement]

    def words(self, tier: Tier) -> str:
        """The requirement of a tier in words: ``at least 1.1 meV``, ``yes`` or ``no``."""
        wanted = self.requirements[tier]
        if wanted.value is None:
            return "yes" if wanted.always else "no"
        return f"{'at least' if wanted.at_least else 'at most'} {show(wanted.value, self.unit)}"


def lessons(facility: Facility, platform: Platform) -> list[Lesson]:
    """For every kind of measurement, what the device must be on an unloaded platform."""
    return [_lesson(facility.lab, platform, kind, _typical(kind)) for kind in CATALOGUE.values()]


def device_needed(facility: Facility, request: Request) -> list[Lesson]:
    """For every platform, what the device of a proposal must be, its other inputs as stated."""
    inputs = {name: value.nominal for name, value in request.inputs.items() if value.known}
    if request.proposal.field is not None:
        inputs["field"] = request.proposal.field.magnitude.nominal
    return [_lesson(facility.lab, platform, request.kind, inputs) for platform in facility.lab.platforms]


def _lesson(lab: Lab, platform: Platform, kind: Kind, inputs: dict[str, float]) -> Lesson:
    temperature = _temperature(lab, platform, kind, inputs)
    asked, found = requirements(kind, inputs, temperature)
    return Lesson(
        platform=platform.name,
        kind=kind.key,
        title=kind.title,
        temperature=temperature,
        asks=asked.name.replace("_", " ") if asked else "-",
        unit=asked.unit if asked else "",
        requirements=found,
    )


def _temperature(lab: Lab, platform: Platform, kind: Kind, inputs: dict[str, float]) -> float:
    """What the observable of the kind feels on the platform without a load [K]."""
    field = FieldWanted.model_validate({"magnitude": f"{inputs.get('field', 1.0)} T"}) if kind.needs_field else None
    proposal = Proposal(title="what could be learnt", measurement=kind.key, field=field)
    values = {name: Value(value, value, value, "") for name, value in inputs.items() if name != "field"}
    return float(evaluate(lab, platform, proposal, kind, values).got("given_temperature"))


def _typical(kind: Kind) -> dict[str, float]:
    """Defaults where a kind has them, and the middle of what is believable where it has none."""
    needed = {each.name: {"value": "unknown"} for each in kind.inputs if not each.optional and each.default is None}
    values, _ = read_inputs(kind, needed, Source("", {}))
    found = {name: value.nominal for name, value in values.items() if value.known}
    for each in kind.inputs:
        if each.name in needed:
            found[each.name] = (max(each.least, each.most * 1e-9) * each.most) ** 0.5
    if kind.needs_field:
        found["field"] = 1.0
    return found


def rows(found: list[Lesson], first: str) -> tuple[list[str], list[list[str]]]:
    """Head and rows of a table; `first` is the attribute that names a row."""
    head = [first, "temperature", "asks for", *TIERS]
    return head, [
        [str(getattr(each, first)), show(each.temperature, "K"), each.asks, *(each.words(tier) for tier in TIERS)]
        for each in found
    ]
