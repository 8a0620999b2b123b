"""One run as a plan on the calendar, step by step, from a working morning."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from triage.estimates.case import Case
from triage.estimates.hold import SETTLE, TRANSFER, pauses_of
from triage.estimates.turnaround import WORKING_DAY, dipped, steps
from triage.estimates.working_hours import FOLLOWED, begin
from triage.models.recommendation import Step

_AFTER_HOURS = "longer than a working day: in shifts"
_ROUNDING = 1e-3  # s


def timeline(case: Case) -> tuple[Step, ...]:
    """The steps of the first load, of a case whose numbers are single; empty where a length is not known.

    A wall (`hold limit`, `bath limit`) is a step of no length. Of very many pieces the first are laid out
    and the rest are one step at their mean pace.
    """
    plan = _Plan(float(case.numeral("platform.clock.working_day", WORKING_DAY)))
    parts = {name: float(length) for name, length in steps(case).items()}
    data, tuning = float(case.got("data_time")), float(case.got("tuning"))
    if not np.all(np.isfinite([data, tuning, *parts.values()])):
        return ()
    plan.add("mount", parts.get("mount", 0.0), attended=True)
    plan.add("leak check", parts.get("leak_check", 0.0), attended=True)
    plan.add("cool", parts.get("cooldown", 0.0), attended=dipped(case))
    plan.add("thermalise", parts.get("thermalise", 0.0))
    _measure(case, plan, tuning, data)
    plan.add("warm", parts.get("warm_up", 0.0))
    plan.add("demount", parts.get("demount", 0.0), attended=True)
    return tuple(sorted(plan.steps, key=lambda step: step.start))


class _Plan:
    """Steps so far and the hand of the clock."""

    def __init__(self, working_day: float) -> None:
        self.working_day = working_day
        self.now = 0.0
        self.steps: list[Step] = []

    def wait(self, length: float) -> None:
        """Move to when people can begin something of a length."""
        self.now = float(begin(self.now, length, self.working_day))

    def add(self, name: str, length: float, note: str = "", *, attended: bool = False) -> None:
        """A step, if it takes any time; one that needs people waits for them."""
        if length <= 0:
            return
        if attended:
            self.wait(length)
            if length > self.working_day:
                note = note or _AFTER_HOURS
        self.steps.append(Step(name, self.now, length, attended, note))
        self.now += length

    def follow(self, name: str, length: float, *, attended: bool) -> None:
        """A step right behind the last, for which nobody waits."""
        if length > 0:
            self.steps.append(Step(name, self.now, length, attended))
            self.now += length

    def wall(self, name: str, at: float, note: str) -> None:
        """A limit, which is a moment."""
        self.steps.append(Step(name, at, 0.0, attended=False, note=note))


def _measure(case: Case, plan: _Plan, tuning: float, data: float) -> None:
    """Tuning and data, cut by recycles and transfers; walls where charge or bath would end."""
    pauses = pauses_of(case)
    pieces = float(pauses.pieces(data))
    if not np.isfinite(pieces):
        return
    plan.wait(tuning)
    start, filled, charged = plan.now, plan.now, plan.now
    left = data
    for number in range(1, min(int(pieces), FOLLOWED + 1) + 1):
        tune = max(tuning - (data - left), 0.0)
        length = left if number == pieces else float(pauses.piece)
        plan.follow("tune", min(tune, length), attended=True)
        plan.follow("data", length - min(tune, length), attended=False)
        left -= length
        if number == pieces or number > FOLLOWED:
            break
        plan.wait(float(pauses.length(number)))
        for name, begun in _pause(case, plan, number, float(pauses.recycle_every), float(pauses.transfer_every)):
            filled, charged = (begun, charged) if name == "transfer" else (filled, begun)
    if pieces > FOLLOWED + 1:
        pace = (plan.now - float(pauses.piece) - start) / FOLLOWED
        rest = (pieces - 1 - FOLLOWED) * pace + left - (pieces - 1 - FOLLOWED) * float(pauses.piece)
        plan.follow("data and pauses", rest, attended=False)
    for name, key, since in (("hold limit", "hold_time", charged), ("bath limit", "bath_autonomy", filled)):
        if (lasts := case.got(key)) is not None and np.isfinite(lasts):
            plan.wall(name, since + float(lasts), _wall_note(name, since + float(lasts), plan.now))


def _pause(case: Case, plan: _Plan, number: int, recycle: float, transfer: float) -> Iterator[tuple[str, float]]:
    """The steps of a pause; yields what was renewed and when."""
    if number % recycle == 0:
        plan.follow("recycle", _number(case, "platform.clock.recycle"), attended=True)
        yield "recycle", plan.now
        plan.follow("retune", float(case.got("retune")), attended=True)
    if number % transfer == 0:
        plan.follow("transfer", _number(case, "platform.clock.transfer", TRANSFER), attended=True)
        yield "transfer", plan.now
        plan.follow("settle", _number(case, "platform.clock.settle", SETTLE), attended=False)


def _number(case: Case, path: str, default: float = 0.0) -> float:
    value: Any = case.numeral(path, default, "common practice")
    return float(value)


def _wall_note(name: str, at: float, end: float) -> str:
    what = "the charge" if name == "hold limit" else "the bath"
    return f"{what} ends here, before the data do" if at < end - _ROUNDING else f"{what} would end here"
