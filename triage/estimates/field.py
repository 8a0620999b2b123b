"""Gate: field. Magnitude and number of axes wanted against the magnet."""

from __future__ import annotations

from triage.estimates.case import Case, ratio


def estimate(case: Case) -> None:
    """Write the field gate."""
    have = case.number("platform.field.magnitude")
    need = case.number("field.magnitude")
    case.put("magnet_field", have, "T", "as stated for the platform", "platform.field.magnitude")
    if need is None:
        case.gate("field", 0.0, have, "T", 1e6, "no field is asked for")
        case.fact("field_wanted", "no")
        return
    wanted = case.proposal.field
    case.put("field_needed", need, "T", "as asked for", "field.magnitude")
    margin = ratio(have, need)
    case.fact("field_wanted", "yes")
    case.fact("field_margin", margin)
    case.fact("field_in_tesla", need)
    case.gate("field", need, have, "T", margin)
    if wanted is not None and wanted.axes > 1:
        axes = ratio(float(case.platform.field.axes), float(wanted.axes))
        case.fact("field_axes_margin", axes)
        case.gate("field", float(wanted.axes), float(case.platform.field.axes), "axes", axes, "axes of the magnet")
