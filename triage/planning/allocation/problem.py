"""The allocation as numbers: projects, their ways to be served, platforms, budgets and shares.

Time is counted in slots (days, or weeks for a long view). Nothing here knows about files or physics.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise


class Inconsistent(ValueError):  # noqa: N818  names the fault
    """An allocation that contradicts itself; carries every fault found."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(faults))


@dataclass(frozen=True, slots=True)
class Platform:
    """A cold platform: places in one cooldown, and the slots [first, end) in which it is closed."""

    id: str
    places: int = 1
    closed: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Budget:
    """Something that runs out: `capacity` per slot, and how many slots a demand is held from its start.

    A demand held for as long as its cooldown (None) is staff; held for 7 days it is a rolling weekly helium
    budget; held to the end of the horizon it is a stock, whose capacity grows with each delivery.
    """

    name: str
    unit: str
    capacity: tuple[int, ...]
    held: int | None = None


@dataclass(frozen=True, slots=True)
class Mode:
    """One way to serve a project: a platform, the quality reached there in per cent, and what it takes.

    `duration` is one cooldown with cooling and warming. `run` is what a cooldown takes of each budget,
    once for all who share it; `own` what this project takes in any case.
    """

    platform: str
    quality: int
    duration: int
    cooldowns: int = 1
    run: tuple[int, ...] = ()
    own: tuple[int, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Project:
    """One project: value, window [release, due), place in a cooldown, predecessors and modes."""

    id: str
    value: int
    modes: tuple[Mode, ...]
    release: int = 0
    due: int | None = None
    group: str = ""
    configuration: str = ""
    places: int = 1
    shareable: bool = False
    after: tuple[str, ...] = ()
    why_none: str = ""


@dataclass(frozen=True, slots=True)
class Visit:
    """One cooldown of one project: slots [start, end) on a platform; riders share the one that leads."""

    project: str
    number: int
    platform: str
    start: int
    end: int
    leads: bool = True


Plan = tuple[Visit, ...]


@dataclass(frozen=True)
class Allocation:
    """The whole question. `shares` is the least part of the served value that each group should have [%]."""

    horizon: int
    platforms: tuple[Platform, ...]
    projects: tuple[Project, ...]
    budgets: tuple[Budget, ...] = ()
    shares: Mapping[str, int] = field(default_factory=dict)
    shortfall_price: int = 1

    @cached_property
    def by_id(self) -> dict[str, Project]:
        """Projects by id."""
        return {each.id: each for each in self.projects}

    @cached_property
    def platform_by_id(self) -> dict[str, Platform]:
        """Platforms by id."""
        return {each.id: each for each in self.platforms}

    def due(self, project: Project) -> int:
        """The end of a project's window."""
        return self.horizon if project.due is None else min(project.due, self.horizon)

    def mode(self, project: str, platform: str) -> Mode | None:
        """The mode of a project on a platform."""
        return next((each for each in self.by_id[project].modes if each.platform == platform), None)


def in_order(plan: Plan | list[Visit]) -> Plan:
    """The one way to write a plan: by start, platform, leader first."""
    return tuple(sorted(plan, key=lambda v: (v.start, v.platform, not v.leads, v.project, v.number)))


def faults_of(problem: Allocation) -> tuple[str, ...]:
    """Everything in which an allocation contradicts itself, in words."""
    found: list[str] = []
    if problem.horizon < 1:
        found.append("the calendar has no slots")
    ids = [each.id for each in problem.projects]
    found += [f"project '{each}' is given twice" for each in sorted({each for each in ids if ids.count(each) > 1})]
    for platform in problem.platforms:
        if platform.places < 1:
            found.append(f"platform '{platform.id}' has no place")
        closed = sorted(platform.closed)
        if any(one[1] > two[0] for one, two in pairwise(closed)):
            found.append(f"platform '{platform.id}' has closures that overlap")
    for budget in problem.budgets:
        if len(budget.capacity) != problem.horizon:
            found.append(f"budget '{budget.name}' does not cover the calendar")
    for project in problem.projects:
        found += _project_faults(problem, project)
    return tuple(found + _cycles(problem))


def _project_faults(problem: Allocation, project: Project) -> list[str]:
    found = [
        f"'{project.id}' follows '{each}', which is not there" for each in project.after if each not in problem.by_id
    ]
    if project.value < 0:
        found.append(f"'{project.id}' has a negative value")
    known = problem.platform_by_id
    platforms = [mode.platform for mode in project.modes]
    if len(set(platforms)) < len(platforms):
        found.append(f"'{project.id}' names a platform twice")
    for mode in project.modes:
        if mode.platform not in known:
            found.append(f"'{project.id}' may run on '{mode.platform}', which is not there")
        if mode.duration < 1 or mode.cooldowns < 1 or mode.quality < 0 or min((*mode.run, *mode.own), default=0) < 0:
            found.append(f"'{project.id}' takes no time, or less than nothing, on '{mode.platform}'")
        if not {len(mode.run), len(mode.own)} <= {0, len(problem.budgets)}:
            found.append(f"'{project.id}' on '{mode.platform}' does not say what it takes of each budget")
    return found


def _cycles(problem: Allocation) -> list[str]:
    """The projects that wait for each other."""
    left = {each.id: {name for name in each.after if name in problem.by_id} for each in problem.projects}
    while ready := [name for name, before in left.items() if not before]:
        for name in ready:
            del left[name]
        for before in left.values():
            before.difference_update(ready)
    return [f"these wait for each other: {', '.join(sorted(left))}"] if left else []


def score(problem: Allocation, served: Mapping[str, str]) -> int:
    """Value by priority and quality, less the shortfall of groups below their share."""
    gains = {name: gain(problem, name, platform) for name, platform in served.items()}
    return sum(gains.values()) - problem.shortfall_price * sum(shortfalls(problem, gains).values())


def gain(problem: Allocation, project: str, platform: str) -> int:
    """The value of a project served on a platform."""
    mode = problem.mode(project, platform)
    return 0 if mode is None else problem.by_id[project].value * mode.quality


def shortfalls(problem: Allocation, gains: Mapping[str, int]) -> dict[str, int]:
    """What each group lacks to its least share of the served value."""
    if not problem.shares:
        return {}
    total = sum(gains.values())
    mine = dict.fromkeys(problem.shares, 0)
    for name, value in gains.items():
        group = problem.by_id[name].group
        if group in mine:
            mine[group] += value
    return {group: max(0, -((100 * mine[group] - share * total) // 100)) for group, share in problem.shares.items()}
