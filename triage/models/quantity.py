"""A number a person wrote, with its range and where it comes from, as a field of a model."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Annotated, Any, Literal, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidatorFunctionWrapHandler,
    WrapValidator,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from triage.errors import NotAQuantity
from triage.units import Reading, dimension_of, read_any, read_quantity

Basis = Literal["measured", "published", "stated", "common practice", "from memory", "default", "guess", "unknown"]
BASES: tuple[str, ...] = get_args(Basis)  # strongest first
WRITABLE_BASES = (*BASES[:5], "guess")


@dataclass(frozen=True, slots=True)
class Value:
    """A quantity in SI units: nominal value and range, the text it came from, and its basis."""

    nominal: float
    low: float
    high: float
    text: str
    basis: str = "stated"
    source: str = ""

    @property
    def known(self) -> bool:
        """Whether there is a number at all."""
        return not math.isnan(self.nominal)

    @property
    def spread(self) -> float:
        """Half the range over the nominal value."""
        return (self.high - self.low) / (2 * abs(self.nominal)) if self.nominal else 0.0


UNKNOWN = Value(math.nan, math.nan, math.nan, "unknown", "unknown")


class Entry(BaseModel):
    """Base of every model that a person fills in: frozen, no unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    @cached_property
    def quantities(self) -> dict[str, Value]:
        """Every quantity in and below this entry, by its dotted path."""
        found: dict[str, Value] = {}
        for name in type(self).model_fields:
            part = getattr(self, name)
            if isinstance(part, Value):
                found[name] = part
            elif isinstance(part, Entry):
                found |= {f"{name}.{path}": value for path, value in part.quantities.items()}
        return found

    def named(self, owner: str) -> dict[str, Value]:
        """The quantities with an owner before their paths."""
        kept: dict[str, dict[str, Value]] = self.__dict__.setdefault("_named", {})
        if owner not in kept:
            kept[owner] = {f"{owner}.{path}": value for path, value in self.quantities.items()}
        return kept[owner]


