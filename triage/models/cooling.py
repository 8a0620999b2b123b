"""How a platform cools: one section per mechanism, with what can be read off the machine."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field as Option

from triage.models.quantity import (
    Amount,
    Charge,
    Entry,
    Field,
    Fraction,
    Length,
    Number,
    Power,
    PumpSpeed,
    Temperature,
    Volume,
    VolumeRate,
)


class Ambient(Entry):
    """Room temperature or a heated box."""

    mechanism: Literal["ambient"]
    temperature: Temperature


class NitrogenBath(Entry):
    """Boiling nitrogen at the pressure of the site."""

    mechanism: Literal["nitrogen bath"]
    largest_load: Power


class HeliumBath(Entry):
    """Boiling helium at the pressure of the site."""

    mechanism: Literal["helium bath"]
    largest_load: Power


class PumpedHelium(Entry):
    """Helium-4 pumped to low pressure: pump, line and heat decide the temperature."""

    mechanism: Literal["pumped helium"]
    pump_speed: PumpSpeed
    line_diameter: Length | None = None
    line_length: Length | None = None
    static_load: Power
    base_temperature: Temperature | None = None
    power_at_base: Power | None = None
    largest_load: Power


class Helium3Charge(Entry):
    """A helium-3 charge condensed on a pumped pot and pumped by a sorbent: the load decides the hold."""

    mechanism: Literal["helium-3 charge"]
    charge: Charge
    pot_temperature: Temperature
    condensed: Fraction
    static_load: Power
    base_temperature: Temperature
    largest_load: Power


class Dilution(Entry):
    """A dilution unit, described by its base temperature and one cooling power."""

    mechanism: Literal["dilution"]
    base_temperature: Temperature
    cooling_power: Power
    power_at: Temperature


class Cooler(Entry):
    """A closed-cycle or flow stage, described by its base temperature and one rated power."""

    mechanism: Literal["cooler"]
    base_temperature: Temperature
    cooling_power: Power
    power_at: Temperature


class Flow(Entry):
    """A stage cooled by liquid drawn from a storage dewar: it is cold while the liquid lasts."""

    mechanism: Literal["flow"]
    base_temperature: Temperature
    cooling_power: Power
    power_at: Temperature
    dewar: Volume
    consumption: VolumeRate


class Demagnetisation(Entry):
    """A paramagnet magnetised warm and let out cold; regulated at one temperature, the load decides the hold."""

    mechanism: Literal["demagnetisation"]
    base_temperature: Temperature | None = None
    regulated_temperature: Temperature
    start_temperature: Temperature
    start_field: Field
    salt: Amount
    spin: Number
    internal_field: Field
    static_load: Power
    largest_load: Power


Cooling = Annotated[
    Ambient | NitrogenBath | HeliumBath | PumpedHelium | Helium3Charge | Dilution | Cooler | Flow | Demagnetisation,
    Option(discriminator="mechanism"),
]
