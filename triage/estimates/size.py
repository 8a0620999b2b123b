"""Gate: size. The board's outline, connectors and bend radii included, against bore and sample space."""

from __future__ import annotations

from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.physics.geometry import board_bore

DEFAULT_HEIGHT = 8e-3  # m over connectors of a low board; common practice


def estimate(case: Case) -> None:
    """Write the size gate."""
    board, space = case.proposal.board, case.platform.space
    if board is None:
        case.gate("size", None, None, "m", 1e6, "no board is described")
        return
    length, width = case.numeral("board.length", 0.0), case.numeral("board.width", 0.0)
    height = case.numeral("board.height", DEFAULT_HEIGHT, "common practice")
    described = False
    if space.bore is not None:
        described = True
        clearance = case.numeral("platform.space.clearance", 1e-3)
        need = board_bore(length, width, height, board.mounting, clearance)
        case.put(
            "bore_needed", need, "m", f"diagonal of the section, board {board.mounting} the axis, + 2 × clearance",
            "board.length", "board.width", "board.height", "platform.space.clearance",
        )  # fmt: skip
        _limit(case, need, case.number("platform.space.bore"), "bore")
        if space.height is not None:
            depth = length if board.mounting == "along" else height
            _limit(case, depth, case.number("platform.space.height"), "depth of the bore")
    sides = [case.number("platform.space.board_length"), case.number("platform.space.board_width")]
    if sides[0] is not None:
        described = True
        space_long, space_short = sides[0], sides[1] if sides[1] is not None else sides[0]
        _limit(case, np.maximum(length, width), np.maximum(space_long, space_short), "long side of the board")
        _limit(case, np.minimum(length, width), np.minimum(space_long, space_short), "short side of the board")
    if not described:
        case.gate("size", np.maximum(length, width), None, "m", np.nan, "the sample space is not described")


def _limit(case: Case, need: Any, have: Any, what: str) -> None:
    margin = ratio(have, need)
    standing = case.facts.get("size_margin")
    case.fact("size_margin", margin if standing is None else np.minimum(standing, margin))
    case.gate("size", need, have, "m", margin, what)
