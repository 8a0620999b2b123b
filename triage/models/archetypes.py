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
    hold: str | None = None,
    exponent: str = "2",
    electricity: str | None = None,
) -> dict[str, Any]:
    clock: dict[str, str] = dict(zip(_TIMES, times, strict=True))
    if recycle:
        clock["recycle"] = recycle
    if hold:
        clock["hold"] = hold
    level, comb = vibration
    powered = {"electricity": electricity} if electricity else {}
    return {
        "cooling": {"mechanism": mechanism, **cooling},
        "warmest": warmest,
        "electrons": {"exponent": exponent},
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
            **powered,
        },
        # All but a flow of liquid stay safe overnight.
        "people": {"experience": experience, "unattended": mechanism != "flow"},
        "stored": {"helium": stored[0], "nitrogen": stored[1]},
    }


# Where a loom keeps the electrons on a cold stage, by its filters: usual value and the range that is met.
# Without filters 50 to 400 mK has been seen, behind pi filters 100 to 250 mK, behind powder filters 20 to 50 mK.
SATURATION: dict[str, str] = {
    "none": "200 mK",
    "pi": "150 mK",
    "rc": "60 mK",
    "metal powder": "25 mK",
}
SATURATION_SPAN: dict[str, tuple[float, float]] = {
    "none": (0.1, 0.4),
    "pi": (0.1, 0.25),
    "rc": (0.04, 0.1),
    "metal powder": (0.02, 0.05),
}  # K

