"""Gate: hold. How long the platform stays cold under this load against how long the data take."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates import bath
from triage.estimates.case import Case, ratio
from triage.estimates.measuring import data_time
from triage.estimates.working_hours import Pauses, pauses

USABLE = 0.85  # of a hold; the rest is kept in reserve (common practice)
RETUNE = 1800.0  # s after a recycle, 5 to 60 min, and never more than the first tuning (common practice)
TRANSFER, SETTLE = 3600.0, 1800.0  # s; 0.5 to 2 h, then minutes to hours until the boiling is quiet (common practice)


def estimate(case: Case) -> None:
    """Write the hold gate; needs the hold time worked out by the heat gate."""
    data = data_time(case)
    hold = case.got("hold_time")
    if hold is None:
        segments: Any = 1.0
        case.gate("hold", data, None, "s", 1e6, "holds until something breaks")
    else:
        usable = case.put("usable_hold", USABLE * hold, "s", "0.85 × hold", "hold_time")
        margin = ratio(usable, data)
        segments = np.maximum(np.ceil(np.asarray(data) / np.asarray(usable)), 1.0)
        segments = segments if np.ndim(segments) else float(segments)
        case.gate("hold", data, usable, "s", margin)
        case.fact("hold_margin", margin)
        _recycle(case)
    case.put("segments", segments, "count", "data time / usable hold, rounded up", "data_time",
             *(("usable_hold",) if hold is not None else ()))  # fmt: skip
    case.fact("segments", segments)
    case.fact("unbroken", "yes" if case.proposal.time.unbroken else "no")
    bath.estimate(case, data)
    if case.got("refill_interval") is not None:
        _transfer(case)
    _interruptions(case, data)


def pauses_of(case: Case) -> Pauses:
    """What interrupts the measuring; nothing does where the proposal forbids it."""
    if case.proposal.time.unbroken:
        return pauses(None, None, 0.0, 0.0)
    return pauses(case.got("usable_hold"), case.got("refill_interval"), case.got("recycle_pause"),
                  case.got("transfer_pause"))  # fmt: skip


def _recycle(case: Case) -> None:
    """A recycle and the tuning that a jump of the charges asks for."""
    retune = case.number("time.retune")
    if retune is None:
        retune = np.minimum(RETUNE, case.got("tuning"))[()]
        case.put("retune", retune, "s", "30 min, at most the first tuning", "tuning", basis="common practice")
    else:
        case.put("retune", retune, "s", "as stated", "time.retune")
    case.put("recycle_pause", case.numeral("platform.clock.recycle", 0.0) + retune, "s", "recycle + tuning again",
             "platform.clock.recycle", "retune")  # fmt: skip


def _transfer(case: Case) -> None:
    """A transfer and the time until the bath is quiet again."""
    transfer = case.numeral("platform.clock.transfer", TRANSFER, "common practice")
    settle = case.numeral("platform.clock.settle", SETTLE, "common practice")
    case.put("transfer_pause", transfer + settle, "s", "transfer + settling", "platform.clock.transfer",
             "platform.clock.settle")  # fmt: skip


def _interruptions(case: Case, data: Any) -> None:
    """How often the measuring of one load is interrupted, and what that takes."""
    found = pauses_of(case)
    total: Any = 0.0
    uses: list[str] = []
    for name, pause, limit, count in (
        ("recycles", "recycle_pause", "usable_hold", found.recycles(data)),
        ("transfers", "transfer_pause", "refill_interval", found.transfers(data)),
    ):
        length = case.got(pause)
        if length is None:
            continue
        count = count if np.ndim(count) else float(count)
        case.put(name, count, "count", "pieces of the measuring that end there", "data_time", limit)
        total = total + count * length
        uses += [name, pause]
    case.fact("transfers", case.got("transfers"))
    case.put("interruption_time", total if np.ndim(total) else float(total), "s",
             "recycles × (recycle + tuning again) + transfers × (transfer + settling)",
             *uses or ("data_time",))  # fmt: skip