@dataclass(frozen=True, slots=True)
class Bounds:
    """The dimension and the believable size of a field; annotates a `Value` in a model."""

    unit: str
    above: float | None = None
    least: float | None = None
    most: float | None = None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read what a person wrote with `read_value`."""
        return core_schema.no_info_plain_validator_function(lambda raw: read_value(raw, self))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """A quantity as text, or with its basis and source."""
        text = {"type": ["string", "number"], "description": f"a quantity in {self.unit or 'no unit'}, or 'unknown'"}
        parts = {"value": text, "basis": {"enum": list(WRITABLE_BASES)}, "source": {"type": "string"}}
        full = {"type": "object", "properties": parts, "required": ["value"], "additionalProperties": False}
        return {"anyOf": [text, full]}


def fail(message: str, remedy: str = "") -> PydanticCustomError:
    """A validation error that carries a remedy."""
    return PydanticCustomError("triage", "{message}", {"message": message, "remedy": remedy})


def read_value(raw: Any, bounds: Bounds) -> Value:
    """A raw entry (text, or a mapping with `value`, `basis`, `source`) to a `Value` within its bounds."""
    if isinstance(raw, Value):
        return raw
    basis, source = "stated", ""
    if isinstance(raw, Mapping):
        extra = set(raw) - {"value", "basis", "source"}
        if extra or "value" not in raw:
            found = ", ".join(sorted(map(str, extra))) or "no value"
            raise fail(f"a quantity has only value, basis and source; found {found}", "see `cold-triage schema`")
        basis, source = raw.get("basis", "stated"), str(raw.get("source") or "")
        if basis not in BASES:
            raise fail(f"'{basis}' is not a basis", "use one of: " + ", ".join(WRITABLE_BASES))
        raw = raw["value"]
    if isinstance(raw, bool) or not isinstance(raw, str | int | float):
        raise fail("a quantity is needed", "write a number with a unit, such as 0.3 K, or 'unknown'")
    return _from_text(str(raw), bounds, basis, source)


@lru_cache(maxsize=8192)
def _from_text(text: str, bounds: Bounds, basis: str, source: str) -> Value:
    if text.strip().lower() == "unknown":
        return UNKNOWN
    try:
        reading = _reading(text, bounds)
    except NotAQuantity as error:
        raise fail(error.message, error.remedy) from None
    _check_size(text, reading, bounds)
    return Value(reading.nominal, reading.low, reading.high, text, "guess" if reading.guess else basis, source)


def _reading(text: str, bounds: Bounds) -> Reading:
    if bounds.unit == "":
        reading, dimension = read_any(text)
        if dimension != dimension_of(""):
            raise NotAQuantity(f"'{text}' has a unit", "write a plain number")
        return reading
    return read_quantity(text, bounds.unit)


def _check_size(text: str, reading: Reading, bounds: Bounds) -> None:
    if bounds.above is not None and reading.low <= bounds.above:
        raise fail(
            f"'{text}' reaches down to {reading.low:g}",
            f"it must be above {bounds.above:g} {bounds.unit}".rstrip(),
        )
    if bounds.least is not None and reading.low < bounds.least:
        raise fail(f"'{text}' is below {bounds.least:g} {bounds.unit}".rstrip(), "check sign and unit")
    if bounds.most is not None and reading.high > bounds.most:
        raise fail(f"'{text}' is above {bounds.most:g} {bounds.unit}".rstrip(), "check the unit")


Temperature = Annotated[Value, Bounds("K", above=0, most=2000)]
Time = Annotated[Value, Bounds("s", least=0, most=3e9)]
Length = Annotated[Value, Bounds("m", above=0, most=100)]
Altitude = Annotated[Value, Bounds("m", least=-500, most=6000)]
Power = Annotated[Value, Bounds("W", least=0, most=1e6)]
Field = Annotated[Value, Bounds("T", least=0, most=100)]
Volume = Annotated[Value, Bounds("m3", least=0, most=1e5)]
Charge = Annotated[Value, Bounds("m3", above=0, most=10)]
VolumeRate = Annotated[Value, Bounds("m3/s", least=0, most=1e3)]
PumpSpeed = Annotated[Value, Bounds("m3/s", above=0, most=10)]
Rate = Annotated[Value, Bounds("1/s", least=0, most=1)]
Money = Annotated[Value, Bounds("EUR", least=0, most=1e9)]
DayPrice = Annotated[Value, Bounds("EUR/s", least=0, most=1e4)]
VolumePrice = Annotated[Value, Bounds("EUR/m3", least=0, most=1e8)]
EnergyPrice = Annotated[Value, Bounds("EUR/J", least=0, most=1e-4)]
Fraction = Annotated[Value, Bounds("", least=0, most=1)]
Count = Annotated[Value, Bounds("", least=0, most=1e7)]
Number = Annotated[Value, Bounds("", least=-1e6, most=1e6)]
Pressure = Annotated[Value, Bounds("Pa", above=0, most=1e9)]
Voltage = Annotated[Value, Bounds("V", least=0, most=1e6)]
Current = Annotated[Value, Bounds("A", least=0, most=1e4)]
Area = Annotated[Value, Bounds("m2", above=0, most=100)]
Amount = Annotated[Value, Bounds("mol", above=0, most=1e3)]
Resistivity = Annotated[Value, Bounds("ohm*m", above=0, most=1)]
Decibels = Annotated[Value, Bounds("", least=0, most=200)]
Frequency = Annotated[Value, Bounds("Hz", least=0, most=1e15)]
Velocity = Annotated[Value, Bounds("m/s", above=0, most=1)]
Motion = Annotated[Value, Bounds("m", above=0, most=0.01)]
Capacitance = Annotated[Value, Bounds("F", above=0, most=1)]
ElectricCharge = Annotated[Value, Bounds("C", above=0, most=1)]
Flux = Annotated[Value, Bounds("V*s", above=0, most=1)]
Gradient = Annotated[Value, Bounds("T/m", least=0, most=1e7)]
FieldRate = Annotated[Value, Bounds("T/s", above=0, most=100)]
TemperatureRate = Annotated[Value, Bounds("K/s", least=0, most=100)]
Energy = Annotated[Value, Bounds("J", least=0, most=1e9)]
Mass = Annotated[Value, Bounds("kg", above=0, most=1000)]
Quality = Annotated[Value, Bounds("", above=0, most=1e9)]

_PER_ROOT_HERTZ = re.compile(r"\s*/\s*(?:rtHz|sqrt\(Hz\)|√Hz|Hz\^?0?\.5|Hz\^\(?1/2\)?)\s*$")


def _noise_density(raw: Any, inner: ValidatorFunctionWrapHandler) -> Any:
    """A noise density is the current in one hertz; the root of the hertz may be written behind it."""
    text = raw.get("value") if isinstance(raw, dict) else raw
    if not isinstance(text, str) or not (found := _PER_ROOT_HERTZ.search(text)):
        return inner(raw)
    bare = text[: found.start()]
    value: Value = inner({**raw, "value": bare} if isinstance(raw, dict) else bare)
    return replace(value, text=text)


NoiseDensity = Annotated[Current, WrapValidator(_noise_density)]
