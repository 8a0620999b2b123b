"""The facility's calendar (`calendar.yaml`) and what proposals ask of it (`allocation.yaml`)."""

from __future__ import annotations

import datetime
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.names import Identifier, Title
from triage.models.quantity import Entry, Fraction, Time, Volume, fail

Slots = Literal["day", "week"]
DAILY_WEEKS = 26  # up to here a plan is made by days, beyond by weeks
Whole = Annotated[int, Option(ge=1, le=50)]


class Stretch(Entry):
    """Days from the first to the last, both counted."""

    first: datetime.date
    last: datetime.date
    why: str | None = None

    @model_validator(mode="after")
    def _forward(self) -> Stretch:
        if self.last < self.first:
            raise fail(f"ends on {self.last} before it begins on {self.first}", "write the earlier day as first")
        return self


class Opening(Entry):
    """When a platform is closed, how many samples one cooldown takes, and who runs it."""

    platform: Identifier
    places: Annotated[int, Option(ge=0, le=50)] = 1
    run_by: Identifier | None = None
    closed: tuple[Stretch, ...] = ()

    @model_validator(mode="after")
    def _usable(self) -> Opening:
        if self.places == 0:
            raise fail(f"platform '{self.platform}' has no place", "give it at least one, or leave it out")
        windows = sorted(self.closed, key=lambda each: (each.first, each.last))
        for one, two in pairwise(windows):
            if two.first <= one.last:
                raise fail(
                    f"'{self.platform}' is closed twice on {two.first}: closures overlap", "join the two closures"
                )
        return self


class Delivery(Entry):
    """Liquid helium that arrives on a day."""

    date: datetime.date
    volume: Volume


class Helium(Entry):
    """What may be used in any seven days, and what is in store and arrives."""

    weekly: Volume | None = None
    stock: Volume | None = None
    deliveries: tuple[Delivery, ...] = ()


class Away(Stretch):
    """A stretch in which a role gives fewer hours a day."""

    per_day: Time


class Role(Entry):
    """The hours a day that people of one role have for platforms."""

    role: Identifier
    per_day: Time
    away: tuple[Away, ...] = ()


class Calendar(Entry):
    """A facility's calendar for one period: `calendar.yaml`.

    Platforms that are not listed are open all the time with one place. `shares` is the part of the time
    served that a group should have at least; `fairness` the part of a group's share of what is asked that
    stands in where no share is given.
    """

    invented: str | None = None
    title: Title | None = None
    start: datetime.date
    weeks: Annotated[int, Option(ge=1, le=104)]
    slots: Slots | None = None
    platforms: tuple[Opening, ...] = ()
    helium: Helium = Helium()
    staff: tuple[Role, ...] = ()
    shares: dict[str, Fraction] = Option(default_factory=dict)
    fairness: Fraction | None = None
    buffer: Fraction | None = None
    accepted: str | None = None
    notes: str | None = None

    @model_validator(mode="after")
    def _agrees(self) -> Calendar:
        for names, what in (
            ([each.platform for each in self.platforms], "platform"), ([each.role for each in self.staff], "role"),
        ):  # fmt: skip
            for name in sorted({each for each in names if names.count(each) > 1}):
                raise fail(f"{what} '{name}' is given twice", f"give each {what} once")
        if sum(each.nominal for each in self.shares.values()) > 1 + 1e-9:
            raise fail("the least shares of the groups come to more than the whole", "lower them")
        return self

    @property
    def days_in_slot(self) -> int:
        """Days in one slot: one, or seven for a long view."""
        return {"day": 1, "week": 7}[self.slots or ("day" if self.weeks <= DAILY_WEEKS else "week")]

    @property
    def end(self) -> datetime.date:
        """The first day after the calendar."""
        return self.start + datetime.timedelta(weeks=self.weeks)


class Wish(Entry):
    """What one proposal asks of the calendar."""

    priority: Annotated[int, Option(ge=0, le=100)] = 1
    group: str | None = None
    window: Stretch | None = None
    cooldowns: Whole | None = None
    shareable: bool = False
    places: Whole = 1
    configuration: str | None = None
    after: tuple[str, ...] = ()
    platforms: tuple[Identifier, ...] | None = None


class Wishes(Entry):
    """What proposals ask of the calendar, by name: `allocation.yaml`."""

    invented: str | None = None
    proposals: dict[str, Wish] = Option(default_factory=dict)
    notes: str | None = None
