"""Text to SI and back: against pint, and what people get wrong."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.display import show, significant
from triage.errors import NotAQuantity
from triage.units import TABLE, dimension_of, read, read_any, read_quantity, unit_factor

PINT = pint.UnitRegistry()
PINT.define("EUR = [currency]")
BASE = ("[mass]", "[length]", "[time]", "[current]", "[temperature]", "[substance]", "[currency]")
IN_PINT = {"": "dimensionless", "%": "percent", "deg": "degree", "h": "hour", "rpm": "revolutions_per_minute"}


@pytest.mark.parametrize("unit", sorted(TABLE))
def test_table_agrees_with_pint(unit: str) -> None:
    """Every unit of the table has the factor and the dimension that pint gives it."""
    quantity = PINT.Quantity(1.0, IN_PINT.get(unit, unit)).to_base_units()
    factor, dimension = TABLE[unit]

    assert quantity.magnitude == pytest.approx(factor, rel=1e-9)
    assert tuple(int(quantity.dimensionality.get(base, 0)) for base in BASE) == dimension


@pytest.mark.parametrize("unit", ["m3/h", "L/day", "EUR/day", "EUR/L", "W/m2", "m2/s", "umol/s", "1/h", "uC/m2"])
def test_compound_units_agree_with_pint(unit: str) -> None:
    """Products and quotients of table units do not need pint, and agree with it."""
    written = unit.replace("m3", "m**3").replace("m2", "m**2")

    assert unit_factor(unit)[0] == pytest.approx(PINT.Quantity(1.0, written).to_base_units().magnitude, rel=1e-12)


def test_units_beyond_the_table_go_through_pint() -> None:
    """A unit nobody foresaw is still read."""
    assert read("3 psi", "Pa") == pytest.approx(3 * 6894.757, rel=1e-6)
    assert read("1 mile", "m") == pytest.approx(1609.344, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "unit", "nominal", "low", "high"),
    [
        ("0.3 fF", "F", 0.3e-15, 0.3e-15, 0.3e-15),
        ("0.25..0.45 fF", "F", 0.35e-15, 0.25e-15, 0.45e-15),
        ("0.25 fF .. 0.45 fF", "F", 0.35e-15, 0.25e-15, 0.45e-15),
        ("0.30 +/- 0.05 fF", "F", 0.3e-15, 0.25e-15, 0.35e-15),
        ("0.30 fF ± 10 %", "F", 0.3e-15, 0.27e-15, 0.33e-15),
        ("about 4 K", "K", 4.0, 2.8, 5.2),
        ("-269 degC", "K", 4.15, 4.15, 4.15),
        ("12 \u00b5W", "W", 12e-6, 12e-6, 12e-6),
        ("12 \u03bcW", "W", 12e-6, 12e-6, 12e-6),
        ("1e-3 W", "W", 1e-3, 1e-3, 1e-3),
        ("20 min", "s", 1200.0, 1200.0, 1200.0),
    ],
)
def test_forms_that_people_write(text: str, unit: str, nominal: float, low: float, high: float) -> None:
    """Single values, ranges, uncertainties, guesses, offsets and both micro signs."""
    reading = read_quantity(text, unit)

    assert (reading.nominal, reading.low, reading.high) == pytest.approx((nominal, low, high), rel=1e-9)


@pytest.mark.parametrize(
    ("text", "unit", "says"),
    [
        ("0,3 fF", "F", "comma"),
        ("120 mT", "J", "is a magnetic field, but an energy is needed"),
        ("3 mKelvins2", "K", "not a unit"),
        ("nan K", "K", "not a quantity"),
        ("inf K", "K", "not a quantity"),
        ("1e999 K", "K", "not a finite number"),
        ("1e308 kK", "K", "not a finite number"),
        ("5..3 K", "K", "runs backwards"),
        ("5 K..3 mm", "K", "differ in kind"),
        ("", "K", "not a quantity"),
        ("K", "K", "not a quantity"),
        ("3", "K", "is a plain number, but a temperature is needed"),
        ("3 K" + "K" * 200, "K", "too long"),
        ("3 __import__('os')", "K", "not a unit"),
        ("3 m**999999999", "m", "not a unit"),
    ],
)
def test_mistakes_are_named(text: str, unit: str, says: str) -> None:
    """Each mistake is said in words, with a remedy."""
    with pytest.raises(NotAQuantity) as caught:
        read(text, unit)

    assert says in caught.value.message
    assert caught.value.remedy


def test_typing_error_in_a_unit_gets_a_suggestion() -> None:
    """A unit one letter off is recognised."""
    with pytest.raises(NotAQuantity) as caught:
        read("5 meVV", "J")

    assert "did you mean 'meV'" in caught.value.remedy


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Nothing but a quantity or a named problem comes out, and every number is finite."""
    try:
        reading, _ = read_any(text)
    except NotAQuantity:
        return
    assert all(math.isfinite(each) for each in (reading.low, reading.nominal, reading.high))


@given(st.floats(1e-25, 1e25), st.sampled_from(["K", "J", "W", "T", "F", "Pa", "m", "s"]))
def test_shown_numbers_read_back(value: float, unit: str) -> None:
    """What is printed reads back as the number, to the digits printed."""
    text = show(value, unit, 3)

    assert read(text, unit) == pytest.approx(value, rel=0.006)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (0.34, "K", "0.34 K"), (0.11, "K", "110 mK"), (4.25, "K", "4.2 K"), (3.669e-23, "J", "230 µeV"),
        (64800.0, "s", "18 h"), (1200.0, "s", "20 min"), (518400.0, "s", "6 days"), (128e-6, "W", "128 µW"),
        (0.024, "m3", "24 L"), (0.195, "%", "19.5 %"), (math.nan, "K", "unknown"), (math.inf, "s", "unlimited"),
    ],
)  # fmt: skip
def test_display_has_no_more_digits_than_deserved(value: float, unit: str, text: str) -> None:
    """Two significant digits, three after a leading one, in the unit the trade uses."""
    assert show(value, unit) == text


def test_significant_keeps_small_and_large_numbers_readable() -> None:
    """Plain notation in everyday sizes, powers of ten outside."""
    assert [significant(x) for x in (0.78, 1.04, 1540.0, 3.2e-9, 0.0)] == ["0.78", "1.04", "1540", "3.2e-9", "0"]


def test_dimension_of_a_compound_is_the_sum_of_its_parts() -> None:
    """Dimensions multiply and divide."""
    watt, metre = dimension_of("W"), dimension_of("m")

    assert dimension_of("W/m2") == tuple(w - 2 * m for w, m in zip(watt, metre, strict=True))
