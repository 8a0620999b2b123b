"""What a plan is worth when runs take longer or shorter than thought: nothing is planned anew, runs move right.

A cooldown begins no sooner than planned, waits for the platform and for closures, and is lost where it would
leave its window. Staff and helium are not followed; those who wait for a lost project are not lost with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from triage.planning.allocation.problem import Allocation, Plan, gain

SPREAD = 0.2  # of each cooldown's length, either way


@dataclass(frozen=True)
class Robustness:
    """The value kept over many draws, and how often each project is lost."""

    draws: int
    planned: int
    mean: float
    low_tenth: float
    lost_mean: float
    lost: dict[str, float]


def robustness(problem: Allocation, plan: Plan, draws: int = 400, seed: int = 1, spread: float = SPREAD) -> Robustness:
    """Simulate a plan `draws` times; `low_tenth` is the value that nine draws in ten exceed."""
    random = Random(seed)
    worth = {visit.project: gain(problem, visit.project, visit.platform) for visit in plan}
    lost_count = dict.fromkeys(sorted(worth), 0)
    values, losses = [], 0
    for _ in range(draws):
        lost = _draw(problem, plan, random, spread)
        for each in lost:
            lost_count[each] += 1
        losses += len(lost)
        values.append(sum(value for name, value in worth.items() if name not in lost))
    values.sort()
    return Robustness(
        draws, sum(worth.values()), sum(values) / draws, values[draws // 10], losses / draws,
        {name: count / draws for name, count in lost_count.items() if count},
    )  # fmt: skip


def _draw(problem: Allocation, plan: Plan, random: Random, spread: float) -> set[str]:
    ends: dict[str, float] = {}
    ready: dict[str, float] = {}
    lost: set[str] = set()
    runs: dict[tuple[str, int], tuple[float, float]] = {}
    for visit in plan:
        length = random.uniform(1 - spread, 1 + spread) * (visit.end - visit.start)
        project = problem.by_id[visit.project]
        if visit.leads:
            waits = [ends[each] for each in (*project.after, visit.project) if each in ends]
            begin = max(float(visit.start), ready.get(visit.platform, 0.0), *waits, 0.0)
            begin = _past_closures(problem.platform_by_id[visit.platform].closed, begin, length)
            runs[visit.platform, visit.start] = (begin, begin + length)
        begin, end = runs[visit.platform, visit.start]
        if end > problem.due(project) + 1e-9:
            lost.add(visit.project)
            continue
        ends[visit.project] = end
        ready[visit.platform] = max(ready.get(visit.platform, 0.0), end)
    return lost


def _past_closures(closed: tuple[tuple[int, int], ...], begin: float, length: float) -> float:
    for first, end in sorted(closed):
        if begin < end and begin + length > first:
            begin = float(end)
    return begin
