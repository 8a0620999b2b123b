"""Gate: field. Magnitude, axes, evenness and rest of the field wanted against the magnet, its ramps and its reach."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.models.proposal import FieldWanted

RAMP_RATE = 0.15 / 60  # T/s, 0.1 to 0.2 T/min at low temperature; common practice
RAMPS = 2.0  # up and down; common practice
STRAY_LINE = 0.5e-3  # T, the line inside which pacemakers must not come


def estimate(case: Case) -> None:
    """Write the field gate."""
    have = case.number("platform.field.magnitude")
    need = case.number("field.magnitude")
    case.put("magnet_field", have, "T", "as stated for the platform", "platform.field.magnitude")
    wanted = case.proposal.field
    if need is None or wanted is None:
        case.gate("field", 0.0, have, "T", 1e6, "no field is asked for")
        case.fact("field_wanted", "no")
        return
    case.put("field_needed", need, "T", "as asked for", "field.magnitude")
    margin = ratio(have, need)
    case.fact("field_wanted", "yes")
    case.fact("field_margin", margin)
    case.fact("field_in_tesla", need)
    case.gate("field", need, have, "T", margin)
    _axes(case, wanted)
    _evenness(case)
    _rest(case)
    if wanted.persistent:
        case.fact("persistent", "yes" if case.platform.field.persistent else "no")
    _ramps(case, need)
    _stray(case, need, have)


def _axes(case: Case, wanted: FieldWanted) -> None:
    """Number of axes, and the field across the main one, which is the weaker of a vector magnet."""
    if wanted.axes > 1:
        axes = ratio(float(case.platform.field.axes), float(wanted.axes))
        case.fact("field_axes_margin", axes)
        case.gate("field", float(wanted.axes), float(case.platform.field.axes), "axes", axes, "axes of the magnet")
    across = case.number("field.across")
    have = case.number("platform.field.across")
    if across is not None and have is not None:
        margin = ratio(have, across)
        case.fact("field_across_margin", margin)
        case.gate("field", across, have, "T", margin, "field across the main axis")


def _evenness(case: Case) -> None:
    """Homogeneity over the volume wanted; what is promised over a smaller volume promises nothing over a larger one."""
    wanted, over = case.number("field.homogeneity"), case.number("field.over")
    have, have_over = case.number("platform.field.homogeneity"), case.number("platform.field.homogeneous_over")
    margins = [ratio(given, need) for need, given in ((have, wanted), (over, have_over))
               if need is not None and given is not None]  # fmt: skip
    if wanted is not None and have is None:
        case.fact("homogeneity_known", "no")
    if margins:
        worst = margins[0] if len(margins) == 1 else np.minimum(margins[0], margins[1])
        case.fact("homogeneity_margin", worst)
        case.gate("field", wanted, have, "", worst, "homogeneity over the volume wanted")


def _rest(case: Case) -> None:
    """The field that stays when the magnet is at zero."""
    tolerated, left = case.number("field.residual"), case.number("platform.field.residual")
    if tolerated is not None and left is not None:
        case.put("residual_field", left, "T", "as stated for the platform", "platform.field.residual")
        margin = ratio(tolerated, left)
        case.fact("residual_margin", margin)
        case.gate("field", left, tolerated, "T", margin, "field left at zero")


def _ramps(case: Case, need: Any) -> None:
    """The time the ramps take."""
    rate = _stated_or_usual(case, "ramp_rate", "platform.field.ramp_rate", RAMP_RATE, "T/s")
    ramps = _stated_or_usual(case, "ramps", "field.ramps", RAMPS, "count")
    time = case.put("field_ramp_time", ramps * need / rate, "s", "ramps × field / ramp rate", "ramps", "field_needed",
                    "ramp_rate")  # fmt: skip
    case.fact("ramp_hours", time / 3600.0)


def _stated_or_usual(case: Case, name: str, path: str, usual: float, unit: str) -> Any:
    stated = case.number(path)
    if stated is None:
        return case.put(name, usual, unit, "usual", basis="common practice")
    return case.put(name, stated, unit, "as stated", path)


def _stray(case: Case, need: Any, have: Any) -> None:
    """The 0.5 mT line at the field wanted, and the field at the neighbour that tolerates least, as of a dipole."""
    line = case.number("platform.field.stray_line")
    if line is None:
        return
    share = np.minimum(np.asarray(need) / np.maximum(have, 1e-12), 1.0)
    case.put("stray_line", (line * share ** (1 / 3))[()], "m",
             "0.5 mT line at full field × (field / full field)^(1/3)", "platform.field.stray_line", "field_needed",
             "magnet_field")  # fmt: skip
    margins = []
    for each in case.platform.field.neighbours:
        stray = STRAY_LINE * share * (line / each.distance.nominal) ** 3
        margins.append((ratio(each.tolerates.nominal, stray[()]), stray[()], each.name))
    if margins:
        margin, stray, name = min(margins, key=lambda found: float(np.min(found[0])))
        case.put("stray_at_neighbour", stray, "T", f"0.5 mT × (line / distance)³ × field / full field, at {name}",
                 "platform.field.stray_line", "field_needed", "magnet_field")  # fmt: skip
        case.put("neighbour", name, "", "as stated for the platform", basis="stated")
        case.fact("stray_margin", margin)
