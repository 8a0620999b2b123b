"""Rules, trials, coverage, impact and explanations as plain data, the form of `--json`; nothing is worked out here."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from triage.reasoning.deciding import Node
from triage.reasoning.rule import CONCLUDED, Condition, Example, Rule
from triage.reasoning.rulebase import Departure, Rulebase
from triage.services.coverage import Coverage
from triage.services.impact import Impact
from triage.services.plain_data import finding_data, number
from triage.services.workshop import Trial, departure_of, differences


def rule_data(rule: Rule, rulebase: Rulebase) -> dict[str, Any]:
    """One rule with its departure, values in SI and as written."""
    departure = departure_of(rulebase, rule.id)
    return {
        "id": rule.id, "title": rule.title, "about": rule.about, "gate": rule.gate, "status": rule.status,
        "when": [_condition(each, rulebase) for each in rule.when], "effect": rule.effect, "lifts": rule.lifts,
        "conclude": rule.conclude, "because": rule.because, "trade_off": rule.trade_off,
        "wrong_when": list(rule.wrong_when), "basis": rule.basis, "references": list(rule.references),
        "since": rule.since, "goes_with": dict(rule.goes_with), "fires": [_example(each) for each in rule.fires],
        "silent": [_example(each) for each in rule.silent], "origin": rule.origin, "file": rule.source.file,
        "departure": departure and departure_data(departure, rulebase),
    }  # fmt: skip


def departure_data(departure: Departure, rulebase: Rulebase) -> dict[str, Any]:
    """One departure of a facility from the shipped rules."""
    return {
        "rule": departure.rule, "action": departure.action, "who": departure.who, "why": departure.why,
        "file": departure.file, "differences": [asdict(each) for each in differences(rulebase, departure)],
    }  # fmt: skip


def _condition(condition: Condition, rulebase: Rulebase) -> dict[str, Any]:
    if condition.relation == CONCLUDED:
        return {"concluded": condition.fact}
    fact = rulebase.vocabulary.facts[condition.fact]
    return {"fact": fact.name, "is": condition.relation, "values": list(condition.values),
            "written": condition.written, "unit": fact.unit}  # fmt: skip


def _example(example: Example) -> dict[str, Any]:
    return {**example.values, **({"concluded": list(example.concluded)} if example.concluded else {})}


def trial_data(trial: Trial) -> dict[str, Any]:
    """What fired, and for every other rule the first condition that failed and by how much (SI)."""
    return {
        "facts": {name: number(value) for name, value in trial.given.values.items()}, "about": trial.given.about,
        "engine": trial.engine, "fired": [finding_data(each) for each in trial.findings],
        "silent": [
            {"rule": each.rule.id, "reason": each.reason, "says": each.says,
             "fact": each.condition.fact if each.condition else None, "found": number(each.found),
             "distance": number(each.distance)}
            for each in trial.silent
        ],
    }  # fmt: skip


def coverage_data(found: Coverage) -> dict[str, Any]:
    """Firings of every rule, and the nearest fact to every threshold."""
    return {
        "proposals": found.proposals,
        "rules": [
            {"rule": each.rule.id, "firings": each.firings, "proposals": list(each.proposals)} for each in found.rules
        ],
        "thresholds": [
            {"rule": each.rule.id, "fact": each.fact, "is": each.relation, "threshold": each.threshold,
             "written": each.written, "nearest": number(each.nearest), "proposal": each.proposal,
             "subject": each.subject, "near": each.near}
            for each in found.thresholds
        ],
        "problems": [problem.as_dict() for problem in found.problems],
    }  # fmt: skip


def impact_data(found: Impact) -> dict[str, Any]:
    """Every proposal in which an edit changes anything, before and after."""
    return {
        "before": found.before, "after": found.after, "edited": list(found.edited), "library": found.library,
        "proposals": found.proposals,
        "flips": [each.proposal for each in found.flips],
        "changes": [
            {"proposal": each.proposal, "flips": each.flips, "before": asdict(each.before),
             "after": asdict(each.after), "verdicts": list(each.verdicts), "because": list(each.because),
             "findings_gained": each.gained, "findings_lost": each.lost}
            for each in found.changes
        ],
        "problems": [problem.as_dict() for problem in found.problems],
    }  # fmt: skip


def node_data(node: Node) -> dict[str, Any]:
    """An explanation as nested dictionaries."""
    return {
        "name": node.name, "kind": node.kind, "text": node.text, "value": number(node.value), "unit": node.unit,
        "basis": node.basis, "references": list(node.references),
        "children": [node_data(child) for child in node.children],
    }  # fmt: skip