_NO_HELIUM = ("0 L/day", "0 L")
KINDS: dict[str, dict[str, Any]] = {
    "ambient probe": _kind(
        "ambient", {"temperature": "295 K"}, warmest="300 K", filtering="none", lines=(8, 0),
        times=("5 min", "0 min", "0 min", "0 min", "0 h", "0 h", "8 h"), day_price="5..30 EUR/day",
        helium=_NO_HELIUM, staff="0.1 h", vibration=(1, None), experience="new", stored=("0 L", "0 L"),
    ),
    "nitrogen dip": _kind(
        "nitrogen bath", {"largest_load": "1 W"}, warmest="300 K", filtering="none", lines=(12, 0),
        times=("15 min", "15 min", "10 min", "15 min", "0 h", "0 h", "8 h"), day_price="5..25 EUR/day",
        helium=_NO_HELIUM, staff="0.2 h", vibration=(1, None), experience="new", stored=("0 L", "10 L"),
    ),
    "helium bath stick": _kind(
        "helium bath", {"largest_load": "500 mW"}, warmest="100 K", filtering="pi", lines=(24, 0),
        times=("20 min", "20 min", "5 min", "20 min", "0 h", "0 h", "8 h"), day_price="40..90 EUR/day",
        helium=("0 L/day", "1..3 L"), staff="0.5 h", vibration=(1, None), experience="new", stored=("100 L", "0 L"),
    ),
    "pumped helium insert": _kind(
        "pumped helium", {"pump_speed": "40 m3/h", "static_load": "10 mW", "largest_load": "1 W"}, warmest="300 K",
        filtering="pi", lines=(24, 2), times=("30 min", "20 min", "10 min", "30 min", "0 h", "3 days", "8 h"),
        day_price="150..300 EUR/day", helium=("8..16 L/day", "1 L"), staff="1 h", vibration=(2, None),
        experience="trained", stored=("100 L", "50 L"), electricity="0.5..1.5 kW",
    ),
    "helium-3 insert": _kind(
        "helium-3 charge",
        {"charge": "4 L", "pot_temperature": "1.5 K", "condensed": "90 %", "static_load": "20 uW",
         "base_temperature": "0.3 K", "largest_load": "200 uW"},
        warmest="50 K", filtering="rc", lines=(24, 1), recycle="20 min",
        times=("1 h", "2.5 h", "30 min", "1.5 h", "0 h", "1 week", "8 h"), day_price="200..400 EUR/day",
        helium=("2..5 L/day", "5 L"), staff="3 h", vibration=(1, None), experience="trained", stored=("100 L", "50 L"),
        electricity="0.5..1.5 kW",
    ),
    "wet dilution unit": _kind(
        "dilution", {"base_temperature": "20 mK", "cooling_power": "300 uW", "power_at": "100 mK"}, warmest="0.9 K",
        filtering="pi", lines=(24, 4),
        times=("8 h", "24 h", "6 h", "24 h", "4 days", "4 weeks", "8 h"), day_price="600..1400 EUR/day",
        helium=("10..20 L/day", "50 L"), staff="16 h", vibration=(2, None), experience="expert",
        stored=("100 L", "50 L"), electricity="2..5 kW",
    ),
    "dry dilution unit": _kind(
        "dilution", {"base_temperature": "10 mK", "cooling_power": "400 uW", "power_at": "100 mK"}, warmest="1 K",
        filtering="pi", lines=(48, 12),
        times=("8 h", "40 h", "6 h", "36 h", "6 days", "6 weeks", "8 h"), day_price="450..900 EUR/day",
        helium=_NO_HELIUM, staff="10 h", vibration=(4, "1.4 Hz"), experience="expert", stored=("0 L", "0 L"),
        electricity="6..12 kW",
    ),
    "closed-cycle cooler": _kind(
        "cooler", {"base_temperature": "3 K", "cooling_power": "500 mW", "power_at": "4.2 K"}, warmest="300 K",
        filtering="pi", lines=(24, 2),
        times=("1 h", "6 h", "30 min", "8 h", "1 day", "3 days", "8 h"), day_price="100..200 EUR/day",
        helium=_NO_HELIUM, staff="1.5 h", vibration=(5, "1.2 Hz"), experience="new", stored=("0 L", "0 L"),
        electricity="2..10 kW",
    ),
    "dry helium-3 insert": _kind(
        "helium-3 charge",
        {"charge": "4 L", "pot_temperature": "1.5 K", "condensed": "90 %", "static_load": "20 uW",
         "base_temperature": "0.3 K", "largest_load": "200 uW"},
        warmest="50 K", filtering="rc", lines=(24, 2), recycle="2.5 h",
        times=("1 h", "12 h", "30 min", "16 h", "0 h", "1 week", "8 h"), day_price="250..450 EUR/day",
        helium=_NO_HELIUM, staff="4 h", vibration=(4, "1.4 Hz"), experience="trained", stored=("0 L", "0 L"),
        electricity="6..12 kW",
    ),
    "flow cryostat": _kind(
        "flow",
        {"base_temperature": "4.5 K", "cooling_power": "500 mW", "power_at": "5 K", "dewar": "60 L",
         "consumption": "1..3 L/h"},
        warmest="300 K", filtering="none", lines=(12, 1),
        times=("30 min", "45 min", "15 min", "1.5 h", "0 h", "1 day", "8 h"), day_price="200 EUR/day",
        helium=("24..72 L/day", "2 L"), staff="1 h", vibration=(3, None), experience="new", stored=("60 L", "0 L"),
    ),
    "demagnetisation cryostat": _kind(
        "demagnetisation",
        {"regulated_temperature": "100 mK", "start_temperature": "3 K", "start_field": "4 T", "salt": "0.2 mol",
         "spin": "2.5", "internal_field": "50 mT", "static_load": "1 uW", "largest_load": "5 uW"},
        warmest="4 K", filtering="rc", lines=(24, 4), recycle="2 h",
        times=("2 h", "16 h", "2 h", "16 h", "1 day", "2 weeks", "8 h"), day_price="300..500 EUR/day",
        helium=_NO_HELIUM, staff="6 h", vibration=(4, "1.4 Hz"), experience="expert", stored=("0 L", "0 L"),
        electricity="6..12 kW",
    ),
    "small sorption dilution": _kind(
        "dilution", {"base_temperature": "50 mK", "cooling_power": "2 uW", "power_at": "87 mK"}, warmest="0.5 K",
        filtering="rc", lines=(24, 2), recycle="30 min", hold="6 h",
        times=("2 h", "12 h", "2 h", "16 h", "1 day", "2 weeks", "8 h"), day_price="250..500 EUR/day",
        helium=("1..2 L/day", "5 L"), staff="6 h", vibration=(1, None), experience="expert", stored=("50 L", "0 L"),
        electricity="0.5..1.5 kW",
    ),
    "cold prober": _kind(
        "cooler", {"base_temperature": "1.6 K", "cooling_power": "300 mW", "power_at": "2 K"}, warmest="10 K",
        filtering="pi", lines=(48, 4),
        times=("30 min", "2 h", "30 min", "2 h", "0 h", "2 weeks", "8 h"), day_price="600..1200 EUR/day",
        helium=_NO_HELIUM, staff="2 h", vibration=(4, "1.4 Hz"), experience="expert", stored=("0 L", "0 L"),
        electricity="10..20 kW",
    ),
}  # fmt: skip


def fill_in(stated: dict[str, Any], kind: str) -> dict[str, Any]:
    """The stated entries of a platform, completed by the archetype of its kind, each marked as such."""
    filled = _merge(stated, KINDS[kind], with_mechanism=True)
    wiring, electrons = filled.get("wiring"), filled.get("electrons")
    if isinstance(wiring, dict) and isinstance(electrons, dict) and electrons.get("saturation") is None:
        usual = SATURATION.get(str(wiring.get("filtering")), SATURATION["none"])
        filled["electrons"] = electrons | {"saturation": {"value": usual, "basis": BASIS}}
    return filled


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
