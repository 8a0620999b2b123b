"""Two plans that are made in one pass: by priority, and by value for the cold time taken."""

from __future__ import annotations

from collections.abc import Sequence

from triage.planning.allocation.problem import Allocation
from triage.planning.allocation.timetable import Timetable


def by_priority(problem: Allocation) -> list[int]:
    """Projects in the order a list on the wall would serve them: the most valued first."""
    return sorted(range(len(problem.projects)), key=lambda n: (-problem.projects[n].value, n))


def by_density(problem: Allocation) -> list[int]:
    """Projects by value for the cold time they take, the shared part of it counting in part."""
    return sorted(range(len(problem.projects)), key=lambda n: (-density(problem, n), n))


def density(problem: Allocation, project: int) -> float:
    """The best value of a project per slot of cold time."""
    return max((rates(problem, project)), default=0.0)


def rates(problem: Allocation, project: int) -> list[float]:
    """The value of a project per slot of cold time, mode by mode."""
    asked = problem.projects[project]
    found = []
    for mode in asked.modes:
        places = problem.platform_by_id[mode.platform].places
        part = min(1.0, asked.places / places) if asked.shareable else 1.0
        found.append(asked.value * mode.quality / (mode.duration * mode.cooldowns * part))
    return found


def in_turn(problem: Allocation, order: Sequence[int], table: Timetable | None = None) -> Timetable:
    """Place projects one after another, each in its best mode that fits; those that wait come back later."""
    table = Timetable(problem) if table is None else table
    waiting = [each for each in order if each not in table.placed]
    while waiting:
        later = []
        for each in waiting:
            if table.earliest(each) is None:
                later.append(each)
            else:
                _best_that_fits(table, each)
        if len(later) == len(waiting):
            break
        waiting = later
    return table


def _best_that_fits(table: Timetable, project: int) -> None:
    modes = table.problem.projects[project].modes
    for mode in sorted(range(len(modes)), key=lambda m: (-modes[m].quality, modes[m].duration, m)):
        if table.place(project, mode):
            return
