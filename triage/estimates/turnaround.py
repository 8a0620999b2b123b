"""Gate: turnaround. One run's clock, the number of runs, the queue, and the deadline."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.estimates.hold import pauses_of
from triage.estimates.measuring import known
from triage.estimates.working_hours import DAY, attended, series

_WEEK = 604800.0
WORKING_DAY = 8 * 3600.0
TEST_AT_HELIUM = 3600.0  # s to test one device at 4.2 K (common practice)
_DIPPED = ("ambient", "nitrogen bath", "helium bath")


def estimate(case: Case) -> None:
    """Write the turnaround gate; needs the measuring time and interruptions of the hold gate."""
    parts = steps(case)
    run = _run(case, parts)
    calendar = _run_calendar(case, parts)
    devices = case.got("devices_needed")
    cooldowns = np.ceil(np.asarray(devices) / np.asarray(case.got("devices_per_load")))
    cooldowns = cooldowns if cooldowns.ndim else float(cooldowns)
    case.put("cooldowns", cooldowns, "count", "devices needed / devices per load, rounded up",
             "devices_needed", "devices_per_load")  # fmt: skip
    day = case.numeral("platform.clock.working_day", WORKING_DAY)
    occupied = series(cooldowns, calendar, day, 0.0 if already_cold(case) else case.got("slot"))
    occupied = case.put("platform_time", occupied if np.ndim(occupied) else float(occupied), "s",
                        "runs on the calendar, a further one on the same day only where it ends that day",
                        "cooldowns", "run_calendar", "platform.clock.working_day")  # fmt: skip
    queue = 0.0 if already_cold(case) else case.numeral("platform.clock.queue", 0.0)
    answer = case.put("time_to_answer", queue + occupied, "s", "queue + platform time",
                      *(() if already_cold(case) else ("platform.clock.queue",)), "platform_time")  # fmt: skip
    case.put("bench_time", cooldowns * run, "s", "cooldowns × run", "cooldowns", "run")
    case.fact("cooldowns", cooldowns)
    case.fact("devices_needed", devices)
    case.fact("queue_in_weeks", queue / _WEEK)
    cooldown = case.numeral("platform.clock.cooldown", 0.0)
    case.fact("cooldown_over_data", ratio(cooldown, case.got("data_time")))
    _others(case, queue, occupied)
    _statistics(case, devices, run)
    deadline = case.number("time.deadline")
    margin = 1e6 if deadline is None else ratio(deadline, answer)
    if deadline is not None:
        case.fact("deadline_margin", margin)
    case.gate("turnaround", answer, deadline, "s", margin, "no deadline is set" if deadline is None else "")


def already_cold(case: Case) -> bool:
    """Whether the platform is cold for others and the sample goes into a free place."""
    return case.platform.clock.already_cold


def dipped(case: Case) -> bool:
    """Whether somebody stands there while the sample cools."""
    return case.platform.cooling.mechanism in _DIPPED


def steps(case: Case) -> dict[str, Any]:
    """The lengths of the steps of a run besides the measuring, those that are not stated left out [s]."""
    names = ["mount", "leak_check", "cooldown", "thermalise", "warm_up", "demount"]
    if already_cold(case):
        names.remove("warm_up")
    found = {name: known(case, f"platform.clock.{name}") for name in names}
    return {name: length for name, length in found.items() if length is not None}


def _run(case: Case, parts: dict[str, Any]) -> Any:
    """One run from mounting to demounting, not shorter than the smallest slot."""
    total = sum(parts.values(), case.got("data_time") + case.got("interruption_time"))
    slot = case.numeral("platform.clock.slot", 0.0)
    case.put("slot", slot, "s", "as stated", "platform.clock.slot")
    run = total if already_cold(case) else np.maximum(total, slot)
    return case.put("run", run if np.ndim(run) else float(run), "s",
                    "mount + cooldown + thermalise + data + interruptions + warm-up, at least one slot",
                    *(f"platform.clock.{part}" for part in parts), "data_time", "interruption_time",
                    "slot")  # fmt: skip


def _run_calendar(case: Case, parts: dict[str, Any]) -> Any:
    """One run on the calendar, begun on a working morning: what needs people waits for working hours."""
    day = case.numeral("platform.clock.working_day", WORKING_DAY)
    now: Any = 0.0
    for name in ("mount", "leak_check"):
        now = attended(now, parts.get(name, 0.0), day)
    cooldown = parts.get("cooldown", 0.0)
    now = attended(now, cooldown, day) if dipped(case) else now + cooldown
    tuning = case.got("tuning")
    start = attended(now + parts.get("thermalise", 0.0), tuning, day) - tuning
    now = pauses_of(case).end(start, case.got("data_time"), day)
    now = attended(now + parts.get("warm_up", 0.0), parts.get("demount", 0.0), day)
    value = np.maximum(now, case.got("run"))
    return case.put(
        "run_calendar", value if np.ndim(value) else float(value), "s",
        "the steps of a run from a working morning, those that need people within working hours",
        *(f"platform.clock.{part}" for part in parts), "tuning", "data_time", "interruption_time", "run",
        "platform.clock.working_day",
    )  # fmt: skip


def _others(case: Case, queue: Any, occupied: Any) -> None:
    """How much longer those behind in the queue wait."""
    longer = 0.0 if already_cold(case) else np.where(np.asarray(queue) > 0, occupied, 0.0)
    longer = longer if np.ndim(longer) else float(longer)
    case.put("displaced_time", longer, "s", "platform time, where others wait in a queue", "platform_time",
             "time_to_answer")  # fmt: skip
    case.fact("displaced_days", longer / DAY)
    case.fact("already_cold", "yes" if already_cold(case) else "no")


def _statistics(case: Case, devices: Any, run: Any) -> None:
    """What the number of devices is worth: a test beforehand, a proxy, a comparison of two groups."""
    if (working := known(case, "devices.working")) is not None:
        each = run / case.got("devices_in_a_load")
        case.fact("screening_gain_in_hours", ((1.0 - working) * each - TEST_AT_HELIUM) / 3600.0)
    if (proxy := known(case, "devices.proxy")) is not None:
        case.fact("proxy", proxy)
    if (difference := known(case, "devices.difference")) is not None:
        wanted = 2.0 * np.ceil(16.0 / np.maximum(np.square(difference), 1e-9))
        wanted = case.put("devices_for_difference", wanted if np.ndim(wanted) else float(wanted), "count",
                          "2 groups × 16 / (difference / spread)², rounded up", "devices.difference",
                          references=("Lehr1992",))  # fmt: skip
        case.fact("difference_margin", ratio(devices, wanted))
