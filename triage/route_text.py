"""A fabrication route as plain text for a terminal; every number is printed with its basis, none is worked out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from triage.display import significant
from triage.models.estimate import Estimate
from triage.models.route import LayerPlan, Plan, Route
from triage.reasoning.words import shown
from triage.text import labelled, table, wrap

_SHOWN = {
    "feature_needed": "feature", "feature_resolved": "finest", "overlay_needed": "stands", "overlay_reached": "overlay",
    "resist_thickness": "resist", "spin_speed": "spun at", "beam_current": "current", "write_time": "beam per chip",
    "layer_time": "time", "layer_price": "price", "layer_yield": "yield",
}  # fmt: skip
_PLAN = {
    "chips_started": "chips", "part_good": "yield", "chance": "chance", "time_to_chips": "chips in", "price": "price",
}  # fmt: skip


def route_text(route: Route) -> str:
    """The route as a student wants to read it: verdict, reason, layers, other ways, crossovers, doubts, cautions."""
    parts = [
        route.title,
        f"Fabrication route ({route.goal}) at {route.facility}",
        "",
        labelled("Route", route.sentence),
    ]
    if route.reason:
        parts.append(labelled("Because", route.reason))
    if route.plans:
        because = "; ".join(route.confidence_because)
        parts.append(labelled("Confidence", f"{route.confidence}: {because}" if because else route.confidence))
        parts += ["", plans_text(route.plans)]
    for layer in route.layers:
        parts += ["", *_layer(layer)]
    parts += [""] if route.crossovers or route.exchanges else []
    parts += [labelled("Crossover", f"{each.says} ({each.at.basis})") for each in route.crossovers]
    parts += [labelled("Exchange", f"{each.says} ({each.feature_then.basis})") for each in route.exchanges]
    if route.assumptions:
        listed = ", ".join(f"{each.name} {each.value} ({each.basis})" for each in route.assumptions)
        parts += ["", labelled("Assumed", listed + ".")]
    parts += ["", *(labelled("Caution", each) for each in route.cautions)]
    return "\n".join(parts)


def plans_text(plans: Iterable[Plan]) -> str:
    """One row per way to make the device."""
    rows = [
        [plan.name, plan.verdict, *(shown(plan.figures[name]) for name in _PLAN), plan.figures["price"].basis]
        for plan in plans
    ]
    return table(["way", "verdict", *_PLAN.values(), "rests on"], rows, right=range(2, 2 + len(_PLAN)))


def _layer(layer: LayerPlan) -> list[str]:
    purpose = f" ({layer.purpose})" if layer.purpose else ""
    how = f"{layer.tool}{', mask' if layer.mask else ''}{', ' + layer.resist if layer.resist else ''}"
    lines = [
        wrap(f"{layer.layer}{purpose}: {how}; class {layer.class_before} to {layer.class_after}", 0, 2),
        wrap(figures_text(layer.figures), 2, 2),
    ]
    lines += [
        wrap(
            f"{each.what}: {each.tool}, {each.where}; ISO {each.iso_class}, ISO {each.iso_class_wanted} wanted "
            f"(at most {significant(each.particles, 3)} particles of 0.5 µm and larger per m³)"
            f"{', yellow light' if each.yellow_light else ''}",
            4,
            2,
        )
        for each in layer.steps
    ]
    lines += [wrap(f"{each.effect}: {each.because} [{each.rule}; {each.basis}]", 4, 2) for each in layer.findings]
    lines += [
        wrap(f"{each.tool}: {each.because} {shown(each.price)}, {shown(each.time)} ({each.price.basis})", 4, 2)
        for each in layer.others
    ]
    return lines


def figures_text(figures: Mapping[str, Estimate]) -> str:
    """The figures that matter to a maker, each with its basis."""
    said = [
        f"{word} {shown(figures[name])} ({figures[name].basis})" for name, word in _SHOWN.items() if name in figures
    ]
    return ", ".join(said) + "."
