"""Measured curves in place of the model; beyond the last point the model goes on from there, marked as such.

Between points the square of the temperature runs straight in the load, which is exact for a dilution unit
and on the warm side for a cooler; the inverse of the hold runs straight in the load, as for any charge.
Below the first point the first temperature stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from triage.estimates.case import Case
from triage.estimates.cooling.answer import Answer, Cooling
from triage.models.measured import Measured
from triage.models.quantity import Value

LOAD_CURVE, HOLD_LOG = "platform.measured.load_curve", "platform.measured.hold_log"
_BEYOND = "the load is beyond the measured {last}; the model goes on from there"


def columns(points: Sequence[tuple[Value, Value]]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The two columns of a curve [SI]."""
    return np.array([x.nominal for x, _ in points]), np.array([y.nominal for _, y in points])


def plain(value: Any) -> Any:
    """An array of no dimension as a float."""
    return value if np.ndim(value) else float(value)


class MeasuredCooling(Cooling):
    """The cooling of a platform by its measured curves, and by its model where it has none."""

    def __init__(self, case: Case, model: Cooling, measured: Measured) -> None:
        super().__init__(case)
        self.model = model
        self.measured = measured

    def temperature(self, load: Any) -> Answer:
        """The stage temperature by the load curve."""
        curve = self.measured.load_curve
        if curve is None:
            return self.model.temperature(load)
        loads, temperatures = columns(curve.points)
        value = np.sqrt(np.interp(load, loads, temperatures**2))
        beyond = np.asarray(load) > loads[-1]
        problems: tuple[str, ...] = ()
        if np.any(beyond):
            rise = self.model.temperature(load).value - np.asarray(self.model.temperature(float(loads[-1])).value)
            value = np.where(beyond, temperatures[-1] + np.maximum(rise, 0.0), value)
            problems = (_BEYOND.format(last=curve.points[-1][0].text),)
        self.case.number(LOAD_CURVE)
        used = (LOAD_CURVE, "heat_load") if "heat_load" in self.case.estimates else (LOAD_CURVE,)
        return Answer(plain(value), f"measured curve of {curve.date}", used, (), problems)

    def power(self, temperature: Any) -> Answer:
        """The load at which the curve reaches a temperature."""
        curve = self.measured.load_curve
        if curve is None:
            return self.model.power(temperature)
        loads, temperatures = columns(curve.points)
        warm = np.asarray(temperature, dtype=float)
        value = np.where(warm < temperatures[0], 0.0, np.interp(warm**2, temperatures**2, loads))
        problems: tuple[str, ...] = ()
        beyond = warm > temperatures[-1]
        if np.any(beyond):
            more = self.model.power(temperature).value - np.asarray(self.model.power(float(temperatures[-1])).value)
            value = np.where(beyond, loads[-1] + np.maximum(more, 0.0), value)
            problems = (_BEYOND.format(last=curve.points[-1][1].text).replace("load", "temperature"),)
        return Answer(plain(value), f"measured curve of {curve.date}", (LOAD_CURVE, "working_temperature"), (),
                      problems)  # fmt: skip

    def hold(self, load: Any) -> Answer | None:
        """The hold by the log."""
        log = self.measured.hold_log
        if log is None:
            return self.model.hold(load)
        self.case.number(HOLD_LOG)
        loads, holds = columns(log.points)
        value = 1.0 / np.interp(load, loads, 1.0 / holds)
        problems: tuple[str, ...] = ()
        for end, out in ((0, np.asarray(load) < loads[0]), (-1, np.asarray(load) > loads[-1])):
            if np.any(out):
                value = np.where(out, holds[end] * self._ratio(load, float(loads[end])), value)
                problems = (f"the load is outside the measured span of {log.date}; the model goes on from its end",)
        return Answer(plain(value), f"measured log of {log.date}", (HOLD_LOG, "heat_load"), (), problems)

    def _ratio(self, load: Any, known: float) -> Any:
        """How the model's hold changes from a known load to another; without a model, not at all."""
        here, there = self.model.hold(load), self.model.hold(known)
        return 1.0 if here is None or there is None else np.asarray(here.value) / there.value
