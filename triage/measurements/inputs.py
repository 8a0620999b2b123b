"""What a person wrote about the device, read the way the kind of measurement understands it."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from pydantic_core import PydanticCustomError

from triage.errors import NotAQuantity, Problem
from triage.measurements.kind import Input, Kind
from triage.models.quantity import Bounds, Value, fail, read_value
from triage.physics.constants import bohr_magneton, boltzmann, elementary_charge, planck
from triage.source import Source
from triage.units import Reading, dimension_of, read_any

# Factors to joules; a field takes the g-factor as well.
_TO_ENERGY = {
    dimension_of("J"): 1.0,
    dimension_of("K"): boltzmann,
    dimension_of("Hz"): planck,
    dimension_of("T"): bohr_magneton,
}
_FIELD = dimension_of("T")
_CAPACITANCE = dimension_of("F")


def read_inputs(kind: Kind, raw: Mapping[str, object], source: Source) -> tuple[dict[str, Value], list[Problem]]:
    """The device inputs of a proposal as SI values; defaults and problems included."""
    problems: list[Problem] = []
    values: dict[str, Value] = {}
    known = [each.name for each in kind.inputs]
    for name in raw:
        if name not in known:
            close = get_close_matches(str(name), known, n=1)
            hint = f"did you mean '{close[0]}'?" if close else "this kind asks for: " + ", ".join(known)
            problems.append(source.problem(("device", name), f"not an input of '{kind.key}'", hint))
    g_factor = 2.0
    for each in sorted(kind.inputs, key=lambda item: item.name != "g_factor"):
        entry = raw.get(each.name)
        try:
            if entry is None:
                if each.default is not None:
                    values[each.name] = _read(each, {"value": each.default, "basis": each.basis}, g_factor)
                elif not each.optional:
                    problems.append(source.problem(("device", each.name), "is missing", each.question))
                continue
            values[each.name] = _read(each, entry, g_factor)
        except PydanticCustomError as error:
            context = error.context or {}
            problems.append(source.problem(("device", each.name), str(context["message"]), str(context["remedy"])))
        if each.name == "g_factor" and each.name in values and values[each.name].known:
            g_factor = abs(values[each.name].nominal)
    return values, problems


def _read(asked: Input, raw: object, g_factor: float) -> Value:
    """One input; energies may be written in any of their equivalents."""
    if asked.reads == "quantity":
        return read_value(raw, Bounds(asked.unit, least=asked.least, most=asked.most))
    entry = dict(raw) if isinstance(raw, Mapping) else {"value": raw}
    text = str(entry.get("value"))
    if text.strip().lower() == "unknown":
        return read_value("unknown", Bounds("J"))
    try:
        reading, dimension = read_any(text)
    except NotAQuantity as error:
        raise fail(error.message, error.remedy) from None
    if reading.low <= 0:
        raise fail(f"'{text}' is not above zero", "an energy scale is positive")
    if dimension in _TO_ENERGY:
        factor = _TO_ENERGY[dimension] * (g_factor if dimension == _FIELD else 1.0)
        low, nominal, high = (factor * each for each in (reading.low, reading.nominal, reading.high))
    elif dimension == _CAPACITANCE and asked.reads == "charging energy":
        low, nominal, high = _from_capacitance(reading)
    else:
        accepted = "eV, K, Hz, T or J" + (" or a capacitance" if asked.reads == "charging energy" else "")
        raise fail(f"'{text}' is not an energy", f"write it in {accepted}")
    if low < asked.least or high > asked.most:
        raise fail(f"'{text}' is not a believable {asked.name.replace('_', ' ')}", "check the number and its unit")
    value = read_value({**entry, "value": "1 J"}, Bounds("J"))
    basis = "guess" if reading.guess else value.basis
    return Value(nominal, low, high, text, basis, value.source)


def _from_capacitance(reading: Reading) -> tuple[float, float, float]:
    """The charging energy; the smaller the capacitance, the larger the energy."""
    constant = elementary_charge**2 / 2
    return constant / reading.high, constant / reading.nominal, constant / reading.low
