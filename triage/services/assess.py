"""Assess one proposal at one facility: the recommendation and everything it stands on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

import triage
from triage.display import plain_name, show
from triage.errors import BadInput
from triage.estimates.case import Case
from triage.estimates.chain import compare, evaluate
from triage.estimates.timeline import timeline
from triage.models.lab import Platform
from triage.models.quantity import BASES
from triage.models.recommendation import (
    Finding,
    Flip,
    PlatformResult,
    Recommendation,
)
from triage.physics.kind import Numbers
from triage.planning.thresholds import flips
from triage.planning.uncertainty import ends, odds, spreads
from triage.reasoning import engine
from triage.reasoning.firing import FactSet
from triage.reasoning.ranking import Candidate, confidence, gate_results, is_tie, rank, verdict
from triage.reasoning.rulebase import Departure, Rulebase
from triage.reasoning.words import FactTexts, Texts, finding, tier_reached
from triage.services.grounds import grounds
from triage.services.path import Path, path
from triage.services.workspace import Facility, Request

_NOT_OWN = ("common practice", "from memory", "default", "guess", "unknown")
# A boiling bath and a room have the temperature they have; a small margin there is no doubt.
_FIXED_POINTS = ("ambient", "nitrogen bath", "helium bath")
_RESTS_ON = {"guess": "a guess", "default": "a default", "common practice": "common practice"}
CAUTION = "Screening estimates: local codes, the responsible safety officer and licensed practice decide."


def cases_of(facility: Facility, request: Request, overrides: Mapping[str, Numbers] | None = None) -> list[Case]:
    """The proposal worked out on every platform of the facility."""
    cases = [
        evaluate(facility.lab, platform, request.proposal, request.kind, request.inputs, overrides)
        for platform in facility.lab.platforms
    ]
    compare(cases)
    return cases


def results_of(facility: Facility, cases: Sequence[Case]) -> list[PlatformResult]:
    """Facts through the rule engine to findings, gates and verdicts."""
    firings = engine.fire(facility.rulebase, [FactSet(case.platform.id, "platform", case.facts) for case in cases])
    results = []
    for case in cases:
        mine = [each for each in firings if each.subject == case.platform.id]
        texts = Texts(case)
        findings = tuple(finding(each, texts) for each in mine)
        gates = gate_results(case.gates, findings)
        results.append(
            PlatformResult(
                platform=case.platform.id,
                name=case.platform.name,
                verdict=verdict(gates),
                tier=tier_reached(case),
                gates=gates,
                estimates_of=case.settled,
                findings=findings,
                facts=case.facts,
                grounds_of=partial(grounds, case),
                timeline=timeline(case),
                lifted=any(each.lifts for each in findings),
            )
        )
    return results


def path_of(facility: Facility, request: Request) -> Path:
    """The path over several platforms that leads to the recommended one.

    Raises `BadInput` where no platform serves, or where the proposal describes no campaign.
    """
    cases = cases_of(facility, request)
    answer = _answer(facility, request, cases, thorough=False)
    if answer.recommended is None:
        raise BadInput([request.source.problem(("campaign",), answer.sentence, "lower the tier or change the device")])
    return path(facility, request, {case.platform.id: case for case in cases}, answer.recommended)


def assess(facility: Facility, request: Request, *, thorough: bool = True) -> Recommendation:
    """The recommendation for a proposal at a facility.

    Without `thorough`, thresholds, odds, path and route are left out; everything else is the same.
    """
    answer = _answer(facility, request, cases_of(facility, request), thorough=thorough)
    if not thorough or request.proposal.fabrication is None or facility.lab.cleanroom is None:
        return answer
    from triage.services.route import route

    return replace(answer, route=route(facility, request, answer))


def _answer(facility: Facility, request: Request, cases: list[Case], *, thorough: bool) -> Recommendation:
    results = results_of(facility, cases)
    order = rank([_candidate(case, result) for case, result in zip(cases, results, strict=True)])
    by_id = {each.platform: each for each in results}
    by_case = {case.platform.id: case for case in cases}
    best = by_id[order[0].platform] if order and order[0].serves else None
    second = next((by_id[each.platform] for each in order[1:] if each.serves), None) if best else None
    doubts = _doubts(facility.rulebase, by_case[best.platform], best) if best else ()
    found = _flips(facility, cases, results, best) if thorough else ()
    stops, started = _stops(facility, request, by_case, best) if thorough else ((), None)
    assumed = tuple(each for each in best.grounds if each.basis in _NOT_OWN) if best else ()
    return Recommendation(
        proposal=request.name,
        title=request.proposal.title,
        facility=facility.lab.name,
        measurement=request.kind.title,
        wanted_tier=request.proposal.tier,
        recommended=best.platform if best else None,
        verdict=best.verdict if best else None,
        confidence=confidence(order, doubts),
        confidence_because=_tie_words(order, by_id) + doubts,
        tier=best.tier if best else None,
        second=second.platform if second else None,
        sentence=_sentence(request, best, second, results),
        reason=_reason(request, best, by_case, results),
        platforms=tuple(by_id[each.platform] for each in order),
        order=tuple(each.platform for each in order),
        flips=tuple(found),
        route=None,
        path=stops,
        devices_to_start=started,
        odds=odds(facility.rulebase, cases) if thorough and any(map(spreads, cases)) else (),
        remarks=_remarks(facility, request, is_tie(order), len(assumed)),
        cautions=_cautions(facility, best),
        assumptions=assumed,
        problems=(),
        tool_version=triage.__version__,
        rule_base_version=facility.rulebase.fingerprint,
        departures=tuple(map(_departure, facility.rulebase.departures)),
        engine=engine.name(),
    )


def _remarks(facility: Facility, request: Request, tie: bool, assumed: int) -> tuple[Finding, ...]:
    """What the rules say of the proposal as a document."""
    proposal = request.proposal
    bases = [request.inputs[name].basis for name in request.kind.criterion.uses if name in request.inputs]
    weakest = max(bases, key=BASES.index, default="stated")
    facts: dict[str, float | str] = {
        "claim_written": "yes" if proposal.claim else "no",
        "scale_basis": weakest,
        "defaults_used": float(assumed),
        "platform_asked": "yes" if proposal.asked.platform else "no",
        "claims_absence": "yes" if proposal.risk.null_result else "no",
        "near_tie": "yes" if tie else "no",
    }
    firings = engine.fire(facility.rulebase, [FactSet("proposal", "proposal", facts)])
    return tuple(finding(each, FactTexts(facts)) for each in firings)


def _stops(
    facility: Facility, request: Request, cases: Mapping[str, Case], best: PlatformResult | None
) -> tuple[tuple[str, ...], int | None]:
    """The platforms that devices visit, in order, and how many start; the recommended one alone without a campaign."""
    if best is None:
        return (), None
    if request.proposal.campaign is None or request.proposal.devices.working is None:
        return (best.platform,), None
    found = path(facility, request, cases, best.platform).best
    return ((best.platform,), None) if found is None else (found.stages, found.devices)


def _departure(departure: Departure) -> str:
    """One way in which the facility's rules differ from the shipped ones, in words."""
    reason = f" ({departure.who}: {departure.why})" if departure.why else ""
    return f"{departure.action} {departure.rule}{reason}"


