"""A production line as one way to make the whole device: rigid rules, whole wafers, months."""

from __future__ import annotations

import math

from triage.estimates.case import ratio
from triage.fabrication import materials
from triage.fabrication.counts import chance, chip_yield, chips_to_start
from triage.fabrication.figures import Source, figure
from triage.models.cleanroom import Cleanroom, Foundry
from triage.models.fabrication import Fabrication, Layer
from triage.models.quantity import Value
from triage.models.route import LayerPlan, Plan


def foundry_plan(
    layers: tuple[Layer, ...], wanted: Fabrication, good: Value, foundry: Foundry, room: Cleanroom
) -> Plan:
    """The device made by a foundry, not yet judged by the rules."""
    revisions = max((layer.revisions or wanted.revisions).nominal for layer in layers)
    parts = [(layer.works or foundry.layer_yield).nominal for layer in layers]
    part_good = chip_yield(parts, room.handling_loss.nominal, room.bonding_loss.nominal)
    chips = chips_to_start(good.nominal, part_good, wanted.confidence.nominal)
    runs = math.ceil(chips / foundry.chips_per_run.nominal) + revisions
    uses: dict[str, Source] = {
        "run_price": foundry.run_price, "chips_per_run": foundry.chips_per_run, "lead": foundry.lead,
        "revisions": wanted.revisions, "layer_yield": foundry.layer_yield, "good_chips": good,
    }  # fmt: skip
    price, time = runs * foundry.run_price.nominal, (1.0 + revisions) * foundry.lead.nominal
    figures = {
        "good_chips": figure("good_chips", good.nominal, "count", "stated, or devices over devices per chip", uses),
        "part_good": figure("part_good", part_good, "%", "product of layer yields, handling and bonding", uses),
        "chips_started": figure("chips_started", chips, "count", "min N: P(Bin(N, y) >= k) >= c", uses),
        "chance": figure("chance", chance(chips, good.nominal, part_good), "%", "P(Bin(N, y) >= k)", uses),
        "trials": figure("trials", revisions, "count", "revisions expected", uses),
        "tool_time": figure("tool_time", 0.0, "s", "no tool of this room", uses),
        "time_to_chips": figure("time_to_chips", time, "s", "(1 + revisions) lead", uses),
        "price": figure("price", price, "EUR", "runs times the price of a run", uses),
        "effort": figure("effort", price + time * room.waiting.nominal, "EUR", "price + waiting", uses),
    }
    made = tuple(_layer(layer, wanted, foundry, chips, good.nominal, len(layers)) for layer in layers)
    return Plan(foundry.name, (f"foundry:{foundry.name}",), "unknown", made, figures)


def _layer(layer: Layer, wanted: Fabrication, foundry: Foundry, chips: float, good: float, layers: int) -> LayerPlan:
    part = layer.works or foundry.layer_yield
    facts: dict[str, float | str] = {
        "exposure": "foundry", "made_at": "foundry", "deposition": layer.deposition,
        "production_material": "yes" if materials.in_production(layer.material) else "no",
        "uniformity": "yes" if wanted.uniformity else "no",
        "revisions": (layer.revisions or wanted.revisions).nominal, "needs_mask": "yes", "layer_yield": part.nominal,
        "chips_started": chips, "good_chips": good, "layers_in_all": float(layers),
    }  # fmt: skip
    figures = {"layer_yield": figure("layer_yield", part.nominal, "%", "stated, or the foundry's", {"yield": part})}
    if layer.smallest_feature is not None:
        facts["feature_margin"] = ratio(layer.smallest_feature.nominal, foundry.smallest.nominal)
        facts["smallest_feature"] = layer.smallest_feature.nominal
        figures["feature_needed"] = figure("feature_needed", layer.smallest_feature.nominal, "m", "stated",
                                           {"smallest_feature": layer.smallest_feature})  # fmt: skip
        figures["feature_resolved"] = figure("feature_resolved", foundry.smallest.nominal, "m", "design rule",
                                             {"smallest": foundry.smallest})  # fmt: skip
        figures["resolution_limit"] = figure("resolution_limit", "the design rules", "", "stated")
        tolerance = layer.overlay or layer.smallest_gap or layer.smallest_feature
        if layer.overlay_to is not None:
            facts["overlay_margin"] = ratio(tolerance.nominal, foundry.overlay.nominal)
            figures["overlay_needed"] = figure("overlay_needed", tolerance.nominal, "m", "stated", {"o": tolerance})
            figures["overlay_reached"] = figure("overlay_reached", foundry.overlay.nominal, "m", "design rule",
                                                {"overlay": foundry.overlay})  # fmt: skip
    return LayerPlan(
        layer=layer.name, purpose=layer.purpose or "", tool=foundry.name, exposure="foundry", resist="", mask=True,
        steps=(), class_before="A", class_after="A", figures=figures, facts=facts, findings=(),
    )  # fmt: skip
