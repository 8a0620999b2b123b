"""What no plan can beat: a relaxation without a clock, solved by HiGHS through scipy.

Each project is served in at most one mode. For every stretch of weeks a platform gives no more open slots
than the cooldowns must spend there; a shared cooldown is charged by the part of its places that each takes.
Budgets are charged over the whole calendar, shares as in the plan. Every plan satisfies these rows.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np

from triage.planning.allocation.problem import Allocation, Mode, Project

EVERYTHING = "everything served at its best"
_MOST_ROWS, _MOST_TERMS = 6000, 400_000


@dataclass(frozen=True)
class Bound:
    """A proven bound on the value, and where it came from."""

    value: int
    source: str


class _Rows:
    """Rows a·x <= b, gathered as triplets."""

    def __init__(self) -> None:
        self.at: list[int] = []
        self.column: list[int] = []
        self.value: list[float] = []
        self.limit: list[float] = []

    def add(self, terms: list[tuple[int, float]], limit: float) -> None:
        if not terms:
            return
        for column, value in terms:
            self.at.append(len(self.limit))
            self.column.append(column)
            self.value.append(value)
        self.limit.append(limit)


def part_of_cooldown(problem: Allocation, project: Project, mode: Mode) -> float:
    """The least part of a cooldown that a project answers for."""
    places = problem.platform_by_id[mode.platform].places
    return min(1.0, project.places / places) if project.shareable else 1.0


def relaxation(problem: Allocation, *, nodes: int = 2000, seconds: float = 60.0) -> Bound:
    """The bound of the relaxation; a search over whole projects is cut after so many nodes, or left out at none."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    columns = [(p, mode) for p in problem.projects for mode in p.modes if _has_room(problem, p, mode)]
    most = sum(max((p.value * mode.quality for mode in p.modes), default=0) for p in problem.projects)
    if not columns or not most:
        return Bound(0, EVERYTHING)
    rows = _Rows()
    _choice_rows(problem, columns, rows)
    _platform_rows(problem, columns, rows)
    _budget_rows(problem, columns, rows)
    groups = sorted(problem.shares)
    gains = [float(p.value * mode.quality) for p, mode in columns]
    for number, group in enumerate(groups):
        share = problem.shares[group]
        # In parts of the whole value, so that the solver sees numbers of order one.
        terms = [(n, gain / most * (share - (100 if p.group == group else 0))) for n, ((p, _), gain) in
                 enumerate(zip(columns, gains, strict=True))]  # fmt: skip
        rows.add([*terms, (len(columns) + number, -100.0)], 0.0)
    width = len(columns) + len(groups)
    matrix = coo_array((rows.value, (rows.at, rows.column)), shape=(len(rows.limit), width)).tocsr()
    cost = np.array([-gain for gain in gains] + [float(problem.shortfall_price * most)] * len(groups))
    upper = np.array([1.0] * len(columns) + [1.0] * len(groups))
    options: Any = {"time_limit": seconds, "mip_rel_gap": 1e-6} | ({"node_limit": nodes} if nodes else {})
    with _silence():
        found: Any = milp(
            cost, constraints=LinearConstraint(matrix, ub=np.array(rows.limit)), bounds=Bounds(0, upper),
            integrality=np.array([1 if nodes else 0] * len(columns) + [0] * len(groups)),
            options=options,
        )  # fmt: skip
    dual = found.mip_dual_bound if nodes else found.fun if found.status == 0 else None
    value = most if dual is None or not np.isfinite(dual) else int(np.floor(-dual + 1e-6 * max(1.0, abs(dual))))
    return Bound(value, "HiGHS, relaxation without a clock") if value < most else Bound(most, EVERYTHING)


@contextmanager
def _silence() -> Iterator[None]:
    """The solver's library prints some of its doubts past Python, into what may be a file of ours."""
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def _has_room(problem: Allocation, project: Project, mode: Mode) -> bool:
    room = problem.due(project) - max(0, project.release)
    return room >= mode.duration * mode.cooldowns and project.places <= problem.platform_by_id[mode.platform].places


