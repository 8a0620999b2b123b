"""The thermal stages of a platform and what ties them together: lines, radiation, windows, leads, a plate.

With this description the heat of every stage is added up; without it a platform keeps its stated static load.
"""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.names import Identifier
from triage.models.quantity import (
    Area,
    Count,
    Current,
    Decibels,
    Entry,
    Fraction,
    Length,
    Number,
    Power,
    Resistivity,
    Temperature,
    Value,
    fail,
)

SAMPLE = "sample"  # the stage that carries the sample; the platform's own cooling describes it
ROOM = "room"
Metal = Literal[
    "stainless_steel", "copper_50", "copper_100", "manganin", "phosphor_bronze", "niobium_titanium", "cupronickel",
    "beryllium_copper", "ptfe", "polyimide",
]  # fmt: skip
Coax = Literal["2.2 mm", "1.2 mm", "0.86 mm"]


class Stage(Entry):
    """A stage above the sample: its temperature without load and, unless a bath keeps it there, one power."""

    id: Identifier
    base_temperature: Temperature
    cooling_power: Power | None = None
    power_at: Temperature | None = None

    @model_validator(mode="after")
    def _power_has_a_temperature(self) -> Stage:
        if (self.cooling_power is None) != (self.power_at is None):
            raise fail(f"stage '{self.id}' has only one of cooling_power and power_at", "give both, or neither")
        if self.power_at is not None and self.power_at.nominal < self.base_temperature.nominal:
            raise fail(f"stage '{self.id}' has its power quoted below its base", "exchange the two temperatures")
        return self


class LineGroup(Entry):
    """Equal lines: wires of one cross-section, or coaxial lines.

    `length` gives, for each stage where the lines are anchored, the length of the span that ends there;
    `attenuation` the decibels of the attenuator on each; `below` another material from that stage down.
    """

    id: Identifier
    count: Count
    material: Metal
    coax: Coax | None = None
    gauge: Number | None = None
    diameter: Length | None = None
    area: Area | None = None
    length: dict[str, Length]
    attenuation: dict[str, Decibels] = Option(default_factory=dict)
    below: dict[str, Metal] = Option(default_factory=dict)

    @model_validator(mode="after")
    def _one_cross_section(self) -> LineGroup:
        given = [each for each in (self.coax, self.gauge, self.diameter, self.area) if each is not None]
        if len(given) != 1:
            remedy = "give exactly one of coax, gauge, diameter and area"
            raise fail(f"line group '{self.id}' has {len(given)} cross-sections", remedy)
        return self

    @cached_property
    def quantities(self) -> dict[str, Value]:
        """The numbers of the group, spans and attenuators by stage."""
        own = dict(super().quantities)
        for name, found in (("length", self.length), ("attenuation", self.attenuation)):
            own |= {f"{name}.{stage}": value for stage, value in found.items()}
        return own


class Radiation(Entry):
    """Thermal radiation onto a stage from what surrounds it: bare metal, or behind insulation of some layers."""

    onto: str
    seen: str
    area: Area
    emissivity: Fraction | None = None
    layers: Number | None = None


class Window(Entry):
    """An opening through which a stage sees room temperature."""

    onto: str
    area: Area
    transmission: Fraction | None = None


class CurrentLeads(Entry):
    """Leads of a magnet that end on a stage, each made for one current."""

    onto: str
    count: Count
    current: Current
    cooled_by: Literal["conduction", "vapour"] = "conduction"


class Plate(Entry):
    """The metal at the sample that a ramped field heats, broad side across the field."""

    length: Length
    width: Length
    thickness: Length
    resistivity: Resistivity | None = None


class Loom(Entry):
    """Stages from warm to cold, and the heat that reaches them."""

    stages: Annotated[tuple[Stage, ...], Option(max_length=10)] = ()
    lines: Annotated[tuple[LineGroup, ...], Option(max_length=50)] = ()
    radiation: Annotated[tuple[Radiation, ...], Option(max_length=20)] = ()
    windows: Annotated[tuple[Window, ...], Option(max_length=20)] = ()
    leads: Annotated[tuple[CurrentLeads, ...], Option(max_length=10)] = ()
    plate: Plate | None = None

    @cached_property
    def order(self) -> tuple[str, ...]:
        """The stages by id, warm to cold, the sample stage last."""
        return (*(stage.id for stage in self.stages), SAMPLE)

    @cached_property
    def quantities(self) -> dict[str, Value]:
        """Every number, by the id of its stage or group, or by its place in a list."""
        found = {f"{part}.{each.id}.{path}": value for part, items in (("stages", self.stages), ("lines", self.lines))
                 for each in items for path, value in each.quantities.items()}  # fmt: skip
        for part, unnamed in (("radiation", self.radiation), ("windows", self.windows), ("leads", self.leads)):
            for index, each in enumerate(unnamed):
                found |= {f"{part}.{index}.{path}": value for path, value in each.quantities.items()}
        if self.plate is not None:
            found |= {f"plate.{path}": value for path, value in self.plate.quantities.items()}
        return found

    @model_validator(mode="after")
    def _stages_agree(self) -> Loom:
        warm = [stage.base_temperature.nominal for stage in self.stages]
        if any(below >= above for above, below in pairwise(warm)):
            raise fail("the stages are not in order", "list them from warm to cold")
        for ids, what in ((self.order, "stage"), ([group.id for group in self.lines], "line group")):
            if len(set(ids)) < len(ids):
                raise fail(f"a {what} is given twice", f"'{SAMPLE}' is taken; give each {what} its own id")
        for name in self._named():
            if name not in self.order:
                raise fail(f"there is no stage '{name}'", "use one of: " + ", ".join(self.order))
        for each in self.radiation:
            seen = -1 if each.seen == ROOM else self.order.index(each.seen) if each.seen in self.order else 99
            if seen >= self.order.index(each.onto):
                raise fail(f"'{each.onto}' sees '{each.seen}', which is no warmer stage", f"use '{ROOM}' or a stage")
        return self

    def _named(self) -> list[str]:
        groups = [name for group in self.lines for name in (*group.length, *group.attenuation, *group.below)]
        seated = [each.onto for each in self.radiation] + [each.onto for each in self.windows]
        return [*groups, *seated, *(each.onto for each in self.leads)]
