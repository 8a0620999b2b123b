"""Cold that is used up: a condensed helium-3 charge, a demagnetised salt. The load decides the hold."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.cooling.answer import Answer, Cooling
from triage.physics.evaporation import amount_of_gas, helium3_latent_heat
from triage.physics.refrigeration import (
    demagnetisation_hold_time,
    demagnetised_temperature,
    sorption_hold_time,
    sorption_pumping_speed,
    sorption_temperature,
)
from triage.physics.vapour_pressure import helium3_pressure

_MOMENT = 60.0  # s, stands for no hold at all so that what divides by it stays finite


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


class Demagnetisation(Cooling):
    """A demagnetised salt: regulated at one temperature until its field has come down to nothing."""

    _START = ("start_temperature", "start_field", "internal_field")

    def _coldest(self) -> tuple[Any, tuple[str, ...], str]:
        """Where a full demagnetisation ends: as stated, or from the fields."""
        stated = self.own("base_temperature")
        if stated is not None:
            return stated, self.paths("base_temperature"), "the stated base"
        found = demagnetised_temperature(self.own("start_temperature"), self.own("start_field"), 0.0,
                                         self.own("internal_field"))  # fmt: skip
        return found, self.paths(*self._START), "T_i b / √(B_i² + b²)"

    def temperature(self, load: Any) -> Answer:
        """The regulated temperature, which the load does not change while the field lasts."""
        regulated = self.own("regulated_temperature")
        coldest, uses, words = self._coldest()
        value = np.maximum(regulated, coldest) + 0.0 * np.asarray(load)
        problems = ("regulated colder than a demagnetisation reaches",) if np.any(np.less(regulated, coldest)) else ()
        return Answer(value if value.ndim else float(value), f"the regulated temperature, not below {words}",
                      (*self.paths("regulated_temperature"), *uses), ("Pobell2007",), problems)  # fmt: skip

    def power(self, temperature: Any) -> Answer:
        """The largest load that may be regulated away; what it costs is the hold."""
        value = np.where(np.asarray(temperature) >= self.base(), self.own("largest_load"), 0.0)
        return Answer(value if value.ndim else float(value), "the largest load the facility allows, at the regulated "
                      "temperature and above",
                      ("working_temperature", *self.paths("regulated_temperature", "largest_load")))  # fmt: skip

    def hold(self, load: Any) -> Answer:
        """The heat of the salt's entropy over the load; a stated hold at static load is scaled by the load."""
        static = self.own("static_load")
        stated = self.case.number("platform.clock.hold")
        if stated is not None:
            return Answer(stated * static / (static + load), "stated hold × static load / (static load + load)",
                          ("platform.clock.hold", "heat_load", *self.paths("static_load")))  # fmt: skip
        value = demagnetisation_hold_time(
            static + load, self.own("salt"), self.base(), self.own("start_temperature"), self.own("start_field"),
            self.own("internal_field"), self.own("spin"),
        )  # fmt: skip
        problems = () if np.all(np.asarray(value) > 0) else ("the salt cannot be regulated at this temperature",)
        value = np.maximum(value, _MOMENT)[()]
        return Answer(value, "salt × T × [S(T, 0) − S(T_i, B_i)] / load",
                      ("heat_load", *self.paths("salt", "spin", "regulated_temperature", *self._START, "static_load")),
                      ("Pobell2007", "Shirron2014"), problems)  # fmt: skip
