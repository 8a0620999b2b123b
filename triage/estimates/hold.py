"""Gate: hold. How long the platform stays cold under this load against how long the data take."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio

USABLE = 0.85  # of a hold; the rest is kept in reserve (common practice)


def estimate(case: Case) -> None:
    """Write the hold gate; needs the hold time worked out by the heat gate."""
    data = _data_time(case)
    hold = case.got("hold_time")
    usable = None if hold is None else case.put("usable_hold", USABLE * hold, "s", "0.85 × hold", "hold_time")
    if usable is None:
        margin: Any = 1e6
        segments: Any = 1.0
        case.gate("hold", data, None, "s", margin, "holds until something breaks")
    else:
        margin = ratio(usable, data)
        segments = np.maximum(np.ceil(np.asarray(data) / np.asarray(usable)), 1.0)
        case.gate("hold", data, usable, "s", margin)
        case.fact("hold_margin", margin)
    segments = segments if np.ndim(segments) else float(segments)
    case.put("segments", segments, "count", "data time / usable hold, rounded up", "data_time",
             *(("usable_hold",) if usable is not None else ()))  # fmt: skip
    recycle = case.numeral("platform.clock.recycle", 0.0)
    case.put("interruption_time", (segments - 1.0) * recycle, "s", "(segments − 1) × recycle", "segments",
             "platform.clock.recycle")  # fmt: skip
    case.fact("segments", segments)
    case.fact("unbroken", "yes" if case.proposal.time.unbroken else "no")


def _data_time(case: Case) -> Any:
    """Tuning once per load plus the time per device times the devices of a load."""
    usual = case.kind.usual
    devices = case.number("devices.needed")
    if devices is None:
        devices = float(usual.get("devices", 1))
        case.put("devices_needed", devices, "count", "usual for the kind", basis="common practice")
    else:
        case.put("devices_needed", devices, "count", "as stated", "devices.needed")
    each = _time(case, "per_device", str(usual.get("per_device", "2 h")))
    tuning = _time(case, "tuning", str(usual.get("tuning", "0 h")))
    in_load = np.minimum(np.asarray(devices), np.asarray(case.got("devices_per_load")))
    in_load = in_load if in_load.ndim else float(in_load)
    case.put("devices_in_a_load", in_load, "count", "devices needed, at most a full load",
             "devices_needed", "devices_per_load")  # fmt: skip
    return case.put("data_time", tuning + each * in_load, "s", "tuning + time per device × devices in a load",
                    "tuning", "per_device", "devices_in_a_load")  # fmt: skip


def _time(case: Case, name: str, usual: str) -> Any:
    from triage.units import read

    stated = case.number(f"time.{name}")
    if stated is None:
        return case.put(name, read(usual, "s"), "s", "usual for the kind", basis="common practice")
    return case.put(name, stated, "s", "as stated", f"time.{name}")
