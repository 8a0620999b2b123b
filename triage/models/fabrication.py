"""What a proposal wants made: the device as a stack of layers (`fabrication:` in a proposal)."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.cleanroom import Chance, Cleanliness, Filled, Some, is_unknown, usual
from triage.models.names import Title
from triage.models.quantity import Area, Count, Length, Temperature, fail

TemplateName = Literal[
    "metallic-single-electron-transistor",
    "gate-defined-dot",
    "tunnel-junction",
    "resonator",
    "hall-bar",
    "flake-contacts",
    "test-transistors",
]
Deposition = Literal[
    "evaporated",
    "angle evaporated",
    "sputtered",
    "grown",
    "etched",
    "implanted",
    "atomic-layer deposited",
    "transferred",
]
Transfer = Literal["lift-off", "etch", "resist only"]


class Layer(Filled):
    """One layer: what is patterned, how finely, over which layer below, and how it is made.

    A layer without `smallest_feature` has no pattern. Without `after` it follows the layer listed before it.
    """

    name: Title
    purpose: str | None = None
    smallest_feature: Length | None = None
    smallest_gap: Length | None = None
    coarse_feature: Length = usual("5 um")
    overlay: Length | None = None
    overlay_to: str | None = None
    exposed_area: Area = usual("0.05 mm2", "default")
    fine_area: Area | None = None
    extent: Length = usual("1 mm", "default")
    fine_extent: Length | None = None
    material: Title = "aluminium"
    deposition: Deposition = "evaporated"
    transfer: Transfer | None = None
    thickness: Length | None = None
    dielectric: Length | None = None
    temperature: Temperature | None = None
    works: Chance | None = None
    revisions: Count | None = None
    after: tuple[str, ...] | None = None
    asked: Literal["electron-beam writer", "mask aligner", "laser writer", "stepper"] | None = None
    residue_matters: bool = False

    @model_validator(mode="before")
    @classmethod
    def _feature_known(cls, raw: Any) -> Any:
        if isinstance(raw, dict) and is_unknown(raw.get("smallest_feature")):
            raise fail("the smallest feature decides the route", "give a guess, such as about 100 nm")
        return raw

    @model_validator(mode="after")
    def _parts_fit(self) -> Layer:
        fine = self.fine_area
        stated = "exposed_area" in self.model_fields_set
        if fine is not None and stated and fine.nominal > self.exposed_area.nominal:
            raise fail("the fine area is larger than the exposed area", "the fine part is within the whole")
        return self

    @property
    def made_by(self) -> Transfer:
        """How the pattern gets into the layer, where nothing else is stated."""
        if self.transfer is not None:
            return self.transfer
        if self.deposition in ("evaporated", "angle evaporated"):
            return "lift-off"
        return "resist only" if self.deposition == "implanted" else "etch"


class Substrate(Filled):
    """What the process starts from."""

    material: Title = "silicon"
    history: Cleanliness = "A"
    chips_per_piece: Some = usual("4")


class Fabrication(Filled):
    """What must be made, how many, and how often the design will change."""

    template: TemplateName | None = None
    layers: Annotated[tuple[Layer, ...], Option(max_length=60)] = ()
    substrate: Substrate = Substrate()
    good_chips: Some | None = None
    devices_per_chip: Some = usual("1")
    confidence: Chance = usual("90 %")
    revisions: Count = usual("2")
    uniformity: bool = False
    returns_to_furnace: bool = False

    @model_validator(mode="after")
    def _something_to_make(self) -> Fabrication:
        if self.template is None and not self.layers:
            raise fail("neither a template nor layers are given", "name a template, or list the layers")
        names = [layer.name for layer in self.layers]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice:
            raise fail(f"layer '{twice}' is given twice", "give each layer its own name")
        return self
