"""The checker against every plan of tiny instances, and plans that it must refuse."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.planning.allocation.checker import violations
from triage.planning.allocation.problem import Allocation, Budget, Mode, Plan, Platform, Project, Visit, in_order, score
from triage.planning.allocation.result import Effort
from triage.planning.allocation.search import allocate
from triage.planning.allocation.timetable import Timetable

EFFORT = Effort("tiny", 150, 2, 1.0, 200)


@st.composite
def tiny(draw: st.DrawFn) -> Allocation:
    """Up to three projects on two platforms over five slots, with sharing, a rolling budget and an order."""
    horizon = draw(st.integers(2, 5))
    shut = draw(st.sampled_from([(), ((0, 1),), ((2, 3),)]))
    platforms = (Platform("p", draw(st.integers(1, 2)), shut), Platform("q", 1))
    rolling = Budget("helium", "L", (draw(st.integers(1, 3)),) * horizon, draw(st.integers(1, 3)))
    staff = Budget("staff", "h", tuple(draw(st.lists(st.integers(0, 2), min_size=horizon, max_size=horizon))))
    projects = []
    for number in range(draw(st.integers(1, 3))):
        names = draw(st.sampled_from([("p",), ("q",), ("p", "q")]))
        modes = tuple(
            Mode(
                name,
                draw(st.sampled_from([50, 100])),
                draw(st.integers(1, 2)),
                draw(st.integers(1, 2)),
                (draw(st.integers(0, 2)), draw(st.integers(0, 1))),
                (0, draw(st.integers(0, 1))),
            )
            for name in names
        )
        after = (f"j{number - 1}",) if number and draw(st.booleans()) else ()
        release = draw(st.integers(0, 1))
        projects.append(
            Project(
                f"j{number}",
                draw(st.integers(1, 4)),
                modes,
                release,
                draw(st.integers(release + 1, horizon)),
                draw(st.sampled_from(["a", "b"])),
                draw(st.sampled_from(["x", "x", "y"])),
                1,
                draw(st.booleans()),
                after,
            )
        )
    return Allocation(horizon, platforms, tuple(projects), (rolling, staff), {"a": 40})


def every_plan(problem: Allocation) -> Iterator[Plan]:
    """Every choice of mode, starts and leading or riding, whether it holds or not."""
    choices: list[list[tuple[Visit, ...]]] = []
    for project in problem.projects:
        mine: list[tuple[Visit, ...]] = [()]
        for mode in project.modes:
            slots = list(product(range(problem.horizon), (True, False)))
            for starts in product(slots, repeat=mode.cooldowns):
                times = [start for start, _ in starts]
                if any(two <= one for one, two in pairwise(times)):
                    continue
                mine.append(
                    tuple(
                        Visit(project.id, number, mode.platform, start, start + mode.duration, leads)
                        for number, (start, leads) in enumerate(starts)
                    )
                )
        choices.append(mine)
    for chosen in product(*choices):
        plan = [visit for visits in chosen for visit in visits]
        ends = {(visit.platform, visit.start): visit.end for visit in plan if visit.leads}
        yield in_order([replace(visit, end=ends.get((visit.platform, visit.start), visit.end)) for visit in plan])


@settings(max_examples=40, deadline=None, derandomize=True)
@given(tiny())
def test_search_reaches_the_best_of_all_plans_that_the_checker_lets_pass(problem: Allocation) -> None:
    """Brute force: value and bound enclose the best plan, and the search finds it."""
    if sum(mode.cooldowns for project in problem.projects for mode in project.modes) > 6:
        return
    best = 0
    for plan in every_plan(problem):
        value = score(problem, {visit.project: visit.platform for visit in plan})
        if value > best and not violations(problem, plan):
            best = value

    found = allocate(problem, EFFORT)

    assert found.value == best
    assert found.bound >= best


@settings(max_examples=60, deadline=None, derandomize=True)
@given(tiny())
def test_timetable_and_checker_agree_on_every_single_move(problem: Allocation) -> None:
    """Whatever is placed passes; a start that the timetable refuses to a leader, the checker refuses too."""
    table = Timetable(problem)
    for number, project in enumerate(problem.projects):
        for mode, way in enumerate(project.modes):
            if way.cooldowns > 1 or project.after or number in table.placed:
                continue
            can = table.starts(number, mode)
            for start in range(problem.horizon):
                visit = Visit(project.id, 0, way.platform, start, start + way.duration)
                taken = {(each.platform, each.start) for each in table.plan()}
                if (way.platform, start) not in taken:
                    holds = not violations(problem, in_order([*table.plan(), visit]))
                    assert holds == bool(can >> start & 1)
            table.place(number, mode)
    assert not violations(problem, table.plan())


def two(**changes: object) -> Allocation:
    """Two projects that may share one platform."""
    project = Project("a", 1, (Mode("p", 100, 3, 1, (2,), (1,)),), 0, 10, "", "x", 1, True)
    other = replace(project, id="b", modes=(Mode("p", 100, 2, 1, (2,), (1,)),))
    base = Allocation(10, (Platform("p", 2, ((8, 9),)),), (project, other), (Budget("staff", "h", (4,) * 10),))
    return replace(base, **changes)  # type: ignore[arg-type]


GOOD = (Visit("a", 0, "p", 0, 3), Visit("b", 0, "p", 0, 3, leads=False))


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        ((Visit("a", 0, "p", 0, 3), Visit("b", 0, "p", 2, 4)), "two cooldowns"),
        ((Visit("a", 0, "p", 7, 10),), "closed"),
        ((Visit("a", 0, "p", 8, 11),), "window"),
        ((Visit("b", 0, "p", 0, 2), Visit("a", 0, "p", 0, 2, leads=False)), "longest"),
        ((Visit("a", 1, "p", 0, 3),), "cooldowns it needs"),
        ((Visit("a", 0, "p", 0, 2),), "as long as"),
        ((Visit("a", 0, "p", 0, 3, leads=False),), "0 leaders"),
        ((Visit("a", 0, "q", 0, 3),), "no way"),
    ],
)
def test_broken_plans_are_refused_in_words(plan: Plan, says: str) -> None:
    assert any(says in each for each in violations(two(), plan))


def test_a_plan_that_holds_passes_and_a_budget_or_configuration_breaks_it() -> None:
    assert violations(two(), GOOD) == []
    short = two(budgets=(Budget("staff", "h", (3,) * 10),))
    assert any("overdrawn" in each for each in violations(short, GOOD))
    other = two(projects=(two().projects[0], replace(two().projects[1], configuration="y")))
    assert any("mixes" in each for each in violations(other, GOOD))
    single = two(platforms=(Platform("p", 1),))
    assert any("more samples than places" in each for each in violations(single, GOOD))