def _candidate(case: Case, result: PlatformResult) -> Candidate:
    def number(name: str) -> float:
        value = float(case.got(name))
        return value if np.isfinite(value) else float("inf")

    return Candidate(result.platform, result.verdict, result.lifted, number("price"), number("time_to_answer"),
                     number("given_temperature"), float(case.facts.get("thermal_margin", 1.0)) < 1)  # fmt: skip


def _flips(
    facility: Facility, cases: Sequence[Case], results: Sequence[PlatformResult], best: PlatformResult | None
) -> list[Flip]:
    found: list[Flip] = []
    for case, result in zip(cases, results, strict=True):
        if result is best:
            found += flips(facility.rulebase, case, result, sink=True)
            if result.verdict == "tight":
                found += flips(facility.rulebase, case, result, sink=False)
        else:
            found += flips(facility.rulebase, case, result, sink=False)
    return found


def _sentence(
    request: Request,
    best: PlatformResult | None,
    second: PlatformResult | None,
    results: Sequence[PlatformResult],
) -> str:
    wanted = request.proposal.tier
    if best is None:
        return f"None of the {len(results)} platforms serves this measurement at the tier '{wanted}'."
    reached = best.tier or "no tier"
    text = f"Measure on {best.name}"
    if best.verdict == "tight":
        text += f" ({best.verdict}: reaches '{reached}' of the wanted '{wanted}')" if reached != wanted else " (tight)"
    if second is not None:
        text += f"; second, {second.name}"
    refused = sorted(each.name for each in results if each.verdict == "unsuitable")
    if refused:
        text += f"; not on {', '.join(refused)}"
    return text + "."


