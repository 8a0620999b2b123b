"""A recommendation as plain data, the form of `assess --json`; nothing is worked out here."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from triage.models.estimate import Estimate
from triage.models.recommendation import Finding, GateResult, PlatformResult, Recommendation


def recommendation_data(answer: Recommendation) -> dict[str, Any]:
    """The recommendation as dictionaries, lists, numbers and words; numbers in SI units, rounded to 6 digits."""
    best = answer.platform(answer.recommended)
    return {
        "proposal": answer.proposal,
        "title": answer.title,
        "measurement": answer.measurement,
        "facility": answer.facility,
        "tool_version": answer.tool_version,
        "rule_base_version": answer.rule_base_version,
        "rule_departures": list(answer.departures),
        "engine": answer.engine,
        "recommended": {
            "platform": answer.recommended,
            "verdict": answer.verdict,
            "confidence": answer.confidence,
            "confidence_because": list(answer.confidence_because),
            "tier": answer.tier,
            "wanted_tier": answer.wanted_tier,
        },
        "second": answer.second,
        "sentence": answer.sentence,
        "reason": answer.reason,
        "order": list(answer.order),
        "platforms": [_platform(each) for each in answer.platforms],
        "flips": [
            {
                "platform": flip.platform, "field": flip.field, "from": number(flip.now), "to": number(flip.at),
                "unit": flip.unit, "becomes": flip.becomes, "says": flip.says,
            }
            for flip in answer.flips
        ],
        "odds": [
            {
                "platform": each.platform, "serves": number(each.serves), "suitable": number(each.suitable),
                "draws": each.draws, "decided_by": each.decided_by,
            }
            for each in answer.odds
        ],
        "path": list(answer.path),
        "devices_to_start": answer.devices_to_start,
        "route": _route(answer),
        "time": None if best is None else {
            "to_answer": number(best.estimates["time_to_answer"].value), "run": number(best.estimates["run"].value),
            "cooldowns": number(best.estimates["cooldowns"].value), "unit": "s",
        },
        "cost": None if best is None else {
            "price": number(best.estimates["price"].value), "unit": "EUR",
            "helium": number(best.estimates["helium_used"].value), "helium_unit": "m3",
            "staff_time": number(best.estimates["staff_time"].value), "staff_time_unit": "s",
        },
        "remarks": [finding_data(each) for each in answer.remarks],
        "cautions": list(answer.cautions),
        "assumptions": [
            {"name": each.name, "value": each.value, "basis": each.basis, "source": each.source}
            for each in answer.assumptions
        ],
        "problems": [problem.as_dict() for problem in answer.problems],
    }  # fmt: skip


def _route(answer: Recommendation) -> dict[str, Any] | None:
    if answer.route is None:
        return None
    from triage.services.route_data import route_data

    return route_data(answer.route)


def _platform(result: PlatformResult) -> dict[str, Any]:
    return {
        "platform": result.platform,
        "name": result.name,
        "verdict": result.verdict,
        "tier": result.tier,
        "gates": [gate_data(gate) for gate in result.gates],
        "estimates": {name: estimate_data(each) for name, each in result.estimates.items()},
        "timeline": [
            {
                "step": step.name,
                "start": number(step.start),
                "length": number(step.length),
                "unit": "s",
                "attended": step.attended,
                "note": step.note,
            }
            for step in result.timeline
        ],
        "findings": [finding_data(each) for each in result.findings],
        "grounds": [
            {"name": each.name, "value": each.value, "basis": each.basis, "source": each.source}
            for each in result.grounds
        ],
    }


def gate_data(gate: GateResult) -> dict[str, Any]:
    """One gate as plain data."""
    numbers = gate.numbers
    return {
        "gate": numbers.gate, "state": gate.state, "need": number(numbers.need), "have": number(numbers.have),
        "unit": numbers.unit, "margin": number(numbers.margin), "limit": numbers.limit,
        "findings": list(gate.findings),
    }  # fmt: skip


def estimate_data(estimate: Estimate) -> dict[str, Any]:
    """One estimate as plain data."""
    return {
        "value": number(estimate.value), "unit": "fraction" if estimate.unit == "%" else estimate.unit,
        "formula": estimate.formula,
        "uses": list(estimate.uses), "references": list(estimate.references), "basis": estimate.basis,
        "valid": estimate.valid, "reason": estimate.reason,
    }  # fmt: skip


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as plain data."""
    return {
        "rule": finding.rule, "effect": finding.effect, "gate": finding.gate, "because": finding.because,
        "trade_off": finding.trade_off, "wrong_when": list(finding.wrong_when),
        "references": list(finding.references), "basis": finding.basis, "origin": finding.origin,
        "facts": {name: number(value) for name, value in finding.facts.items()},
    }  # fmt: skip


def number(value: Any) -> Any:
    """A number as JSON can carry it: rounded to 6 significant digits, None where it is not known or has no bound."""
    if value is None or isinstance(value, str | bool):
        return value
    plain = float(np.asarray(value))
    if not math.isfinite(plain) or plain == 1e6:
        return None
    return float(f"{plain:.6g}")
