"""What every kind of cooling can be asked, and how it answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from triage.estimates.case import Case
from triage.physics.constants import standard_atmosphere
from triage.physics.vapour_pressure import pressure_at_altitude


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

    def hold(self, load: Any) -> Answer | None:
        """How long the stage stays cold under a load [s]: as stated, or None where nothing runs out."""
        stated = self.case.number("platform.clock.hold")
        if stated is None:
            return None
        return Answer(stated + 0.0 * load, "as stated for the platform", ("platform.clock.hold",))
