"""Board over bore to scale, as plain data in metres for a screen to draw; nothing is decided here."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case
from triage.estimates.size import Outline, outline
from triage.physics.geometry import board_bore, board_depth

Drawing = dict[str, Any]


def board_over_bore(case: Case) -> Drawing:
    """Section and side view of the board in the sample space.

    Each view holds outlines about the axis, centred at (0, 0): ``circle`` (diameter) or ``rectangle``
    (width, height), [m]. `fits` repeats the size margin. Views that nothing was stated for are left out.
    """
    out, board, space = outline(case), case.proposal.board, case.platform.space
    if out is None or board is None:
        return {"unit": "m", "views": [], "fits": None}
    views: list[Drawing] = []
    opening = case.number("platform.space.bore" if space.bore is not None else "platform.space.puck")
    if opening is not None:
        clearance = case.numeral("platform.space.clearance", 1e-3)
        views.append(_section(out, board.mounting, float(opening), float(clearance)))
        depth = case.number("platform.space.height")
        if depth is not None:
            below = case.number("platform.space.below_centre")
            views.append(_side(out, board.mounting, float(opening), float(depth), below))
    if (long := case.number("platform.space.board_length")) is not None:
        short = case.number("platform.space.board_width")
        views.append(_plate(out, float(long), float(long if short is None else short)))
    margin = case.facts.get("size_margin")
    return {"unit": "m", "views": views, "fits": None if margin is None else bool(np.all(np.asarray(margin) >= 1))}


def _section(out: Outline, mounting: Any, bore: float, clearance: float) -> Drawing:
    first, second = (out.length, out.width) if mounting == "across" else (out.width, out.height)
    return {
        "view": "section",
        "space": circle(bore),
        "usable": circle(max(bore - 2 * clearance, 0.0)),
        "board": rectangle(float(first), float(second)),
        "needed": circle(float(board_bore(out.length, out.width, out.height, mounting, clearance))),
    }


def _side(out: Outline, mounting: Any, bore: float, depth: float, below: Any) -> Drawing:
    across = float(out.length if mounting == "across" else out.width)
    view: Drawing = {
        "view": "side",
        "space": rectangle(bore, depth),
        "board": rectangle(across, float(board_depth(out.length, out.width, out.height, mounting))),
    }
    if below is not None:
        view["field_centre"] = float(below) - depth / 2  # above the middle of the space
    return view


def _plate(out: Outline, long: float, short: float) -> Drawing:
    sides = sorted((float(out.length), float(out.width)), reverse=True)
    return {"view": "plate", "space": rectangle(max(long, short), min(long, short)), "board": rectangle(*sides)}


def circle(diameter: float) -> Drawing:
    """A circle about the axis."""
    return {"shape": "circle", "diameter": diameter}


def rectangle(width: float, height: float) -> Drawing:
    """A rectangle about the axis."""
    return {"shape": "rectangle", "width": width, "height": height}
