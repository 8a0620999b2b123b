"""SI numbers as people in the trade read them: right prefix, no more digits than they deserve."""

from __future__ import annotations

import math

from triage.units import unit_factor

_STEPS: dict[str, tuple[str, ...]] = {
    "K": ("uK", "mK", "K"),
    "J": ("neV", "ueV", "meV", "eV"),
    "Hz": ("uHz", "mHz", "Hz", "kHz", "MHz", "GHz"),
    "T": ("uT", "mT", "T"),
    "F": ("aF", "fF", "pF", "nF", "uF"),
    "V": ("nV", "uV", "mV", "V", "kV"),
    "A": ("aA", "fA", "pA", "nA", "uA", "mA", "A"),
    "W": ("aW", "fW", "pW", "nW", "uW", "mW", "W", "kW"),
    "ohm": ("ohm", "kohm", "Mohm", "Gohm"),
    "S": ("nS", "uS", "mS", "S"),
    "Pa": ("uPa", "mPa", "Pa", "kPa", "MPa"),
    "m": ("pm", "nm", "um", "mm", "m"),
    "s": ("ns", "us", "ms", "s", "min", "h", "day", "week"),
    "L": ("mL", "L"),
}
_SWITCH = {"min": 1.5, "h": 1.5, "day": 2.0, "week": 2.0, "m": 0.95, "K": 0.2, "L": 0.95}
_FIXED = {
    "m3": ("L", 1e-3), "m3/s": ("L/day", 1e-3 / 86400), "EUR": ("EUR", 1.0), "EUR/s": ("EUR/day", 1 / 86400),
    "%": ("%", 0.01), "fraction": ("%", 0.01), "": ("", 1.0), "count": ("", 1.0),
}  # fmt: skip


def significant(value: float, digits: int = 2) -> str:
    """A number with so many significant digits, plain where it is of everyday size."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else "unknown" if math.isnan(value) else "unlimited"
    exponent = math.floor(math.log10(abs(value)))
    if abs(value) < 2 * 10.0**exponent:
        digits += 1  # a leading 1 carries less, so it keeps one digit more
    rounded = round(value, digits - 1 - exponent)
    if -4 <= exponent < 6:
        text = f"{rounded:.{max(0, digits - 1 - math.floor(math.log10(abs(rounded))))}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    mantissa = rounded / 10.0**exponent
    return f"{mantissa:.{digits - 1}f}e{exponent:d}"


def show(value: float | None, unit: str, digits: int = 2) -> str:
    """An SI number in the trade's unit: ``show(0.34, "K")`` is ``0.34 K``, ``show(0.11, "K")`` is ``110 mK``."""
    if value is None or math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return "unlimited"
    if unit in _FIXED:
        name, scale = _FIXED[unit]
        if unit == "count":
            return f"{value:.0f}"
        return f"{significant(value / scale, digits)} {name}".strip()
    if unit in _STEPS:
        name = _step(abs(value), _STEPS[unit])
        return f"{significant(value / unit_factor(name)[0], digits)} {pretty(name, value / unit_factor(name)[0])}"
    return f"{significant(value / unit_factor(unit)[0], digits)} {pretty(unit)}"


def pretty(unit: str, amount: float = 1.0) -> str:
    """A unit as printed: µ for micro, plural for days and weeks."""
    if unit in ("day", "week") and abs(amount) != 1:
        return unit + "s"
    if unit == "L" or unit.endswith("ohm"):
        return unit.replace("ohm", "Ω")
    return "µ" + unit[1:] if unit[:1] == "u" and len(unit) > 1 else unit


def _step(size: float, steps: tuple[str, ...]) -> str:
    chosen = next((each for each in steps if unit_factor(each)[0] == 1.0), steps[0]) if size == 0 else steps[0]
    if size == 0:
        return chosen
    for name in steps:
        if size >= _SWITCH.get(name, 0.95) * unit_factor(name)[0]:
            chosen = name
    return chosen


def plain_name(path: str) -> str:
    """A dotted path as words: ``platform.clock.warm_up`` is ``warm up of the platform``."""
    root, _, rest = path.partition(".")
    if root in ("heat", "board", "lines", "signal"):
        first, second = (root, rest) if root == "heat" else (rest, root)
        return f"{first} of the {second}".replace("_", " ")
    owner = {"platform": " of the platform", "lab": " of the facility"}.get(root, "")
    words = (path if not owner else rest).split(".")
    return " ".join(words[1:] or words).replace("_", " ") + owner
