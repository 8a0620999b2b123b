"""A number a person wrote, with its range and where it comes from, as a field of a model."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, Literal, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, WithJsonSchema
from pydantic_core import PydanticCustomError

from triage.errors import NotAQuantity
from triage.units import Reading, dimension_of, read_any, read_quantity

Basis = Literal["measured", "published", "stated", "common practice", "from memory", "default", "guess", "unknown"]
BASES: tuple[str, ...] = get_args(Basis)  # strongest first
WRITABLE_BASES = BASES[:5] + ("guess",)


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


@dataclass(frozen=True, slots=True)
class Bounds:
    """The dimension and the believable size of a field."""

    unit: str
    above: float | None = None
    least: float | None = None
    most: float | None = None


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
        raise fail(f"'{text}' reaches down to {reading.low:g}", f"it must be above {bounds.above:g} {bounds.unit}".rstrip())
    if bounds.least is not None and reading.low < bounds.least:
        raise fail(f"'{text}' is below {bounds.least:g} {bounds.unit}".rstrip(), "check sign and unit")
    if bounds.most is not None and reading.high > bounds.most:
        raise fail(f"'{text}' is above {bounds.most:g} {bounds.unit}".rstrip(), "check the unit")


def quantity(
    unit: str, *, above: float | None = None, least: float | None = None, most: float | None = None
) -> Any:
    """The type of a model field that holds a quantity of the given unit, within believable bounds [unit in SI]."""
    bounds = Bounds(unit, above, least, most)
    text = {"type": ["string", "number"], "description": f"a quantity in {unit or 'no unit'}, or 'unknown'"}
    schema = {
        "anyOf": [
            text,
            {
                "type": "object",
                "properties": {
                    "value": text,
                    "basis": {"enum": list(WRITABLE_BASES)},
                    "source": {"type": "string"},
                },
                "required": ["value"],
                "additionalProperties": False,
            },
        ]
    }
    return Annotated[Value, BeforeValidator(lambda raw: read_value(raw, bounds)), WithJsonSchema(schema), bounds]


Temperature = quantity("K", above=0, most=2000)
Time = quantity("s", least=0, most=3e9)
Length = quantity("m", above=0, most=100)
Power = quantity("W", least=0, most=1e6)
Field = quantity("T", least=0, most=100)
Volume = quantity("m3", least=0, most=1e5)
VolumeRate = quantity("m3/s", least=0, most=1e3)
Money = quantity("EUR", least=0, most=1e9)
DayPrice = quantity("EUR/s", least=0, most=1e4)
VolumePrice = quantity("EUR/m3", least=0, most=1e8)
Fraction = quantity("", least=0, most=1)
Count = quantity("", least=0, most=1e7)
Number = quantity("", least=-1e6, most=1e6)
Pressure = quantity("Pa", above=0, most=1e9)
Voltage = quantity("V", least=0, most=1e6)
Current = quantity("A", least=0, most=1e4)
Frequency = quantity("Hz", least=0, most=1e15)
Charge = quantity("m3", above=0, most=10)
