"""Iterated greedy: take a few projects out, put them back in another order, keep what is not worse.

It runs by iteration count from a seed, so that the same question gives the same plan.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from random import Random

from triage.planning.allocation.greedy import rates
from triage.planning.allocation.timetable import Timetable

Watch = Callable[[float, int], bool]
_WARM, _COLD = 0.004, 0.0002  # part of the value that an accepted step may lose, at the start and at the end


def improve(table: Timetable, iterations: int, seed: int, watch: Watch = lambda *_: False) -> int:
    """Improve a timetable in place; returns the iterations done.

    `watch(part done, best score)` is asked now and then and stops the search by answering True.
    """
    random = Random(seed)
    problem = table.problem
    worth = [rates(problem, n) for n in range(len(problem.projects))]
    eligible = [n for n, each in enumerate(problem.projects) if each.modes]
    best, best_score = table.snapshot(), table.score()
    score = best_score
    if not eligible:
        return 0
    for iteration in range(iterations):
        if iteration % 25 == 0 and watch(iteration / iterations, best_score):
            table.restore(best)
            return iteration
        kept = table.snapshot()
        _take_out(table, random)
        _put_back(table, eligible, worth, random)
        found = table.score()
        heat = _WARM * (_COLD / _WARM) ** (iteration / iterations) * max(best_score, 1)
        if found >= score or random.random() < math.exp((found - score) / heat):
            score = found
            if found > best_score:
                best, best_score = table.snapshot(), found
        else:
            table.restore(kept)
    table.restore(best)
    return iterations


def _take_out(table: Timetable, random: Random) -> None:
    """A few projects at random, or those that share a stretch of time on one or all platforms."""
    placed = sorted(table.placed)
    if not placed:
        return
    kind = random.random()
    if kind < 0.45:
        for each in random.sample(placed, min(len(placed), random.randint(1, 5))):
            table.remove(each)
        return
    around = random.choice(placed)
    mode, starts = table.placed[around]
    here = table.ready[around][mode].platform
    span = random.choice((3, 7, 14, 28)) if table.problem.horizon > 60 else random.randint(1, 4)
    first = starts[0] - random.randint(0, span)
    for each in placed:
        if each in table.placed:
            mode, starts = table.placed[each]
            near = any(first <= start < first + span for start in starts)
            if near and (table.ready[each][mode].platform == here or (kind > 0.85 and random.random() < 0.5)):
                table.remove(each)


def _put_back(table: Timetable, eligible: list[int], worth: list[list[float]], random: Random) -> None:
    """All that is not placed, the dense first but for some noise; each by one of four rules."""
    noise = random.choice((0.05, 0.3, 1.0))
    left = [each for each in eligible if each not in table.placed]
    keys = {each: max(worth[each]) * math.exp(random.gauss(0.0, noise)) for each in left}
    left.sort(key=lambda each: (-keys[each], each))
    for _ in range(3):
        later = []
        for each in left:
            if table.earliest(each) is None:
                later.append(each)
            else:
                _place(table, each, worth[each], random)
        if not later or len(later) == len(left):
            return
        left = later


def _place(table: Timetable, project: int, worth: list[float], random: Random) -> None:
    modes = table.problem.projects[project].modes
    order = list(range(len(modes)))
    rule = random.random()
    if rule < 0.4:
        order.sort(key=lambda m: (-modes[m].quality, modes[m].duration, m))
    elif rule < 0.7:
        order.sort(key=lambda m: (-worth[m], m))
    elif rule < 0.85:
        order.sort(key=lambda m: (modes[m].duration * modes[m].cooldowns, m))
    else:
        random.shuffle(order)
    join = random.random() < 0.8
    for mode in order:
        if table.place(project, mode, join=join):
            return


def settle(table: Timetable, movable: set[int] | None = None) -> int:
    """Move everything as early as it fits, in order of start, without losing anything; returns slots gained."""
    gained = 0
    for project in sorted(table.placed, key=lambda n: (table.placed[n][1], n)):
        if movable is not None and project not in movable:
            continue
        mode, starts = table.placed[project]
        if table.end(project) - starts[0] < 1 or _held_by_others(table, project):
            continue
        kept, before = table.snapshot(), table.score()
        table.remove(project)
        if table.place(project, mode) and table.score() == before and table.placed[project][1] <= starts:
            gained += starts[-1] - table.placed[project][1][-1]
        else:
            table.restore(kept)
    return gained


def homeward(table: Timetable) -> int:
    """Bring projects to an earlier mode of theirs, which is the better liked, where that loses nothing."""
    moved = 0
    for project in sorted(table.placed):
        mode = table.placed[project][0]
        gains = table.gains[project]
        better = [each for each in range(mode) if gains[each] >= gains[mode]]
        if not better or _held_by_others(table, project):
            continue
        kept, before = table.snapshot(), table.score()
        table.remove(project)
        if any(table.place(project, each) for each in better) and table.score() >= before:
            moved += 1
        else:
            table.restore(kept)
    return moved


def _held_by_others(table: Timetable, project: int) -> bool:
    """Whether others ride with a project or wait for it, so that taking it out would take them out."""
    mode, starts = table.placed[project]
    here = table.cooldowns[table.ready[project][mode].platform]
    rides = any(here[start].leader == project and len(here[start].members) > 1 for start in starts)
    return rides or any(each in table.placed for each in table.before[project])
