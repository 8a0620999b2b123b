"""The whole device: layers put in order, every pair of exposing tools tried, the ways ranked."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from triage.display import show, significant
from triage.estimates.case import ratio
from triage.fabrication import materials
from triage.fabrication.figures import Source, figure
from triage.fabrication.foundry import foundry_plan
from triage.fabrication.layer import Place, Way, ways
from triage.fabrication.steps import step
from triage.fabrication.totals import Totals, totals
from triage.fabrication.work import exposing_tools, find_tool, process_kinds, total_price, total_time
from triage.models.cleanroom import CLASSES, Cleanroom, ElectronBeam, Exposing, Node
from triage.models.estimate import Estimate
from triage.models.fabrication import Fabrication, Layer
from triage.models.quantity import Value
from triage.models.recommendation import Finding, Verdict
from triage.models.route import LayerPlan, OtherTool, Plan, Step
from triage.reasoning import engine
from triage.reasoning.firing import FactSet
from triage.reasoning.rulebase import Rulebase
from triage.reasoning.vocabulary import Vocabulary
from triage.reasoning.words import finding, shown

Tools = Sequence[tuple[Exposing, Node]]


@dataclass(frozen=True)
class Job:
    """What is to be made, where, and how many of it must work."""

    room: Cleanroom
    wanted: Fabrication
    layers: tuple[Layer, ...]
    good: Value
    rulebase: Rulebase
    cold_queue: Value | None = None


@dataclass(frozen=True)
class LayerTexts:
    """What the placeholders of rules about layers stand for, worked out only when asked for."""

    tool: str
    layer: str
    figures: Mapping[str, Estimate]
    facts: Mapping[str, float | str]
    vocabulary: Vocabulary

    def __getitem__(self, name: str) -> str:
        if name in ("tool", "layer"):
            return self.tool if name == "tool" else self.layer
        if name in self.figures:
            return shown(self.figures[name])
        value = self.facts.get(name, "not stated")
        if isinstance(value, str):
            return value
        known = self.vocabulary.facts.get(name)
        return show(float(value), known.unit if known else "")


def in_order(layers: Sequence[Layer], room: Cleanroom) -> tuple[Layer, ...]:
    """The cleanest layer first, as far as each stays behind what it must follow; ties as listed."""
    after = {layer.name: _must_follow(layer, layers[:place]) for place, layer in enumerate(layers)}
    waiting, done = list(layers), list[Layer]()
    while waiting:
        free = [each for each in waiting if after[each.name] <= {layer.name for layer in done}] or waiting[:1]
        nxt = min(free, key=lambda each: (_dirt(each, room), waiting.index(each)))
        waiting.remove(nxt)
        done.append(nxt)
    return tuple(done)


def _must_follow(layer: Layer, before: Sequence[Layer]) -> set[str]:
    named = set(layer.after) if layer.after is not None else {each.name for each in before[-1:]}
    return named | ({layer.overlay_to} if layer.overlay_to else set())


def _dirt(layer: Layer, room: Cleanroom) -> int:
    own = materials.cleanliness(layer.material, room.materials)
    found = [find_tool(kind, room, own) for _, kind in process_kinds(layer)]
    return CLASSES.index(materials.dirtiest(own, *(each[0].accepts for each in found if each is not None)))


def plans(job: Job) -> tuple[Plan, ...]:
    """Every way to make the device, best first."""
    found: dict[tuple[str, ...], Plan] = {}
    for tools in _choices(exposing_tools(job.room), any(layer.smallest_feature for layer in job.layers)):
        plan = _plan(job, tools)
        if plan is not None:
            found.setdefault(plan.tools, plan)
    for foundry in job.room.foundries:
        plan = _judged_foundry(job, foundry_plan(job.layers, job.wanted, job.good, foundry, job.room))
        found[plan.tools] = plan
    return tuple(sorted(found.values(), key=_rank))


def _rank(plan: Plan) -> tuple[float, ...]:
    cautions = {each.rule for each in plan.findings if each.effect == "caution"}
    return (len(plan.vetoes), len(cautions), float(plan.figures["effort"].value))


def _choices(tools: Tools, patterned: bool) -> Iterator[Tools]:
    """Each exposing tool alone, then each pair; nothing where no layer has a pattern."""
    if not patterned:
        yield ()
        return
    for count in (1, 2):
        yield from itertools.combinations(tools, count)


def _plan(job: Job, tools: Tools) -> Plan | None:
    """The best way to make every layer with these tools; None where they do not expose anything."""
    made = follow(job, tools)
    if made is None:
        return None
    sums = totals(made, job.room, job.wanted, job.good)
    plans_of_layers = tuple(_layer_plan(job, way, sums, len(made)) for way in made)
    used = tuple(dict.fromkeys(printed.tool.id for way in made for printed, _ in way.prints))
    names = list(dict.fromkeys(printed.tool.name for way in made for printed, _ in way.prints))
    return Plan(" and ".join(names) or "no exposure", used, verdict(plans_of_layers), plans_of_layers, sums.figures)


def follow(job: Job, tools: Tools) -> list[Way] | None:
    """The layers in order, each in the cheapest way that no rule forbids after what came before."""
    place, made = _start(job), []
    for layer in in_order(job.layers, job.room):
        candidates = ways(layer, tools, job.room, job.wanted, place)
        if not candidates:
            return None
        way = _best(job, candidates)
        made.append(way)
        place = replace(place, sample=way.class_after, below={**place.below, layer.name: way})
    return made


def _start(job: Job) -> Place:
    """The bare substrate, and the layers that carry marks for something finer than marks made by light allow."""
    writers = [tool for tool, _ in exposing_tools(job.room) if isinstance(tool, ElectronBeam)]
    by_light = min((tool.overlay_on_optical_marks.nominal for tool in writers), default=0.0)
    tight = {
        layer.overlay_to for layer in job.layers
        if layer.overlay_to and (value := layer.overlay or layer.smallest_gap or layer.smallest_feature)
        and value.nominal < by_light
    }  # fmt: skip
    return Place(job.wanted.substrate.history, fine_marks=frozenset(tight))


def _best(job: Job, candidates: Sequence[Way]) -> Way:
    if len(candidates) == 1:
        return candidates[0]
    found = findings_of(job, candidates)
    per_piece = job.wanted.substrate.chips_per_piece.nominal

    def rank(number: int) -> tuple[float, ...]:
        way, said = candidates[number], found[number]
        effects = [each.effect for each in said]
        revisions = (way.layer.revisions or job.wanted.revisions).nominal
        price = total_price(way.works, job.good.nominal, per_piece, revisions, revisions)
        wait = max((work.mask_lead for work in way.works), default=0.0) * (1 + revisions)
        wait += total_time(way.works, job.good.nominal, per_piece)
        return (effects.count("veto"), effects.count("caution"), price + wait * job.room.waiting.nominal, number)

    return candidates[min(range(len(candidates)), key=rank)]


def findings_of(job: Job, candidates: Iterable[Way]) -> list[tuple[Finding, ...]]:
    """What the rules say of each way to make a layer."""
    listed = list(candidates)
    sets = [FactSet(str(number), "layer", way.facts) for number, way in enumerate(listed)]
    firings = engine.fire(job.rulebase, sets)
    words = job.rulebase.vocabulary
    texts = [LayerTexts(way.tool_name, way.layer.name, way.figures, way.facts, words) for way in listed]
    return [
        tuple(finding(each, texts[number]) for each in firings if each.subject == str(number))
        for number in range(len(listed))
    ]


def _layer_plan(job: Job, way: Way, sums: Totals, layers: int) -> LayerPlan:
    """A layer with the figures and facts that need the number of chips."""
    chips, per_piece = sums.chips, job.wanted.substrate.chips_per_piece.nominal
    revisions = (way.layer.revisions or job.wanted.revisions).nominal
    beam = sum(p.beam_time for p, _ in way.prints) * chips
    uses = sums.sources
    figures = {**way.figures} | {
        "layer_time": figure("layer_time", total_time(way.works, chips, per_piece), "s", "sum over tools", uses),
        "layer_price": figure("layer_price", total_price(way.works, chips, per_piece, sums.trials, revisions), "EUR",
                              "tool and room hours, trials and masks", uses),
    }  # fmt: skip
    facts = {**way.facts} | {
        "chips_started": chips, "good_chips": job.good.nominal, "layers_in_all": float(layers),
    }  # fmt: skip
    if beam > 0:
        figures["beam_time"] = figure("beam_time", beam, "s", "write time times chips", uses)
        facts["beam_time"] = beam
    if job.cold_queue is not None:
        longest = max((work.tool.queue.nominal for work in way.works), default=0.0)
        facts["slot_scarcity"] = ratio(longest, job.cold_queue.nominal)
        figures["tool_queue"] = figure("tool_queue", longest, "s", "longest queue of its tools")
    finished = replace(way, figures=figures, facts=facts)
    return LayerPlan(
        layer=way.layer.name, purpose=way.layer.purpose or "", tool=way.tool_name, exposure=way.exposure,
        resist=_resists(way), mask=any(work.mask for work in way.works),
        steps=tuple(_steps(way)), class_before=way.class_before, class_after=way.class_after, figures=figures,
        facts=facts, findings=findings_of(job, [finished])[0],
    )  # fmt: skip


def _resists(way: Way) -> str:
    return ", ".join(f"{p.coat.resist.name} ({p.coat.resist.tone})" for p, _ in way.prints)


def _steps(way: Way) -> Iterator[Step]:
    light = {printed.coat.resist.sensitive_to for printed, _ in way.prints}
    feature = way.layer.smallest_feature.nominal if way.layer.smallest_feature else None
    for work in way.works:
        yield step(work.what, work.tool, work.node.name, feature, "light" if "light" in light else "electrons")


def verdict(layers: Sequence[LayerPlan]) -> Verdict:
    """One forbidden layer forbids the whole."""
    effects = {each.effect for layer in layers for each in layer.findings}
    return "unsuitable" if "veto" in effects else "tight" if "caution" in effects else "suitable"


def _judged_foundry(job: Job, plan: Plan) -> Plan:
    judged = []
    for layer in plan.layers:
        firings = engine.fire(job.rulebase, [FactSet(layer.layer, "layer", layer.facts)])
        texts = LayerTexts(layer.tool, layer.layer, layer.figures, layer.facts, job.rulebase.vocabulary)
        judged.append(replace(layer, findings=tuple(finding(each, texts) for each in firings)))
    return replace(plan, layers=tuple(judged), verdict=verdict(judged))


def with_others(job: Job, plan: Plan) -> Plan:
    """The plan with, for each layer, what every other exposing tool could do there."""
    made, place = [], _start(job)
    tools = exposing_tools(job.room)
    ways_made = {way.layer.name: way for way in follow(job, [t for t in tools if t[0].id in plan.tools]) or []}
    for layer in plan.layers:
        way = ways_made.get(layer.layer)
        if way is None:
            return plan
        made.append(replace(layer, others=tuple(_others(job, way, place, tools))))
        place = replace(place, sample=way.class_after, below={**place.below, layer.layer: way})
    return replace(plan, layers=tuple(made))


def _others(job: Job, way: Way, place: Place, tools: Tools) -> Iterator[OtherTool]:
    chosen = {printed.tool.id for printed, _ in way.prints}
    per_piece = job.wanted.substrate.chips_per_piece.nominal
    revisions = (way.layer.revisions or job.wanted.revisions).nominal
    for tool, node in tools if way.prints else ():
        alone = [each for each in ways(way.layer, [(tool, node)], job.room, job.wanted, place) if len(each.prints) == 1]
        if not alone or chosen == {tool.id}:
            continue
        said = findings_of(job, alone)[0]
        reasons = [each.because for each in said if each.effect == "veto"]
        rate: dict[str, Source] = {f"{tool.id}.{name}": value for name, value in tool.quantities.items()}
        price = total_price(alone[0].works, job.good.nominal, per_piece, revisions, revisions)
        time = total_time(alone[0].works, job.good.nominal, per_piece)
        yield OtherTool(
            tool.name, not reasons,
            " ".join(reasons) or f"Serves too: resolves {shown(alone[0].figures['feature_resolved'])}, "
            f"{significant(float(alone[0].facts['feature_margin']))} times finer than needed.",
            figure("layer_price", price, "EUR", "tool and room hours, trials and masks, for the good chips", rate),
            figure("layer_time", time, "s", "sum over tools, for the good chips", rate),
        )  # fmt: skip
