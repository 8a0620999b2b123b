"""One layer made in one way: what limits it there, as figures for people and facts for the rules."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from triage.estimates.case import ratio
from triage.fabrication import materials
from triage.fabrication.exposure import Print, expose, regions
from triage.fabrication.figures import figure
from triage.fabrication.steps import air_wanted
from triage.fabrication.work import Work, exposing_tools, print_work, process_works, usual_work
from triage.models.cleanroom import Cleanliness, Cleanroom, ElectronBeam, Exposing, Node
from triage.models.estimate import Estimate
from triage.models.fabrication import Fabrication, Layer
from triage.models.quantity import Value
from triage.physics.lithography import overlay_error, overlay_margin

_NO_PATTERN = Value(0.98, 0.98, 0.98, "98 %", "common practice")  # yield of a layer without a pattern
Fact = float | str


@dataclass(frozen=True)
class Way:
    """One layer, made with certain tools."""

    layer: Layer
    prints: tuple[tuple[Print, Node], ...]
    works: tuple[Work, ...]
    class_before: Cleanliness
    class_after: Cleanliness
    layer_yield: Value
    overlay: float
    figures: Mapping[str, Estimate]
    facts: Mapping[str, Fact]

    @property
    def exposure(self) -> str:
        """The way of exposing, as rules name it."""
        words = [printed.word for printed, _ in self.prints]
        return "none" if not words else words[0] if len(words) == 1 else "mixed"

    @property
    def tool_name(self) -> str:
        """The exposing tools by name, the fine one first."""
        return " and ".join(printed.tool.name for printed, _ in self.prints) or self.works[0].tool.name


@dataclass(frozen=True)
class Place:
    """Where a layer stands in its route: what the sample has seen and what lies below."""

    sample: Cleanliness
    below: Mapping[str, Way] = field(default_factory=dict)
    fine_marks: frozenset[str] = frozenset()


def ways(
    layer: Layer, tools: Sequence[tuple[Exposing, Node]], room: Cleanroom, wanted: Fabrication, place: Place
) -> list[Way]:
    """Every way to make a layer with some exposing tools: each alone, and each pair as fine and coarse."""
    parts = regions(layer)
    if not parts:
        return [_way(layer, (), room, wanted, place)]
    found = []
    for tool, node in tools:
        if printed := expose(tool, layer, parts, room.resists):
            found.append(_way(layer, ((printed, node),), room, wanted, place))
    if len(parts) == 2:
        for fine, fine_node in tools:
            for coarse, coarse_node in tools:
                pair = (expose(fine, layer, parts[:1], room.resists), expose(coarse, layer, parts[1:], room.resists))
                if fine is not coarse and pair[0] and pair[1] and not isinstance(coarse, ElectronBeam):
                    both = ((pair[0], fine_node), (pair[1], coarse_node))
                    found.append(_way(layer, both, room, wanted, place))
    return found


def _way(
    layer: Layer, prints: tuple[tuple[Print, Node], ...], room: Cleanroom, wanted: Fabrication, place: Place
) -> Way:
    works, missing = _works(layer, prints, room, place.sample)
    back, after = _contamination(layer, works, room, place.sample)
    figures: dict[str, Estimate] = {}
    facts: dict[str, Fact] = {
        "deposition": layer.deposition,
        "class_steps_back": back,
        "class_after": after,
        "returns_to_furnace": _yes(wanted.returns_to_furnace),
        "made_at": "nowhere" if missing else "here" if all(w.node is room for w in works) else "elsewhere",
        "production_material": _yes(materials.in_production(layer.material)),
        "insulating_substrate": _yes(materials.insulating(wanted.substrate.material)),
        "residue_matters": _yes(layer.residue_matters),
        "uniformity": _yes(wanted.uniformity),
        "tool_asked": _asked(layer, room),
        "revisions": (layer.revisions or wanted.revisions).nominal,
        "fine_marks": _yes(layer.name in place.fine_marks),
        "air_excess": max((w.tool.iso_class - _air(w, layer) for w in works), default=0),
    }
    if missing:
        figures["missing_tool"] = figure("missing_tool", ", ".join(missing), "", "tools of the room and other nodes")
    if layer.dielectric is not None:
        facts["dielectric"] = layer.dielectric.nominal
    if layer.overlay_to is not None and layer.overlay_to in place.below:
        facts["marks_survive"] = _yes(_marks_survive(layer, place.below))
    overlay = 0.0
    if prints:
        _printing(layer, prints, room, figures, facts)
        overlay = _alignment(layer, prints, place.below, figures, facts)
    part = layer.works or _yield(prints)
    figures["layer_yield"] = figure("layer_yield", part.nominal, "%", "stated, or the product of its exposures",
                                    {"layer_yield": part})  # fmt: skip
    facts["layer_yield"] = part.nominal
    way = Way(layer, prints, tuple(works), place.sample, after, part, overlay, figures, facts)
    return replace(way, facts={**facts, "exposure": way.exposure})


def _yes(truth: bool) -> str:
    return "yes" if truth else "no"


def _works(
    layer: Layer, prints: Sequence[tuple[Print, Node]], room: Cleanroom, sample: Cleanliness
) -> tuple[list[Work], list[str]]:
    """Every exposure is a pass of its own: spin, expose, develop, deposit or etch, strip."""
    processes, missing = process_works(layer, room, sample)
    works: list[Work] = []
    for printed, node in prints:
        works += [usual_work("spin, develop, strip", "spinner", room), print_work(printed, node), *processes]
    return [*(works or processes), usual_work("inspect", "inspection", room)], missing


def _contamination(
    layer: Layer, works: Sequence[Work], room: Cleanroom, sample: Cleanliness
) -> tuple[int, Cleanliness]:
    """How far cleaner than the sample a tool on the way is, and the class with which the sample leaves."""
    back, brought = 0, materials.cleanliness(layer.material, room.materials)
    for work in works:
        if work.tool.passes_on:
            sample = materials.dirtiest(sample, brought)
        back = max(back, materials.steps_back(sample, work.tool.accepts))
        if work.tool.passes_on:
            sample = materials.dirtiest(sample, work.tool.accepts)
    return back, materials.dirtiest(sample, brought)


def _asked(layer: Layer, room: Cleanroom) -> str:
    if layer.asked is None:
        return "none"
    needed = layer.smallest_feature.nominal if layer.smallest_feature else 0.0
    nodes = [
        node
        for tool, node in exposing_tools(room)
        if tool.kind == layer.asked and (isinstance(tool, ElectronBeam) or tool.smallest.nominal <= needed)
    ]
    return "nowhere" if not nodes else "here" if room in nodes else "elsewhere"


def _air(work: Work, layer: Layer) -> int:
    exposing = work.what == "expose" and layer.smallest_feature is not None
    return air_wanted(layer.smallest_feature.nominal if exposing and layer.smallest_feature else None)


def _marks_survive(layer: Layer, below: Mapping[str, Way]) -> bool:
    """Whether nothing made since the reference layer was hotter than its edges stand."""
    names = list(below)
    reference = below[layer.overlay_to or ""]
    since = [below[name].layer for name in names[names.index(reference.layer.name) :]]
    hottest = max((each.temperature.nominal for each in since if each.temperature), default=0.0)
    if reference.layer.deposition in ("etched", "implanted"):
        return True
    return hottest <= materials.marks_survive_to(reference.layer.material)


def _yield(prints: Sequence[tuple[Print, Node]]) -> Value:
    values = [printed.tool.layer_yield for printed, _ in prints]
    if len(values) <= 1:
        return values[0] if values else _NO_PATTERN
    product = math.prod(value.nominal for value in values)
    return replace(values[0], nominal=product, low=product, high=product, text=" times ".join(v.text for v in values))


def _printing(
    layer: Layer, prints: Sequence[tuple[Print, Node]], room: Cleanroom, figures: dict[str, Estimate],
    facts: dict[str, Fact],
) -> None:  # fmt: skip
    """Resolution, resist, lift-off, beam and fields."""
    printed = min((each for each, _ in prints), key=lambda each: each.margin)
    feature = min((part.feature for part in printed.regions), key=lambda value: value.nominal)
    coat = printed.coat
    figures["feature_needed"] = figure("feature_needed", feature.nominal, "m", "stated", {"smallest_feature": feature})
    figures["feature_resolved"] = printed.resolves
    figures["resolution_limit"] = figure("resolution_limit", printed.limit, "", "the largest of the limits")
    uses = {
        f"{coat.resist.name}.thickness": coat.resist.thickness,
        f"{coat.resist.name}.at_speed": coat.resist.at_speed,
    }
    figures["spin_speed"] = figure("spin_speed", coat.speed, "rpm", "w0 (t0/t)^(1/p), within the resist's range", uses,
                                   "Meyerhofer1978")  # fmt: skip
    figures["resist_thickness"] = figure("resist_thickness", coat.thickness, "m", "t0 (w0/w)^p", uses, "Meyerhofer1978")
    smallest, gap = layer.smallest_feature or feature, layer.smallest_gap or layer.smallest_feature or feature
    facts |= {
        "feature_margin": ratio(feature.nominal, float(printed.resolves.value)),
        "smallest_feature": smallest.nominal,
        "smallest_gap": gap.nominal,
        "pitch": smallest.nominal + gap.nominal,
        "transfer": layer.made_by,
        "undercut": _yes(coat.resist.undercut),
        "resist_ratio": ratio(coat.ratio, 1.0),
        "resist_margin": ratio(coat.ratio, coat.needed),
        "needs_mask": _yes(any(work.mask for work in (print_work(each, node) for each, node in prints))),
    }
    if layer.thickness:
        figures["film_thickness"] = figure("film_thickness", layer.thickness.nominal, "m", "stated",
                                           {"thickness": layer.thickness})  # fmt: skip
    _beam(layer, prints, room, figures, facts)


def _beam(
    layer: Layer, prints: Sequence[tuple[Print, Node]], room: Cleanroom, figures: dict[str, Estimate],
    facts: dict[str, Fact],
) -> None:  # fmt: skip
    beams = [each for each, _ in prints if isinstance(each.tool, ElectronBeam)]
    if not beams:
        return
    printed = beams[0]
    assert isinstance(printed.tool, ElectronBeam)
    uses = {"exposed_area": layer.exposed_area, "dose": printed.coat.resist.dose, "voltage": printed.tool.voltage}
    figures["write_time"] = figure("write_time", printed.beam_time, "s", "D A/I and fields, each region at its current",
                                   uses)  # fmt: skip
    figures["beam_current"] = figure(
        "beam_current",
        printed.beam_current,
        "A",
        "largest whose spot is a quarter of the feature and whose shots the clock follows",
    )
    figures["fields"] = figure("fields", printed.fields, "count", "ceil(L/f)^2", {"field": printed.tool.write_field})
    facts |= {
        "beam_area": printed.beam_area,
        "beam_current": printed.beam_current,
        "stitch_margin": ratio(printed.stitch_margin, 1.0),
    }
    if len(prints) == 2:
        alone = expose(printed.tool, layer, regions(layer), room.resists)
        facts["beam_time_saved"] = ratio(alone.beam_time if alone else printed.beam_time, printed.beam_time)


def _alignment(
    layer: Layer, prints: Sequence[tuple[Print, Node]], below: Mapping[str, Way], figures: dict[str, Estimate],
    facts: dict[str, Fact],
) -> float:  # fmt: skip
    """Overlay reached and its margin over the largest misplacement that the device stands."""
    reference = below.get(layer.overlay_to or "")
    margins, reached, uses = [], 0.0, {}
    tolerance = layer.overlay or layer.smallest_gap or layer.smallest_feature
    if reference is not None and tolerance is not None:
        own = _overlay(prints[0][0].tool, reference)
        parts = [own.nominal, reference.overlay]
        margins.append(float(overlay_margin(tolerance.nominal, *(part / 3 for part in parts))))
        reached = float(overlay_error(*parts))
        uses = {f"{prints[0][0].tool.id}.overlay": own}
        facts["overlay_tolerance"] = tolerance.nominal
        figures["overlay_needed"] = figure("overlay_needed", tolerance.nominal, "m", "stated, or the smallest gap",
                                           {"overlay": tolerance})  # fmt: skip
    if len(prints) == 2:
        joint = prints[1][0].tool.overlay
        room_for = prints[1][0].regions[0].feature.nominal / 2
        margins.append(float(overlay_margin(room_for, joint.nominal / 3, reached / 3)))
        if not uses:
            figures["overlay_needed"] = figure("overlay_needed", room_for, "m", "half the coarse feature",
                                               {"coarse_feature": layer.coarse_feature})  # fmt: skip
        uses[f"{prints[1][0].tool.id}.overlay"] = joint
    if margins:
        facts["overlay_margin"] = ratio(min(margins), 1.0)
        figures["overlay_reached"] = figure("overlay_reached", reached or prints[-1][0].tool.overlay.nominal, "m",
                                            "sqrt(sum of squares), three sigma", uses)  # fmt: skip
    return reached


def _overlay(tool: Exposing, reference: Way) -> Value:
    by_light = bool(reference.prints) and not isinstance(reference.prints[0][0].tool, ElectronBeam)
    return tool.overlay_on_optical_marks if isinstance(tool, ElectronBeam) and by_light else tool.overlay
