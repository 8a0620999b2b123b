"""Gate: heat. The proposal's load against what the stage takes at the temperature it must work at."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates import stages
from triage.estimates.case import Case, ratio
from triage.estimates.cooling import Answer, cooling_of
from triage.estimates.electrons import stage_for
from triage.estimates.stages import Ladder, Part
from triage.models.stages import SAMPLE


def load(case: Case, ladder: Ladder) -> Any:
    """What the proposal dissipates at the sample stage [W], with whatever else the ladder says it brings there."""
    device = case.numeral("heat.device", 0.0, "default")
    duty = case.number("heat.duty")
    uses = ("heat.device",) if duty is None else ("heat.device", "heat.duty")
    own = {"device": Part(device if duty is None else device * duty, uses),
           "stated lines": Part(case.numeral("heat.lines", 0.0, "default"), ("heat.lines",))}  # fmt: skip
    amplifier = case.number("heat.amplifier")
    if amplifier is not None and (case.proposal.heat.amplifier_at == SAMPLE or case.platform.loom is None):
        power = amplifier if duty is None else amplifier * duty
        own["amplifier"] = Part(power, ("heat.amplifier", *uses[1:]))
    for name, part in own.items():
        ladder.brought[name] = part
        ladder.add(SAMPLE, name, part)
    if case.platform.loom is not None:
        stages.total(case, ladder, SAMPLE)
    total = sum((part.value for part in ladder.brought.values()), 0.0)
    formula = "device + lines" if len(ladder.brought) == 2 else " + ".join(ladder.brought)
    used = dict.fromkeys(path for part in ladder.brought.values() for path in part.uses)
    references = dict.fromkeys(key for part in ladder.brought.values() for key in part.references)
    return case.put("heat_load", total, "W", formula, *used, references=tuple(references))


def estimate(case: Case, ladder: Ladder) -> None:
    """Write the heat gate and the hold time; needs the temperatures."""
    cooling = cooling_of(case)
    heat = case.got("heat_load")
    working = _working_temperature(case)
    power = put(case, "cooling_power", "W", cooling.power(working))
    wanted = bool(np.any(np.asarray(heat) > 0))
    too_warm = np.asarray(working) <= np.asarray(case.got("base_temperature"))
    # A platform that is too warm without any load fails on temperature; its heat is not judged.
    margin: Any = np.where(too_warm, 1e6, ratio(power, heat))
    margin = margin if np.ndim(margin) else float(margin)
    case.fact("heat_margin", margin)
    case.fact("heat_wanted", "yes" if wanted else "no")
    case.fact("heat_at_sample", heat)
    if case.platform.measured is not None and case.platform.measured.load_curve is not None:
        case.fact("beyond_measured", "no" if case.estimates["stage_temperature"].valid else "yes")
    limit = "nothing is dissipated" if not wanted else "too warm without any load" if np.all(too_warm) else ""
    above = case.gates.get("heat")
    if above is None or np.all(np.isfinite(above.margin)):  # a stage that cannot be judged leaves the gate unjudged
        case.gate("heat", heat, power, "W", margin if wanted else 1e6, limit)
    if wanted or case.platform.loom is not None:
        stages.dominant(case, ladder, margin if wanted else 1e6)
    hold = cooling.hold(heat)
    if hold is not None:
        put(case, "hold_time", "s", hold)


def _working_temperature(case: Case) -> Any:
    """The warmest stage temperature at which the device is still cold enough, within the platform's range."""
    base, warmest = case.got("base_temperature"), case.numeral("platform.warmest", 300.0)
    needed = case.got("needed_temperature")
    stage, uses = stage_for(case, needed)
    value = np.clip(stage, base, np.maximum(base, warmest))
    what = "electrons are" if case.kind.follows == "electrons" else "device is"
    return case.put(
        "working_temperature", value if np.ndim(value) else float(value), "K",
        f"warmest stage temperature whose {what} cold enough, within the range of the platform",
        "needed_temperature", *uses, "base_temperature", "platform.warmest",
    )  # fmt: skip


def put(case: Case, name: str, unit: str, answer: Answer) -> Any:
    """Write an answer of the cooling down as an estimate."""
    return case.put(name, answer.value, unit, answer.formula, *answer.uses, references=answer.references,
                    problems=list(answer.problems))  # fmt: skip
