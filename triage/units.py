"""Text with a unit to SI numbers and back: the only place that knows how quantities are written.

The trade's usual units are in one table, so that nothing heavy is loaded for them; anything else goes
through pint. A test holds the table against pint, entry by entry.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Any

from triage.errors import NotAQuantity
from triage.physics import constants

Dimension = tuple[int, int, int, int, int, int, int]  # kg, m, s, A, K, mol, EUR

_ONE: Dimension = (0, 0, 0, 0, 0, 0, 0)
_PREFIXES = {
    "": 1.0, "a": 1e-18, "f": 1e-15, "p": 1e-12, "n": 1e-9, "u": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9,
    "T": 1e12,
}  # fmt: skip
# Units that take a prefix: factor to SI and dimension.
_PREFIXED: dict[str, tuple[float, Dimension]] = {
    "K": (1.0, (0, 0, 0, 0, 1, 0, 0)),
    "J": (1.0, (1, 2, -2, 0, 0, 0, 0)),
    "eV": (constants.elementary_charge, (1, 2, -2, 0, 0, 0, 0)),
    "Wh": (3600.0, (1, 2, -2, 0, 0, 0, 0)),
    "Hz": (1.0, (0, 0, -1, 0, 0, 0, 0)),
    "T": (1.0, (1, 0, -2, -1, 0, 0, 0)),
    "F": (1.0, (-1, -2, 4, 2, 0, 0, 0)),
    "V": (1.0, (1, 2, -3, -1, 0, 0, 0)),
    "A": (1.0, (0, 0, 0, 1, 0, 0, 0)),
    "C": (1.0, (0, 0, 1, 1, 0, 0, 0)),
    "W": (1.0, (1, 2, -3, 0, 0, 0, 0)),
    "ohm": (1.0, (1, 2, -3, -2, 0, 0, 0)),
    "S": (1.0, (-1, -2, 3, 2, 0, 0, 0)),
    "Pa": (1.0, (1, -1, -2, 0, 0, 0, 0)),
    "bar": (1e5, (1, -1, -2, 0, 0, 0, 0)),
    "m": (1.0, (0, 1, 0, 0, 0, 0, 0)),
    "s": (1.0, (0, 0, 1, 0, 0, 0, 0)),
    "g": (1e-3, (1, 0, 0, 0, 0, 0, 0)),
    "mol": (1.0, (0, 0, 0, 0, 0, 1, 0)),
    "L": (1e-3, (0, 3, 0, 0, 0, 0, 0)),
    "H": (1.0, (1, 2, -2, -2, 0, 0, 0)),
    "N": (1.0, (1, 1, -2, 0, 0, 0, 0)),
    "rad": (1.0, _ONE),
}
_PLAIN: dict[str, tuple[float, Dimension]] = {
    "": (1.0, _ONE),
    "%": (0.01, _ONE),
    "percent": (0.01, _ONE),
    "ppm": (1e-6, _ONE),
    "cm": (1e-2, (0, 1, 0, 0, 0, 0, 0)),
    "inch": (0.0254, (0, 1, 0, 0, 0, 0, 0)),
    "hPa": (100.0, (1, -1, -2, 0, 0, 0, 0)),
    "atm": (constants.standard_atmosphere, (1, -1, -2, 0, 0, 0, 0)),
    "torr": (constants.standard_atmosphere / 760, (1, -1, -2, 0, 0, 0, 0)),
    "min": (60.0, (0, 0, 1, 0, 0, 0, 0)),
    "h": (3600.0, (0, 0, 1, 0, 0, 0, 0)),
    "hour": (3600.0, (0, 0, 1, 0, 0, 0, 0)),
    "day": (86400.0, (0, 0, 1, 0, 0, 0, 0)),
    "week": (604800.0, (0, 0, 1, 0, 0, 0, 0)),
    "rpm": (2 * math.pi / 60, (0, 0, -1, 0, 0, 0, 0)),
    "deg": (math.pi / 180, _ONE),
    "EUR": (1.0, (0, 0, 0, 0, 0, 0, 1)),
}
_LONG = ["kelvin", "volt", "ampere", "watt", "tesla", "pascal", "farad", "metre", "second", "electronvolt"]
_PLURALS = {"days": "day", "weeks": "week", "hours": "hour", "mins": "min", "minutes": "min", "minute": "min"}
_SIGNS = str.maketrans(
    {"\u00b5": "u", "\u03bc": "u", "\u2126": "ohm", "\u03a9": "ohm", "−": "-", "–": "-", "·": "*", "²": "2", "³": "3"}
)
TABLE: dict[str, tuple[float, Dimension]] = {
    prefix + unit: (scale * factor, dimension)
    for unit, (factor, dimension) in _PREFIXED.items()
    for prefix, scale in _PREFIXES.items()
} | _PLAIN

# The units people would write, for hints.
CUSTOMARY = {
    "J": "meV, K or GHz", "K": "K or mK", "F": "fF", "m": "mm", "s": "h, min or days", "W": "mW or uW",
    "m3": "L", "m3/s": "m3/h or L/day", "EUR/s": "EUR/day", "EUR/m3": "EUR/L", "Pa": "hPa or bar", "Hz": "Hz or GHz",
    "A": "pA", "1/s": "1/h",
}  # fmt: skip
_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_SINGLE = re.compile(rf"({_NUMBER})\s*(.*)")
_RANGE = re.compile(rf"({_NUMBER})\s*([^\d\s.+-][^\s]*)?\s*\.\.\s*({_NUMBER})\s*(.*)")
_PLUS_MINUS = re.compile(rf"({_NUMBER})\s*([^\d\s.+-][^\s]*)?\s*(?:\+/-|±)\s*({_NUMBER})\s*(.*)")
_GUESS = re.compile(r"(?:about|around|roughly|~|ca\.?)\s*(?=[\d.+-])")
_POWER = re.compile(r"([A-Za-z%]+)\^?(-?\d)?")
GUESS_SPREAD = 0.3  # a number given as "about" is taken to be good to 30 %; common practice


@dataclass(frozen=True, slots=True)
class Reading:
    """A quantity as read: SI numbers, the unit it was written in, and whether it was a guess."""

    nominal: float
    low: float
    high: float
    unit: str
    guess: bool = False


@lru_cache(maxsize=4096)
def unit_factor(unit: str) -> tuple[float, Dimension]:
    """The factor to SI and the dimension of a unit text.

    Raises `NotAQuantity` with a suggestion where the unit is not known.
    """
    text = unit.strip().translate(_SIGNS).replace(" ", "")
    if text in TABLE:
        return TABLE[text]
    simple = _simple_unit(text)
    return simple if simple is not None else _pint_unit(text, unit)


def _simple_unit(text: str) -> tuple[float, Dimension] | None:
    """Products and quotients of table units with small powers, such as ``m3/h`` and ``nV/Hz^0.5``."""
    factor, dimension = 1.0, list(_ONE)
    numerator, *denominators = text.split("/")
    for sign, group in [(1, numerator), *((-1, part) for part in denominators)]:
        for part in group.split("*"):
            if part == "1" and sign == 1:
                continue
            match = _POWER.fullmatch(part)
            if not match:
                return None
            name = _PLURALS.get(match[1], match[1])
            if name not in TABLE:
                return None
            power = sign * int(match[2] or 1)
            scale, base = TABLE[name]
            factor *= scale**power
            dimension = [total + power * step for total, step in zip(dimension, base, strict=True)]
    return factor, tuple(dimension)  # type: ignore[return-value]


@lru_cache(maxsize=1)
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry()
    registry.define("EUR = [currency]")
    return registry


_PINT_BASE = ("[mass]", "[length]", "[time]", "[current]", "[temperature]", "[substance]", "[currency]")


def _pint_unit(text: str, written: str) -> tuple[float, Dimension]:
    """Units beyond the table, by pint."""
    if len(text) > 60 or not re.fullmatch(r"[A-Za-z0-9_*/^%().-]+", text) or re.search(r"\d{3}|\*\*|\^\(", text):
        raise NotAQuantity(f"'{written}' is not a unit", "write for example mK, ueV, fF, mm, L/day")
    try:
        quantity = _registry().Quantity(1.0, text).to_base_units()
        exponents = quantity.dimensionality
    except Exception:
        close = get_close_matches(text, [*TABLE, *_PLURALS, *_LONG], n=1, cutoff=0.6)
        hint = f"did you mean '{close[0]}'?" if close else "write for example mK, ueV, fF, mm, L/day"
        raise NotAQuantity(f"'{written}' is not a unit", hint) from None
    if any(float(power) % 1 for power in exponents.values()):
        raise NotAQuantity(f"'{written}' has a broken power", "use whole powers of units")
    vector = tuple(int(exponents.get(base, 0)) for base in _PINT_BASE)
    scale = float(quantity.magnitude)
    if not math.isfinite(scale) or scale <= 0:
        raise NotAQuantity(f"'{written}' has an offset or no scale", "use an absolute unit such as K")
    return scale, vector  # type: ignore[return-value]


@lru_cache(maxsize=4096)
def read(text: str, unit: str) -> float:
    """One quantity as text to its SI number; `unit` gives the dimension it must have."""
    return read_quantity(text, unit).nominal


def read_quantity(text: str, unit: str) -> Reading:
    """A quantity, a range, or a value with uncertainty to SI numbers.

    Accepted: ``0.3 fF``, ``0.25..0.45 fF``, ``0.30 +/- 0.05 fF``, ``0.30 fF +/- 10 %``, ``about 0.3 fF``.
    Raises `NotAQuantity` for anything else, for the wrong dimension, and for numbers that are not finite.
    """
    reading, dimension = read_any(text)
    wanted = unit_factor(unit)[1]
    if dimension != wanted:
        raise NotAQuantity(
            f"'{text}' is {article(dimension)}, but {article(wanted)} is needed",
            f"write it in {CUSTOMARY.get(unit, unit) or 'no unit'}",
        )
    return reading


def read_any(text: str) -> tuple[Reading, Dimension]:
    """A quantity of any dimension; see `read_quantity`."""
    original, text = text, text.strip().translate(_SIGNS)
    if len(text) > 120:
        raise NotAQuantity("the text is too long for a quantity", "write a number and a unit")
    guess = bool(_GUESS.match(text))
    text = _GUESS.sub("", text, count=1)
    if re.search(r"\d,\d", text):
        raise NotAQuantity(f"'{original}' has a comma", "write decimals with a point and thousands without commas")
    if match := _RANGE.fullmatch(text):
        low_text, first_unit, high_text, last_unit = match.groups()
        low, dimension = _number(low_text, first_unit or last_unit, original)
        high, other = _number(high_text, last_unit or first_unit or "", original)
        if dimension != other:
            raise NotAQuantity(f"the two ends of '{original}' differ in kind", "use one unit for both")
        if low > high:
            raise NotAQuantity(f"the range '{original}' runs backwards", "write the smaller end first")
        return Reading((low + high) / 2, low, high, (last_unit or first_unit or "").strip(), guess), dimension
    if match := _PLUS_MINUS.fullmatch(text):
        centre_text, first_unit, width_text, last_unit = match.groups()
        centre, dimension = _number(centre_text, first_unit or last_unit, original)
        if last_unit.strip() in ("%", "percent") and first_unit:
            width = abs(centre) * _number(width_text, "%", original)[0]
        else:
            width, other = _number(width_text, last_unit or first_unit or "", original)
            if dimension != other:
                raise NotAQuantity(f"value and uncertainty of '{original}' differ in kind", "use one unit for both")
        if width < 0:
            raise NotAQuantity(f"the uncertainty in '{original}' is negative", "write it after +/-")
        return Reading(centre, centre - width, centre + width, (first_unit or last_unit).strip(), guess), dimension
    if match := _SINGLE.fullmatch(text):
        value, dimension = _number(match[1], match[2], original)
        spread = abs(value) * GUESS_SPREAD if guess else 0.0
        return Reading(value, value - spread, value + spread, match[2].strip(), guess), dimension
    raise NotAQuantity(f"'{original}' is not a quantity", "write a number and a unit, or 'unknown'")


def _number(number: str, unit: str | None, original: str) -> tuple[float, Dimension]:
    unit = (unit or "").strip()
    value = float(number)
    if unit in ("degC", "°C"):
        si, dimension = value + constants.zero_celsius, TABLE["K"][1]
    else:
        factor, dimension = unit_factor(unit)
        si = value * factor
    if not math.isfinite(si):
        raise NotAQuantity(f"'{original}' is not a finite number", "check the exponent")
    return si, dimension


_NAMES: dict[Dimension, str] = {
    TABLE[unit][1]: name
    for unit, name in {
        "": "a plain number", "K": "a temperature", "J": "an energy", "Hz": "a frequency", "T": "a magnetic field",
        "F": "a capacitance", "V": "a voltage", "A": "a current", "W": "a power", "ohm": "a resistance",
        "S": "a conductance", "Pa": "a pressure", "m": "a length", "s": "a time", "g": "a mass",
        "EUR": "an amount of money",
        "L": "a volume", "mol": "an amount of substance", "C": "a charge",
    }.items()
}  # fmt: skip


def article(dimension: Dimension) -> str:
    """A dimension in the reader's words: ``a temperature``."""
    if dimension in _NAMES:
        return _NAMES[dimension]
    parts = zip(("kg", "m", "s", "A", "K", "mol", "EUR"), dimension, strict=True)
    return "a quantity in " + " ".join(f"{base}^{power}" if power != 1 else base for base, power in parts if power)


def dimension_of(unit: str) -> Dimension:
    """The dimension of a unit text."""
    return unit_factor(unit)[1]
