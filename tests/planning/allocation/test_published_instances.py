"""Published instances of assignment, shop and knapsack, asked as allocations: the printed optimum is reached."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from triage.planning.allocation.problem import Allocation, Budget, Mode, Platform, Project
from triage.planning.allocation.result import Effort
from triage.planning.allocation.search import allocate

FILE = Path(__file__).parents[2] / "published" / "allocation_instances.json"
INSTANCES: dict[str, dict[str, Any]] = {
    each["name"]: each for each in json.loads(FILE.read_text(encoding="utf-8"))["instances"]
}
EFFORT = Effort("published", 400, 4, 3.0, 500)
SERVED = 1000  # added to each value, so that serving all is worth more than any choice among modes


def assignment(data: dict[str, Any]) -> Allocation:
    """Agents are platforms that are open for their capacity; a job's cost is the value of its mode."""
    horizon = max(data["capacity"])
    platforms = tuple(
        Platform(f"agent{n}", 1, ((capacity, horizon),) if capacity < horizon else ())
        for n, capacity in enumerate(data["capacity"])
    )
    jobs = tuple(
        Project(
            f"job{job:02d}",
            1,
            tuple(
                Mode(f"agent{agent}", SERVED + data["cost"][agent][job], data["resource"][agent][job])
                for agent in range(data["agents"])
            ),
        )
        for job in range(data["jobs"])
    )
    return Allocation(horizon, platforms, jobs)


def shop(data: dict[str, Any], horizon: int) -> Allocation:
    """Machines are platforms, operations projects that follow one another."""
    projects = []
    for number, job in enumerate(data["jobs"]):
        for step, ways in enumerate(job):
            before = (f"job{number}-{step - 1}",) if step else ()
            modes = tuple(Mode(f"machine{machine}", 1, time) for machine, time in ways)
            projects.append(Project(f"job{number}-{step}", 1, modes, after=before))
    platforms = tuple(Platform(f"machine{n}") for n in range(data["machines"]))
    return Allocation(horizon, platforms, tuple(projects))


def knapsack(data: dict[str, Any]) -> Allocation:
    """One slot, a platform for every item, and the rows as budgets."""
    count = len(data["value"])
    budgets = tuple(Budget(f"row{n}", "", (10 * limit,), 1) for n, limit in enumerate(data["budget"]))
    items = tuple(
        Project(
            f"item{n}",
            1,
            (Mode(f"own{n}", data["value"][n], 1, 1, tuple(round(10 * row[n]) for row in data["use"]), (0,) * 10),),
        )
        for n in range(count)
    )
    return Allocation(1, tuple(Platform(f"own{n}") for n in range(count)), items, budgets)


def test_generalised_assignment_reaches_its_printed_optimum() -> None:
    """Osman 1995; OR-Library gap1, first instance: 336, every job assigned."""
    instance = INSTANCES["c515-1"]

    found = allocate(assignment(instance["data"]), EFFORT)

    assert found.value == SERVED * instance["data"]["jobs"] + instance["published_optimum"]
    assert found.proved


def test_job_shop_is_served_whole_at_its_printed_makespan_and_not_below() -> None:
    """Kacem, Hammadi, Borne 2002: makespan 11."""
    instance = INSTANCES["kacem-k1"]
    at, below = instance["published_optimum"], instance["published_optimum"] - 1
    operations = sum(len(job) for job in instance["data"]["jobs"])

    whole, short = allocate(shop(instance["data"], at), EFFORT), allocate(shop(instance["data"], below), EFFORT)

    assert whole.value == operations
    assert short.bound < operations


@pytest.mark.parametrize("name", ["mknap1-1"])
def test_knapsack_reaches_its_printed_optimum(name: str) -> None:
    """Petersen 1967; OR-Library mknap1, problem 1: 3800."""
    instance = INSTANCES[name]

    found = allocate(knapsack(instance["data"]), EFFORT)

    assert found.value == instance["published_optimum"]
    assert found.proved
