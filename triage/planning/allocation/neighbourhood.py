"""Improving a plan part by part: free a few projects, solve that part exactly, keep what is not worse."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from random import Random

from triage.planning.allocation.exact import Model, solve
from triage.planning.allocation.timetable import Timetable

Watch = Callable[[float, int], bool]
_WORK = 0.04  # deterministic time of one part
_SMALLEST, _LARGEST = 6, 60


def improve_parts(table: Timetable, rounds: int, seed: int, watch: Watch = lambda *_: False) -> int:
    """Improve a timetable in place; returns the rounds done. Parts grow while the solver closes them."""
    random = Random(seed)
    size = 10
    for number in range(rounds):
        score = table.score()
        if watch(number / rounds, score):
            return number
        kept, before = table.snapshot(), table.plan()
        part = _part(table, size, random)
        gone = sorted({each for project in part for each in table.remove(project)})
        rivals = _rivals(table, gone or part, size, random)
        model = Model(table, [*gone, *rivals])
        freed = {table.problem.projects[each].id for each in gone}
        model.hint(tuple(visit for visit in before if visit.project in freed))
        found = solve(model, model.score(), maximise=True, work=_WORK, seed=number, thin=True,
                      cancelled=partial(watch, number / rounds, score))  # fmt: skip
        size = min(_LARGEST, size + 1) if found.proved else max(_SMALLEST, size - 1)
        if found.plan is None or table.adopt(found.plan) or table.score() < score:
            table.restore(kept)
    return rounds


def _part(table: Timetable, size: int, random: Random) -> list[int]:
    """Projects of a stretch of time on a few platforms, or of one platform, or at random."""
    placed = sorted(table.placed)
    if len(placed) <= size:
        return placed
    kind = random.random()
    if kind < 0.2:
        return random.sample(placed, size)
    around = random.choice(placed)
    centre = table.placed[around][1][0]
    here = table.ready[around][table.placed[around][0]].platform
    chosen = {here}
    if kind < 0.8:
        chosen |= set(random.sample(range(len(table.problem.platforms)), min(2, len(table.problem.platforms))))
    if kind < 0.35:
        chosen = set(range(len(table.problem.platforms)))

    def distance(project: int) -> tuple[int, int]:
        mode, starts = table.placed[project]
        away = min(abs(start - centre) for start in starts)
        return (away if table.ready[project][mode].platform in chosen else away + 10 * table.problem.horizon, project)

    return sorted(placed, key=distance)[:size]


def _rivals(table: Timetable, part: list[int], size: int, random: Random) -> list[int]:
    """Projects without a place that could use what the part leaves."""
    platforms = {each.platform for project in part for each in table.ready[project]}
    taken = set(part)
    left = [
        number for number in range(len(table.problem.projects))
        if number not in table.placed and number not in taken and table.problem.projects[number].modes
        and any(way.platform in platforms and table.starts(number, mode) | table.joins(number, mode)
                for mode, way in enumerate(table.ready[number]))
    ]  # fmt: skip
    return sorted(random.sample(left, min(len(left), size)))