def _reason(
    request: Request,
    best: PlatformResult | None,
    cases: Mapping[str, Case],
    results: Sequence[PlatformResult],
) -> str:
    if best is None:
        gates = [gate.numbers.gate for each in results for gate in each.gates if gate.state == "fail"]
        if not gates:
            return "Too much is unknown to say; fill in what is listed as missing."
        most = max(sorted(set(gates)), key=gates.count)
        return f"The gate that fails most often is {most.replace('_', ' and ')}."
    case = cases[best.platform]
    given = show(float(case.got("given_temperature")), "K", 2)
    needed = show(float(case.got("needed_temperature")), "K", 2)
    what = "Electrons" if request.kind.follows == "electrons" else "The stage"
    reached = f"{what} at {given} against the {needed} that '{request.proposal.tier}' needs"
    warmer = _why_not_cheaper(best, cases, results)
    price = show(float(case.got("price")), "EUR", 2)
    time = show(float(case.got("time_to_answer")), "s", 2)
    return f"{reached}; {warmer} it costs about {price} and answers in about {time}."


def _why_not_cheaper(best: PlatformResult, cases: Mapping[str, Case], results: Sequence[PlatformResult]) -> str:
    """The cheaper platforms that come nearest and still fail, and at which gates."""
    limit = float(cases[best.platform].got("price"))
    cheaper = [
        each for each in results
        if each.verdict == "unsuitable" and float(cases[each.platform].got("price")) < limit
    ]  # fmt: skip
    cheaper.sort(key=lambda each: -float(each.facts.get("thermal_margin", 0.0)))
    if not cheaper:
        return "nothing cheaper is here;"
    parts = []
    for each in cheaper[:2]:
        gates = [gate.numbers.gate.replace("_", " and ") for gate in each.gates if gate.state == "fail"]
        parts.append(f"{each.name} fails on {', '.join(gates)}")
    return "; ".join(parts) + ";"


def _tie_words(order: Sequence[Candidate], by_id: Mapping[str, PlatformResult]) -> tuple[str, ...]:
    if not is_tie(order):
        return ()
    first, second = (by_id[each.platform].name for each in order[:2])
    return (f"{first} and {second} are within 20 % in price and in time to the answer",)


def _doubts(rulebase: Rulebase, case: Case, result: PlatformResult) -> tuple[str, ...]:
    """Why the answer is weaker than it looks."""
    doubts = []
    basis = case.facts.get("electron_temperature_basis")
    margin = float(case.facts.get("thermal_margin", np.nan))
    matters = float(case.facts.get("stage_over_saturation", 0.0)) < 5
    if case.kind.follows == "electrons" and basis in ("default", "stale") and margin < 3 and matters:
        doubts.append(f"the electron temperature on {result.name} is {basis}, not measured")
    for name in case.kind.criterion.uses:
        value = case.value(f"device.{name}") if name != "field" else case.value("field.magnitude")
        if value is not None and value.basis in ("guess", "default", "common practice") and margin < 3:
            doubts.append(f"{name.replace('_', ' ')} rests on {_RESTS_ON[value.basis]}")
    fixed = case.kind.follows == "stage" and case.platform.cooling.mechanism in _FIXED_POINTS
    for gate in result.gates:
        numbers = gate.numbers
        looked_at = ("heat", "hold") if fixed else ("temperature", "heat", "hold")
        if gate.state == "pass" and 1.0 <= numbers.margin < 1.15 and numbers.gate in looked_at:
            doubts.append(f"the margin at the gate {numbers.gate} is only {numbers.margin:.2f}")
    for end in ends(rulebase, case):
        if not end.serves:
            doubts.append(f"it would not serve at the {end.end} end of {plain_name(end.path)}")
    return tuple(doubts)


def _cautions(facility: Facility, best: PlatformResult | None) -> tuple[str, ...]:
    """The usual cautions for the recommended platform, with the computed figure where there is one."""
    if best is None:
        return (CAUTION,)
    platform = facility.lab.platform(best.platform)
    assert platform is not None
    found = [each.because for each in best.findings if each.rule.startswith("safety.")]
    return (*found, *_usual_cautions(platform), CAUTION)


def _usual_cautions(platform: Platform) -> list[str]:
    usual = []
    stored = platform.stored
    if stored.helium.nominal > 0 or stored.nitrogen.nominal > 0:
        usual.append(
            "Cryogens: face shield and loose dry gloves, no trapped volumes, watch dewar necks for ice, "
            "never ride a lift with a dewar, oxygen monitor running."
        )
    if platform.field.magnitude.nominal > 0.5:
        usual.append("Magnet: mind the stray field (0.5 mT line, pacemakers, steel), and a quench vents helium.")
    if platform.cooling.mechanism == "demagnetisation":
        usual.append("Demagnetisation: the cooling magnet ramps by itself; keep steel and magnetic media away.")
    if platform.cooling.mechanism in ("dilution", "helium-3 charge"):
        usual.append("Closed gas circuits: relief valves in place, traps and mixture pressures logged.")
    return usual
