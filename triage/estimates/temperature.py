"""Gate: temperature. The electrons' temperature (or the stage's) against what each tier needs."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates import electrons, stages
from triage.estimates.case import Case, ratio
from triage.estimates.cooling import cooling_of
from triage.estimates.heat import load, put
from triage.estimates.stages import Ladder
from triage.models.tier import TIERS, Tier
from triage.physics.constants import boltzmann


def estimate(case: Case) -> Ladder:
    """Write the temperature gate; returns what heats the stages, for the gate of heat."""
    cooling = cooling_of(case)
    put(case, "base_temperature", "K", cooling.temperature(0.0))
    ladder = stages.estimate(case)
    load(case, ladder)
    stage = put(case, "stage_temperature", "K", cooling.temperature(case.got("heat_load")))
    sample, warm = electrons.estimate(case, stage)
    needed = _needed(case)
    given = _given(case, sample, warm)
    margin = ratio(needed[case.proposal.tier], given)
    case.fact("thermal_margin", margin)
    case.fact("thermal_margin_to_see", ratio(needed["see"], given))
    if case.kind.follows == "electrons":
        case.fact("thermal_margin_at_worst", ratio(needed[case.proposal.tier], case.got("electron_temperature_high")))
    case.fact("follows", case.kind.follows)
    case.gate("temperature", needed[case.proposal.tier], given, "K", np.nan if margin is None else margin)
    _energy_ratio(case, given)
    _saturation_facts(case, stage)
    _sweep(case)
    _asked(case, stage)
    return ladder


def _given(case: Case, sample: Any, warm: Any) -> Any:
    """The temperature that the observable feels: of the electrons, or of the lattice on its stage."""
    if case.kind.follows == "electrons":
        return case.put("given_temperature", warm, "K", "temperature of the electrons", "electron_temperature")
    heated = "sample_temperature" in case.estimates
    return case.put("given_temperature", sample, "K", "temperature of the sample" if heated else
                    "temperature of the stage", "sample_temperature" if heated else "stage_temperature")  # fmt: skip


def _needed(case: Case) -> dict[Tier, Any]:
    """The warmest temperature that serves each tier, by the criterion of the kind."""
    criterion = case.kind.criterion
    inputs: dict[str, Any] = {}
    for name in case.inputs:
        inputs[name] = case.number(f"device.{name}")
    uses = [f"device.{name}" for name in criterion.uses if name in inputs]
    field = case.number("field.magnitude")
    if field is not None:
        inputs["field"] = field
        uses += ["field.magnitude"] if case.kind.needs_field else []
    numbers = dict(criterion.numbers) | {
        tier: value.nominal for tier, value in case.lab.tiers.get(case.kind.key, {}).items()
    }
    needed: dict[Tier, Any] = {}
    for tier in TIERS:
        number = numbers[tier]
        case.bases[f"number.{tier}"] = "common practice"
        needed[tier] = case.put(
            f"needed_temperature_to_{tier}", criterion.needed(inputs, number), "K",
            f"{criterion.formula}, number = {number:g} ({criterion.says})", *uses, f"number.{tier}",
            references=case.kind.references[:2],
        )  # fmt: skip
    case.put("needed_temperature", needed[case.proposal.tier], "K", f"that of the tier '{case.proposal.tier}'",
             f"needed_temperature_to_{case.proposal.tier}")  # fmt: skip
    if criterion.scale is not None:
        case.put("governing_energy", criterion.scale(inputs), "J", criterion.scale_name, *uses)
    return needed


def _energy_ratio(case: Case, given: Any) -> None:
    scale = case.got("governing_energy")
    if scale is None:
        return
    value = case.put("energy_over_thermal", scale / (boltzmann * given), "", "E / (k_B T)", "governing_energy",
                     "given_temperature")  # fmt: skip
    case.fact("energy_over_thermal", value)


def _saturation_facts(case: Case, stage: Any) -> None:
    """How far the stage is below the temperature at which the loom keeps the electrons."""
    saturation = case.got("electron_saturation")
    case.fact("stage_over_saturation", ratio(stage, saturation))
    electrons = case.got("electron_temperature")
    case.fact("electrons_over_stage", ratio(electrons, stage))


def _sweep(case: Case) -> None:
    """Whether the platform spans the temperatures that must be swept."""
    paths = ("sweep.low", "sweep.high")
    low, high = (case.number(path) for path in paths)
    if low is None or high is None:
        if case.kind.window is None:
            return
        inputs: dict[str, Any] = {name: case.number(f"device.{name}") for name in case.inputs}
        if (field := case.number("field.magnitude")) is not None:
            inputs["field"] = field
        low, high = case.kind.window(inputs)
        paths = tuple(f"device.{name}" for name in case.kind.criterion.uses if name in case.inputs)  # type: ignore[assignment]
    case.put("sweep_low", low, "K", "lowest temperature of the sweep", *paths)
    case.put("sweep_high", high, "K", "highest temperature of the sweep", *paths)
    case.fact("sweep_low_margin", ratio(low, case.got("stage_temperature")))
    margin = ratio(case.numeral("platform.warmest", 300.0), high)
    case.fact("sweep_high_margin", margin)
    case.gate("temperature", high, case.number("platform.warmest"), "K", margin, "warm end of the sweep")


def _asked(case: Case, stage: Any) -> None:
    """Whether the stage reaches what the proposer asked of it."""
    asked = case.number("asked.temperature")
    if asked is None or case.proposal.asked.platform not in (None, case.platform.id):
        return
    case.put("asked_temperature", asked, "K", "as asked for", "asked.temperature")
    case.fact("asked_margin", ratio(asked, stage))
