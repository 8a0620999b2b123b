"""Gate: vibration. What motion and cables do to the signal, in its band, against the signal itself.

Where the proposal says by which path motion reaches the signal, the disturbance is worked out in the
signal's own unit. Where it does not, the level of the platform stands against the usual sensitivity.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.estimates.motion import HARMONICS, Motion, motion_of
from triage.physics.vibration import (
    gap_modulation,
    microphonic_current,
    motion_field,
    tilting_loop_voltage,
)
from triage.units import read

# Band of triboelectric noise in the cables of a machine-cooled platform (Kalra 2016).
CABLE_BAND = (5e3, 10e3)
VARYING_GAP = 1e-3  # m over which a wire's capacitance changes as it moves; common practice
HEAD_QUALITY = 10.0  # of the lowest resonance of a scanning head; common practice
TILT_ARM = 0.3  # m from the pivot of a stick or plate to the sample; common practice
DRIFT_SHARE = 0.1  # of the given temperature that a trace may drift; common practice


@dataclass(frozen=True)
class Path:
    """A way by which motion reaches a signal: what it needs, the smallest signal, and the disturbance of each line.

    `of` takes the numbers of `needs`, in order and with an axis for the lines, then displacement and frequency.
    """

    smallest: str
    unit: str
    formula: str
    needs: tuple[str, ...]
    of: Callable[..., Any]
    usual: tuple[float | None, ...] = ()
    references: tuple[str, ...] = ()


PATHS: dict[str, Path] = {
    "current": Path(
        "signal.smallest", "A", "V 2π f C x / gap of every line in the band, with the noise of the cables",
        ("signal.bias", "signal.capacitance", "signal.gap"),
        lambda v, c, gap, x, f: microphonic_current(v, f, c * x / gap), (None, None, VARYING_GAP), ("Kalra2016",),
    ),
    "charge": Path(
        "signal.smallest_charge", "C", "V C x / gap of every line in the band",
        ("signal.bias", "signal.capacitance", "signal.gap"), lambda v, c, gap, x, f: v * c * x / gap + 0.0 * f,
        (None, None, VARYING_GAP),
    ),
    "tip gap": Path(
        "signal.smallest_motion", "m", "x r²/√((1 − r²)² + (r/Q)²), r = f / resonance of the head",
        ("signal.head_resonance", "signal.head_quality"), lambda f0, q, x, f: gap_modulation(x, f, f0, q),
        (None, HEAD_QUALITY), ("DenHartog1956",),
    ),
    "field gradient": Path(
        "signal.smallest_field", "T", "gradient × x", ("signal.gradient",),
        lambda g, x, f: motion_field(g, x) + 0.0 * f, (None,),
    ),
    "loop voltage": Path(
        "signal.smallest_voltage", "V", "B × area × x / arm × 2π f",
        ("field.magnitude", "signal.loop_area", "signal.tilt_arm"),
        lambda b, area, arm, x, f: tilting_loop_voltage(b, area, x / arm, f), (None, None, TILT_ARM),
    ),
    "loop flux": Path(
        "signal.smallest_flux", "V*s", "B × area × x / arm", ("field.magnitude", "signal.loop_area", "signal.tilt_arm"),
        lambda b, area, arm, x, f: b * area * x / arm + 0.0 * f, (None, None, TILT_ARM),
    ),
}  # fmt: skip


def estimate(case: Case) -> None:
    """Write the vibration gate; needs the temperatures for the drift in a quiet window."""
    low, high = band(case)
    case.fact("disturbance_in_band", _overlap(case, low, high))
    usual = case.kind.usual.get("smallest")
    smallest = case.number("signal.smallest", None if usual is None else read(str(usual), "A"), "common practice")
    if smallest is not None:
        case.fact("signal_in_picoamperes", smallest / 1e-12)
    case.fact("superconducting_qubit", "yes" if case.kind.key == "superconducting-qubit" else "no")
    _spectrum(case)
    if not _by_path(case, smallest, low, high):
        _by_level(case)


def _by_level(case: Case) -> None:
    """The level of the platform against the usual sensitivity of the measurement."""
    stated = case.proposal.signal.vibration_sensitivity
    sensitivity = int(case.kind.usual.get("vibration", 2)) if stated is None else stated
    case.put(
        "vibration_sensitivity", float(sensitivity), "count", "0 does not care to 5 most sensitive",
        basis="stated" if stated is not None else "common practice",
    )  # fmt: skip
    tolerated = float(6 - max(sensitivity, 1))
    level = float(case.platform.vibration.level)
    case.put("vibration_tolerated", tolerated, "count", "6 − sensitivity", "vibration_sensitivity")
    case.put("vibration_level", level, "count", "as stated for the platform, 0 silent to 5 strong")
    margin = ratio(tolerated, level)
    case.fact("vibration_margin", margin)
    case.gate("vibration", level, tolerated, "count", margin, "level on the scale 0 to 5")


def _by_path(case: Case, current: Any, low: Any, high: Any) -> bool:
    """The disturbance in the signal's own unit; False where the proposal does not say enough for it."""
    name = case.proposal.signal.sensitive_to
    if name is None:
        return False
    path = PATHS[name]
    numbers = _numbers(case, path)
    smallest = current if name == "current" else case.number(path.smallest)
    if numbers is None or smallest is None:
        return False
    wanted = case.put("smallest_signal", smallest, path.unit, "as stated, or usual for the kind", path.smallest)
    motion = motion_of(case)
    case.put("motion", np.max(motion.displacement, axis=-1), "m", f"strongest line; {motion.says}", *motion.uses,
             basis=motion.basis)  # fmt: skip
    moved, disturbance = _disturbance(case, path, numbers, motion, low, high, cables=name == "current")
    fits = _quiet_window(case)
    if fits is not None:
        quiet = motion_of(case, quiet=True)
        _, silent = _disturbance(case, path, numbers, quiet, low, high, cables=False)
        disturbance = np.where(fits, np.minimum(silent, disturbance), disturbance)[()]
        case.put("disturbance_when_quiet", silent, path.unit, f"{path.formula}; {quiet.says}", basis=quiet.basis)
        case.fact("quiet_window_fits", "yes" if np.all(fits) else "no")
    case.put("motion_in_band", moved, "m", "root of the summed squares of the lines in the band", "motion",
             "signal_band_low", "signal_band_high")  # fmt: skip
    case.put("disturbance", disturbance, path.unit, path.formula, "motion", *numbers, "signal_band_low",
             "signal_band_high", references=path.references)  # fmt: skip
    margin = ratio(wanted, disturbance)
    case.fact("disturbance_margin", margin)
    case.fact("disturbed_by", name)
    case.gate("vibration", disturbance, wanted, path.unit, margin, f"{name} in the band of the signal")
    return True


