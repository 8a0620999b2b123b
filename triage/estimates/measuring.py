"""How long the data of one load take: devices in a load, time per device, and time per point from the noise."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.physics.noise import averaging_time
from triage.units import read

SETTLE = 0.1  # s per point, for lines with the usual filters (common practice)
_FOR_A_POINT = ("signal.smallest", "signal.noise", "signal.ratio")


def data_time(case: Case) -> Any:
    """Tuning once per load plus the time per device times the devices of a load [s]."""
    usual = case.kind.usual
    devices = case.number("devices.needed")
    if devices is None:
        devices = float(usual.get("devices", 1))
        case.put("devices_needed", devices, "count", "usual for the kind", basis="common practice")
    else:
        case.put("devices_needed", devices, "count", "as stated", "devices.needed")
    each = _per_device(case, str(usual.get("per_device", "2 h")))
    tuning = _time(case, "tuning", str(usual.get("tuning", "0 h")))
    in_load = np.minimum(np.asarray(devices), np.asarray(case.got("devices_per_load")))
    in_load = in_load if in_load.ndim else float(in_load)
    case.put("devices_in_a_load", in_load, "count", "devices needed, at most a full load",
             "devices_needed", "devices_per_load")  # fmt: skip
    if (drift := case.number("time.drift")) is not None:
        case.fact("drift_margin", ratio(drift, each))
    return case.put("data_time", tuning + each * in_load, "s", "tuning + time per device × devices in a load",
                    "tuning", "per_device", "devices_in_a_load")  # fmt: skip


def _time(case: Case, name: str, usual: str) -> Any:
    stated = case.number(f"time.{name}")
    if stated is None:
        return case.put(name, read(usual, "s"), "s", "usual for the kind", basis="common practice")
    return case.put(name, stated, "s", "as stated", f"time.{name}")


def _per_device(case: Case, usual: str) -> Any:
    """As stated; else points × time per point where both are known; else what is usual."""
    point = _per_point(case)
    points = known(case, "time.points")
    if point is None or points is None or case.value("time.per_device") is not None:
        return _time(case, "per_device", usual)
    return case.put("per_device", points * point, "s", "points × time per point", "time.points", "time_per_point")


def _per_point(case: Case) -> Any:
    """Settling and averaging of one point, or None where signal, noise or the wanted ratio is not given."""
    smallest, noise, wanted = (known(case, path) for path in _FOR_A_POINT)
    if smallest is None or noise is None or wanted is None or not np.all(np.asarray(smallest) > 0):
        return None
    signal = _signal(case, smallest)
    averaging = averaging_time(signal, noise, wanted)
    averaging = averaging if np.ndim(averaging) else float(averaging)
    case.put("averaging", averaging, "s", "(ratio × noise / signal)² / 2", "signal_current", "signal.noise",
             "signal.ratio")  # fmt: skip
    case.fact("averaging_in_seconds", averaging)
    settle = case.numeral("time.settle", SETTLE, "common practice")
    return case.put("time_per_point", settle + averaging, "s", "settling + averaging", "time.settle", "averaging")


def _signal(case: Case, smallest: Any) -> Any:
    """The signal at the temperature given; where k_B T_e / e limits the excitation it falls with temperature."""
    if not case.proposal.signal.excitation_limited:
        return case.put("signal_current", smallest, "A", "as stated", "signal.smallest")
    stated_at = known(case, "signal.excited_at")
    path = "needed_temperature" if stated_at is None else "signal.excited_at"
    at = case.got("needed_temperature") if stated_at is None else stated_at
    electrons = case.got("electron_temperature")
    case.fact("averaging_over_warmer", np.square(ratio(at, electrons, 1e3)))
    return case.put(
        "signal_current", smallest * electrons / at, "A",
        "smallest signal × electron temperature / temperature at which it holds, excitation = k_B T_e / e",
        "signal.smallest", "electron_temperature", path,
    )  # fmt: skip


def known(case: Case, path: str) -> Any:
    """The number at a path, or None where nobody wrote one or wrote that it is unknown."""
    value = case.number(path)
    if value is None or (isinstance(value, float) and value != value):
        return None
    return value if isinstance(value, float) or not np.any(np.isnan(value)) else None
