"""The exact model in CP-SAT: optional intervals for what is free, everything else as it stands.

With nothing placed it is the whole question, and gives a bound; with most things placed it improves a part.
The solver stops by its own deterministic time, so that the same question gives the same plan.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from triage.planning.allocation.problem import Allocation, Mode, Plan, Visit, in_order
from triage.planning.allocation.timetable import Timetable

PLATFORM_CHANGED = 4  # changes that a move to another platform, or off the plan, counts for
Task = tuple[int, int, int]


@dataclass(frozen=True)
class Solved:
    """What the solver found for the free projects."""

    plan: Plan | None
    objective: int
    bound: int
    proved: bool


def bits(mask: int) -> list[int]:
    """The numbers of the set bits."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


class Model:
    """CP-SAT variables and constraints of the free projects in what a timetable leaves open."""

    def __init__(self, table: Timetable, free: Iterable[int]) -> None:
        from ortools.sat.python import cp_model

        self._cp = cp_model
        self.model: Any = cp_model.CpModel()
        self.table, self.problem = table, table.problem
        self.free = [each for each in sorted(set(free)) if each not in table.placed]
        self.runs: dict[tuple[int, int], Any] = {}
        self.start: dict[Task, Any] = {}
        self.lead: dict[Task, Any] = {}
        self.end: dict[Task, Any] = {}
        self._rides: dict[Task, list[tuple[Any, int | Task]]] = {}
        self._intervals: dict[int, list[Any]] = {}
        for project in self.free:
            self._add_project(project)
        self._share()
        self._order()
        for platform in sorted(self._intervals):
            self.model.add_no_overlap(self._intervals[platform])
        for number in range(len(self.problem.budgets)):
            self._budget(number)

    def _mode(self, project: int, mode: int) -> Mode:
        return self.problem.projects[project].modes[mode]

    def _add_project(self, project: int) -> None:
        after = self._after_fixed(project)
        if after is None:
            return
        model, ways = self.model, []
        for mode, way in enumerate(self.problem.projects[project].modes):
            lead = self.table.starts(project, mode) >> after << after
            ride = self.table.joins(project, mode) >> after << after
            window = self.table.ready[project][mode].window >> after << after
            if not window or not (lead or ride or self._may_share(project, way)):
                continue
            runs = model.new_bool_var("")
            self.runs[project, mode] = runs
            ways.append(runs)
            for number in range(way.cooldowns):
                self._add_task((project, mode, number), lead, ride, window)
            for number in range(1, way.cooldowns):
                model.add(self.start[project, mode, number] >= self.end[project, mode, number - 1]).only_enforce_if(
                    runs
                )
        if len(ways) > 1:
            model.add_at_most_one(ways)

    def _after_fixed(self, project: int) -> int | None:
        """When a project may begin at the soonest by what is placed, or None where it never may."""
        when = 0
        for each in self.table.after[project]:
            if each in self.table.placed:
                when = max(when, self.table.end(each))
            elif each not in self.free:
                return None
        return when

    def _may_share(self, project: int, way: Mode) -> bool:
        asked = self.problem.projects[project]
        return asked.shareable and self.problem.platform_by_id[way.platform].places > asked.places

    def _add_task(self, task: Task, lead: int, ride: int, window: int) -> None:
        project, mode, _ = task
        model, way = self.model, self._mode(project, mode)
        runs = self.runs[project, mode]
        shares = self._may_share(project, way)
        domain = self._cp.Domain.from_values(bits(window if shares else lead))
        start = self.start[task] = model.new_int_var_from_domain(domain, "")
        self._rides[task] = []
        if not shares:
            self.lead[task], self.end[task] = runs, start + way.duration
        else:
            leads = self.lead[task] = model.new_bool_var("")
            end = self.end[task] = model.new_int_var(0, self.problem.due(self.problem.projects[project]), "")
            model.add_linear_expression_in_domain(start, self._cp.Domain.from_values(bits(lead))).only_enforce_if(leads)
            model.add(end == start + way.duration).only_enforce_if(leads)
            here = self.table.cooldowns[self.table.ready[project][mode].platform]
            for at in bits(ride):
                rides = model.new_bool_var("")
                model.add(start == at).only_enforce_if(rides)
                model.add(end == here[at].end).only_enforce_if(rides)
                self._rides[task].append((rides, at))
        platform = self.table.ready[project][mode].platform
        interval = model.new_optional_fixed_size_interval_var(start, way.duration, self.lead[task], "")
        self._intervals.setdefault(platform, []).append(interval)

    def _share(self) -> None:
        """Riders on free leaders, then: whoever runs leads or rides, and places suffice."""
        tasks = [task for task in self.start if self._may_share(task[0], self._mode(task[0], task[1]))]
        riders: dict[Task, list[tuple[Any, int]]] = {}
        for one in tasks:
            for two in tasks:
                if self._may_lead(one, two):
                    rides = self.model.new_bool_var("")
                    self.model.add_implication(rides, self.lead[one])
                    self.model.add(self.start[two] == self.start[one]).only_enforce_if(rides)
                    self.model.add(self.end[two] == self.end[one]).only_enforce_if(rides)
                    self._rides[two].append((rides, one))
                    riders.setdefault(one, []).append((rides, two[0]))
        for task in tasks:
            ways = [self.lead[task], *(rides for rides, _ in self._rides[task])]
            self.model.add_exactly_one([*ways, self.runs[task[0], task[1]].negated()])
        projects = self.problem.projects
        for one, many in riders.items():
            spare = self.problem.platform_by_id[self._mode(one[0], one[1]).platform].places - projects[one[0]].places
            self.model.add(sum(projects[rider].places * rides for rides, rider in many) <= spare)
            self._once_each(many)
        self._places_on_fixed()

    def _once_each(self, many: Sequence[tuple[Any, int]]) -> None:
        """Two cooldowns of one project never share a cooldown."""
        by_project: dict[int, list[Any]] = {}
        for rides, rider in many:
            by_project.setdefault(rider, []).append(rides)
        for several in by_project.values():
            if len(several) > 1:
                self.model.add_at_most_one(several)

    def _places_on_fixed(self) -> None:
        fixed: dict[tuple[int, int], list[tuple[Any, int]]] = {}
        for task, ways in self._rides.items():
            for rides, at in ways:
                if isinstance(at, int):
                    platform = self.table.ready[task[0]][task[1]].platform
                    fixed.setdefault((platform, at), []).append((rides, task[0]))
        for (platform, at), many in fixed.items():
            spare = self.problem.platforms[platform].places - self.table.cooldowns[platform][at].places
            self.model.add(sum(self.problem.projects[rider].places * rides for rides, rider in many) <= spare)
            self._once_each(many)

    def _may_lead(self, one: Task, two: Task) -> bool:
        first, second = self._mode(one[0], one[1]), self._mode(two[0], two[1])
        projects = self.problem.projects
        return (
            one[0] != two[0]
            and first.platform == second.platform
            and projects[one[0]].configuration == projects[two[0]].configuration
            and (first.duration, -one[0]) > (second.duration, -two[0])
            and projects[one[0]].places + projects[two[0]].places <= self.problem.platform_by_id[first.platform].places
        )

    def _order(self) -> None:
        """Projects that wait for others that are free too."""
        by_project: dict[int, list[int]] = {}
        for project, mode in self.runs:
            by_project.setdefault(project, []).append(mode)
        for project in list(by_project):
            for before in self.table.after[project]:
                if before in self.table.placed:
                    continue
                earlier = by_project.get(before, [])
                served = sum(self.runs[before, mode] for mode in earlier)
                self.model.add(sum(self.runs[project, mode] for mode in by_project[project]) <= served)
                for mode in by_project[project]:
                    for other in earlier:
                        last = self._mode(before, other).cooldowns - 1
                        self.model.add(self.start[project, mode, 0] >= self.end[before, other, last]).only_enforce_if(
                            self.runs[project, mode], self.runs[before, other]
                        )

    def _budget(self, number: int) -> None:
        budget, left = self.problem.budgets[number], self.table.left[number]
        intervals, amounts, present = [], [], []
        for task, start in self.start.items():
            way = self._mode(task[0], task[1])
            own = way.own[number] if way.own else 0
            run = way.run[number] if way.run else 0
            runs, leads = self.runs[task[0], task[1]], self.lead[task]
            held = way.duration if budget.held is None else budget.held
            for amount, who in ((own + run, runs),) if leads is runs else ((own, runs), (run, leads)):
                if amount:
                    intervals.append(self.model.new_optional_fixed_size_interval_var(start, held, who, ""))
                    amounts.append(amount)
                    present.append(who)
        if not intervals or sum(amounts) <= int(left.min()):
            return
        top = int(left.max())
        if budget.held is not None and budget.held >= self.problem.horizon and int(left.min()) == top:
            self.model.add(sum(amount * who for amount, who in zip(amounts, present, strict=True)) <= top)
            return
        for first, end, level in steps(left.tolist()):
            if level < top:
                intervals.append(self.model.new_fixed_size_interval_var(first, end - first, ""))
                amounts.append(top - level)
        self.model.add_cumulative(intervals, amounts, top)

    def score(self) -> Any:
        """Value less shortfalls, what is placed counting with it."""
        gains = self.table.gains
        free = [(project, gains[project][mode], runs) for (project, mode), runs in self.runs.items()]
        fixed = [(project, gains[project][mode]) for project, (mode, _) in self.table.placed.items()]
        total = sum(value * runs for _, value, runs in free) + sum(value for _, value in fixed)
        most = sum(max(each, default=0) for each in gains)
        lacking = []
        for group, share in self.problem.shares.items():
            inside = {n for n, each in enumerate(self.problem.projects) if each.group == group}
            mine = sum(value * runs for n, value, runs in free if n in inside)
            mine += sum(value for n, value in fixed if n in inside)
            short = self.model.new_int_var(0, most, "")
            self.model.add(100 * mine + 100 * short >= share * total)
            lacking.append(short)
        return total - self.problem.shortfall_price * sum(lacking)

    def kept(self, served: Collection[str]) -> Any:
        """Projects with a place, among the free; one of `served` counts for more than all others together."""
        most = len(self.problem.projects) + 1
        ids = [each.id for each in self.problem.projects]
        return sum((most if ids[project] in served else 1) * runs for (project, _), runs in self.runs.items()
                   if self.problem.projects[project].value or ids[project] in served)  # fmt: skip

    def changes(self, accepted: Plan) -> Any:
        """The changes against an accepted plan among the free projects."""
        cost: Any = 0
        for visit in accepted:
            project = self.table.index.get(visit.project)
            if project is None or project not in self.free:
                continue
            mode = next(
                (m for m, each in enumerate(self.problem.projects[project].modes) if each.platform == visit.platform), 0
            )
            task = (project, mode, visit.number)
            if task not in self.start or self._mode(project, mode).platform != visit.platform:
                continue
            runs = self.runs[project, mode]
            stays = self.model.new_bool_var("")
            self.model.add_implication(stays, runs)
            self.model.add(self.start[task] == visit.start).only_enforce_if(stays)
            cost = cost + (runs - stays)
            if visit.number == 0:
                cost = cost + PLATFORM_CHANGED * (1 - runs)
        return cost

    def lateness(self) -> Any:
        """The sum of the last starts."""
        total: Any = 0
        for (project, mode), runs in self.runs.items():
            last = self.start[project, mode, self._mode(project, mode).cooldowns - 1]
            late = self.model.new_int_var(0, self.problem.horizon, "")
            self.model.add(late >= last).only_enforce_if(runs)
            total = total + late
        return total

    def hint(self, plan: Plan) -> None:
        """Start the search from a plan."""
        self.model.clear_hints()
        have = {(visit.project, visit.platform, visit.number): visit for visit in plan}
        names = self.problem.projects
        leaders = {(visit.platform, visit.start): visit.project for visit in plan if visit.leads}
        for (project, mode), runs in self.runs.items():
            way = self._mode(project, mode)
            self.model.add_hint(runs, (names[project].id, way.platform, 0) in have)
        for task, start in self.start.items():
            way = self._mode(task[0], task[1])
            visit = have.get((names[task[0]].id, way.platform, task[2]))
            if visit is not None:
                self.model.add_hint(start, visit.start)
            if self.lead[task] is not self.runs[task[0], task[1]]:
                self.model.add_hint(self.lead[task], visit is not None and visit.leads)
                for rides, by in self._rides[task]:
                    on = visit is not None and not visit.leads
                    if on and visit is not None:
                        on = (by == visit.start if isinstance(by, int) else
                              leaders.get((visit.platform, visit.start)) == names[by[0]].id
                              and have.get((names[by[0]].id, way.platform, by[2])) is not None
                              and have[names[by[0]].id, way.platform, by[2]].start == visit.start)  # fmt: skip
                    self.model.add_hint(rides, on)

    def read(self, value: Callable[[Any], int]) -> Plan:
        """The plan of the free projects in a solution."""
        visits = []
        for task, start in self.start.items():
            project, mode, number = task
            if value(self.runs[project, mode]):
                way, at = self._mode(project, mode), value(start)
                visits.append(Visit(self.problem.projects[project].id, number, way.platform, at,
                                    value(self.end[task]), bool(value(self.lead[task]))))  # fmt: skip
        return in_order(visits)


