"""Gate: heat. The proposal's load against what the stage takes at the temperature it must work at."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.estimates.cooling import Answer, cooling_of

COAX_LOAD = 4e-9  # W at a mixing chamber per attenuated stainless coax, order of magnitude (Krinner 2019)


def load(case: Case) -> Any:
    """What the proposal dissipates at the sample stage [W]."""
    device = case.numeral("heat.device", 0.0, "default")
    lines = case.numeral("heat.lines", 0.0, "default")
    return case.put("heat_load", device + lines, "W", "device + lines", "heat.device", "heat.lines")


def estimate(case: Case) -> None:
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
    limit = "nothing is dissipated" if not wanted else "too warm without any load" if np.all(too_warm) else ""
    case.gate("heat", heat, power, "W", margin if wanted else 1e6, limit)
    hold = cooling.hold(heat)
    if hold is not None:
        put(case, "hold_time", "s", hold)


def _working_temperature(case: Case) -> Any:
    """The warmest stage temperature at which the electrons are still cold enough, within the platform's range."""
    needed, saturation = case.got("needed_temperature"), case.got("electron_saturation")
    exponent = case.numeral("platform.electrons.exponent", 2.0)
    base, warmest = case.got("base_temperature"), case.numeral("platform.warmest", 300.0)
    stage = needed
    if case.kind.follows == "electrons":
        with np.errstate(invalid="ignore"):
            stage = np.maximum(np.asarray(needed) ** exponent - np.asarray(saturation) ** exponent, 0.0) ** (
                1 / exponent
            )
    value = np.clip(stage, base, np.maximum(base, warmest))
    return case.put(
        "working_temperature", value if np.ndim(value) else float(value), "K",
        "warmest stage temperature whose electrons are cold enough, within the range of the platform",
        "needed_temperature", "electron_saturation", "base_temperature", "platform.warmest",
    )  # fmt: skip


def put(case: Case, name: str, unit: str, answer: Answer) -> Any:
    """Write an answer of the cooling down as an estimate."""
    return case.put(name, answer.value, unit, answer.formula, *answer.uses, references=answer.references,
                    problems=list(answer.problems))  # fmt: skip
