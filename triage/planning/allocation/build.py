"""From assessed proposals and a calendar to the allocation: eligible platforms, slots, budgets, shares."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from triage.models.calendar import Calendar, Stretch, Wish, Wishes
from triage.models.lab import Lab
from triage.models.recommendation import PlatformResult
from triage.models.tier import TIERS
from triage.planning.allocation.problem import Allocation, Budget, Mode, Platform, Project

DAY = 86400.0
LITRE = 1e-3
MINUTE = 60.0
FAIRNESS = 0.6  # of a group's share of what is asked, where the calendar gives no share
# Per cent of a full answer: the wanted tier, one below, two below; and reached with little in hand.
TIER_QUALITY = (100, 60, 30)
TIGHT = 90


@dataclass(frozen=True)
class Errand:
    """A warmer stage that devices visit first: platform and how long it takes [s]."""

    platform: str
    seconds: float


@dataclass(frozen=True)
class Assessed:
    """A proposal as the allocation sees it: results per platform and the stages before the last."""

    name: str
    title: str
    group: str
    wanted: str
    recommended: str | None
    platforms: tuple[PlatformResult, ...]
    configuration: str = ""
    errands: tuple[Errand, ...] = ()


def quality(result: PlatformResult, wanted: str) -> int:
    """Per cent of what was asked that a platform gives: by the tier it reaches, and whether only just."""
    if result.verdict not in ("suitable", "tight") or result.tier is None:
        return 0
    below = max(0, TIERS.index(wanted) - TIERS.index(result.tier))
    full = TIER_QUALITY[below]
    return full * TIGHT // 100 if result.verdict == "tight" and below == 0 else full


def build(lab: Lab, calendar: Calendar, wishes: Wishes, assessed: Sequence[Assessed]) -> Allocation:
    """The allocation of the assessed proposals on the facility's calendar."""
    horizon = -(-calendar.weeks * 7 // calendar.days_in_slot)
    budgets = _budgets(calendar, horizon)
    ordered = sorted(assessed, key=lambda each: each.name)
    projects = [
        project for each in ordered for project in _projects(calendar, budgets, each, wishes.proposals.get(each.name))
    ]
    by_id = {each.platform: each for each in calendar.platforms}
    platforms = tuple(
        Platform(each.id, by_id[each.id].places, tuple(slots_of(calendar, closed) for closed in by_id[each.id].closed))
        if each.id in by_id else Platform(each.id)
        for each in lab.platforms
    )  # fmt: skip
    projects.sort(key=lambda each: each.id)
    return Allocation(horizon, platforms, tuple(projects), budgets, _shares(calendar, projects))


def slots_of(calendar: Calendar, stretch: Stretch) -> tuple[int, int]:
    """The slots [first, end) that a stretch of days touches, within the calendar."""
    step = calendar.days_in_slot
    horizon = -(-calendar.weeks * 7 // step)
    first = (stretch.first - calendar.start).days // step
    end = -(-((stretch.last - calendar.start).days + 1) // step)
    return min(max(0, first), horizon), min(max(0, end), horizon)


def date_of(calendar: Calendar, slot: int) -> datetime.date:
    """The first day of a slot."""
    return calendar.start + datetime.timedelta(days=slot * calendar.days_in_slot)


def _budgets(calendar: Calendar, horizon: int) -> tuple[Budget, ...]:
    step, helium = calendar.days_in_slot, calendar.helium
    found = []
    if helium.weekly is not None and helium.weekly.known:
        litres = math.floor(helium.weekly.nominal / LITRE + 1e-6)
        found.append(Budget("helium in any week", "L", (litres,) * horizon, max(1, 7 // step)))
    if helium.stock is not None or helium.deliveries:
        supply = np.full(horizon, 0.0 if helium.stock is None else helium.stock.nominal / LITRE)
        for each in helium.deliveries:
            supply[max(0, -(-(each.date - calendar.start).days // step)) :] += each.volume.nominal / LITRE
        found.append(Budget("helium in store", "L", tuple(int(level + 1e-6) for level in supply), horizon))
    for role in calendar.staff:
        minutes = np.full(horizon, role.per_day.nominal * step / MINUTE)
        for away in role.away:
            first, end = slots_of(calendar, away)
            minutes[first:end] = np.minimum(minutes[first:end], away.per_day.nominal * step / MINUTE)
        found.append(Budget(role.role, "min", tuple(int(each + 1e-6) for each in minutes)))
    return tuple(found)


def _projects(calendar: Calendar, budgets: tuple[Budget, ...], asked: Assessed, wish: Wish | None) -> list[Project]:
    wish = wish or Wish()
    release, due = (0, None) if wish.window is None else slots_of(calendar, wish.window)
    modes = tuple(
        mode for result in asked.platforms
        if (mode := _mode(calendar, budgets, asked, wish, result)) is not None
    )  # fmt: skip
    before: tuple[str, ...] = wish.after
    found = []
    for number, errand in enumerate(asked.errands, 1):
        name = f"{asked.name}/{number}"
        slots = _slots(errand.seconds, calendar)
        nothing = (0,) * len(budgets)
        way = Mode(errand.platform, 100, slots, 1, nothing, nothing, "screen")
        found.append(Project(name, 0, (way,), release, due, "", "", 1, shareable=False, after=before))
        before = (name,)
    found.append(
        Project(
            asked.name, wish.priority, modes, release, due, wish.group or asked.group,
            asked.configuration if wish.configuration is None else wish.configuration,
            wish.places, wish.shareable, before, "" if modes else _why_none(asked, wish),
        )
    )  # fmt: skip
    return found


def _mode(
    calendar: Calendar, budgets: tuple[Budget, ...], asked: Assessed, wish: Wish, result: PlatformResult
) -> Mode | None:  # fmt: skip
    percent = quality(result, asked.wanted)
    if not percent or (wish.platforms is not None and result.platform not in wish.platforms):
        return None
    numbers = {
        name: float(result.estimates[name].value)
        for name in ("run_calendar", "platform_time", "cooldowns", "staff_time")
    }
    if not all(map(math.isfinite, numbers.values())):
        return None
    cooldowns = wish.cooldowns or max(1, int(numbers["cooldowns"]))
    scale = cooldowns / max(1.0, numbers["cooldowns"])
    per_slot = DAY * calendar.days_in_slot
    if cooldowns > 1 and numbers["run_calendar"] <= 0.5 * per_slot:
        # Runs shorter than half a slot follow one another in one visit.
        duration, cooldowns = _slots(numbers["platform_time"] * scale, calendar), 1
    else:
        duration = _slots(numbers["run_calendar"], calendar)
    helium = float(result.estimates["helium_used"].value) if "helium_used" in result.estimates else 0.0
    run = []
    for budget in budgets:
        if budget.unit == "L":
            run.append(math.ceil(helium * scale / cooldowns / LITRE - 1e-6))
        else:
            mine = budget.name == _run_by(calendar, result.platform)
            minutes = numbers["staff_time"] * scale / cooldowns / MINUTE
            run.append(math.ceil(minutes / duration - 1e-6) if mine else 0)
    return Mode(result.platform, percent, duration, cooldowns, tuple(run), (0,) * len(budgets), result.tier or "")


def _run_by(calendar: Calendar, platform: str) -> str | None:
    """The role that runs a platform; the first listed where nothing is said."""
    said = next((each.run_by for each in calendar.platforms if each.platform == platform), None)
    return said or (calendar.staff[0].role if calendar.staff else None)


def _slots(seconds: float, calendar: Calendar) -> int:
    buffer = 0.0 if calendar.buffer is None else calendar.buffer.nominal
    return max(1, math.ceil(seconds * (1.0 + buffer) / (DAY * calendar.days_in_slot) - 1e-9))


def _why_none(asked: Assessed, wish: Wish) -> str:
    serving = [each for each in asked.platforms if each.verdict in ("suitable", "tight")]
    if not serving:
        unknown = [each.name for each in asked.platforms if each.verdict == "unknown"]
        known = "no platform of the facility serves it"
        return f"{known}; not enough is known for {', '.join(unknown)}" if unknown else known
    if wish.platforms is not None and not any(each.platform in wish.platforms for each in serving):
        return "none of the platforms it asks for serves it"
    return "how long it takes is not known"


def _shares(calendar: Calendar, projects: Sequence[Project]) -> dict[str, int]:
    """The least share of each group [%]: as given, or the usual part of its share of what is asked."""
    asked: dict[str, int] = {}
    for project in projects:
        if project.group and project.modes:
            best = project.value * max(mode.quality for mode in project.modes)
            asked[project.group] = asked.get(project.group, 0) + best
    total = sum(asked.values())
    part = FAIRNESS if calendar.fairness is None else calendar.fairness.nominal
    shares = {group: int(100 * part * value / total) for group, value in sorted(asked.items()) if total}
    shares |= {group: round(100 * share.nominal) for group, share in sorted(calendar.shares.items()) if group in asked}
    return {group: share for group, share in shares.items() if share > 0} if len(asked) > 1 else {}
