"""Gate: size. The board's outline, connectors and bend radii included, against bore, sample space and field centre."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from triage.display import show
from triage.estimates.case import Case, ratio
from triage.physics.geometry import board_bore, board_depth

DEFAULT_HEIGHT = 8e-3  # m over connectors of a low board; common practice
GAP = 2e-3  # m between boards of a stack; common practice


@dataclass(frozen=True)
class Outline:
    """Length, width and height of what goes in [m], and the inputs they rest on."""

    length: Any
    width: Any
    height: Any
    uses: tuple[str, ...]


def outline(case: Case) -> Outline | None:
    """The board with what sticks out of it; connectors at the end lengthen it, those on top make it higher."""
    board = case.proposal.board
    if board is None:
        return None
    length, width = case.numeral("board.length", 0.0), case.numeral("board.width", 0.0)
    height = case.numeral("board.height", DEFAULT_HEIGHT, "common practice")
    uses = ["board.length", "board.width", "board.height"]
    more: Any = 0.0
    for name in ("overhang", "bend_radius"):
        if (reach := case.number(f"board.connectors.{name}")) is not None:
            more = more + reach
            uses.append(f"board.connectors.{name}")
    if board.connectors is not None and board.connectors.side == "top":
        return Outline(length, width, height + more, tuple(uses))
    return Outline(length + more, width, height, tuple(uses))


def estimate(case: Case) -> None:
    """Write the size gate, and how many boards lie in one load."""
    board, space = case.proposal.board, case.platform.space
    _carrier(case)
    out = outline(case)
    if board is None or out is None:
        case.gate("size", None, None, "m", 1e6, "no board is described")
        return
    described = False
    if space.bore is not None or space.puck is not None:
        described = True
        _bore(case, out, "puck" if space.bore is None else "bore")
    sides = [case.number("platform.space.board_length"), case.number("platform.space.board_width")]
    if sides[0] is not None:
        described = True
        space_long, space_short = sides[0], sides[1] if sides[1] is not None else sides[0]
        long, short = np.maximum(out.length, out.width), np.minimum(out.length, out.width)
        _limit(case, long, np.maximum(space_long, space_short), "long side of the board")
        _limit(case, short, np.minimum(space_long, space_short), "short side of the board")
    if not described:
        case.gate("size", np.maximum(out.length, out.width), None, "m", np.nan, "the sample space is not described")
    _tightest(case)
    _rotator(case, out)
    _chip(case)
    _boards_per_load(case, out)


def _bore(case: Case, out: Outline, kind: str) -> None:
    """The section in a round opening, the depth, and the length below the field centre."""
    board = case.proposal.board
    assert board is not None
    clearance = case.numeral("platform.space.clearance", 1e-3)
    need = board_bore(out.length, out.width, out.height, board.mounting, clearance)
    case.put("bore_needed", need, "m", f"diagonal of the section, board {board.mounting} the axis, + 2 × clearance",
             *out.uses, "platform.space.clearance")  # fmt: skip
    _limit(case, need, case.number(f"platform.space.{kind}"), kind)
    if kind == "bore" and case.platform.space.puck is not None:
        _limit(case, need, case.number("platform.space.puck"), "puck")
    depth = board_depth(out.length, out.width, out.height, board.mounting)
    if case.platform.space.height is not None:
        _limit(case, depth, case.number("platform.space.height"), "depth of the bore")
    below = case.number("platform.space.below_centre")
    if below is not None and case.proposal.field is not None:
        stated = case.number("board.chip_from_end")
        end = 0.5 * depth if stated is None else stated
        margin = ratio(below, end)
        case.put("chip_from_end", end, "m", "as stated, or half the depth of the board",
                 *(out.uses if stated is None else ("board.chip_from_end",)))  # fmt: skip
        case.fact("centre_margin", margin)
        case.gate("size", end, below, "m", margin, "room below the field centre")


def _limit(case: Case, need: Any, have: Any, what: str) -> None:
    margin = ratio(have, need)
    standing = case.facts.get("size_margin")
    case.fact("size_margin", margin if standing is None else np.minimum(standing, margin))
    case.gate("size", need, have, "m", margin, what)


def _tightest(case: Case) -> None:
    """The tightest dimension in words."""
    gate = case.gates["size"]
    if gate.need is not None and gate.have is not None and np.ndim(gate.margin) == 0:
        words = f"{gate.limit}, {show(float(gate.need), 'm')} needed and {show(float(gate.have), 'm')} there"
        case.put("tightest_dimension", words, "", "smallest ratio of room to need", "board.length", "board.width")


def _rotator(case: Case, out: Outline) -> None:
    """The circle that the board sweeps when it is turned about an axis along its width."""
    wanted = case.proposal.field
    if wanted is None or not wanted.rotation:
        return
    swept = case.put("swept_diameter", np.hypot(out.length, out.height)[()], "m", "√(length² + height²)", *out.uses)
    clear = case.number("platform.space.rotator")
    case.fact("rotator_margin", 0.0 if clear is None else ratio(clear, swept))


def _chip(case: Case) -> None:
    """Size of the chip and weight of the board, which delay the cooling."""
    if (chip := case.number("board.chip")) is not None:
        case.fact("chip_in_millimetres", chip / 1e-3)
    if (mass := case.number("board.mass")) is not None:
        case.fact("board_in_grams", mass / 1e-3)


def _carrier(case: Case) -> None:
    """Whether the carrier of the board goes onto the platform as it is."""
    board, known = case.proposal.board, case.platform.space.carriers
    if board is None or board.carrier is None:
        return
    carrier = board.carrier
    case.fact("magnetic_carrier", "yes" if carrier.magnetic else "no")
    if not known:
        case.fact("carrier_shared", "not known")
        return
    same = next((each for each in known if each.name == carrier.name), None)
    if same is None:
        case.fact("carrier_shared", "no")
    elif _differs(same.connectors, carrier.connectors):
        case.fact("carrier_shared", "other connectors")
    else:
        case.fact("carrier_shared", "other pin-out" if _differs(same.pinout, carrier.pinout) else "yes")


def _differs(one: str | None, other: str | None) -> bool:
    return one is not None and other is not None and one != other


def _boards_per_load(case: Case, out: Outline) -> None:
    """Boards that lie in one load: stacked along the axis, and beside each other in a bore when mounted along it."""
    board, space = case.proposal.board, case.platform.space
    bore, height = case.number("platform.space.bore"), case.number("platform.space.height")
    if board is None or space.bore is None or height is None:
        return
    depth = board_depth(out.length, out.width, out.height, board.mounting)
    layers = np.floor((np.asarray(height) + GAP) / (np.asarray(depth) + GAP) + 1e-9)
    if board.mounting == "along":
        inner = np.asarray(bore) - 2 * case.numeral("platform.space.clearance", 1e-3)
        chord = np.sqrt(np.maximum(inner**2 - np.asarray(out.width) ** 2, 0.0))
        layers = layers * np.floor((chord + GAP) / (np.asarray(out.height) + GAP) + 1e-9)
    fit = case.put(
        "boards_per_load", layers if np.ndim(layers) else float(layers), "count", "boards that fit, 2 mm apart",
        *out.uses, "platform.space.bore", "platform.space.height",
    )  # fmt: skip
    if (wanted := case.number("board.per_load")) is not None:
        case.fact("boards_margin", ratio(fit, wanted))
