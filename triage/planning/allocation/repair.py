"""Planning again from an accepted plan: what still holds stays, and only what must move is planned anew."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from triage.planning.allocation.bound import relaxation
from triage.planning.allocation.exact import PLATFORM_CHANGED, Model, solve
from triage.planning.allocation.greedy import by_density, in_turn
from triage.planning.allocation.problem import Allocation, Inconsistent, Plan, faults_of
from triage.planning.allocation.result import Effort, Level, Result
from triage.planning.allocation.search import EARLINESS, Control, assured, versions
from triage.planning.allocation.timetable import Timetable

KEPT = "accepted projects keep a place, then new ones find one (accepted ones count {} each, new ones 1)"
VALUE = "value by priority and quality, all that still holds staying as accepted"
CHANGES = f"fewest changes: a moved start counts 1, another platform or none {PLATFORM_CHANGED}"
_WORK = 1.0
_AROUND = (0, 12, 40)  # how many neighbours of what broke are freed, attempt by attempt
_FEW = 5  # changes after which a wider attempt is not made


@dataclass(frozen=True)
class Change:
    """What became of one project of the accepted plan, or of a new one."""

    project: str
    kind: str
    words: str


def again(
    problem: Allocation, accepted: Plan, known: Collection[str], effort: Effort, seed: int = 1,
    control: Control | None = None,
) -> Result:  # fmt: skip
    """A plan close to an accepted one; `known` are the projects that it was made for.

    First everything stays that still holds, and what does not hold or is new is put around it; only where a
    project would lose its place, or a new one finds none, are neighbours moved too, and none of them is put
    out for another. Then those without a place are put into gaps.
    """
    if faults := faults_of(problem):
        raise Inconsistent(faults)
    control = control or Control()
    control.seconds = effort.seconds
    served = {visit.project for visit in accepted}
    best: tuple[Timetable, tuple[Level, ...]] | None = None
    for attempt, around in enumerate(_AROUND):
        found = _attempt(problem, accepted, known, around, seed, control)
        if best is None or _worth(found[0], accepted) > _worth(best[0], accepted):
            best = found
        control.told_of("around the accepted plan", attempt / len(_AROUND), best[0].score())
        placed = {problem.projects[each].id for each in best[0].placed}
        settled = not _wanting(problem, served, known) - placed and -_worth(best[0], accepted)[1] <= _FEW
        if control.over() or settled:
            break
    assert best is not None
    table, levels = best
    in_turn(problem, by_density(problem), table)
    plan, value = table.plan(), table.score()
    assured(problem, plan)
    bound = relaxation(problem, nodes=effort.nodes)
    return Result(
        problem, plan, value, max(bound.value, value), bound.source, levels, {}, seed, effort.name, 0, 0, versions(),
        control.stopped, tuple(each.words for each in changes_between(problem, accepted, plan, known)),
    )  # fmt: skip


def _worth(table: Timetable, accepted: Plan) -> tuple[int, int, int]:
    """What comes first of two plans: accepted projects with a place, then fewer that change, then value."""
    served = {visit.project for visit in accepted}
    kept = sum(table.problem.projects[each].id in served for each in table.placed)
    known = [each.id for each in table.problem.projects]
    changes = [each for each in changes_between(table.problem, accepted, table.plan(), known) if each.kind != "added"]
    return kept, -len(changes), table.score()


def _wanting(problem: Allocation, served: Collection[str], known: Collection[str]) -> set[str]:
    """Projects that had a place, or are new, and can be served at all."""
    return {each.id for each in problem.projects if each.modes and (each.id in served or each.id not in known)}


def _attempt(
    problem: Allocation, accepted: Plan, known: Collection[str], around: int, seed: int, control: Control
) -> tuple[Timetable, tuple[Level, ...]]:  # fmt: skip
    table = Timetable(problem)
    table.adopt(accepted)
    served = {visit.project for visit in accepted}
    wanted = [table.index[name] for name in sorted(_wanting(problem, served, known))]
    broken = [each for each in wanted if each not in table.placed]
    if around:
        for each in _neighbours(table, broken, around * max(1, len(broken))):
            table.remove(each)
    free = sorted({*wanted, *before_them(table, wanted)} - set(table.placed))
    if not free:
        return table, (Level(VALUE, table.score(), proved=True), Level(CHANGES, 0, proved=True))
    model = Model(table, free)
    model.hint(accepted)
    kept = model.kept(served)
    value, change, late = model.score(), model.changes(accepted), model.lateness()
    levels: list[Level] = []
    plan: Plan | None = None
    worth, moves = (VALUE, value, True), (CHANGES, change, False)
    # Once neighbours may move, they move for a place only and not for a little more value.
    middle = (moves, worth) if around else (worth, moves)
    words_kept = KEPT.format(len(problem.projects) + 1)
    for words, objective, maximise in ((words_kept, kept, True), *middle, (EARLINESS, late, False)):
        if isinstance(objective, int):
            levels.append(Level(words, objective, proved=True))
            continue
        found = solve(model, objective, maximise=maximise, work=_WORK, seed=seed, cancelled=control.over)
        if found.plan is None:
            break
        plan = found.plan
        levels.append(Level(words, found.objective, found.proved))
        model.model.add(objective >= found.objective if maximise else objective <= found.objective)
        names = {problem.projects[each].id for each in free}
        model.hint(tuple(visit for visit in plan if visit.project in names))
    if plan is not None:
        table.adopt(plan)
    return table, tuple(levels)


def before_them(table: Timetable, projects: list[int]) -> set[int]:
    """All that these wait for, however far back."""
    found: set[int] = set()
    left = list(projects)
    while left:
        for each in table.after[left.pop()]:
            if each not in found:
                found.add(each)
                left.append(each)
    return found


def _neighbours(table: Timetable, broken: list[int], most: int) -> list[int]:
    """The placed projects that stand nearest to the windows of those that lost or seek a place."""
    near: dict[int, int] = {}
    for each in broken:
        project = table.problem.projects[each]
        platforms = {mode.platform for mode in project.modes}
        first, due = max(project.release, table.earliest(each) or 0), table.problem.due(project)
        for placed, (mode, starts) in table.placed.items():
            if table.ready[placed][mode].mode.platform in platforms:
                away = max(0, first - starts[-1], starts[0] - due) + (0 if starts[0] < due else table.problem.horizon)
                near[placed] = min(near.get(placed, away), away)
    return sorted(near, key=lambda each: (near[each], each))[:most]


def changes_between(problem: Allocation, old: Plan, new: Plan, known: Collection[str]) -> list[Change]:
    """What differs between two plans, project by project."""

    def starts(plan: Plan) -> dict[str, tuple[str, tuple[int, ...]]]:
        found: dict[str, tuple[str, tuple[int, ...]]] = {}
        for visit in sorted(plan, key=lambda each: (each.project, each.number)):
            found[visit.project] = (visit.platform, (*found.get(visit.project, ("", ()))[1], visit.start))
        return found

    before, after = starts(old), starts(new)
    present = {each.id for each in problem.projects}
    changes = []
    for name in sorted(before | after):
        was, now = before.get(name), after.get(name)
        if was == now:
            continue
        if name not in present:
            changes.append(Change(name, "withdrawn", f"{name} is no longer asked for"))
        elif now is None:
            changes.append(Change(name, "dropped", f"{name} loses its place on {was[0] if was else ''}"))
        elif was is None:
            word = "newly asked" if name not in known else "now served"
            changes.append(Change(name, "added", f"{name} is {word}, on {now[0]}"))
        elif was[0] != now[0]:
            changes.append(Change(name, "platform", f"{name} goes to {now[0]} instead of {was[0]}"))
        else:
            moved = [f"{a} to {b}" for a, b in zip(was[1], now[1], strict=False) if a != b]
            changes.append(Change(name, "moved", f"{name} moves on {now[0]}: slot {', '.join(moved)}"))
    return changes