def _numbers(case: Case, path: Path) -> dict[str, Any] | None:
    """What the path needs, by name; the usual value where one stands in; None where something is missing."""
    found: dict[str, Any] = {}
    for name, usual in zip(path.needs, path.usual, strict=True):
        stated = case.number(name)
        if stated is None and usual is not None:
            name = name.rpartition(".")[2]
            unit = "m" if name in ("gap", "tilt_arm") else "count"
            stated = case.put(name, usual, unit, "usual", basis="common practice")
        if stated is None:
            return None
        found[name] = stated
    return found


def _disturbance(
    case: Case, path: Path, numbers: dict[str, Any], motion: Motion, low: Any, high: Any, *, cables: bool
) -> tuple[Any, Any]:
    """The motion and the disturbance that lie in the band, rms."""
    x, f = motion.displacement, motion.frequency
    inside = (f >= np.asarray(low)[..., None]) & (f <= np.asarray(high)[..., None])
    each = path.of(*(np.asarray(value)[..., None] for value in numbers.values()), x, f)
    squares = np.sum(np.where(inside, each, 0.0) ** 2, axis=-1)
    if cables:
        squares = squares + _cable_current(case, low, high) ** 2
    moved = np.sqrt(np.sum(np.where(inside, x, 0.0) ** 2, axis=-1))
    return moved[()], np.sqrt(squares)[()]


