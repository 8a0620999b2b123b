"""Gate: lines. Direct-current lines, coaxial lines, bandwidth and fibres wanted against the loom."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio


def estimate(case: Case) -> None:
    """Write the lines gate, and how many devices the lines serve in one load."""
    have = case.numeral("platform.wiring.dc_lines", 0.0)
    shared, each = _lines_of_a_device(case)
    need = shared + each
    case.put("dc_lines_needed", need, "count", "shared lines + lines of one device", "lines_shared", "lines_each")
    _one(case, "dc_margin", need, have, "DC lines")
    coax_need = case.number("lines.coax", _usual(case, "coax"), "common practice")
    coax_have = case.numeral("platform.wiring.coax_lines", 0.0)
    if (extra := case.number("lines.extra_coax")) is not None:
        coax_have = coax_have + extra
    if np.any(coax_need):
        case.put("coax_lines_needed", coax_need, "count", "as asked for, or usual for the kind", "lines.coax")
        _one(case, "coax_margin", coax_need, coax_have, "coaxial lines")
        case.fact("coax_wanted", "yes")
        case.fact("coax_lines_asked", coax_need)
    else:
        case.fact("coax_wanted", "no")
    if (bandwidth := case.number("lines.bandwidth")) is not None:
        _one(case, "bandwidth_margin", bandwidth, case.number("platform.wiring.coax_bandwidth"), "Hz")
    fibres = case.number("lines.fibres", _usual(case, "fibres"), "common practice")
    if np.any(fibres):
        _one(case, "fibre_margin", fibres, case.numeral("platform.wiring.fibres", 0.0), "fibres")
    if (voltage := case.number("lines.voltage")) is not None:
        case.fact("line_voltage", voltage)
    if (current := case.number("lines.current")) is not None:
        case.fact("line_current", current)
    case.fact("filtering", case.platform.wiring.filtering)
    _devices_per_load(case, shared, each, have)


def _usual(case: Case, name: str, default: float = 0.0) -> float:
    return float(case.kind.usual.get(name, default))


def _lines_of_a_device(case: Case) -> tuple[Any, Any]:
    shared = case.numeral("devices.lines_shared", 0.0, "default")
    total = case.number("lines.dc")
    each = case.number("devices.lines_each")
    if each is None:
        each = _usual(case, "dc", 4) if total is None else total
        basis = "common practice" if total is None else case.bases["lines.dc"]
        case.put("lines_each", each, "count", "lines asked for, or usual for the kind", basis=basis)
    else:
        case.put("lines_each", each, "count", "as stated", "devices.lines_each")
    case.put("lines_shared", shared, "count", "as stated", "devices.lines_shared")
    return shared, each


def _one(case: Case, fact: str, need: object, have: object, unit: str) -> None:
    margin = ratio(have, need)
    case.fact(fact, margin)
    case.gate("lines", need, have, unit, np.nan if margin is None else margin, unit)


def _devices_per_load(case: Case, shared: Any, each: Any, have: Any) -> None:
    limits = [np.floor((np.asarray(have) - shared) / np.maximum(each, 1e-9))]
    uses = ["lines_each", "lines_shared", "platform.wiring.dc_lines"]
    for path in ("devices.per_load", "platform.space.devices"):
        if (limit := case.number(path)) is not None:
            limits.append(np.asarray(limit))
            uses.append(path)
    most = limits[0]
    for limit in limits[1:]:
        most = np.minimum(most, limit)
    per_load = np.maximum(most, 1.0)
    case.put(
        "devices_per_load", per_load if per_load.ndim else float(per_load), "count",
        "smallest of lines, boards and places", *uses,
    )  # fmt: skip
