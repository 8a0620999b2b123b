"""Route one proposal at one facility: how to make the device, layer by layer, and why so."""

from __future__ import annotations

import math
from dataclasses import replace

import triage
from triage.errors import BadInput, Problem
from triage.fabrication.crossover import crossovers
from triage.fabrication.exchange import exchanges
from triage.fabrication.figures import NOT_OWN
from triage.fabrication.route import Job, in_order, plans, with_others
from triage.fabrication.steps import LOCAL_RULES
from triage.fabrication.templates import expand, names_missing
from triage.fabrication.work import EVERYWHERE
from triage.models.cleanroom import Cleanroom
from triage.models.estimate import Estimate
from triage.models.fabrication import Fabrication
from triage.models.quantity import Value
from triage.models.recommendation import Confidence, Ground, Recommendation
from triage.models.route import Plan, Route
from triage.reasoning import engine
from triage.reasoning.ranking import near
from triage.reasoning.words import shown
from triage.services.workspace import Facility, Request

_PRODUCTION = 200  # good chips from which a frozen design is production; common practice


def route(facility: Facility, request: Request, answer: Recommendation | None = None) -> Route:
    """The fabrication route for a proposal at a facility.

    With the recommendation of `assess`, the queue of its platform and its flips are taken into account.
    Raises `BadInput` where a layer names one that is not there.
    """
    room, wanted = facility.lab.cleanroom, request.proposal.fabrication
    if room is None or wanted is None:
        return _nothing(facility, request, room)
    job = _job(facility, request, room, wanted, answer)
    found = plans(job)
    serving = [plan for plan in found if not plan.vetoes]
    best = with_others(job, serving[0]) if serving else None
    second = serving[1] if len(serving) > 1 else None
    confidence, because = _confidence(best, second)
    return Route(
        proposal=request.name,
        title=request.proposal.title,
        facility=facility.lab.name,
        goal=_goal(job),
        recommended=best,
        second=second,
        plans=(best, *(plan for plan in found if plan is not serving[0])) if best else found,
        confidence=confidence,
        confidence_because=because,
        sentence=_sentence(best, second, found),
        reason=_reason(job, best, found),
        crossovers=crossovers(job, found),
        cautions=_cautions(best),
        assumptions=_assumptions(job, best),
        exchanges=exchanges(job, best, answer) if best and answer else (),
        tool_version=triage.__version__,
        rule_base_version=facility.rulebase.fingerprint,
        engine=engine.name(),
    )


def _job(
    facility: Facility, request: Request, room: Cleanroom, wanted: Fabrication, answer: Recommendation | None
) -> Job:
    layers = expand(wanted)
    missing = [
        _problem(request, wanted, layer, key, f"there is no layer '{name}'")
        for layer, key, name in names_missing(layers)
    ]
    if missing:
        raise BadInput(missing)
    return Job(room, wanted, layers, _good(request, wanted, answer), facility.rulebase, _cold_queue(facility, answer))


def _problem(request: Request, wanted: Fabrication, layer: str, key: str, message: str) -> Problem:
    names = [each.name for each in wanted.layers]
    path: tuple[str | int, ...] = ("fabrication",)
    if layer in names:
        path = ("fabrication", "layers", names.index(layer), key)
    return request.source.problem(path, message, "name another layer of this device")


def _good(request: Request, wanted: Fabrication, answer: Recommendation | None) -> Value:
    """Good chips wanted: as stated, or the devices that start on the path or that the claim needs, or one."""
    if wanted.good_chips is not None:
        return wanted.good_chips
    needed, each = request.proposal.devices.needed, wanted.devices_per_chip
    if answer is not None and answer.devices_to_start is not None:
        chips = float(math.ceil(answer.devices_to_start / each.nominal))
        return Value(chips, chips, chips, f"{answer.devices_to_start} devices start on the path", "stated")
    if needed is None or not needed.nominal:
        return Value(1.0, 1.0, 1.0, "1", "default")
    chips = float(math.ceil(needed.nominal / each.nominal))
    basis = needed.basis if wanted.devices_per_chip.nominal == 1 else each.basis
    return Value(chips, chips, chips, f"{needed.text} devices, {each.text} a chip", basis, needed.source)


def _cold_queue(facility: Facility, answer: Recommendation | None) -> Value | None:
    platform = facility.lab.platform(answer.recommended) if answer and answer.recommended else None
    return None if platform is None else platform.clock.queue


def _goal(job: Job) -> str:
    frozen = job.wanted.revisions.nominal == 0 and job.good.nominal > _PRODUCTION
    return "production" if frozen else "prototype"


def _confidence(best: Plan | None, second: Plan | None) -> tuple[Confidence, tuple[str, ...]]:
    if best is None:
        return "none", ()
    alike = second is not None and second.verdict == best.verdict and len(best.findings) == len(second.findings)
    if second is not None and alike and near(_effort(best), _effort(second)):
        return "tie", (f"{best.name} and {second.name} are within 20 % in price and waiting",)
    doubts = tuple(dict.fromkeys(each.title.lower() for each in best.findings if each.effect == "caution"))
    return ("leaning" if doubts else "firm"), doubts


