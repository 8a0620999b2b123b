"""The path: against worked cases, a simulation device by device, and the theory of sequential tests."""

from __future__ import annotations

import random
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from triage.planning.path import (
    Campaign,
    Stage,
    after_run,
    best_load,
    ladders,
    next_run,
    quantile,
    success_per_device,
    time_law,
)

DIP = Stage("4.2 K", 0.95, 0.85, 1, 50, 45)
PUMPED = Stage("1.5 K", 0.97, 0.90, 2, 50, 60)
COLD = Stage("mK", 1.0, 1.0, 4, 96 * 60, 0)
FIRST = Campaign(0.20, 3)


def test_screens_turn_sixteen_days_into_five_and_a_half() -> None:
    """Yield 0.20, three wanted, loads of four: worked out by hand and by a separate program."""
    found = ladders([DIP, PUMPED], COLD, FIRST)
    best, plain = found[0], next(each for each in found if len(each.stages) == 1)

    assert best.stages == ("1.5 K", "4.2 K", "mK")
    assert (best.devices, plain.devices) == (28, 25)
    assert best.minutes / 1440 == pytest.approx(5.553, abs=0.001)
    assert best.chance == pytest.approx(0.9113, abs=0.0001)
    assert plain.minutes / 1440 == pytest.approx(16.002, abs=0.001)


def test_good_devices_need_no_screen() -> None:
    """At a yield of 0.85 the cold run alone is the fastest."""
    dip, pumped = Stage("4.2 K", 0.90, 0.60, 1, 50, 45), Stage("1.5 K", 0.95, 0.70, 2, 50, 60)
    cold = Stage("mK", 1.0, 1.0, 6, 96 * 60, 0)
    best, second = ladders([dip, pumped], cold, Campaign(0.85, 4))[:2]

    assert best.stages == ("mK",)
    assert (best.devices, best.minutes / 1440) == (6, pytest.approx(4.0, abs=0.001))
    assert best.chance == pytest.approx(0.9527, abs=0.0001)
    assert second.minutes / 1440 == pytest.approx(4.354, abs=0.001)


def test_too_few_devices_for_a_lossy_screen() -> None:
    """With eight devices each screen loses more good ones than can be spared, and the path says so."""
    dip, pumped = Stage("4.2 K", 0.70, 0.85, 1, 50, 45), Stage("1.5 K", 0.80, 0.90, 2, 50, 60)
    cold = Stage("mK", 1.0, 1.0, 2, 96 * 60, 0)
    found = ladders([dip, pumped], cold, Campaign(0.30, 1, candidates=8))

    assert [each.stages for each in found if each.feasible] == [("mK",)]
    assert found[0].minutes / 1440 == pytest.approx(7.391, abs=0.001)
    needs = {each.stages[0]: each.devices for each in found if len(each.stages) == 2}
    assert needs == {"4.2 K": 10, "1.5 K": 9}
    assert all("are there" in each.reason for each in found if not each.feasible)


def simulate(
    stages: list[Stage], campaign: Campaign, devices: int, load: int, chance: random.Random
) -> tuple[bool, int]:
    """One campaign, each device drawn good or bad and tested one by one."""
    waiting = [[chance.random() < campaign.device_yield for _ in range(devices)], *([] for _ in stages[1:])]
    wanted, minutes = campaign.wanted, 0
    while wanted > 0:
        run = next_run([len(each) for each in waiting], stages, load)
        if run is None:
            return False, minutes
        stage, used = run
        minutes += stages[stage].minutes(used)
        tested, waiting[stage] = waiting[stage][:used], waiting[stage][used:]
        passed = [
            good for good in tested
            if chance.random() < (stages[stage].keeps_good if good else 1 - stages[stage].stops_bad)
            and chance.random() >= stages[stage].lost_per_cycle
        ]  # fmt: skip
        if stage + 1 < len(stages):
            waiting[stage + 1] += passed
        else:
            wanted = max(0, wanted - len(passed))
    return True, minutes


@pytest.mark.parametrize("lost", [0.0, 0.05])
def test_expectations_agree_with_a_simulation(lost: float) -> None:
    """20 000 campaigns device by device: mean time and chance within four standard errors."""
    dip = Stage("4.2 K", 0.95, 0.85, 2, 50, 45, lost_per_cycle=lost)
    found = best_load([dip], COLD, FIRST)
    chance = random.Random(7)
    runs = [simulate([dip, COLD], FIRST, found.devices, found.load, chance) for _ in range(20_000)]
    times = [minutes for _, minutes in runs]
    mean = sum(times) / len(times)
    error = (sum((each - mean) ** 2 for each in times) / len(times)) ** 0.5 / len(times) ** 0.5
    successes = sum(good for good, _ in runs)

    assert abs(found.minutes - mean) < 4 * error
    assert abs(successes / len(runs) - found.chance) < 4 * (found.chance * (1 - found.chance) / len(runs)) ** 0.5


def test_time_law_agrees_with_the_expectation() -> None:
    """The law adds up to the chance of success; nine in ten are done within about ten days."""
    found = ladders([DIP, PUMPED], COLD, FIRST)[0]
    law = time_law([PUMPED, DIP], COLD, FIRST, found.devices, found.load)

    assert sum(law.values()) == pytest.approx(found.chance, abs=1e-9)
    assert quantile(law, 0.9) is not None
    assert quantile(law, 0.9) / 1440 == pytest.approx(10.05, abs=0.01)  # type: ignore[operator]
    assert quantile(law, 0.999) is None


def test_devices_needed_agree_with_the_binomial_law() -> None:
    """The number to start is the smallest with the confidence wanted (scipy's binomial)."""
    found = best_load([DIP], COLD, FIRST)
    chance = success_per_device([DIP], COLD, 0.2)

    assert binom.sf(2, found.devices, chance) >= 0.9 > binom.sf(2, found.devices - 1, chance)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(0.05, 0.95), st.integers(10, 500)), min_size=2, max_size=3))
def test_independent_screens_of_one_device_follow_cost_over_failure(rows: list[tuple[float, int]]) -> None:
    """Mitten 1960: for tests independent of each other the order by cost over failure rate is the best."""
    # With a yield of one every screen is independent of the others; one device at a time, stop at the first failure.
    stages = [Stage(str(index), rate, 0.0, 1, cost, 0) for index, (rate, cost) in enumerate(rows)]

    def expected(order: tuple[Stage, ...]) -> float:
        total, alive = 0.0, 1.0
        for stage in order:
            total += alive * stage.minutes(1)
            alive *= stage.keeps_good
        return total

    by_ratio = tuple(sorted(stages, key=lambda each: each.minutes(1) / (1 - each.keeps_good)))

    assert expected(by_ratio) == pytest.approx(min(map(expected, permutations(stages))), rel=1e-9)


@given(st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(0, 6)), st.integers(1, 4))
def test_every_run_shortens_the_work_left(waiting: tuple[int, int, int], load: int) -> None:
    """The policy never idles while devices wait, and never uses more than wait."""
    stages = [DIP, PUMPED, COLD]
    run = next_run(waiting, stages, load)
    if run is None:
        assert sum(waiting) == 0
        return
    stage, used = run
    assert 0 < used <= min(waiting[stage], stages[stage].batch)
    left, wanted = after_run(waiting, 3, stage, used, used)
    assert sum(left) * 3 - sum(waiting) * 3 + (3 - wanted) <= 0
