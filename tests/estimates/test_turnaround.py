"""Working hours and series of runs against day-by-day counting; what more data or devices can never do."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from estimates.cases import case, lab
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.estimates.case import Case
from triage.estimates.working_hours import DAY, begin, pauses, series

HOUR = 3600.0


@pytest.mark.parametrize(
    ("now", "length", "begins"),
    [
        (0.0, 8.0, 0.0),  # a full working day from the morning
        (1.0, 8.0, 24.0),  # an hour late: tomorrow
        (7.0, 1.0, 7.0),  # ends at closing time
        (7.5, 1.0, 24.0),  # would end half an hour after it
        (20.0, 0.5, 24.0),  # at night
        (20.0, 0.0, 20.0),  # nothing to do
        (30.0, 12.0, 48.0),  # longer than a day: from a morning, in shifts
    ],
)
def test_people_begin_in_working_hours(now: float, length: float, begins: float) -> None:
    """Eight hours a day, counted from a working morning; by hand."""
    assert begin(now * HOUR, length * HOUR, 8 * HOUR) == pytest.approx(begins * HOUR)


def test_round_the_clock_nobody_waits() -> None:
    """Where people are there for 24 h a day."""
    assert begin(20 * HOUR, 3 * HOUR, DAY) == 20 * HOUR
    assert series(5, 7 * HOUR, DAY, 0.0) == pytest.approx(35 * HOUR)


def day_by_day(runs: int, run: float, working_day: float) -> float:
    """Runs in their order, each begun where the last ended or on the next morning."""
    end = 0.0
    for _ in range(runs):
        start = end
        phase = start % DAY
        if phase and phase + run > working_day + 1e-6:
            start += DAY - phase
        end = start + run
    return end


@settings(max_examples=300, deadline=None)
@given(st.integers(1, 40), st.integers(1, 400), st.integers(4, 12))
def test_series_against_day_by_day(runs: int, quarters: int, hours: int) -> None:
    """Runs of whole quarter hours, counted one by one."""
    run = quarters * HOUR / 4
    assert series(float(runs), run, hours * HOUR, 0.0) == pytest.approx(day_by_day(runs, run, hours * HOUR))


def test_twelve_dips_of_an_hour_and_a_half() -> None:
    """Five in a day of eight hours, then five, then two: 51 h on the calendar, 18 h at the bench."""
    devices = {"needed": 96, "lines_each": 3, "per_load": 8}
    found = case(lab("stick"), devices=devices, time={"per_device": "3 min", "tuning": "0 h"})

    assert found.got("cooldowns") == 12
    assert found.got("bench_time") == pytest.approx(18 * HOUR)
    assert found.got("platform_time") == pytest.approx((2 * 24 + 3) * HOUR)


def run_of(found: Case) -> Any:
    return found.got("run_calendar")


@pytest.mark.parametrize("platform", ["stick", "insert", "wet", "dry"])
@pytest.mark.parametrize("unbroken", [False, True])
def test_longer_data_never_shorten_a_run(platform: str, unbroken: bool) -> None:
    """Over recycles, transfers and nights alike."""
    lengths = np.linspace(0.01, 600.0, 700) * HOUR
    found = case(lab(platform), {"time.per_device": lengths}, time={"unbroken": unbroken})

    for name in ("run", "run_calendar", "platform_time", "time_to_answer", "price"):
        assert np.all(np.diff(np.broadcast_to(found.got(name), lengths.shape)) >= -1e-6), name


@pytest.mark.parametrize("platform", ["stick", "insert", "wet", "dry"])
def test_more_devices_are_never_sooner_or_cheaper(platform: str) -> None:
    """One to 200."""
    numbers = np.arange(1.0, 201.0)
    found = case(lab(platform), {"devices.needed": numbers})

    for name in ("platform_time", "time_to_answer", "price", "staff_time"):
        assert np.all(np.diff(found.got(name)) >= -1e-6), name


@settings(max_examples=200, deadline=None)
@given(st.floats(1, 300), st.floats(2, 80), st.floats(0, 3), st.floats(0, 23.9))
def test_a_recycle_never_shortens_the_measuring(hours: float, hold: float, recycle: float, start: float) -> None:
    """Against the same measuring with nothing to recycle, from any hour of the day."""
    free = pauses(None, None, None, None).end(start * HOUR, hours * HOUR, 8 * HOUR)
    cut = pauses(hold * HOUR, None, recycle * HOUR, None)

    assert cut.end(start * HOUR, hours * HOUR, 8 * HOUR) >= free - 1e-3
    assert cut.recycles(hours * HOUR) == max(math.ceil(hours / hold - 1e-9) - 1, 0)


def test_recycle_and_transfer_meet() -> None:
    """A charge of 30 h on a bath filled every 10 h: two transfers, then a pause that is both."""
    both = pauses(30 * HOUR, 10 * HOUR, HOUR, 2 * HOUR)

    assert [float(both.length(number)) / HOUR for number in range(1, 7)] == [2, 2, 3, 2, 2, 3]
    assert (both.recycles(65 * HOUR), both.transfers(65 * HOUR)) == (2, 6)


@pytest.mark.parametrize("platform", ["stick", "insert", "wet", "dry"])
def test_arrays_give_what_single_numbers_give(platform: str) -> None:
    """The chain on an array of times and devices, one by one; beyond the pauses laid out in full too."""
    lengths = np.array([0.2, 5.0, 33.0, 34.0, 71.0, 230.0, 2500.0]) * HOUR
    devices = np.array([1.0, 2.0, 3.0, 7.0, 12.0, 30.0, 31.0])
    together = case(lab(platform), {"time.per_device": lengths, "devices.needed": devices})
    for index in range(len(lengths)):
        alone = case(lab(platform), {"time.per_device": float(lengths[index]), "devices.needed": float(devices[index])})
        for name in ("run", "run_calendar", "platform_time", "price", "helium_used", "staff_time", "interruption_time"):
            value = np.broadcast_to(together.got(name), lengths.shape)[index]
            assert value == pytest.approx(alone.got(name), rel=1e-9), (name, index)


def test_already_cold_skips_queue_slot_and_warm_up() -> None:
    """A free place on a cold unit: 8 h of mounting, 40 h of cooling, 6 h of thermalising, 4 h of data."""
    found = case(lab("dry", clock={"already_cold": True}))

    assert found.got("run") == pytest.approx((8 + 40 + 6 + 4) * HOUR)
    assert found.got("time_to_answer") == pytest.approx(found.got("platform_time"))
    assert found.facts["displaced_days"] == 0
    assert found.facts["already_cold"] == "yes"


def test_days_taken_from_others() -> None:
    """Where others wait, the days the platform is taken; none where there is no queue."""
    waiting = case(lab("dry"))
    assert waiting.facts["displaced_days"] == pytest.approx(waiting.got("platform_time") / DAY)
    assert case(lab("dry", clock={"queue": "0 h"})).facts["displaced_days"] == 0


def test_sixteen_over_the_square() -> None:
    """A difference of half the spread takes 64 in each group at 80 % power (16 s² / d²)."""
    found = case(lab("stick"), devices={"needed": 64, "lines_each": 6, "difference": 0.5})

    assert found.got("devices_for_difference") == 128
    assert found.facts["difference_margin"] == pytest.approx(0.5)


def test_gain_of_a_test_at_helium_by_hand() -> None:
    """(1 − 0.3) × 144 h of one slot less the hour of the test."""
    found = case(lab("dry"), devices={"needed": 1, "lines_each": 6, "working": 0.3})

    assert found.facts["screening_gain_in_hours"] == pytest.approx(0.7 * 144 - 1)
