"""Gate: turnaround. One run's clock, the number of runs, the queue, and the deadline."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio

_DAY = 86400.0
_WEEK = 604800.0


def estimate(case: Case) -> None:
    """Write the turnaround gate; needs the measuring time and interruptions of the hold gate."""
    run = _run(case)
    devices = case.got("devices_needed")
    cooldowns = np.ceil(np.asarray(devices) / np.asarray(case.got("devices_per_load")))
    cooldowns = cooldowns if cooldowns.ndim else float(cooldowns)
    case.put("cooldowns", cooldowns, "count", "devices needed / devices per load, rounded up",
             "devices_needed", "devices_per_load")  # fmt: skip
    day = case.numeral("platform.clock.working_day", _DAY)
    occupied = case.put("platform_time", cooldowns * run * _DAY / day, "s",
                        "cooldowns × run × 24 h / working day", "cooldowns", "run",
                        "platform.clock.working_day")  # fmt: skip
    queue = case.numeral("platform.clock.queue", 0.0)
    answer = case.put("time_to_answer", queue + occupied, "s", "queue + platform time",
                      "platform.clock.queue", "platform_time")  # fmt: skip
    case.put("bench_time", cooldowns * run, "s", "cooldowns × run", "cooldowns", "run")
    case.fact("cooldowns", cooldowns)
    case.fact("devices_needed", devices)
    case.fact("queue_in_weeks", queue / _WEEK)
    cooldown = case.numeral("platform.clock.cooldown", 0.0)
    case.fact("cooldown_over_data", ratio(cooldown, case.got("data_time")))
    deadline = case.number("time.deadline")
    margin = 1e6 if deadline is None else ratio(deadline, answer)
    if deadline is not None:
        case.fact("deadline_margin", margin)
    case.gate("turnaround", answer, deadline, "s", margin, "no deadline is set" if deadline is None else "")


def _run(case: Case) -> Any:
    """One run from mounting to demounting, not shorter than the smallest slot."""
    parts = ("mount", "cooldown", "thermalise", "warm_up")
    total: Any = 0.0
    for part in parts:
        total = total + case.numeral(f"platform.clock.{part}", 0.0)
    total = total + case.got("data_time") + case.got("interruption_time")
    slot = case.numeral("platform.clock.slot", 0.0)
    run = np.maximum(total, slot)
    return case.put("run", run if np.ndim(run) else float(run), "s",
                    "mount + cooldown + thermalise + data + interruptions + warm-up, at least one slot",
                    *(f"platform.clock.{part}" for part in parts), "data_time", "interruption_time",
                    "platform.clock.slot")  # fmt: skip
