"""Invented instances of a given size: overloaded, with windows, sharing, two budgets, closures and groups."""

from __future__ import annotations

from random import Random

from triage.planning.allocation.problem import Allocation, Budget, Mode, Platform, Project

GROUPS = ("first", "second", "third", "fourth")


def instance(projects: int, platforms: int, weeks: int, seed: int, *, longest: int = 20) -> Allocation:
    """An invented instance on a daily grid."""
    random = Random(seed)
    horizon = 7 * weeks
    places = []
    for number in range(platforms):
        first, length = random.randrange(0, max(1, horizon - 7)), random.choice((3, 5, 7))
        places.append(Platform(f"p{number}", 1 + number % 3, ((first, min(horizon, first + length)),)))
    budgets = (
        Budget("helium", "L", (30 * platforms,) * horizon, 7),
        Budget("staff", "h", (4 * platforms,) * horizon),
    )
    asked = tuple(_project(random, number, platforms, horizon, longest) for number in range(projects))
    return Allocation(horizon, tuple(places), asked, budgets, dict.fromkeys(GROUPS, 12))


def _project(random: Random, number: int, platforms: int, horizon: int, longest: int) -> Project:
    base, cooldowns = random.randrange(platforms), random.choice((1, 1, 1, 2, 3))
    usual = random.randint(4, longest)
    modes = []
    for platform in sorted({base, *(each for each in range(platforms) if random.random() < 0.3)}):
        days = min(28, max(1, usual + platform - base))
        percent = 100 if platform >= base else random.choice((50, 70, 80))
        run, own = (random.randint(5, 40), random.randint(2, 8)), (0, random.randint(0, 1))
        modes.append(Mode(f"p{platform}", percent, days, cooldowns, run, own))
    need = max(mode.duration * mode.cooldowns for mode in modes)
    span = random.randint(min(30, horizon), horizon)
    release = random.randrange(0, max(1, horizon - span + 1))
    due = min(horizon, max(release + span, release + need + 3))
    return Project(
        f"j{number:03d}", random.randint(1, 10) * 10, tuple(modes), release, due, random.choice(GROUPS),
        random.choice(("no field", "field")), 1, random.random() < 0.5,
    )  # fmt: skip
