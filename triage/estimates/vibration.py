"""Gate: vibration. What the signal tolerates against what the platform stirs up, in the signal's band."""

from __future__ import annotations

from triage.estimates.case import Case, ratio
from triage.units import read

HARMONICS = 20  # of the machine's rhythm that are commonly seen in a spectrum
# Band of triboelectric noise in the cables of a machine-cooled platform (Kalra 2016).
CABLE_BAND = (5e3, 10e3)
QUIET_LEVEL = 2  # up to this level nothing is seen but by the most sensitive; common practice


def estimate(case: Case) -> None:
    """Write the vibration gate."""
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
    case.fact("disturbance_in_band", _overlap(case))
    usual = case.kind.usual.get("smallest")
    smallest = case.number("signal.smallest", None if usual is None else read(str(usual), "A"), "common practice")
    if smallest is not None:
        case.fact("signal_in_picoamperes", smallest / 1e-12)
    case.gate("vibration", level, tolerated, "count", margin, "level on the scale 0 to 5")


def _overlap(case: Case) -> str:
    """Whether the machine's rhythm or its cable noise falls into the band of the signal."""
    low, high = band(case)
    comb = case.number("platform.vibration.comb")
    if comb is None:
        return "no"
    in_comb = low <= HARMONICS * comb and high >= comb
    in_cables = low <= CABLE_BAND[1] and high >= CABLE_BAND[0]
    return "yes" if in_comb or in_cables else "no"


def band(case: Case) -> tuple[float, float]:
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
    return float(low), float(high)
