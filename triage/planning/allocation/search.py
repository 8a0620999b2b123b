"""The whole search: greedy seeds, iterated greedy, exact parts, the exact whole; then the check."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from triage.planning.allocation.bound import EVERYTHING, Bound, relaxation
from triage.planning.allocation.checker import violations
from triage.planning.allocation.exact import Model, solve
from triage.planning.allocation.greedy import by_density, by_priority, in_turn
from triage.planning.allocation.iterated import homeward, improve, settle
from triage.planning.allocation.neighbourhood import improve_parts
from triage.planning.allocation.problem import Allocation, Inconsistent, Plan, faults_of
from triage.planning.allocation.result import EFFORTS, Effort, Level, Result
from triage.planning.allocation.timetable import Timetable

VALUE = "value by priority and quality, less what groups lack of their least share"
EARLINESS = "earliness: the sum of the last starts"
_TRACKS = 2
_LARGEST_MODEL = 4000  # tasks above which the whole model is left out


@dataclass(frozen=True)
class Progress:
    """Where the search is: its stage in words, the part of all work done, the best value and the bound."""

    stage: str
    part: float
    value: int
    bound: int | None


@dataclass
class Control:
    """How a search is followed and stopped."""

    told: Callable[[Progress], None] = lambda _: None
    cancelled: Callable[[], bool] = lambda: False
    seconds: float | None = None
    bound: int | None = None
    stopped: str = ""
    began: float = field(default_factory=time.monotonic)

    def over(self) -> bool:
        """Whether to stop now, by the person or by the clock."""
        if not self.stopped:
            if self.cancelled():
                self.stopped = "interrupted"
            elif self.seconds is not None and time.monotonic() - self.began > self.seconds:
                self.stopped = "the time limit"
        return bool(self.stopped)

    def told_of(self, stage: str, part: float, value: int) -> None:
        """Say where the search is."""
        self.told(Progress(stage, part, value, self.bound))

    def watch(self, stage: str, first: float, last: float) -> Callable[[float, int], bool]:
        """A watch for one stage that takes the search from one part of its work to another."""

        def one(part: float, value: int) -> bool:
            self.told(Progress(stage, first + part * (last - first), value, self.bound))
            return self.over() or (self.bound is not None and value >= self.bound)

        return one


def allocate(
    problem: Allocation, effort: Effort = EFFORTS["normal"], seed: int = 1, control: Control | None = None,
    start: Plan = (),
) -> Result:  # fmt: skip
    """A plan for a whole question, with its bound; `start` is a plan to begin from.

    Raises `Inconsistent` where the question contradicts itself.
    """
    if faults := faults_of(problem):
        raise Inconsistent(faults)
    control = control or Control()
    control.seconds = effort.seconds
    table, greedy = seeds(problem, start)
    control.watch("first plans", 0.0, 0.05)(1.0, table.score())
    rough = relaxation(problem, nodes=0) if not control.over() else Bound(most_of(problem), EVERYTHING)
    control.bound = rough.value
    iterations, rounds = _improve(table, effort, seed, control)
    bound = _bound(problem, table, effort, seed, control, rough)
    homeward(table)
    while settle(table) and not control.over():
        pass
    plan, value = table.plan(), table.score()
    late = sum(starts[-1] for _, starts in table.placed.values())
    assured(problem, plan)
    control.told(Progress("done", 1.0, value, bound.value))
    return Result(
        problem, plan, value, bound.value, bound.source,
        (Level(VALUE, value, value >= bound.value), Level(EARLINESS, late, proved=False)),
        greedy, seed, effort.name, iterations, rounds, versions(), control.stopped,
    )  # fmt: skip


def _improve(table: Timetable, effort: Effort, seed: int, control: Control) -> tuple[int, int]:
    """Two tracks from the same start with seeds of their own; the better plan stays."""
    start, best, iterations, rounds = table.snapshot(), table.snapshot(), 0, 0
    best_score = table.score()
    for track in range(_TRACKS):
        first = 0.05 + 0.75 * track / _TRACKS
        middle, last = first + 0.25 / _TRACKS, first + 0.75 / _TRACKS
        table.restore(start)
        own = seed + 1_000_003 * track
        iterations += improve(table, effort.iterations // _TRACKS, own, control.watch("iterated greedy", first, middle))
        rounds += improve_parts(table, effort.rounds // _TRACKS, own, control.watch("exact parts", middle, last))
        if table.score() > best_score:
            best, best_score = table.snapshot(), table.score()
        if control.over():
            break
    table.restore(best)
    return iterations, rounds


def seeds(problem: Allocation, start: Plan = ()) -> tuple[Timetable, dict[str, int]]:
    """The best of the plans made in one pass, and what each is worth."""
    made = {
        "by priority": in_turn(problem, by_priority(problem)),
        "by value for cold time": in_turn(problem, by_density(problem)),
    }
    scores = {name: table.score() for name, table in made.items()}
    if start:
        table = Timetable(problem)
        table.adopt(start)
        made["from the start given"] = in_turn(problem, by_density(problem), table)
    return max(made.values(), key=lambda table: table.score()), scores


def most_of(problem: Allocation) -> int:
    """The value if everything were served at its best."""
    return sum(max((p.value * mode.quality for mode in p.modes), default=0) for p in problem.projects)


def _bound(
    problem: Allocation, table: Timetable, effort: Effort, seed: int, control: Control, rough: Bound
) -> Bound:  # fmt: skip
    """The best bound of both sources; the whole model may improve the plan on the way."""
    best = rough
    if table.score() >= best.value or control.over():
        return best
    if effort.nodes:
        control.told(Progress("bound", 0.8, table.score(), best.value))
        closer = relaxation(problem, nodes=effort.nodes)
        best = min(best, closer, key=lambda each: each.value)
    control.bound = best.value
    tasks = sum(mode.cooldowns for p in problem.projects for mode in p.modes)
    if table.score() >= best.value or control.over() or not effort.work or tasks > _LARGEST_MODEL:
        return best
    kept, plan, score = table.snapshot(), table.plan(), table.score()
    watch = control.watch("the whole model", 0.85, 1.0)
    empty = Timetable(problem)
    model = Model(empty, range(len(problem.projects)))
    model.hint(plan)
    found = solve(model, model.score(), maximise=True, work=effort.work, seed=seed, cancelled=control.over,
                  told=lambda value, _: void(watch(0.5, value)))  # fmt: skip
    if found.plan is not None and found.objective > score:
        for project in sorted(table.placed):
            table.remove(project)
        if table.adopt(found.plan) or table.score() < score:
            table.restore(kept)
    if found.proved or (found.bound and found.bound < best.value):
        best = Bound(min(best.value, max(found.bound, table.score())), "CP-SAT, the whole model")
    return best


def void(_: object) -> None:
    """Drop a value."""


def assured(problem: Allocation, plan: Plan) -> None:
    """Refuse a plan that does not hold; that is a fault of the program, never an answer."""
    if broken := violations(problem, plan):
        raise AssertionError("the plan breaks its own rules: " + "; ".join(broken[:5]))


def versions() -> dict[str, str]:
    """The versions of the solvers."""
    from importlib.metadata import version

    return {name: version(name) for name in ("ortools", "scipy")}


def with_seconds(effort: Effort, seconds: float | None) -> Effort:
    """An effort with a limit by the clock."""
    return replace(effort, seconds=seconds)
