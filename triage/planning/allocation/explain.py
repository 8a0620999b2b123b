"""Why a plan is as it is: who is not served and what stands in the way, and what would help.

Costs and gains come from searches that may not have converged, so they are given as "at most" and as
intervals; where the intervals do not separate two answers, that is the answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from triage.planning.allocation.exact import Model, solve
from triage.planning.allocation.problem import Allocation, Mode, Plan, Project
from triage.planning.allocation.timetable import Timetable, ones, open_slots, row

_FORCING_WORK = 0.06
_MOST_FREED = 24


@dataclass(frozen=True)
class Blocked:
    """What stands in the way on one platform: of so many possible starts, how many each thing blocks."""

    platform: str
    starts: int
    free: int
    by: Mapping[str, int]


@dataclass(frozen=True)
class Unserved:
    """A project without a place: the reason that no plan can change, or the blockers counted."""

    project: str
    reason: str
    blocked: tuple[Blocked, ...] = ()
    cost_at_most: int | None = None
    displaces: tuple[str, ...] = field(default=())


def unserved(problem: Allocation, plan: Plan) -> tuple[Unserved, ...]:
    """Every project that the plan does not serve, with its reason."""
    table = table_of(problem, plan)
    found = []
    for number, project in enumerate(problem.projects):
        if number not in table.placed:
            reason = fixed_reason(problem, table, project)
            blocked = () if reason else tuple(blockers(table, number, mode) for mode in range(len(project.modes)))
            found.append(Unserved(project.id, reason, blocked))
    return tuple(found)


def table_of(problem: Allocation, plan: Plan) -> Timetable:
    """A plan as a timetable."""
    table = Timetable(problem)
    table.adopt(plan)
    return table


def fixed_reason(problem: Allocation, table: Timetable, project: Project) -> str:
    """The reason that lies in the project itself, or in one that it waits for; empty where there is none."""
    if not project.modes:
        return project.why_none or "no platform serves it"
    room = problem.due(project) - max(0, project.release)
    least = min(mode.duration * mode.cooldowns for mode in project.modes)
    if room < least:
        return f"its window of {room} slots is shorter than its work of {least}"
    if not any(project.places <= problem.platform_by_id[mode.platform].places for mode in project.modes):
        return f"it needs {project.places} places in one cooldown, more than any platform has"
    waits = [each for each in project.after if table.index[each] not in table.placed]
    if waits:
        return f"it follows {', '.join(waits)}, which is not served"
    empty = Timetable(problem)
    number = table.index[project.id]
    if not project.after and not any(empty.starts(number, mode) for mode in range(len(project.modes))):
        things = sorted({name for mode in range(len(project.modes)) for name in blockers(empty, number, mode).by})
        return f"even alone it does not fit: {', '.join(things)}"
    return ""


def blockers(table: Timetable, project: int, mode: int) -> Blocked:
    """How many of the possible starts of one cooldown each thing blocks; one start may be blocked by several."""
    problem, way = table.problem, table.ready[project][mode]
    after = table.earliest(project) or 0
    window = way.window >> after << after
    possible = open_slots(problem, way.platform)
    open_starts = row(possible, way.mode.duration)
    by: dict[str, int] = {}
    if shut := (window & ~open_starts).bit_count():
        by["closed"] = shut
    if busy := (window & open_starts & ~row(table.free[way.platform], way.mode.duration)).bit_count():
        by["busy"] = busy
    for budget, amount, held in way.demands:
        if short := (window & ~table.fits(budget, amount, held)).bit_count():
            by[problem.budgets[budget].name] = short
    free = (table.starts(project, mode) >> after << after).bit_count()
    return Blocked(way.mode.platform, window.bit_count(), free, by)


def cost_of_forcing(problem: Allocation, plan: Plan, name: str) -> tuple[int, tuple[str, ...]] | None:
    """What serving a project would cost the others, at most, and whom it would put out; None if none was found.

    The project and those nearest to its window on its platforms are planned anew around all others.
    """
    table = table_of(problem, plan)
    before, number = table.score(), table.index[name]
    project = problem.projects[number]
    had = set(table.placed)
    for each in _nearest(table, project):
        table.remove(each)
    freed = had - set(table.placed)
    model = Model(table, [number, *freed, *(table.index[each] for each in project.after)])
    mine = [runs for (each, _), runs in model.runs.items() if each == number]
    if not mine:
        return None
    model.model.add(sum(mine) == 1)
    found = solve(model, model.score(), maximise=True, work=_FORCING_WORK, thin=True)
    if found.plan is None or table.adopt(found.plan) or number not in table.placed:
        return None
    lost = tuple(sorted(problem.projects[each].id for each in had - set(table.placed)))
    return max(0, before - table.score()), lost


def _nearest(table: Timetable, project: Project) -> list[int]:
    platforms = {mode.platform for mode in project.modes}
    due = table.problem.due(project)

    def away(placed: int) -> tuple[int, int]:
        mode, starts = table.placed[placed]
        outside = max(0, project.release - starts[0], starts[0] - due)
        other = table.ready[placed][mode].mode.platform not in platforms
        return outside + (table.problem.horizon if other else 0), placed

    near = sorted(table.placed, key=away)
    return [each for each in near if away(each)[0] < table.problem.horizon][:_MOST_FREED]


@dataclass(frozen=True)
class Helps:
    """One resource more: the interval in which the gain lies, and the plan value found with it."""

    what: str
    least: int
    most: int
    found: int


@dataclass(frozen=True)
class Bottleneck:
    """What would help most, if that can be told."""

    helps: tuple[Helps, ...]
    separable: bool
    says: str


def bottleneck(
    problem: Allocation, value: int, bound: int, search: Callable[[Allocation], tuple[int, int]]
) -> Bottleneck:  # fmt: skip
    """The gain of one resource more, resource by resource; `search` gives value and bound of a variant."""
    helps = []
    for what, variant in more_of_each(problem).items():
        new_value, new_bound = search(variant)
        helps.append(Helps(what, max(0, new_value - bound), max(0, new_bound - value), max(0, new_value - value)))
    helps.sort(key=lambda each: (-each.found, -each.most, each.what))
    if not helps:
        return Bottleneck((), separable=False, says="there is nothing to add")
    leader, others = helps[0], helps[1:]
    separable = leader.least > max((each.most for each in others), default=0)
    if separable:
        says = f"{leader.what} helps most: between {leader.least} and {leader.most} more"
    elif all(each.most == 0 for each in helps):
        says = "nothing more of one resource would raise the value: that is proved"
    else:
        says = "not separable at this gap: the intervals of the gains overlap"
    return Bottleneck(tuple(helps), separable, says)


def more_of_each(problem: Allocation) -> dict[str, Allocation]:
    """The question with one resource more, resource by resource."""
    from dataclasses import replace

    found = {}
    used = {mode.platform for project in problem.projects for mode in project.modes}
    for number, platform in enumerate(problem.platforms):
        if platform.id not in used:
            continue
        others = problem.platforms
        if platform.closed:
            changed = (*others[:number], replace(platform, closed=()), *others[number + 1 :])
            found[f"{platform.id} without closures"] = replace(problem, platforms=changed)
        if any(p.shareable and any(m.platform == platform.id for m in p.modes) for p in problem.projects):
            changed = (*others[:number], replace(platform, places=platform.places + 1), *others[number + 1 :])
            found[f"one more place on {platform.id}"] = replace(problem, platforms=changed)
    for number, budget in enumerate(problem.budgets):
        more = replace(budget, capacity=tuple(-(-6 * each // 5) for each in budget.capacity))
        changed_budgets = (*problem.budgets[:number], more, *problem.budgets[number + 1 :])
        found[f"a fifth more of {budget.name}"] = replace(problem, budgets=changed_budgets)
    return found


def cold_slots(mode: Mode) -> int:
    """The slots that a mode keeps a sample cold or on its way."""
    return mode.duration * mode.cooldowns


def occupied(problem: Allocation, plan: Plan) -> dict[str, tuple[int, int]]:
    """For each platform the slots taken and the slots open."""
    taken: dict[str, int] = {each.id: 0 for each in problem.platforms}
    for visit in plan:
        if visit.leads:
            taken[visit.platform] += visit.end - visit.start
    whole = ones(0, problem.horizon)
    return {
        each.id: (taken[each.id], (open_slots(problem, number) & whole).bit_count())
        for number, each in enumerate(problem.platforms)
    }