def _cable_current(case: Case, low: Any, high: Any) -> Any:
    """Current noise of the moving cables that falls into the band [A]."""
    bottom, top = _cable_band(case)
    shared = np.maximum(np.minimum(high, top) - np.maximum(low, bottom), 0.0)
    density = case.number("platform.vibration.cable_density")
    total = case.number("platform.vibration.cable_current")
    if density is None and total is None:
        return np.zeros_like(shared)
    width = np.maximum(np.asarray(top) - bottom, 1e-9)
    noise = np.asarray(density) * np.sqrt(shared) if total is None else np.asarray(total) * np.sqrt(shared / width)
    used = "cable_density" if total is None else "cable_current"
    return case.put(
        "cable_noise", noise[()], "A", "noise of the cables in the shared part of the band",
        f"platform.vibration.{used}", "signal_band_low", "signal_band_high", references=("Kalra2016",),
    )  # fmt: skip


def _cable_band(case: Case) -> tuple[Any, Any]:
    low, high = (case.number(f"platform.vibration.cable_{end}") for end in ("low", "high"))
    return CABLE_BAND[0] if low is None else low, CABLE_BAND[1] if high is None else high


def _quiet_window(case: Case) -> Any:
    """Whether one trace fits into the pause of the machine without drifting too far; None where there is no pause."""
    window = case.number("platform.vibration.quiet_window")
    trace = case.number("time.trace")
    if window is None or trace is None:
        return None
    case.put("quiet_window", window, "s", "as stated for the platform", "platform.vibration.quiet_window")
    case.put("trace", trace, "s", "as stated", "time.trace")
    fits = np.asarray(trace) <= np.asarray(window)
    drift = case.number("platform.vibration.quiet_drift")
    if drift is not None:
        drifted = case.put("drift_in_trace", drift * trace, "K", "drift × trace", "platform.vibration.quiet_drift",
                           "trace")  # fmt: skip
        fits = fits & (drifted <= DRIFT_SHARE * np.asarray(case.got("given_temperature")))
    return fits


def _spectrum(case: Case) -> None:
    """Whether the platform's vibration was measured, and with the loom as it is now."""
    stated = case.platform.vibration
    if not stated.spectrum:
        case.fact("spectrum", "none")
        return
    changed = case.platform.electrons.loom_changed
    stale = changed is not None and (stated.date is None or changed > stated.date)
    case.fact("spectrum", "stale" if stale else "measured")


def _overlap(case: Case, low: Any, high: Any) -> str:
    """Whether the machine's rhythm or its cable noise falls into the band of the signal."""
    comb = case.number("platform.vibration.comb")
    if comb is None:
        return "no"
    bottom, top = _cable_band(case)
    in_comb = (np.asarray(low) <= HARMONICS * np.asarray(comb)) & (np.asarray(high) >= comb)
    in_cables = (np.asarray(low) <= top) & (np.asarray(high) >= bottom)
    return "yes" if np.any(in_comb | in_cables) else "no"


def band(case: Case) -> tuple[Any, Any]:
    """The band in which the signal lives [Hz]: as stated, or usual for how it is read."""
    usual = case.kind.usual
    read_as = case.proposal.signal.read_as or str(usual.get("read_as", "current"))
    default = {
        "rf reflectometry": (100e6, 300e6),
        "microwave": (4e9, 8e9),
        "optical": (1.0, 1e3),
        "counts": (1e6, 1e9),
    }.get(read_as, (float(usual.get("band_low", 0.0)), float(usual.get("band_high", 100.0))))
    low = case.numeral("signal.band_low", default[0], "common practice")
    high = case.numeral("signal.band_high", default[1], "common practice")
    case.put("signal_band_low", low, "Hz", "as stated, or usual for the way of reading", "signal.band_low")
    case.put("signal_band_high", high, "Hz", "as stated, or usual for the way of reading", "signal.band_high")
    return low, high
