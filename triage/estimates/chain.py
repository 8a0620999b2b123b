"""The chain from a proposal and a platform to gates and facts, gate after gate, and the comparison across platforms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from triage.estimates import field, heat, hold, lines, risk_cost, safety, size, temperature, turnaround, vibration
from triage.estimates.case import Case
from triage.measurements.kind import Kind
from triage.models.lab import Lab, Platform
from triage.models.proposal import Proposal
from triage.models.quantity import Value
from triage.physics.kind import Numbers

_WEEK = 604800.0
_DAY = 86400.0
# The margins that a platform must have to serve the wanted tier in full.
_FULL = ("thermal_margin", "field_margin", "field_axes_margin", "dc_margin", "coax_margin", "fibre_margin",
         "bandwidth_margin", "size_margin", "heat_margin", "sweep_low_margin", "sweep_high_margin")  # fmt: skip


def evaluate(
    lab: Lab,
    platform: Platform,
    proposal: Proposal,
    kind: Kind,
    inputs: Mapping[str, Value],
    overrides: Mapping[str, Numbers] | None = None,
) -> Case:
    """Every estimate, gate and fact of one proposal on one platform.

    `overrides` replaces numbers by path; where they are arrays, so are margins and facts.
    """
    case = Case(lab, platform, proposal, kind, inputs, overrides or {})
    heat.estimate(case, temperature.estimate(case))
    field.estimate(case)
    lines.estimate(case)
    size.estimate(case)
    vibration.estimate(case)
    hold.estimate(case)
    turnaround.estimate(case)
    risk_cost.estimate(case)
    safety.estimate(case)
    _circumstances(case)
    return case


def _circumstances(case: Case) -> None:
    """What the rules want to know besides margins."""
    proposal, platform = case.proposal, case.platform
    for name, answer in {
        "superconducting_parts": proposal.field is not None and proposal.field.superconducting_parts,
        "board_described": proposal.board is not None,
        "machine_cooled": platform.vibration.comb is not None,
        "field_gradient": proposal.signal.field_gradient,
        "frozen": proposal.devices.frozen,
        "destructive": proposal.risk.destructive,
        "thin_gates": proposal.risk.thin_gates,
        "contaminating": proposal.risk.contaminating,
        "temperature_swept": proposal.sweep is not None or case.kind.window is not None,
    }.items():
        case.fact(name, "yes" if answer else "no")
    case.fact("screened", proposal.devices.screened)
    case.fact("working", case.number("devices.working"))
    case.fact("mechanism", platform.cooling.mechanism)
    case.fact("tier", proposal.tier)
    case.fact("data_in_days", case.got("data_time") / _DAY)


def compare(cases: Sequence[Case]) -> None:
    """Write the facts that need all platforms: how much sooner each answers than the soonest that serves in full."""
    times = [case.got("time_to_answer") for case in cases]
    both = np.broadcast_arrays(*times, *map(_serves_in_full, cases))
    table, full = np.array(both[: len(cases)], dtype=float), np.array(both[len(cases) :], dtype=bool)
    serving = np.where(full, table, np.inf)
    # The soonest of the others is the soonest of all, or the second where a case is itself the soonest.
    first, second = np.sort(serving, axis=0)[:2] if len(cases) > 1 else (serving[0] * np.inf, serving[0] * np.inf)
    for index, case in enumerate(cases):
        others = np.where(serving[index] == first, second, first)
        sooner = (others - table[index]) / _WEEK
        sooner = np.clip(np.where(np.isfinite(sooner), sooner, 0.0), -1e4, 1e4)
        case.fact("weeks_sooner", sooner if sooner.ndim else float(sooner))


def _serves_in_full(case: Case) -> Any:
    served: Any = True
    for name in _FULL:
        if name in case.facts:
            served = served & (case.facts[name] >= 1.0)
    return served
