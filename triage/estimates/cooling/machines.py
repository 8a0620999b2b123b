"""Stages described by a base temperature and one quoted power: dilution units, closed-cycle and flow coolers."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.cooling.answer import Answer, Cooling
from triage.physics.evaporation import hold_time
from triage.physics.refrigeration import (
    closed_cycle_power,
    closed_cycle_temperature,
    dilution_circulation,
    dilution_temperature,
)


class Dilution(Cooling):
    """A dilution unit: T² laws around one quoted cooling power."""

    def _circulation(self) -> Any:
        return dilution_circulation(self.own("cooling_power"), self.own("power_at"))

    def temperature(self, load: Any) -> Answer:
        """Mixing-chamber temperature under the load."""
        value = dilution_temperature(load, self._circulation(), self.own("base_temperature"))
        problems = [] if np.all(np.isfinite(value)) else ["the load takes the mixing chamber above 0.3 K"]
        return Answer(value, "√(T_base² + load / (84 ṅ₃)), ṅ₃ from the quoted cooling power",
                      ("heat_load", *self.paths("base_temperature", "cooling_power", "power_at")), ("Pobell2007",),
                      tuple(problems))  # fmt: skip

    def power(self, temperature: Any) -> Answer:
        """Cooling power above base, by the same law, up to 0.3 K."""
        cold = np.minimum(temperature, 0.3)
        value = np.maximum(84.0 * self._circulation() * (cold**2 - self.own("base_temperature") ** 2), 0.0)
        return Answer(value if np.ndim(value) else float(value), "84 ṅ₃ (T² − T_base²)",
                      ("working_temperature", *self.paths("base_temperature", "cooling_power", "power_at")),
                      ("Pobell2007",))  # fmt: skip


class Cooler(Cooling):
    """A closed-cycle stage: a straight line between base and the rated point."""

    def _line(self) -> tuple[Any, Any, Any]:
        return self.own("base_temperature"), self.own("cooling_power"), self.own("power_at")

    def temperature(self, load: Any) -> Answer:
        """Stage temperature on the line."""
        value = closed_cycle_temperature(load, *self._line())
        problems = [] if np.all(np.isfinite(value)) else ["the load is beyond the rated power"]
        return Answer(value, "base + (rated − base) × load / rated power",
                      ("heat_load", *self.paths("base_temperature", "cooling_power", "power_at")), (),
                      tuple(problems))  # fmt: skip

    def power(self, temperature: Any) -> Answer:
        """Power on the line, at most the rated one."""
        base, rated, at = self._line()
        value = closed_cycle_power(np.minimum(temperature, at), base, rated, at)
        return Answer(value, "rated power × (T − base) / (rated − base)",
                      ("working_temperature", *self.paths("base_temperature", "cooling_power", "power_at")),
                      )  # fmt: skip


class Flow(Cooler):
    """A flow cryostat: the same line, and cold only while the dewar gives liquid."""

    def hold(self, load: Any) -> Answer:
        """The liquid in the dewar over what the flow draws; the flow is set, not the load."""
        stated = super().hold(load)
        if stated is not None:
            return stated
        value = hold_time(self.own("dewar"), self.own("consumption")) + 0.0 * np.asarray(load)
        return Answer(value if np.ndim(value) else float(value), "liquid in the dewar / consumption",
                      self.paths("dewar", "consumption"))  # fmt: skip
