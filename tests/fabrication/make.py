"""Rooms and jobs for the tests of the fabrication route."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from triage.fabrication.route import Job
from triage.fabrication.templates import expand
from triage.models.cleanroom import Cleanroom
from triage.models.fabrication import Fabrication, Layer
from triage.models.quantity import Value
from triage.services.workspace import load_rules

SCENARIO = Path(__file__).parents[2] / "scenarios" / "larkspur"
TOOLS: tuple[dict[str, Any], ...] = (
    {"id": "writer", "name": "writer", "kind": "electron-beam writer"},
    {"id": "aligner", "name": "aligner", "kind": "mask aligner"},
    {"id": "laser", "name": "laser", "kind": "laser writer"},
    {"id": "evaporator", "name": "evaporator", "kind": "evaporator", "tilt": True},
    {"id": "sputter", "name": "sputter", "kind": "sputter"},
    {"id": "etcher", "name": "etcher", "kind": "etcher"},
    {"id": "clean-etcher", "name": "clean etcher", "kind": "etcher", "accepts": "A"},
    {"id": "furnace", "name": "furnace", "kind": "furnace"},
    {"id": "implanter", "name": "implanter", "kind": "implanter"},
    {"id": "transfer", "name": "transfer station", "kind": "transfer station"},
)


def room(*tools: dict[str, Any], **entries: Any) -> Cleanroom:
    """A room with these tools, or with one of each."""
    return Cleanroom.model_validate({"tools": list(tools or TOOLS), **entries})


def wanted(**entries: Any) -> Fabrication:
    """What is to be made."""
    return Fabrication.model_validate(entries)


def layer(**entries: Any) -> Layer:
    """One evaporated layer, 30 nm of aluminium."""
    usual = {"name": "gates", "thickness": "30 nm", "exposed_area": "0.01 mm2", "extent": "100 um"}
    return Layer.model_validate(usual | entries)


def number(value: float) -> Value:
    """A stated count."""
    return Value(value, value, value, f"{value:g}")


def job(fabrication: Fabrication, good: float = 3, place: Cleanroom | None = None) -> Job:
    """A job in a room with one tool of each kind."""
    return Job(place or room(), fabrication, expand(fabrication), number(good), load_rules()[0])