def _choice_rows(problem: Allocation, columns: list[tuple[Project, Mode]], rows: _Rows) -> None:
    by_project: dict[str, list[int]] = {}
    for number, (project, _) in enumerate(columns):
        by_project.setdefault(project.id, []).append(number)
    for project in problem.projects:
        mine = by_project.get(project.id, [])
        rows.add([(n, 1.0) for n in mine], 1.0)
        for before in project.after:
            rows.add([*((n, 1.0) for n in mine), *((n, -1.0) for n in by_project.get(before, []))], 0.0)


def _platform_rows(problem: Allocation, columns: list[tuple[Project, Mode]], rows: _Rows) -> None:
    """What must be spent in a stretch, wherever cooldowns are put, against what is open there."""
    for platform in problem.platforms:
        here = [(n, project, mode) for n, (project, mode) in enumerate(columns) if mode.platform == platform.id]
        if not here:
            continue
        open_slots = np.ones(problem.horizon, dtype=int)
        for first, end in platform.closed:
            open_slots[max(0, first) : max(0, end)] = 0
        total = np.concatenate([[0], np.cumsum(open_slots)])
        number = np.array([n for n, _, _ in here])
        release = np.array([max(0, project.release) for _, project, _ in here])
        due = np.array([problem.due(project) for _, project, _ in here])
        length = np.array([mode.duration for _, _, mode in here])
        count = np.array([mode.cooldowns for _, _, mode in here])
        part = np.array([part_of_cooldown(problem, project, mode) for _, project, mode in here])
        for first, end in _stretches(problem, here, len(columns)):
            chain = length * count - np.maximum(0, first - release) - np.maximum(0, due - end)
            single = np.minimum(
                np.minimum(length, end - first), np.minimum(release + length - first, end - due + length)
            )
            spent = np.where(count > 1, chain, single)
            must = spent > 0
            terms = zip(number[must].tolist(), (spent * part)[must].tolist(), strict=True)
            rows.add(list(terms), float(total[end] - total[first]))


def _stretches(problem: Allocation, here: list[tuple[int, Project, Mode]], columns: int) -> list[tuple[int, int]]:
    """Stretches between points where windows begin and end, thinned where there are many."""
    points = {0, problem.horizon}
    for _, project, mode in here:
        points |= {max(0, project.release), problem.due(project), problem.due(project) - mode.duration}
    step = 1
    limit = max(2, int(min(2 * _MOST_ROWS / len(problem.platforms), 2 * _MOST_TERMS / columns) ** 0.5))
    while len(points) > limit:
        step += 1
        points = {each - each % step for each in points} | {0, problem.horizon}
    ordered = sorted(each for each in points if 0 <= each <= problem.horizon)
    return [(one, two) for number, one in enumerate(ordered) for two in ordered[number + 1 :]]


def _budget_rows(problem: Allocation, columns: list[tuple[Project, Mode]], rows: _Rows) -> None:
    """A demand held for some slots takes so many of all slot-amounts; at the end it may reach beyond."""
    for number, budget in enumerate(problem.budgets):
        terms = []
        for column, (project, mode) in enumerate(columns):
            held = mode.duration if budget.held is None else budget.held
            run = mode.run[number] * part_of_cooldown(problem, project, mode) if mode.run else 0
            amount = (run + (mode.own[number] if mode.own else 0)) * mode.cooldowns
            if amount:
                terms.append((column, float(amount * held)))
        if budget.held is not None and budget.held >= problem.horizon:
            rows.add([(n, value / budget.held) for n, value in terms], float(max(budget.capacity)))
        else:
            beyond = 0 if budget.held is None else (budget.held - 1) * budget.capacity[-1]
            rows.add(terms, float(sum(budget.capacity) + beyond))
