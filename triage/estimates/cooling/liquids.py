"""Room temperature, boiling baths and pumped helium-4."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.cooling.answer import Answer, Cooling, site_pressure
from triage.physics.evaporation import nitrogen_boiling_temperature
from triage.physics.kind import outside
from triage.physics.refrigeration import (
    effective_pumping_speed,
    helium4_pot_cooling_power,
    helium4_pot_temperature,
)
from triage.physics.vapour_pressure import helium4_pressure, helium4_temperature


class Ambient(Cooling):
    """Room temperature."""

    def temperature(self, load: Any) -> Answer:
        """The stated temperature."""
        return Answer(self.own("temperature") + 0.0 * load, "as stated", self.paths("temperature"))

    def power(self, temperature: Any) -> Answer:
        """A room takes any load that a chip gives."""
        return Answer(1e3 + 0.0 * temperature, "not limited", ())


class Bath(Cooling):
    """A liquid boiling at the pressure of the site; a load costs liquid, not temperature."""

    boiling = staticmethod(helium4_temperature)
    references: tuple[str, ...] = ("PrestonThomas1990",)

    def temperature(self, load: Any) -> Answer:
        """The boiling temperature at the site's pressure."""
        pressure = site_pressure(self.case)
        problems = outside(self.boiling, {"pressure": pressure})
        value = self.boiling(pressure) + 0.0 * load
        return Answer(value, "boiling temperature at the site's pressure", ("site_pressure",), self.references,
                      tuple(problems))  # fmt: skip

    def power(self, temperature: Any) -> Answer:
        """The load above which boiling disturbs the sample or film boiling sets in."""
        return Answer(self.own("largest_load") + 0.0 * temperature, "as stated", self.paths("largest_load"))


class NitrogenBath(Bath):
    """Boiling nitrogen."""

    boiling = staticmethod(nitrogen_boiling_temperature)
    references = ("Span2000",)


class PumpedHelium(Cooling):
    """Helium-4 pumped by a pump through a line: speed, line and heat decide."""

    def _uses(self) -> tuple[str, ...]:
        line = self.case.value("platform.cooling.line_diameter")
        return self.paths("pump_speed", "static_load", *(("line_diameter", "line_length") if line else ()))

    def temperature(self, load: Any) -> Answer:
        """The pot's temperature, or the measured base raised by what the load adds in the model."""
        modelled = self._modelled(self.own("static_load") + load)
        measured = self.own("base_temperature")
        problems = [] if np.all(np.isfinite(modelled)) else ["the load is more than the pump can carry"]
        if measured is None:
            return Answer(modelled, "p(T) × pumping speed = load / L(T)", ("heat_load", *self._uses()),
                          ("Pobell2007",), tuple(problems))  # fmt: skip
        value = np.asarray(measured) + modelled - self._modelled(self.own("static_load"))
        return Answer(value if value.ndim else float(value), "stated base + rise of the pot model under the load",
                      ("heat_load", *self._uses(), *self.paths("base_temperature")), ("Pobell2007",),
                      tuple(problems))  # fmt: skip

    def _modelled(self, heat: Any) -> Any:
        diameter = self.own("line_diameter")
        length = self.own("line_length")
        return helium4_pot_temperature(
            heat, self.own("pump_speed"), line_diameter=np.inf if diameter is None else diameter,
            line_length=1.0 if length is None else length,
        )  # fmt: skip

    def power(self, temperature: Any) -> Answer:
        """What the pump carries at a temperature, less the static load; a stated power at base wins if larger."""
        diameter, length = self.own("line_diameter"), self.own("line_length")
        stated = self.own("power_at_base")
        if diameter is None:
            carried = helium4_pot_cooling_power(np.minimum(temperature, 4.2), self.own("pump_speed"))
        else:
            cold = np.minimum(temperature, 4.2)
            speed = effective_pumping_speed(self.own("pump_speed"), helium4_pressure(cold), diameter, length or 1.0)
            carried = helium4_pot_cooling_power(cold, speed)
        # The flow of liquid into the pot ends what the pump alone would carry at 4 K.
        value = np.clip(carried - self.own("static_load"), 0.0, self.own("largest_load"))
        if stated is not None:
            value = np.maximum(value, stated)
        uses = (*self._uses(), *self.paths("largest_load", *(("power_at_base",) if stated is not None else ())))
        formula = "L(T) p(T) S / (R T_pump) − static load, at most the largest"
        return Answer(value if np.ndim(value) else float(value), formula,
                      ("working_temperature", *uses), ("Pobell2007",))  # fmt: skip