def steps(levels: Sequence[int]) -> list[tuple[int, int, int]]:
    """A profile as stretches (first, end, level)."""
    found: list[tuple[int, int, int]] = []
    for slot, level in enumerate(levels):
        if found and found[-1][2] == level:
            found[-1] = (found[-1][0], slot + 1, level)
        else:
            found.append((slot, slot + 1, level))
    return found


def solve(
    model: Model,
    objective: Any,
    *,
    maximise: bool,
    work: float,
    seed: int = 0,
    thin: bool = False,
    cancelled: Callable[[], bool] = lambda: False,
    told: Callable[[int, int], None] | None = None,
) -> Solved:
    """Solve for one objective within so much deterministic time; `cancelled` is asked all the while.
    `thin` leaves out preparations that do not pay on a small part.

    The solver runs beside this thread, so that an interrupt reaches the program at once.
    """
    from ortools.sat.python import cp_model

    (model.model.maximize if maximise else model.model.minimize)(objective)
    solver: Any = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.catch_sigint_signal = False
    if thin:
        solver.parameters.cp_model_probing_level = 0

    def on_solution(self: Any) -> None:
        if told is not None:
            told(round(self.objective_value), round(self.best_objective_bound))

    status: list[Any] = []
    base: Any = cp_model.CpSolverSolutionCallback
    callback = type("Told", (base,), {"on_solution_callback": on_solution})()
    thread = threading.Thread(target=lambda: status.append(solver.solve(model.model, callback)), daemon=True)
    thread.start()
    while thread.is_alive():
        thread.join(0.05)
        if cancelled():
            solver.stop_search()
    if not status or status[0] not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        bound = round(solver.best_objective_bound) if status and status[0] == cp_model.UNKNOWN else 0
        return Solved(None, 0, bound, proved=False)
    plan = model.read(solver.value)
    return Solved(
        plan, round(solver.objective_value), round(solver.best_objective_bound), status[0] == cp_model.OPTIMAL
    )


def whole(problem: Allocation) -> Model:
    """The model of the whole question."""
    return Model(Timetable(problem), range(len(problem.projects)))
