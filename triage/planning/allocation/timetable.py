"""A plan under construction: where a cooldown can still begin, worked out on whole calendars at once.

A calendar is one integer whose bit t stands for slot t; "d free slots in a row" is then a few shifts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from triage.planning.allocation.problem import Allocation, Mode, Plan, Project, Visit, gain, in_order


class Cooldown(NamedTuple):
    """A cooldown in the timetable: the project that leads, its end, and everybody in it with their numbers."""

    leader: int
    end: int
    places: int
    members: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Ready:
    """A mode prepared: platform index, rank among those who may lead, and budgets that it touches."""

    mode: Mode
    platform: int
    window: int
    demands: tuple[tuple[int, int, int], ...]
    own: tuple[tuple[int, int, int], ...]


class Snapshot(NamedTuple):
    """Everything needed to go back."""

    free: tuple[int, ...]
    left: tuple[np.ndarray, ...]
    cooldowns: tuple[dict[int, Cooldown], ...]
    placed: dict[int, tuple[int, tuple[int, ...]]]


def row(mask: int, length: int) -> int:
    """The bits at which a row of so many set bits begins.

    >>> bin(row(0b11101111, 3))
    '0b100011'
    """
    have = 1
    while have < length:
        step = min(have, length - have)
        mask &= mask >> step
        have += step
    return mask


def ones(first: int, end: int) -> int:
    """Bits [first, end)."""
    return ((1 << end) - 1) & ~((1 << first) - 1) if end > first else 0


def first_bit(mask: int) -> int:
    """The lowest set bit, or -1."""
    return (mask & -mask).bit_length() - 1


class Timetable:
    """What is placed, and what is left of platforms and budgets."""

    def __init__(self, problem: Allocation) -> None:
        self.problem = problem
        self.index = {each.id: number for number, each in enumerate(problem.projects)}
        self.after = [tuple(self.index[name] for name in each.after) for each in problem.projects]
        self.before: list[list[int]] = [[] for _ in problem.projects]
        for number, waits in enumerate(self.after):
            for each in waits:
                self.before[each].append(number)
        self.ready = ready_modes(problem)
        self.gains = [[gain(problem, p.id, m.platform) for m in p.modes] for p in problem.projects]
        self.free = [open_slots(problem, number) for number in range(len(problem.platforms))]
        self.left = [np.array(each.capacity, dtype=np.int64) for each in problem.budgets]
        self.cooldowns: list[dict[int, Cooldown]] = [{} for _ in problem.platforms]
        self.placed: dict[int, tuple[int, tuple[int, ...]]] = {}
        self._fits: list[dict[tuple[int, int], int]] = [{} for _ in problem.budgets]

    def snapshot(self) -> Snapshot:
        """The present state, to return to."""
        return Snapshot(
            tuple(self.free), tuple(each.copy() for each in self.left), tuple(dict(each) for each in self.cooldowns),
            dict(self.placed),
        )  # fmt: skip

    def restore(self, kept: Snapshot) -> None:
        """Go back to a snapshot."""
        self.free = list(kept.free)
        self.left = [each.copy() for each in kept.left]
        self.cooldowns = [dict(each) for each in kept.cooldowns]
        self.placed = dict(kept.placed)
        self._fits = [{} for _ in self.left]

    def fits(self, budget: int, amount: int, held: int) -> int:
        """The starts at which a budget can give an amount for so many slots; past the horizon all can."""
        cache = self._fits[budget]
        found = cache.get((amount, held))
        if found is None:
            enough = np.packbits(self.left[budget] >= amount, bitorder="little").tobytes()
            horizon = self.problem.horizon
            found = row(int.from_bytes(enough, "little") | ones(horizon, horizon + held), held)
            cache[amount, held] = found
        return found

    def starts(self, project: int, mode: int) -> int:
        """Where a cooldown of a project can begin as its leader."""
        way = self.ready[project][mode]
        mask = way.window
        if mask:
            mask &= row(self.free[way.platform], way.mode.duration)
        for budget, amount, held in way.demands:
            if not mask:
                break
            mask &= self.fits(budget, amount, held)
        return mask

    def joins(self, project: int, mode: int) -> int:
        """Where a cooldown of a project can ride with others."""
        wanted = self.problem.projects[project]
        if not wanted.shareable:
            return 0
        way = self.ready[project][mode]
        mask = 0
        for start, each in self.cooldowns[way.platform].items():
            if self._may_ride(project, way.mode, each):
                mask |= 1 << start
        mask &= way.window
        for budget, amount, held in way.own:
            if not mask:
                break
            mask &= self.fits(budget, amount, held)
        return mask

    def _may_ride(self, project: int, mode: Mode, cooldown: Cooldown) -> bool:
        wanted, leads = self.problem.projects[project], self.problem.projects[cooldown.leader]
        platform = self.problem.platform_by_id[mode.platform]
        chosen = self.placed.get(cooldown.leader)
        if chosen is None or cooldown.leader == project or any(member == project for member, _ in cooldown.members):
            return False
        longest = leads.modes[chosen[0]].duration
        return (
            leads.shareable
            and leads.configuration == wanted.configuration
            and cooldown.places + wanted.places <= platform.places
            and (longest, -cooldown.leader) > (mode.duration, -project)
            and cooldown.end <= self.problem.due(wanted)
        )

    def earliest(self, project: int) -> int | None:
        """When a project may begin after its predecessors, or None where one of them is not served."""
        when = 0
        for each in self.after[project]:
            if each not in self.placed:
                return None
            when = max(when, self.end(each))
        return when

    def end(self, project: int) -> int:
        """When the last cooldown of a placed project ends, that of its leader counting."""
        mode, starts = self.placed[project]
        return self.cooldowns[self.ready[project][mode].platform][starts[-1]].end

    def place(self, project: int, mode: int, *, join: bool = True) -> bool:
        """Place all cooldowns of a project as early as they fit; all or none."""
        after = self.earliest(project)
        if after is None or project in self.placed:
            return False
        way = self.ready[project][mode]
        starts: list[int] = []
        for _ in range(way.mode.cooldowns):
            rides = self.joins(project, mode) >> after << after if join else 0
            lead = self.starts(project, mode) >> after << after
            if rides:
                start, leads = first_bit(rides), False
            elif lead:
                start, leads = first_bit(lead), True
            else:
                self._withdraw(project, mode, starts)
                return False
            after = self._put(project, mode, len(starts), start, leads)
            starts.append(start)
        self.placed[project] = (mode, tuple(starts))
        return True

    def _put(self, project: int, mode: int, number: int, start: int, leads: bool) -> int:
        way = self.ready[project][mode]
        here = self.cooldowns[way.platform]
        wanted = self.problem.projects[project].places
        if leads:
            end = start + way.mode.duration
            here[start] = Cooldown(project, end, wanted, ((project, number),))
            self.free[way.platform] &= ~ones(start, end)
            # A leader is known to riders by its placement, also while its later cooldowns are still open.
            self.placed.setdefault(project, (mode, (start,)))
        else:
            old = here[start]
            end = old.end
            here[start] = old._replace(places=old.places + wanted, members=(*old.members, (project, number)))
        self._charge(way.demands if leads else way.own, start, 1)
        return end

    def _charge(self, demands: tuple[tuple[int, int, int], ...], start: int, sign: int) -> None:
        for budget, amount, held in demands:
            self.left[budget][start : start + held] -= sign * amount
            self._fits[budget] = {}

    def _withdraw(self, project: int, mode: int, starts: list[int] | tuple[int, ...]) -> None:
        way = self.ready[project][mode]
        here = self.cooldowns[way.platform]
        for start in starts:
            old = here[start]
            if old.leader == project:
                del here[start]
                self.free[way.platform] |= ones(start, old.end)
                self._charge(way.demands, start, -1)
            else:
                members = tuple(each for each in old.members if each[0] != project)
                places = old.places - self.problem.projects[project].places
                here[start] = old._replace(places=places, members=members)
                self._charge(way.own, start, -1)
        self.placed.pop(project, None)

    def remove(self, project: int) -> list[int]:
        """Take a project out, with those who ride with it or wait for it; returns all that left."""
        if project not in self.placed:
            return []
        mode, starts = self.placed[project]
        here = self.cooldowns[self.ready[project][mode].platform]
        gone: list[int] = []
        for start in starts:
            if here[start].leader == project:
                for member, _ in here[start].members:
                    if member != project:
                        gone += self.remove(member)
        for each in self.before[project]:
            gone += self.remove(each)
        self._withdraw(project, mode, starts)
        return [project, *gone]

    def score(self) -> int:
        """Value less shortfalls of what is placed."""
        total = sum(self.gains[project][mode] for project, (mode, _) in self.placed.items())
        shares = self.problem.shares
        if not shares:
            return total
        mine = dict.fromkeys(shares, 0)
        for project, (mode, _) in self.placed.items():
            group = self.problem.projects[project].group
            if group in mine:
                mine[group] += self.gains[project][mode]
        lacking = sum(max(0, -((100 * mine[group] - share * total) // 100)) for group, share in shares.items())
        return total - self.problem.shortfall_price * lacking

    def plan(self) -> Plan:
        """What is placed, as visits."""
        visits = []
        for number, here in enumerate(self.cooldowns):
            platform = self.problem.platforms[number].id
            for start, each in here.items():
                for member, cooldown in each.members:
                    name = self.problem.projects[member].id
                    visits.append(Visit(name, cooldown, platform, start, each.end, member == each.leader))
        return in_order(visits)

    def adopt(self, plan: Plan) -> list[str]:
        """Place visits just where a plan has them; returns the projects that do not fit there any more."""
        wanted: dict[str, int] = {}
        for visit in in_order(plan):
            wanted[visit.project] = wanted.get(visit.project, 0) + 1
            self._adopt_visit(visit)
        for name, count in wanted.items():
            project = self.index.get(name)
            if project is not None and project in self.placed:
                mode, starts = self.placed[project]
                if not len(starts) == count == self.ready[project][mode].mode.cooldowns:
                    self.remove(project)
        return [name for name in wanted if self.index.get(name) not in self.placed]

    def _adopt_visit(self, visit: Visit) -> None:
        project = self.index.get(visit.project)
        if project is None:
            return
        modes = self.problem.projects[project].modes
        mode = next((n for n, each in enumerate(modes) if each.platform == visit.platform), None)
        after = self.earliest(project)
        _, done = self.placed.get(project, (mode, ()))
        if mode is None or after is None or len(done) != visit.number:
            return
        if done:
            after = max(after, self.end(project))
        can = self.starts(project, mode) if visit.leads else self.joins(project, mode)
        if visit.start >= after and can >> visit.start & 1:
            self._put(project, mode, visit.number, visit.start, visit.leads)
            self.placed[project] = (mode, (*done, visit.start))


def open_slots(problem: Allocation, platform: int) -> int:
    """The slots in which a platform is open."""
    mask = ones(0, problem.horizon)
    for first, end in problem.platforms[platform].closed:
        mask &= ~ones(max(0, first), min(max(0, end), problem.horizon))
    return mask


def ready_modes(problem: Allocation) -> list[list[Ready]]:
    """Every mode of every project, prepared for placing."""
    number = {each.id: index for index, each in enumerate(problem.platforms)}
    return [[_ready(problem, project, mode, number[mode.platform]) for mode in project.modes]
            for project in problem.projects]  # fmt: skip


def _ready(problem: Allocation, project: Project, mode: Mode, platform: int) -> Ready:
    held = [mode.duration if each.held is None else each.held for each in problem.budgets]
    run = mode.run or (0,) * len(held)
    own = mode.own or (0,) * len(held)
    both = [one + two for one, two in zip(run, own, strict=True)]
    latest = problem.due(project) - mode.duration
    if project.places > problem.platforms[platform].places:
        latest = -1
    return Ready(
        mode, platform, ones(max(0, project.release), latest + 1) if latest >= project.release else 0,
        tuple((b, amount, held[b]) for b, amount in enumerate(both) if amount),
        tuple((b, amount, held[b]) for b, amount in enumerate(own) if amount),
    )  # fmt: skip
