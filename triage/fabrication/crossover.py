"""Where another way of making becomes the better one: masks, a foundry, another node."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from triage.display import show
from triage.fabrication.counts import mask_pays_from
from triage.fabrication.exposure import expose, regions
from triage.fabrication.figures import Source, figure
from triage.fabrication.route import Job
from triage.fabrication.work import exposing_tools, factor
from triage.models.cleanroom import ElectronBeam, LaserWriter, MaskAligner, Node
from triage.models.fabrication import Layer
from triage.models.route import Crossover, Plan


def crossovers(job: Job, found: Sequence[Plan]) -> tuple[Crossover, ...]:
    """Every crossover of a job."""
    return (*_masks(job, found), *_foundry(job, found), *_elsewhere(job, found))


def _masks(job: Job, found: Sequence[Plan]) -> Iterator[Crossover]:
    """For each layer that light can print at least in part: from how many chips a mask pays."""
    leading = {tool for plan in [plan for plan in found if not plan.vetoes][:2] for tool in plan.tools}
    tools = exposing_tools(job.room)
    aligners = [(tool, node) for tool, node in tools if isinstance(tool, MaskAligner)]
    serial = [
        (tool, node) for tool, node in tools if isinstance(tool, ElectronBeam | LaserWriter) and tool.id in leading
    ]
    for layer in job.layers:
        for aligner, at in aligners[:1]:
            for writer, node in serial:
                crossover = _mask(job, layer, aligner, at, writer, node)
                if crossover is not None:
                    yield crossover


def _mask(
    job: Job, layer: Layer, aligner: MaskAligner, at: Node, writer: ElectronBeam | LaserWriter, node: Node
) -> Crossover | None:
    parts = regions(layer)[-1:]
    by_mask, by_writer = (expose(tool, layer, parts, job.room.resists) if parts else None for tool in (aligner, writer))
    if by_mask is None or by_writer is None or by_mask.margin < 1 or by_writer.margin < 1:
        return None
    revisions = (layer.revisions or job.wanted.revisions).nominal
    per_piece = job.wanted.substrate.chips_per_piece.nominal

    def hour(tool: MaskAligner | ElectronBeam | LaserWriter, room: Node) -> float:
        return (tool.rate.nominal + room.access.room_rate.nominal) * factor(room.access)

    chip = by_writer.per_chip + by_writer.per_run / by_writer.pieces_per_run / per_piece
    saved = chip * hour(writer, node) - by_mask.per_piece / per_piece * hour(aligner, at)
    once = (1 + revisions) * (aligner.mask_price.nominal + aligner.mask_lead.nominal * job.room.waiting.nominal)
    chips = mask_pays_from(once, saved)
    uses: dict[str, Source] = {
        f"{aligner.id}.mask_price": aligner.mask_price, f"{aligner.id}.mask_lead": aligner.mask_lead,
        f"{writer.id}.rate": writer.rate, "waiting": job.room.waiting, "revisions": job.wanted.revisions,
    }  # fmt: skip
    at_chips = figure("mask_pays_from", chips, "count", "(1 + revisions)(mask + lead) / saving per chip", uses)
    name = f"mask instead of {writer.name} for {layer.name}"
    part = "the coarse part" if parts[0].name == "coarse" else "the whole"
    said = (
        "A mask never pays" if math.isinf(chips) else f"From {show(chips, 'count')} chips on a mask pays"
    ) + f" for {part} of {layer.name}, against {writer.name}."
    return Crossover(name, at_chips, said)


def _foundry(job: Job, found: Sequence[Plan]) -> Iterator[Crossover]:
    """From how many chips a foundry run costs less than working here, once the design is frozen."""
    own = next((plan for plan in found if not plan.vetoes and not _is_foundry(plan)), None)
    if own is None:
        return
    started = float(own.figures["chips_started"].value)
    marginal = sum(float(layer.figures["layer_price"].value) for layer in own.layers) / max(started, 1.0)
    for plan in found:
        if not _is_foundry(plan) or plan.vetoes:
            continue
        foundry = next(each for each in job.room.foundries if each.name == plan.name)
        uses: dict[str, Source] = {"run_price": foundry.run_price, "price here": own.figures["price"]}
        chips = math.ceil(foundry.run_price.nominal / marginal) if marginal > 0 else math.inf
        at = figure("foundry_pays_from", chips, "count", "run price / price per started chip here", uses)
        yield Crossover(
            f"foundry {plan.name}", at,
            f"Once frozen, {plan.name} costs less from {show(chips, 'count')} started chips on; it answers in "
            f"{show(foundry.lead.nominal, 's')}.",
        )  # fmt: skip


def _is_foundry(plan: Plan) -> bool:
    return any(tool.startswith("foundry:") for tool in plan.tools)


def _elsewhere(job: Job, found: Sequence[Plan]) -> Iterator[Crossover]:
    """What another node adds: its tool where this room has none that serves, or a better way."""
    tools = {tool.id: node for tool, node in exposing_tools(job.room)}
    here = [plan for plan in found if all(tools.get(tool) is job.room for tool in plan.tools)]
    away = [plan for plan in found if any(tools.get(tool, job.room) is not job.room for tool in plan.tools)]
    serves_here = next((plan for plan in here if not plan.vetoes), None)
    serves_away = next((plan for plan in away if not plan.vetoes), None)
    if serves_away is None:
        return
    node = next(tools[tool] for tool in serves_away.tools if tools[tool] is not job.room)
    price, time = serves_away.figures["price"], serves_away.figures["time_to_chips"]
    costs = f"{show(float(price.value), 'EUR')} and {show(float(time.value), 's')}"
    if serves_here is None:
        says = f"Nothing here serves; {node.name} has the tool: {serves_away.name}, {costs}."
    else:
        price_here, time_here = serves_here.figures["price"], serves_here.figures["time_to_chips"]
        says = (
            f"{node.name} would take {costs} with {serves_away.name}, against {show(float(price_here.value), 'EUR')} "
            f"and {show(float(time_here.value), 's')} here."
        )
    yield Crossover(f"node {node.name}", price, says)
