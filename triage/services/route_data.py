"""A fabrication route as plain data; nothing is worked out here."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from triage.models.route import Crossover, Exchange, LayerPlan, Plan, Route
from triage.services.plain_data import estimate_data, finding_data, number


def route_data(route: Route) -> dict[str, Any]:
    """The route as dictionaries, lists, numbers and words; numbers in SI units, rounded to 6 digits."""
    return {
        "proposal": route.proposal,
        "title": route.title,
        "facility": route.facility,
        "tool_version": route.tool_version,
        "rule_base_version": route.rule_base_version,
        "engine": route.engine,
        "goal": route.goal,
        "recommended": route.recommended.name if route.recommended else None,
        "second": route.second.name if route.second else None,
        "confidence": route.confidence,
        "confidence_because": list(route.confidence_because),
        "sentence": route.sentence,
        "reason": route.reason,
        "plans": [plan_data(each) for each in route.plans],
        "crossovers": [_crossover(each) for each in route.crossovers],
        "exchanges": [_exchange(each) for each in route.exchanges],
        "cautions": list(route.cautions),
        "assumptions": [asdict(each) for each in route.assumptions],
    }


def plan_data(plan: Plan) -> dict[str, Any]:
    """One way to make the device as plain data."""
    return {
        "name": plan.name,
        "tools": list(plan.tools),
        "verdict": plan.verdict,
        "figures": {name: estimate_data(each) for name, each in plan.figures.items()},
        "layers": [layer_data(each) for each in plan.layers],
    }


def layer_data(layer: LayerPlan) -> dict[str, Any]:
    """One layer as plain data."""
    return {
        "layer": layer.layer,
        "purpose": layer.purpose,
        "tool": layer.tool,
        "exposure": layer.exposure,
        "resist": layer.resist,
        "mask": layer.mask,
        "class_before": layer.class_before,
        "class_after": layer.class_after,
        "steps": [asdict(each) for each in layer.steps],
        "figures": {name: estimate_data(each) for name, each in layer.figures.items()},
        "facts": {name: number(value) for name, value in layer.facts.items()},
        "findings": [finding_data(each) for each in layer.findings],
        "other_tools": [
            {
                "tool": each.tool, "serves": each.serves, "because": each.because,
                "price": estimate_data(each.price), "time": estimate_data(each.time),
            }
            for each in layer.others
        ],
    }  # fmt: skip


def _crossover(crossover: Crossover) -> dict[str, Any]:
    return {"name": crossover.name, "at": estimate_data(crossover.at), "says": crossover.says}


def _exchange(exchange: Exchange) -> dict[str, Any]:
    figures = ("feature_now", "feature_then", "extra_price", "extra_time", "saved_price", "saved_time")
    return {
        "platform": exchange.platform, "layer": exchange.layer, "makeable": exchange.makeable, "says": exchange.says,
    } | {name: estimate_data(getattr(exchange, name)) for name in figures}  # fmt: skip
