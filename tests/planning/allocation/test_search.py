"""The search: the same question gives the same plan, a stop keeps the best, and faults are told at once."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from planning.allocation.invented import instance

from triage.planning.allocation import explain
from triage.planning.allocation.bound import relaxation
from triage.planning.allocation.checker import violations
from triage.planning.allocation.greedy import by_density, by_priority, in_turn
from triage.planning.allocation.problem import Allocation, Budget, Inconsistent, Mode, Platform, Project, score
from triage.planning.allocation.repair import again, changes_between
from triage.planning.allocation.result import EFFORTS, Effort
from triage.planning.allocation.search import Control, Progress, allocate
from triage.planning.allocation.simulate import robustness

SHORT = Effort("short", 200, 2, 0.0, 50)


def test_same_question_and_seed_give_the_same_plan_and_a_seed_is_used() -> None:
    problem = instance(20, 3, 13, 5)

    one, two = allocate(problem, SHORT, 1), allocate(problem, SHORT, 1)

    assert repr(one) == repr(two)
    assert violations(problem, one.plan) == []


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_never_below_the_plans_made_in_one_pass_and_never_above_the_bound(seed: int) -> None:
    problem = instance(40, 4, 13, seed)

    found = allocate(problem, SHORT, seed)

    assert found.value >= max(in_turn(problem, order(problem)).score() for order in (by_priority, by_density))
    assert found.value <= found.bound
    assert found.value == score(problem, found.served)


def test_first_whole_plan_comes_within_a_second_or_two_at_two_hundred_projects() -> None:
    problem = instance(200, 10, 52, 1)

    began = time.process_time()
    table = in_turn(problem, by_priority(problem))

    assert time.process_time() - began < 2
    assert len(table.placed) > 50


def test_a_stop_keeps_the_best_plan_and_says_so() -> None:
    """Asked to stop while the exact model runs, it is back within a second."""
    problem = instance(60, 6, 26, 1)
    asked: list[float] = []
    seen: list[Progress] = []

    def told(progress: Progress) -> None:
        seen.append(progress)
        if progress.stage == "exact parts" and not asked:
            asked.append(time.monotonic())

    found = allocate(problem, Effort("long", 100, 10**6, 100.0), 1, Control(told=told, cancelled=lambda: bool(asked)))

    assert time.monotonic() - asked[0] < 5  # a shared machine; the goal of a second is measured by the benchmark
    assert found.stopped == "interrupted"
    assert found.value >= max(each.value for each in seen if each.stage != "done")
    assert violations(problem, found.plan) == []


def test_a_limit_by_the_clock_stops_and_is_told() -> None:
    problem = instance(60, 6, 26, 2)

    found = allocate(problem, replace(EFFORTS["thorough"], seconds=1.0))

    assert found.stopped == "the time limit"
    assert violations(problem, found.plan) == []


def simple(**changes: object) -> Allocation:
    projects = (
        Project("a", 3, (Mode("p", 100, 2),)),
        Project("b", 2, (Mode("p", 100, 2), Mode("q", 50, 1))),
        Project("c", 1, (Mode("q", 100, 2),), after=("b",)),
    )
    return replace(Allocation(6, (Platform("p"), Platform("q")), projects), **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"projects": (Project("a", 1, (), after=("b",)), Project("b", 1, (), after=("a",)))}, "wait for each other"),
        ({"projects": (Project("a", 1, (Mode("z", 100, 1),)),)}, "'z', which is not there"),
        ({"projects": (Project("a", 1, (Mode("p", 100, 0),)),)}, "takes no time"),
        ({"projects": (Project("a", 1, (), after=("x",)),)}, "follows 'x'"),
        ({"projects": (Project("a", 1, ()), Project("a", 1, ()))}, "given twice"),
        ({"projects": (Project("a", -1, ()),)}, "negative value"),
        ({"platforms": (Platform("p", 0), Platform("q"))}, "has no place"),
        ({"platforms": (Platform("p", 1, ((0, 3), (2, 4))), Platform("q"))}, "overlap"),
        ({"horizon": 0}, "no slots"),
        ({"budgets": (Budget("helium", "L", (1,)),)}, "does not cover"),
    ],
)
def test_a_question_that_contradicts_itself_is_refused_in_words(changes: dict[str, object], says: str) -> None:
    with pytest.raises(Inconsistent, match=says):
        allocate(simple(**changes), SHORT)


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(Inconsistent) as caught:
        allocate(simple(horizon=0, platforms=(Platform("p", 0),)), SHORT)
    assert len(caught.value.faults) >= 3


def test_nothing_to_do_is_answered() -> None:
    found = allocate(simple(projects=()), SHORT)
    assert (found.plan, found.value, found.bound, found.proved) == ((), 0, 0, True)


def test_impossible_windows_are_named_as_the_reason_whatever_the_plan() -> None:
    problem = simple(projects=(Project("a", 1, (Mode("p", 100, 4),), 0, 3), Project("b", 1, (), why_none="too warm"),
                               Project("c", 1, (Mode("p", 100, 1),), after=("a",)),
                               Project("d", 1, (Mode("p", 100, 1),), places=2)))  # fmt: skip

    found = {each.project: each.reason for each in explain.unserved(problem, allocate(problem, SHORT).plan)}

    assert "shorter than its work" in found["a"]
    assert found["b"] == "too warm"
    assert "follows a" in found["c"]
    assert "2 places" in found["d"]


def test_blockers_are_counted_start_by_start_and_forcing_costs_what_it_displaces() -> None:
    """One platform of six slots, all taken by a project of value 3: the other may start at 5 of them."""
    problem = Allocation(
        6, (Platform("p", 1, ()),), (Project("a", 3, (Mode("p", 100, 6),)), Project("b", 2, (Mode("p", 100, 2),)))
    )
    plan = allocate(problem, SHORT).plan

    missing = explain.unserved(problem, plan)

    assert [(each.project, dict(each.blocked[0].by), each.blocked[0].starts) for each in missing] == [
        ("b", {"busy": 5}, 5)
    ]
    assert explain.cost_of_forcing(problem, plan, "b") == (100, ("a",))


def test_gains_are_intervals_that_hold_and_the_clear_one_is_separable() -> None:
    """Two projects share nothing but the staff: only more staff helps, and both plans are proved."""
    projects = tuple(Project(name, 1, (Mode("p" + name, 100, 4, 1, (5,), (0,)),)) for name in "ab")
    problem = Allocation(5, (Platform("pa", 1, ((4, 5),)), Platform("pb")), projects, (Budget("staff", "h", (9,) * 5),))
    found = allocate(problem, Effort("proof", 50, 1, 1.0))

    helps = explain.bottleneck(
        problem, found.value, found.bound,
        lambda variant: (lambda r: (r.value, r.bound))(allocate(variant, Effort("proof", 50, 1, 1.0))),
    )  # fmt: skip

    assert found.proved
    assert helps.separable
    assert (helps.helps[0].what, helps.helps[0].least, helps.helps[0].most) == ("a fifth more of staff", 100, 100)
    loose = explain.bottleneck(problem, found.value, found.bound + 90, lambda _: (found.value, found.bound + 90))
    assert not loose.separable
    assert "not separable" in loose.says


def test_moving_one_start_changes_only_what_must_change() -> None:
    problem = instance(30, 3, 13, 7)
    accepted = allocate(problem, SHORT).plan
    known = [each.id for each in problem.projects]
    first = next(visit for visit in accepted if visit.leads and problem.horizon - visit.end > 25)
    late = tuple(
        replace(each, release=first.start + 3) if each.id == first.project else each for each in problem.projects
    )
    edited = replace(problem, projects=late)

    same, moved = again(problem, accepted, known, SHORT), again(edited, accepted, known, SHORT)

    assert [
        change.kind for change in changes_between(problem, accepted, same.plan, known) if change.kind != "added"
    ] == []
    changes = changes_between(edited, accepted, moved.plan, known)
    assert first.project in {change.project for change in changes}
    assert len([change for change in changes if change.kind != "added"]) <= 5
    assert [change.project for change in changes if change.kind == "dropped"] == []


def test_least_changes_by_hand() -> None:
    """a moves by one slot; b stays, although another order would also hold."""
    projects = (Project("a", 1, (Mode("p", 100, 2),), 1), Project("b", 1, (Mode("p", 100, 2),)))
    problem = Allocation(8, (Platform("p"),), projects)
    accepted = allocate(replace(problem, projects=(replace(projects[0], release=0), projects[1])), SHORT).plan

    found = again(problem, accepted, ["a", "b"], SHORT)

    assert [(visit.project, visit.start) for visit in accepted] == [("a", 0), ("b", 2)]
    assert [(visit.project, visit.start) for visit in found.plan] == [("b", 2), ("a", 4)]
    assert [level.proved for level in found.levels] == [True] * 4


def test_robustness_loses_nothing_without_spread_and_something_where_runs_touch() -> None:
    problem = Allocation(4, (Platform("p"),), tuple(Project(n, 1, (Mode("p", 100, 2),)) for n in "ab"))
    plan = allocate(problem, SHORT).plan

    still, shaken = robustness(problem, plan, spread=0.0), robustness(problem, plan)

    assert (still.mean, still.lost) == (200, {})
    # The second run ends in time where the mean of two uniform factors is below one, or its own is: 1/2 to 3/4.
    assert 0.3 < shaken.lost["b"] < 0.7


def test_many_projects_give_a_bounded_answer() -> None:
    """Two thousand projects: the clock bounds the search, and the plan holds."""
    problem = instance(2000, 6, 13, 1)

    found = allocate(problem, replace(SHORT, iterations=5, rounds=0, nodes=0, seconds=3.0))

    assert found.value <= relaxation(problem, nodes=0).value
    assert violations(problem, found.plan) == []
