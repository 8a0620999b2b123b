"""An independent check of any plan: every constraint worked out again from the question alone.

It shares nothing with the code that makes plans. A plan that fails it is a fault of the program.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

from triage.planning.allocation.problem import Allocation, Mode, Plan, Visit


def violations(problem: Allocation, plan: Plan) -> list[str]:
    """Every way in which a plan breaks the rules, in words; none for a plan that holds."""
    found = [
        f"{visit.project} has no way to run on {visit.platform}" for visit in plan if _mode(problem, visit) is None
    ]
    if found:
        return found
    visits: dict[str, list[Visit]] = defaultdict(list)
    for visit in plan:
        visits[visit.project].append(visit)
    for mine in visits.values():
        mine.sort(key=lambda each: each.number)
    found += _project_rules(problem, visits)
    found += _cooldown_rules(problem, plan)
    found += _platform_rules(problem, plan)
    found += _budget_rules(problem, plan)
    return found


def _mode(problem: Allocation, visit: Visit) -> Mode | None:
    for project in problem.projects:
        if project.id == visit.project:
            return next((mode for mode in project.modes if mode.platform == visit.platform), None)
    return None


def _sure_mode(problem: Allocation, visit: Visit) -> Mode:
    mode = _mode(problem, visit)
    assert mode is not None
    return mode


def _project_rules(problem: Allocation, visits: dict[str, list[Visit]]) -> list[str]:
    found = []
    for project in problem.projects:
        mine = visits.get(project.id)
        if not mine:
            continue
        if len({each.platform for each in mine}) > 1:
            found.append(f"{project.id} is on two platforms")
        if [each.number for each in mine] != list(range(_sure_mode(problem, mine[0]).cooldowns)):
            found.append(f"{project.id} does not have the cooldowns it needs")
        due = problem.horizon if project.due is None else min(project.due, problem.horizon)
        if min(each.start for each in mine) < max(0, project.release) or max(each.end for each in mine) > due:
            found.append(f"{project.id} leaves its window")
        for one, two in pairwise(mine):
            if two.start < one.end:
                found.append(f"{project.id} begins a cooldown before the last one ends")
        for before in project.after:
            if before not in visits:
                found.append(f"{project.id} is served without {before}")
            elif mine[0].start < max(each.end for each in visits[before]):
                found.append(f"{project.id} begins before {before} ends")
    return found


def _cooldown_rules(problem: Allocation, plan: Plan) -> list[str]:
    """One leader, who stays longest; the same configuration, enough places, all willing to share."""
    found = []
    order = {project.id: number for number, project in enumerate(problem.projects)}
    for (platform, start), members in sorted(_cooldowns(plan).items()):
        where = f"the cooldown on {platform} at {start}"
        leaders = [each for each in members if each.leads]
        if len(leaders) != 1:
            found.append(f"{where} has {len(leaders)} leaders")
            continue
        leader = leaders[0]
        if leader.end != start + _sure_mode(problem, leader).duration:
            found.append(f"{where} does not last as long as its leader needs")
        if any(each.end != leader.end for each in members):
            found.append(f"{where} ends at different times")
        if len({each.project for each in members}) < len(members):
            found.append(f"{where} holds a project twice")
        projects = [problem.projects[order[each.project]] for each in members]
        if sum(each.places for each in projects) > next(p.places for p in problem.platforms if p.id == platform):
            found.append(f"{where} has more samples than places")
        if len(members) > 1 and not all(each.shareable for each in projects):
            found.append(f"{where} is shared by a project that may not share")
        if len({each.configuration for each in projects}) > 1:
            found.append(f"{where} mixes configurations")
        ranks = [(_sure_mode(problem, each).duration, -order[each.project]) for each in members]
        if max(ranks) != (_sure_mode(problem, leader).duration, -order[leader.project]):
            found.append(f"{where} is not led by the one who stays longest")
    return found


def _cooldowns(plan: Plan) -> dict[tuple[str, int], list[Visit]]:
    together: dict[tuple[str, int], list[Visit]] = defaultdict(list)
    for visit in plan:
        together[visit.platform, visit.start].append(visit)
    return together


def _platform_rules(problem: Allocation, plan: Plan) -> list[str]:
    """One cooldown at a time, and none while a platform is closed."""
    found = []
    for platform in problem.platforms:
        runs = sorted({(each.start, each.end) for each in plan if each.platform == platform.id})
        for one, two in pairwise(runs):
            if two[0] < one[1]:
                found.append(f"{platform.id} runs two cooldowns at {two[0]}")
        for start, end in runs:
            if any(start < shut and first < end for first, shut in platform.closed):
                found.append(f"{platform.id} runs at {start} while it is closed")
    return found


def _budget_rules(problem: Allocation, plan: Plan) -> list[str]:
    found = []
    for number, budget in enumerate(problem.budgets):
        used = [0] * problem.horizon
        for visit in plan:
            mode = _sure_mode(problem, visit)
            held = mode.duration if budget.held is None else budget.held
            taken = (mode.own[number] if mode.own else 0) + (mode.run[number] if mode.run and visit.leads else 0)
            for slot in range(visit.start, min(visit.start + held, problem.horizon)):
                used[slot] += taken
        over = [slot for slot in range(problem.horizon) if used[slot] > budget.capacity[slot]]
        if over:
            found.append(f"{budget.name} is overdrawn at {over[0]} ({len(over)} slots)")
    return found