def _effort(plan: Plan) -> float:
    return float(plan.figures["effort"].value)


def _sentence(best: Plan | None, second: Plan | None, found: tuple[Plan, ...]) -> str:
    if best is None:
        return f"None of the {len(found)} ways to make this device works here." if found else "Nothing here exposes."
    text = f"Make it with {best.name}"
    masks = [layer.layer for layer in best.layers if layer.mask and layer.exposure != "foundry"]
    text += f", masks for {', '.join(masks)}" if masks else ", without masks"
    text += f": start {shown(best.figures['chips_started'])} chips for {shown(best.figures['good_chips'])} good"
    return f"{text}; second, {second.name}." if second else f"{text}."


def _reason(job: Job, best: Plan | None, found: tuple[Plan, ...]) -> str:
    if best is None:
        local = sorted(found, key=lambda plan: plan.layers[0].exposure == "foundry")
        reasons = list(dict.fromkeys(each.because for plan in local for each in plan.vetoes))
        return " ".join([*reasons[:3], *_reordered(job)])
    numbers = best.figures
    text = (
        f"About {shown(numbers['price'])} and {shown(numbers['time_to_chips'])} with {_trials(numbers['trials'])}; "
        f"{shown(numbers['part_good'])} of the chips are expected to work."
    )
    cheapest = sorted((plan for plan in found if plan.vetoes), key=_effort)
    refused = list(dict.fromkeys(f"{plan.name} is out: {plan.vetoes[0].because}" for plan in cheapest))
    credited = [each.because for each in best.findings if each.effect == "credit"]
    avoided = _avoided(best, found)
    return " ".join([text, *credited[:2], *avoided[:2], *refused[:2]])


def _reordered(job: Job) -> list[str]:
    """Whether the cleanest layers first would work, if nothing but alignment fixed their order."""
    freed = tuple(layer.model_copy(update={"after": layer.after or ()}) for layer in job.layers)
    order = [layer.name for layer in in_order(freed, job.room)]
    if order == [layer.name for layer in in_order(job.layers, job.room)]:
        return []
    found = plans(replace(job, layers=freed))
    if not found or found[0].vetoes:
        return []
    return [f"In the order {', '.join(order)} it works, with {found[0].name}; write `after:` where that order is free."]


def _avoided(best: Plan, found: tuple[Plan, ...]) -> list[str]:
    """What the rules hold against the ways that would cost less."""
    own = {each.rule for each in best.findings}
    cheaper = [plan for plan in found if not plan.vetoes and _effort(plan) < _effort(best)]
    said = {
        each.rule: f"{plan.name} would cost less, but: {each.because}"
        for plan in reversed(cheaper) for each in plan.findings if each.effect == "caution" and each.rule not in own
    }  # fmt: skip
    return list(said.values())


def _trials(trials: Estimate) -> str:
    count = shown(trials)
    return "no trial run" if count == "0" else f"{count} trial run{'' if count == '1' else 's'}"


def _cautions(best: Plan | None) -> tuple[str, ...]:
    if best is None:
        return (LOCAL_RULES,)
    steps = [step for layer in best.layers for step in layer.steps]
    minded = dict.fromkeys(f"{step.tool}: {text}" for step in steps for text in step.cautions)
    return (*minded, LOCAL_RULES)


def _assumptions(job: Job, best: Plan | None) -> tuple[Ground, ...]:
    """Every number of the tools used, of the layers and of the terms that nobody here stated."""
    if best is None:
        return ()
    names = {step.tool for layer in best.layers for step in layer.steps}
    values = {f"cleanroom.{path}": value for path, value in job.room.quantities.items()}
    listed = [tool for node in (job.room, *job.room.nodes) for tool in node.tools]
    for tool in (tool for tool in (*EVERYWHERE, *listed) if tool.name in names):
        values |= {f"{tool.id}.{path}": value for path, value in tool.quantities.items()}
    values |= {f"fabrication.{path}": value for path, value in job.wanted.quantities.items()}
    for layer in job.layers:
        values |= {f"{layer.name}.{path}": value for path, value in layer.quantities.items()}
    return tuple(
        Ground(name, value.text, value.basis, value.source)
        for name, value in sorted(values.items())
        if value.basis in NOT_OWN
    )


def _nothing(facility: Facility, request: Request, room: Cleanroom | None) -> Route:
    why = "The facility describes no cleanroom." if room is None else "The proposal describes nothing to make."
    return Route(
        request.name, request.proposal.title, facility.lab.name, "none", None, None, (), "none", (), why, "", (),
        (LOCAL_RULES,), (), (), triage.__version__, facility.rulebase.fingerprint, engine.name(),
    )  # fmt: skip
