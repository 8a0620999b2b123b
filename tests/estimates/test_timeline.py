"""The plan of a run: without gaps it cannot explain, within working hours, and as long as the estimate says."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from estimates.cases import case, lab

from triage.estimates.case import Case
from triage.estimates.chain import evaluate
from triage.estimates.timeline import timeline
from triage.estimates.working_hours import FOLLOWED
from triage.models.recommendation import Step
from triage.services.assess import assess
from triage.services.plain_data import recommendation_data
from triage.services.workspace import demonstration, open_facility, read_request

HOUR, DAY = 3600.0, 86400.0
ENTRIES: list[dict[str, Any]] = [
    {},
    {"per_device": "20 h"},
    {"per_device": "99 h", "tuning": "12 h"},
    {"per_device": "99 h", "tuning": "40 h"},
    {"per_device": "300 h", "retune": "1 h"},
    {"per_device": "300 h", "unbroken": True},
    {"per_device": "10 min", "tuning": "0 h"},
]


def steps(plan: tuple[Step, ...]) -> list[Step]:
    return [step for step in plan if step.length > 0]


def end(plan: tuple[Step, ...]) -> float:
    return max(step.start + step.length for step in steps(plan))


def cases() -> list[tuple[str, Case]]:
    here = [
        (f"{platform} {number}", case(lab(platform, clock={"slot": "0 h", "demount": "30 min"}), time=time))
        for platform in ("stick", "insert", "wet", "dry")
        for number, time in enumerate(ENTRIES)
    ]
    facility = open_facility()
    for path in sorted((demonstration() / "proposals").glob("*.yaml")):
        request = read_request(path)
        for platform in facility.lab.platforms:
            there = evaluate(facility.lab, platform, request.proposal, request.kind, request.inputs)
            here.append((f"{path.stem} {platform.id}", there))
    return here


CASES = cases()


@pytest.mark.parametrize("found", [pytest.param(found, id=name) for name, found in CASES])
def test_plan_is_as_long_as_the_estimate(found: Case) -> None:
    """The estimate is a closed form; the plan is laid out step by step. A slot may be longer than both."""
    plan = timeline(found)
    slot = 0.0 if found.platform.clock.already_cold else found.got("slot")

    assert max(end(plan), slot, found.got("run")) == pytest.approx(found.got("run_calendar"), rel=1e-9)


@pytest.mark.parametrize("found", [pytest.param(found, id=name) for name, found in CASES])
def test_plan_keeps_working_hours_and_order(found: Case) -> None:
    """What needs people ends within the day, or begins in a morning; no two steps at once; all data are taken."""
    plan = steps(timeline(found))
    day = found.platform.clock.working_day.nominal
    for before, after in pairwise(plan):
        assert after.start >= before.start + before.length - 1e-3
    for step in plan:
        if step.attended:
            phase = step.start % DAY
            in_hours = phase + step.length <= day + 1e-3
            shifts = step.length > day and phase < day
            behind = step.name in ("tune", "retune") and phase < day
            assert in_hours or shifts or behind, step
    if any(step.name == "data and pauses" for step in plan):
        return  # too many pieces to lay out one by one; their length is checked above
    measured = sum(step.length for step in plan if step.name in ("tune", "data"))
    assert measured == pytest.approx(found.got("data_time"))
    for name in ("recycles", "transfers"):
        counted = sum(step.name == name.removesuffix("s") for step in plan)
        assert counted == (found.got(name) or 0)


def test_a_short_run_by_hand() -> None:
    """Mounted at 0 h, cold at 4 h, tuned from 4.5 to 5.5 h, data to 8.5 h, warm at 10.5 h."""
    plan = timeline(case(lab("insert")))

    laid_out = [(step.name, step.start / HOUR, step.length / HOUR) for step in steps(plan)]
    assert laid_out == [
        ("mount", 0.0, 1.0), ("cool", 1.0, 3.0), ("thermalise", 4.0, 0.5), ("tune", 4.5, 1.0), ("data", 5.5, 3.0),
        ("warm", 8.5, 2.0),
    ]  # fmt: skip
    assert [step.attended for step in steps(plan)] == [True, False, False, True, False, False]


def test_a_recycle_waits_for_the_morning() -> None:
    """Data from 5.5 h: after 34 h of the charge it is 14.5 h past a morning, so the recycle is at 48 h."""
    plan = timeline(case(lab("insert"), time={"per_device": "49 h"}))
    names = {step.name: step for step in plan}

    assert names["recycle"].start == pytest.approx(48 * HOUR)
    assert names["retune"].start == pytest.approx(48 * HOUR + 20 * 60)
    last = [step for step in plan if step.name == "data"][-1]
    assert last.start == pytest.approx(48 * HOUR + 50 * 60)
    assert last.length == pytest.approx((50 - 34) * HOUR)


def test_the_hold_is_a_wall() -> None:
    """Of an unbroken run of 60 h on a charge of 40 h the wall stands inside the data."""
    plan = timeline(case(lab("insert"), time={"per_device": "60 h", "unbroken": True}))
    wall = next(step for step in plan if step.name == "hold limit")
    data = next(step for step in plan if step.name == "data")

    assert wall.length == 0
    assert wall.start == pytest.approx((4.5 + 40) * HOUR)
    assert data.start < wall.start < data.start + data.length
    assert "before the data do" in wall.note


def test_very_many_pieces_follow_at_their_pace() -> None:
    """Past the pauses laid out one by one the closed form is good to a day in the time those take."""
    found = case(lab("insert"), time={"per_device": "8000 h"})
    assert found.got("recycles") > 2 * FOLLOWED
    now, left, piece = 4.5 * HOUR, found.got("data_time"), found.got("usable_hold")
    while left > piece:
        now, left = now + piece, left - piece
        phase = now % DAY
        now += (0 if phase + 50 * 60 <= 8 * HOUR else DAY - phase) + 50 * 60
    exact = now + left + 2 * HOUR

    assert found.got("run_calendar") == pytest.approx(exact, rel=1 / FOLLOWED)
    assert end(timeline(found)) == pytest.approx(found.got("run_calendar"))


def test_not_known_means_no_plan() -> None:
    """A length that nobody knows leaves the plan empty."""
    assert timeline(case(lab("insert"), time={"per_device": "unknown"})) == ()


def test_plan_is_part_of_the_plain_data() -> None:
    """Every platform carries its own; times are seconds."""
    facility = open_facility()
    answer = assess(facility, read_request(demonstration() / "proposals" / "slow-switching.yaml"))
    for platform in recommendation_data(answer)["platforms"]:
        assert platform["timeline"][0]["step"] == "mount"
        assert {"step", "start", "length", "unit", "attended", "note"} == platform["timeline"][0].keys()
    insert = answer.platform("helium-3-insert")
    assert insert is not None
    assert any(step.name == "hold limit" and "before" in step.note for step in insert.timeline)


def test_the_plan_takes_single_numbers_from_an_override() -> None:
    """A changed queue or time of the platform moves the plan."""
    slower = case(lab("insert"), {"platform.clock.cooldown": 6 * HOUR})
    assert end(timeline(slower)) > end(timeline(case(lab("insert"))))
    assert np.isfinite(end(timeline(slower)))
