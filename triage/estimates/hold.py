"""Gate: hold. How long the platform stays cold under this load against how long the data take."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.bath import Bath, bath_of
from triage.estimates.case import Case, ratio
from triage.estimates.measuring import data_time
from triage.estimates.working_hours import Pauses, pauses

USABLE = 0.85  # of a hold; the rest is kept in reserve (common practice)
RETUNE = 1800.0  # s after a recycle, 5 to 60 min; never more than the first tuning (common practice)
TRANSFER, SETTLE = 3600.0, 1800.0  # s; 0.5 to 2 h, and minutes to hours of boiling after it (common practice)


def estimate(case: Case) -> None:
    """Write the hold gate; needs the hold time worked out by the heat gate."""
    data = data_time(case)
    hold = case.got("hold_time")
    usable = None if hold is None else case.put("usable_hold", USABLE * hold, "s", "0.85 × hold", "hold_time")
    if usable is None:
        case.gate("hold", data, None, "s", 1e6, "holds until something breaks")
    else:
        margin = ratio(usable, data)
        case.gate("hold", data, usable, "s", margin)
        case.fact("hold_margin", margin)
    bath = bath_of(case)
    _judge_bath(case, bath, data)
    case.fact("unbroken", "yes" if case.proposal.time.unbroken else "no")
    _interruptions(case, pauses_of(case), bath)


def pauses_of(case: Case) -> Pauses:
    """The pauses of the measuring; needs the usable hold and the refill interval."""
    stated = case.number("time.retune")
    if case.got("usable_hold") is not None and "retune" not in case.estimates:
        if stated is None:
            case.put("retune", np.minimum(RETUNE, case.got("tuning"))[()], "s", "30 min, at most the first tuning", "tuning",
                     basis="common practice")  # fmt: skip
        else:
            case.put("retune", stated, "s", "as stated", "time.retune")
    recycle = case.numeral("platform.clock.recycle", 0.0) + (case.got("retune") or 0.0)
    transfer: Any = 0.0
    if case.got("refill_interval") is not None:
        transfer = case.numeral("platform.clock.transfer", TRANSFER, "common practice") + case.numeral(
            "platform.clock.settle", SETTLE, "common practice"
        )
    return pauses(case.got("usable_hold"), case.got("refill_interval"), recycle, transfer)


