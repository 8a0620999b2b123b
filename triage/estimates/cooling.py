"""How each kind of cooling answers a heat load: its temperature, its power at a temperature, its hold.

Loads are what the proposal adds at the sample stage; the platform's own static load is counted inside.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from triage.estimates.case import Case
from triage.physics.constants import standard_atmosphere
from triage.physics.evaporation import amount_of_gas, helium3_latent_heat, nitrogen_boiling_temperature
from triage.physics.kind import outside
from triage.physics.refrigeration import (
    closed_cycle_power,
    closed_cycle_temperature,
    dilution_circulation,
    dilution_temperature,
    helium4_pot_cooling_power,
    helium4_pot_temperature,
    sorption_hold_time,
    sorption_pumping_speed,
    sorption_temperature,
)
from triage.physics.vapour_pressure import helium3_pressure, helium4_temperature, pressure_at_altitude


@dataclass(frozen=True)
class Answer:
    """A value with the formula, inputs and sources that gave it, and why it may not hold."""

    value: Any
    formula: str
    uses: tuple[str, ...]
    references: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()


def site_pressure(case: Case) -> Any:
    """The air pressure at the site [Pa]: as stated, from the altitude, or one standard atmosphere."""
    stated = case.number("lab.pressure")
    if stated is not None:
        return case.put("site_pressure", stated, "Pa", "as stated", "lab.pressure")
    altitude = case.number("lab.altitude")
    if altitude is not None:
        return case.put("site_pressure", pressure_at_altitude(altitude), "Pa", "standard atmosphere at the altitude",
                        "lab.altitude", references=("ISO2533",))  # fmt: skip
    return case.put("site_pressure", standard_atmosphere, "Pa", "one standard atmosphere", basis="default")


class Cooling:
    """What every kind of cooling can be asked."""

    def __init__(self, case: Case) -> None:
        self.case = case

    def own(self, name: str) -> Any:
        """A number of the platform's cooling section, or None."""
        return self.case.number(f"platform.cooling.{name}")

    def paths(self, *names: str) -> tuple[str, ...]:
        """The full names of entries of the cooling section."""
        return tuple(f"platform.cooling.{name}" for name in names)

    def base(self) -> Any:
        """The temperature of the stage without the proposal's load [K]."""
        return self.temperature(0.0).value

    def temperature(self, load: Any) -> Answer:
        """The temperature of the stage under a load [K]."""
        raise NotImplementedError

    def power(self, temperature: Any) -> Answer:
        """The load that the stage takes at a temperature [W]."""
        raise NotImplementedError

    def hold(self, load: Any) -> Answer | None:  # noqa: ARG002  most kinds run until something breaks
        """How long the stage stays cold under a load [s], or None where nothing runs out."""
        return None


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
            from triage.physics.refrigeration import effective_pumping_speed
            from triage.physics.vapour_pressure import helium4_pressure

            cold = np.minimum(temperature, 4.2)
            speed = effective_pumping_speed(self.own("pump_speed"), helium4_pressure(cold), diameter, length or 1.0)
            carried = helium4_pot_cooling_power(cold, speed)
        value = np.maximum(carried - self.own("static_load"), 0.0)
        if stated is not None:
            value = np.maximum(value, stated)
        uses = self._uses() + (self.paths("power_at_base") if stated is not None else ())
        return Answer(value if np.ndim(value) else float(value), "L(T) p(T) S / (R T_pump) − static load",
                      ("working_temperature", *uses), ("Pobell2007",))  # fmt: skip


class Helium3Charge(Cooling):
    """A helium-3 charge pumped by a sorbent: the load sets the temperature a little and the hold a lot."""

    def _speed(self) -> Any:
        return sorption_pumping_speed(self.own("base_temperature"), self.own("static_load"))

    def temperature(self, load: Any) -> Answer:
        """Base temperature raised by the vapour pressure that the extra gas needs."""
        total = self.own("static_load") + load
        value = sorption_temperature(total, self._speed())
        problems = [] if np.all(np.isfinite(value)) else ["the load is outside what a helium-3 pot takes"]
        return Answer(value, "p(T) × pumping speed = load / L(T), speed from base temperature and static load",
                      ("heat_load", *self.paths("base_temperature", "static_load")), ("Pobell2007", "Engert2007"),
                      tuple(problems))  # fmt: skip

    def power(self, temperature: Any) -> Answer:
        """The load at which the pot reaches a temperature, at most the largest the facility allows."""
        cold = np.clip(temperature, 0.2, 1.5)
        carried = helium3_pressure(cold) / helium3_pressure(self.own("base_temperature"))
        carried = carried * helium3_latent_heat(cold) / helium3_latent_heat(self.own("base_temperature"))
        value = np.clip((carried - 1.0) * self.own("static_load"), 0.0, self.own("largest_load"))
        # At base the pot takes any load that it may hold, at the price of the hold time.
        value = np.where(np.asarray(temperature) >= self.own("base_temperature"), np.maximum(value, 0.0), 0.0)
        formula = "static load × (p(T) L(T) at the working temperature over that at base − 1)"
        return Answer(value if value.ndim else float(value), formula,
                      ("working_temperature", *self.paths("base_temperature", "static_load", "largest_load")),
                      ("Pobell2007", "Engert2007"))  # fmt: skip

    def hold(self, load: Any) -> Answer:
        """The charge's latent heat over the load; a measured hold at static load is scaled by the load."""
        static = self.own("static_load")
        measured = self.case.number("platform.clock.hold")
        if measured is not None:
            value = measured * static / (static + load)
            return Answer(value, "measured hold × static load / (static load + load)",
                          ("platform.clock.hold", "heat_load", *self.paths("static_load")))  # fmt: skip
        value = sorption_hold_time(
            amount_of_gas(self.own("charge")), static + load, temperature=self.own("base_temperature"),
            condensed_at=self.own("pot_temperature"), condensed_part=self.own("condensed"),
        )  # fmt: skip
        return Answer(value, "charge × condensed part × (1 − self-cooling loss) × L(T) / load",
                      ("heat_load", *self.paths("charge", "condensed", "pot_temperature", "static_load")),
                      ("Greywall1983", "Pobell2007"))  # fmt: skip


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


MECHANISMS: dict[str, type[Cooling]] = {
    "ambient": Ambient,
    "nitrogen bath": NitrogenBath,
    "helium bath": Bath,
    "pumped helium": PumpedHelium,
    "helium-3 charge": Helium3Charge,
    "dilution": Dilution,
    "cooler": Cooler,
}


def cooling_of(case: Case) -> Cooling:
    """The cooling of the platform of a case."""
    return MECHANISMS[case.platform.cooling.mechanism](case)
