"""Gate: risk and cost. Price against budget, and people against the machine; `safety` adds the room."""

from __future__ import annotations

import numpy as np

from triage.estimates import price
from triage.estimates.case import Case, ratio
from triage.estimates.measuring import known

_RANK = {"new": 1.0, "trained": 2.0, "expert": 3.0}


def estimate(case: Case) -> None:
    """Write the risk and cost gate; needs the clock of the turnaround gate."""
    cost = price.estimate(case)
    budget = case.number("budget")
    margin = 1e6 if budget is None else ratio(budget, cost)
    if budget is not None:
        case.fact("budget_margin", margin)
    case.gate("risk_cost", cost, budget, "EUR", margin, "no budget is set" if budget is None else "")
    _people(case)
    risk = case.proposal.risk
    case.fact("unique_sample", "yes" if risk.unique else "no")
    case.fact("brittle_sample", "yes" if risk.brittle else "no")
    case.fact("null_result", "yes" if risk.null_result else "no")


def _people(case: Case) -> None:
    operator = _RANK[case.proposal.risk.operator]
    needed = _RANK[case.platform.people.experience]
    case.fact("operator_margin", operator / needed)
    case.fact("operator", case.proposal.risk.operator)
    hours_alone = "yes" if np.any(np.asarray(case.got("run")) > 10 * 3600) else "no"
    case.fact("runs_overnight", hours_alone)
    case.fact("may_run_unattended", "yes" if case.platform.people.unattended else "no")
    case.fact("trained_people", known(case, "platform.people.trained"))
