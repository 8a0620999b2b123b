"""Calendar and wishes from their files, held against the facility: every problem at once."""

from __future__ import annotations

from collections.abc import Collection
from difflib import get_close_matches
from pathlib import Path

from triage.errors import Problem
from triage.models.calendar import Calendar, Stretch, Wish, Wishes
from triage.models.reading import _validated
from triage.source import Path_, Source, read

MOST_PROPOSALS = 1000


def read_calendar(
    folder: Path, platforms: Collection[str], proposals: Collection[str]
) -> tuple[Calendar | None, Wishes, list[Problem]]:
    """Read `calendar.yaml` and, where there is one, `allocation.yaml` of a facility's folder."""
    calendar, source, problems = _validated(Calendar, *read(folder / "calendar.yaml"))
    if calendar is not None and source is not None:
        problems = [*problems, *_calendar_problems(calendar, source, platforms)]
    place = folder / "allocation.yaml"
    if not place.exists():
        return calendar, Wishes(), problems
    wishes, asked, found = _validated(Wishes, *read(place))
    problems = [*problems, *found]
    if wishes is None or asked is None:
        return calendar, Wishes(), problems
    for name, wish in wishes.proposals.items():
        problems += _wish_problems(name, wish, calendar, asked, platforms, proposals)
    return calendar, wishes, [*problems, *_circles(wishes, asked)]


def _unknown(source: Source, path: Path_, what: str, name: str, known: Collection[str]) -> Problem:
    near = get_close_matches(name, known, n=1)
    shown = ", ".join(sorted(known)[:12]) or "none"
    return source.problem(
        path, f"there is no {what} '{name}'", f"did you mean '{near[0]}'?" if near else f"use one of: {shown}"
    )


def _calendar_problems(calendar: Calendar, source: Source, platforms: Collection[str]) -> list[Problem]:
    problems = []
    roles = {each.role for each in calendar.staff}
    for number, opening in enumerate(calendar.platforms):
        here: Path_ = ("platforms", number)
        if opening.platform not in platforms:
            problems.append(_unknown(source, (*here, "platform"), "platform", opening.platform, platforms))
        if opening.run_by is not None and opening.run_by not in roles:
            problems.append(_unknown(source, (*here, "run_by"), "role", opening.run_by, roles))
        problems += [
            source.problem((*here, "closed", index), "lies outside the calendar", f"{calendar.start} to {calendar.end}")
            for index, each in enumerate(opening.closed) if _outside(each, calendar)
        ]  # fmt: skip
    return problems


def _outside(stretch: Stretch, calendar: Calendar) -> bool:
    return stretch.last < calendar.start or stretch.first >= calendar.end


def _wish_problems(
    name: str, wish: Wish, calendar: Calendar | None, source: Source,
    platforms: Collection[str], proposals: Collection[str],
) -> list[Problem]:  # fmt: skip
    here: Path_ = ("proposals", name)
    problems = [] if name in proposals else [_unknown(source, here, "proposal", name, proposals)]
    problems += [
        _unknown(source, (*here, "platforms", index), "platform", each, platforms)
        for index, each in enumerate(wish.platforms or ()) if each not in platforms
    ]  # fmt: skip
    problems += [
        _unknown(source, (*here, "after", index), "proposal", each, proposals)
        for index, each in enumerate(wish.after) if each not in proposals
    ]  # fmt: skip
    if calendar is not None and wish.window is not None and _outside(wish.window, calendar):
        problems.append(
            source.problem((*here, "window"), "lies outside the calendar", f"{calendar.start} to {calendar.end}")
        )
    return problems


def _circles(wishes: Wishes, source: Source) -> list[Problem]:
    """Proposals that wait for each other."""
    left = {name: set(wish.after) & set(wishes.proposals) for name, wish in wishes.proposals.items()}
    while ready := [name for name, before in left.items() if not before]:
        for name in ready:
            del left[name]
        for before in left.values():
            before.difference_update(ready)
    return [
        source.problem(("proposals", name, "after"), f"'{name}' waits, in the end, for itself", "break the circle: "
                       + ", ".join(sorted(left)))
        for name in sorted(left)
    ]  # fmt: skip
