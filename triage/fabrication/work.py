"""The visits of a layer to the tools of a room, and what they take."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from triage.fabrication.exposure import Print
from triage.fabrication.materials import cleanliness, dirtiest, steps_back
from triage.models.cleanroom import (
    CLASSES,
    Access,
    AnyTool,
    Bonder,
    Cleanliness,
    Cleanroom,
    Exposing,
    Inspection,
    MaskAligner,
    Node,
    ProcessTool,
    Spinner,
    Stepper,
)
from triage.models.fabrication import Layer

_FACTOR = {"academic": 1.0, "outside": 2.5, "subsidised": 0.4}  # on every rate; common practice
_PROCESS = {
    "evaporated": "evaporator", "angle evaporated": "evaporator", "sputtered": "sputter", "grown": "furnace",
    "etched": "etcher", "implanted": "implanter", "atomic-layer deposited": "atomic-layer reactor",
    "transferred": "transfer station",
}  # fmt: skip
# Every room has these three, described or not.
EVERYWHERE: tuple[Spinner | Inspection | Bonder, ...] = (
    Spinner(id="spinner", name="spinner and wet bench", kind="spinner"),
    Inspection(id="inspection", name="inspection", kind="inspection"),
    Bonder(id="bonder", name="dicing and bonding", kind="bonder"),
)


@dataclass(frozen=True)
class Work:
    """One visit to one tool, and how its time grows with chips, pieces and runs."""

    what: str
    tool: AnyTool
    node: Node
    per_chip: float
    per_piece: float
    per_run: float
    pieces_per_run: float
    mask: bool = False

    def time(self, chips: float, chips_per_piece: float) -> float:
        """Time at the tool [s]."""
        pieces = math.ceil(chips / chips_per_piece - 1e-9)
        runs = math.ceil(pieces / self.pieces_per_run - 1e-9)
        return chips * self.per_chip + pieces * self.per_piece + runs * self.per_run

    def price(self, chips: float, chips_per_piece: float) -> float:
        """Price of the tool and of the room for that time [EUR]."""
        rate = self.tool.rate.nominal + self.node.access.room_rate.nominal
        return self.time(chips, chips_per_piece) * rate * factor(self.node.access)

    @property
    def mask_price(self) -> float:
        """Price of one mask, where the tool needs one [EUR]."""
        masked = self.mask and isinstance(self.tool, MaskAligner | Stepper)
        return self.tool.mask_price.nominal if masked else 0.0  # type: ignore[union-attr]

    @property
    def mask_lead(self) -> float:
        """Time until a mask arrives [s]."""
        masked = self.mask and isinstance(self.tool, MaskAligner | Stepper)
        return self.tool.mask_lead.nominal if masked else 0.0  # type: ignore[union-attr]


def factor(access: Access) -> float:
    """What multiplies the rates on these terms."""
    return access.factor.nominal if access.factor is not None else _FACTOR[access.terms]


def find_tool(
    kind: str, room: Cleanroom, sample: Cleanliness = "A", *, tilt: bool = False, hot: float = 0.0
) -> tuple[AnyTool, Node] | None:
    """The cleanest tool of a kind that takes the sample, in this room before any other; else the least choosy."""
    for node in (room, *room.nodes):
        fitting = [
            tool for tool in node.tools
            if tool.kind == kind and (not tilt or getattr(tool, "tilt", True)) and _hot_enough(tool, hot)
        ]  # fmt: skip
        if fitting:
            return min(fitting, key=lambda tool: (*_choosiness(tool, sample), tool.rate.nominal, tool.id)), node
    usual = next((tool for tool in EVERYWHERE if tool.kind == kind), None)
    return None if usual is None else (usual, room)


def _choosiness(tool: AnyTool, sample: Cleanliness) -> tuple[int, int]:
    return steps_back(sample, tool.accepts), CLASSES.index(tool.accepts)


def _hot_enough(tool: AnyTool, temperature: float) -> bool:
    highest = getattr(tool, "highest", None)
    return highest is None or highest.nominal >= temperature


def process_kinds(layer: Layer) -> list[tuple[str, str]]:
    """What must be done to a layer besides exposing it: (what, kind of tool)."""
    kinds: list[tuple[str, str]] = [(layer.deposition, _PROCESS[layer.deposition])]
    deposited = layer.deposition in ("evaporated", "angle evaporated", "sputtered", "atomic-layer deposited", "grown")
    if layer.smallest_feature is not None and layer.made_by == "etch" and deposited:
        kinds.append(("etch", "etcher"))
    return kinds


def process_works(layer: Layer, room: Cleanroom, sample: Cleanliness) -> tuple[list[Work], list[str]]:
    """The visits that make the layer, without its exposure, and the kinds of tool nobody has."""
    works, missing = [], []
    sample = dirtiest(sample, cleanliness(layer.material, room.materials))
    hot = layer.temperature.nominal if layer.temperature and layer.deposition == "grown" else 0.0
    for what, kind in process_kinds(layer):
        found = find_tool(kind, room, sample, tilt=layer.deposition == "angle evaporated", hot=hot)
        if found is None:
            missing.append(kind)
        else:
            works.append(_process(what, *found))
            sample = dirtiest(sample, found[0].accepts)
    return works, missing


def _process(what: str, tool: AnyTool, node: Node) -> Work:
    assert isinstance(tool, ProcessTool)
    return Work(what, tool, node, 0.0, 0.0, tool.run_time.nominal, tool.pieces_per_run.nominal)


def usual_work(what: str, kind: str, room: Cleanroom) -> Work:
    """A visit to a tool that every room has."""
    found = find_tool(kind, room)
    assert found is not None
    return _process(what, *found)


def print_work(printed: Print, node: Node) -> Work:
    """The visit that exposes."""
    mask = isinstance(printed.tool, MaskAligner | Stepper)
    return Work("expose", printed.tool, node, printed.per_chip, printed.per_piece, printed.per_run,
                printed.pieces_per_run, mask)  # fmt: skip


def exposing_tools(room: Cleanroom) -> list[tuple[Exposing, Node]]:
    """Every tool that exposes, here and at other nodes."""
    return [(tool, node) for node in (room, *room.nodes) for tool in node.tools if isinstance(tool, Exposing)]


def total_time(works: Iterable[Work], chips: float, chips_per_piece: float) -> float:
    """Time at all tools [s]."""
    return sum(work.time(chips, chips_per_piece) for work in works)


def total_price(works: Sequence[Work], chips: float, chips_per_piece: float, trials: float, revisions: float) -> float:
    """Price of the final run, of the trials that each make one piece, and of a mask set for each [EUR]."""
    final = sum(work.price(chips, chips_per_piece) for work in works)
    trial = sum(work.price(chips_per_piece, chips_per_piece) for work in works)
    return final + trials * trial + sum(work.mask_price for work in works) * (1.0 + revisions)
