"""What the trade knows of materials: the class they bring along, and the heat their marks survive.

Common practice; a facility's own list of classes comes before this one.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import inf

from triage.models.cleanroom import CLASSES, Cleanliness

_CLASS_OF: dict[Cleanliness, tuple[str, ...]] = {
    "A": ("silicon", "polysilicon", "silicon oxide", "silicon nitride", "phosphorus", "boron", "arsenic", "tungsten",
          "silicon germanium"),
    "B": ("aluminium", "aluminium oxide", "hafnium oxide", "titanium nitride", "tantalum", "titanium", "molybdenum"),
}  # fmt: skip
_IN_PRODUCTION = (*_CLASS_OF["A"], "aluminium", "titanium nitride", "hafnium oxide", "titanium", "tantalum")
_INSULATING = ("sapphire", "quartz", "fused silica", "glass", "diamond", "lithium niobate", "magnesium oxide")
# Highest temperature after which alignment marks are still sharp.
_MARKS_TO = {
    "gold": 600.0, "aluminium": 620.0, "platinum": 900.0, "palladium": 750.0, "niobium": 750.0, "copper": 500.0,
}  # fmt: skip


def parts(material: str) -> list[str]:
    """The materials of a stack such as ``titanium/gold``, in small letters."""
    return [part.strip() for part in re.split(r"[/+,]| on ", material.lower()) if part.strip()]


def cleanliness(material: str, own: Mapping[str, Cleanliness]) -> Cleanliness:
    """The class of a stack: that of its dirtiest part; a material nobody lists is C."""
    stated = {name.lower(): letter for name, letter in own.items()}
    usual = {name: letter for letter, names in _CLASS_OF.items() for name in names}
    return dirtiest(*(stated.get(part, usual.get(part, "C")) for part in parts(material)))


def dirtiest(*classes: Cleanliness) -> Cleanliness:
    """The dirtiest of some classes; a sample keeps it."""
    return max(classes, key=CLASSES.index, default="A")


def steps_back(sample: Cleanliness, tool: Cleanliness) -> int:
    """By how many classes a tool is cleaner than the sample that wants to enter."""
    return max(0, CLASSES.index(sample) - CLASSES.index(tool))


def in_production(material: str) -> bool:
    """Whether a production line would handle every part of a stack."""
    return all(part in _IN_PRODUCTION for part in parts(material))


def insulating(material: str) -> bool:
    """Whether an electron beam charges the substrate."""
    return any(part in _INSULATING for part in parts(material))


def marks_survive_to(material: str) -> float:
    """Temperature up to which marks of a stack stay sharp [K]; unlimited for etched and refractory marks."""
    return min((_MARKS_TO.get(part, inf) for part in parts(material)), default=inf)
