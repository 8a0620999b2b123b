"""What a facility has measured on a platform: where there is a curve, it stands in place of the model."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise
from typing import Annotated

from pydantic import Field as Option
from pydantic import model_validator

from triage.models.quantity import Entry, Power, Temperature, Time, Value, fail

_Many = Option(min_length=1, max_length=200)


class LoadCurve(Entry):
    """Stage temperature against the load at the sample stage, the platform's own static load not counted."""

    date: datetime.date
    method: str | None = None
    points: Annotated[tuple[tuple[Power, Temperature], ...], _Many]

    @model_validator(mode="after")
    def _rises(self) -> LoadCurve:
        _ordered(self.points, "a larger load", "a stage that is not colder")
        return self


class HoldLog(Entry):
    """Hold against the load at the sample stage, the platform's own static load not counted."""

    date: datetime.date
    method: str | None = None
    points: Annotated[tuple[tuple[Power, Time], ...], _Many]

    @model_validator(mode="after")
    def _falls(self) -> HoldLog:
        if any(time.low <= 0 for _, time in self.points):
            raise fail("a hold in the log is zero", "leave out runs that did not hold")
        _ordered(self.points, "a larger load", "a hold that is not longer", falling=True)
        return self


class ElectronCurve(Entry):
    """Electron temperature of the loom against the temperature of the stage."""

    date: datetime.date
    method: str | None = None
    points: Annotated[tuple[tuple[Temperature, Temperature], ...], _Many]

    @model_validator(mode="after")
    def _rises(self) -> ElectronCurve:
        _ordered(self.points, "a warmer stage", "electrons that are not colder")
        return self


class Measured(Entry):
    """The curves a facility has of a platform, each with its date."""

    load_curve: LoadCurve | None = None
    hold_log: HoldLog | None = None
    electron_curve: ElectronCurve | None = None

    @cached_property
    def quantities(self) -> dict[str, Value]:
        """Each curve by its name, as one ground: how many points, of what date, by what method."""
        found = {}
        for name in ("load_curve", "hold_log", "electron_curve"):
            curve: LoadCurve | HoldLog | ElectronCurve | None = getattr(self, name)
            if curve is not None:
                count = len(curve.points)
                text = f"{count} point{'s' if count > 1 else ''} of {curve.date}"
                found[name] = Value(count, count, count, text, "measured", curve.method or "")
        return found


def _ordered(points: Sequence[tuple[Value, Value]], first: str, second: str, *, falling: bool = False) -> None:
    """Each point must follow the one before it; unknown numbers have no place in a curve."""
    if any(not value.known for point in points for value in point):
        raise fail("a point of the curve is unknown", "leave the point out")
    sign = -1 if falling else 1
    for before, after in pairwise(points):
        if after[0].nominal <= before[0].nominal or sign * (after[1].nominal - before[1].nominal) < 0:
            wrong = f"'{after[0].text}, {after[1].text}' does not follow '{before[0].text}, {before[1].text}'"
            raise fail(wrong, f"each point needs {first} and {second}")
