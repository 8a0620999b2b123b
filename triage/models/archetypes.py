"""Common-practice values per kind of platform, used where a facility states none of its own.

They are trade figures with wide ranges, not measurements; every one that is used is shown as such.
"""

from __future__ import annotations

from typing import Any

BASIS = "common practice"

_TIMES = ("mount", "cooldown", "thermalise", "warm_up", "slot", "queue", "working_day")


def _kind(
    mechanism: str,
    cooling: dict[str, str],
    *,
    warmest: str,
    saturation: str,
    filtering: str,
    lines: tuple[int, int],
    times: tuple[str, ...],
    day_price: str,
    helium: tuple[str, str],
    staff: str,
    vibration: tuple[int, str | None],
    experience: str,
    stored: tuple[str, str],
    recycle: str | None = None,
    exponent: str = "2",
) -> dict[str, Any]:
    clock: dict[str, str] = dict(zip(_TIMES, times, strict=True))
    if recycle:
        clock["recycle"] = recycle
    level, comb = vibration
    return {
        "cooling": {"mechanism": mechanism, **cooling},
        "warmest": warmest,
        "electrons": {"saturation": saturation, "exponent": exponent},
        "wiring": {
            "dc_lines": str(lines[0]),
            "coax_lines": str(lines[1]),
            "fibres": "0",
            "filtering": filtering,
        },
        "space": {"clearance": "1 mm"},
        "field": {"magnitude": "0 T", "axes": 0},
        "vibration": {"level": level} | ({"comb": comb} if comb else {}),
        "clock": clock,
        "running": {
            "day_price": day_price,
            "helium_per_day": helium[0],
            "helium_per_cooldown": helium[1],
            "staff_per_cooldown": staff,
        },
        "people": {"experience": experience, "unattended": level == 0 or experience != "new"},
        "stored": {"helium": stored[0], "nitrogen": stored[1]},
    }


_NO_HELIUM = ("0 L/day", "0 L")
KINDS: dict[str, dict[str, Any]] = {
    "ambient probe": _kind(
        "ambient", {"temperature": "295 K"}, warmest="300 K", saturation="1 mK", filtering="none", lines=(8, 0),
        times=("5 min", "0 min", "0 min", "0 min", "0 h", "0 h", "8 h"), day_price="5..30 EUR/day",
        helium=_NO_HELIUM, staff="0.1 h", vibration=(1, None), experience="new", stored=("0 L", "0 L"),
    ),
    "nitrogen dip": _kind(
        "nitrogen bath", {"largest_load": "1 W"}, warmest="300 K", saturation="1 mK", filtering="none", lines=(12, 0),
        times=("15 min", "15 min", "10 min", "15 min", "0 h", "0 h", "8 h"), day_price="5..25 EUR/day",
        helium=_NO_HELIUM, staff="0.2 h", vibration=(1, None), experience="new", stored=("0 L", "10 L"),
    ),
    "helium bath stick": _kind(
        "helium bath", {"largest_load": "500 mW"}, warmest="100 K", saturation="150 mK", filtering="pi", lines=(24, 0),
        times=("20 min", "20 min", "5 min", "20 min", "0 h", "0 h", "8 h"), day_price="40..90 EUR/day",
        helium=("0 L/day", "1..3 L"), staff="0.5 h", vibration=(1, None), experience="new", stored=("100 L", "0 L"),
    ),
    "pumped helium insert": _kind(
        "pumped helium", {"pump_speed": "40 m3/h", "static_load": "10 mW"}, warmest="300 K", saturation="150 mK",
        filtering="pi", lines=(24, 2), times=("30 min", "20 min", "10 min", "30 min", "0 h", "3 day", "24 h"),
        day_price="150..300 EUR/day", helium=("8..16 L/day", "1 L"), staff="1 h", vibration=(2, None),
        experience="trained", stored=("100 L", "50 L"),
    ),
    "helium-3 insert": _kind(
        "helium-3 charge",
        {"charge": "4 L", "pot_temperature": "1.5 K", "condensed": "90 %", "static_load": "20 uW",
         "base_temperature": "0.3 K", "largest_load": "200 uW"},
        warmest="50 K", saturation="150 mK", filtering="rc", lines=(24, 1), recycle="20 min",
        times=("1 h", "2.5 h", "30 min", "1.5 h", "0 h", "1 week", "24 h"), day_price="200..400 EUR/day",
        helium=("2..5 L/day", "5 L"), staff="3 h", vibration=(1, None), experience="trained", stored=("100 L", "50 L"),
    ),
    "wet dilution unit": _kind(
        "dilution", {"base_temperature": "20 mK", "cooling_power": "300 uW", "power_at": "100 mK"}, warmest="0.9 K",
        saturation="100 mK", filtering="pi", lines=(24, 4),
        times=("8 h", "24 h", "6 h", "24 h", "4 day", "4 week", "24 h"), day_price="600..1400 EUR/day",
        helium=("10..20 L/day", "50 L"), staff="16 h", vibration=(2, None), experience="expert",
        stored=("100 L", "50 L"),
    ),
    "dry dilution unit": _kind(
        "dilution", {"base_temperature": "10 mK", "cooling_power": "400 uW", "power_at": "100 mK"}, warmest="1 K",
        saturation="100 mK", filtering="pi", lines=(48, 12),
        times=("8 h", "40 h", "6 h", "36 h", "6 day", "6 week", "24 h"), day_price="450..900 EUR/day",
        helium=_NO_HELIUM, staff="10 h", vibration=(4, "1.4 Hz"), experience="expert", stored=("0 L", "0 L"),
    ),
    "closed-cycle cooler": _kind(
        "cooler", {"base_temperature": "3 K", "cooling_power": "500 mW", "power_at": "4.2 K"}, warmest="300 K",
        saturation="150 mK", filtering="pi", lines=(24, 2),
        times=("1 h", "6 h", "30 min", "8 h", "1 day", "3 day", "24 h"), day_price="100..200 EUR/day",
        helium=_NO_HELIUM, staff="1.5 h", vibration=(5, "1.2 Hz"), experience="new", stored=("0 L", "0 L"),
    ),
}  # fmt: skip


def fill_in(stated: dict[str, Any], kind: str) -> dict[str, Any]:
    """The stated entries of a platform, completed by the archetype of its kind, each marked as such."""
    return _merge(stated, KINDS[kind], with_mechanism=True)


def _merge(stated: dict[str, Any], default: dict[str, Any], *, with_mechanism: bool = False) -> dict[str, Any]:
    merged: dict[str, Any] = dict(stated)
    for key, value in default.items():
        given = merged.get(key)
        if isinstance(value, dict):
            if given is None or isinstance(given, dict):
                merged[key] = _merge(given or {}, value)
        elif given is None:
            quantity_text = isinstance(value, str) and value[:1].isdigit()
            merged[key] = {"value": value, "basis": BASIS} if quantity_text else value
    if with_mechanism and isinstance(merged.get("cooling"), dict):
        merged["cooling"]["mechanism"] = default["cooling"]["mechanism"]
    return merged
