"""Every kind of measurement the program knows, by key."""

from __future__ import annotations

from triage.errors import TriageError
from triage.measurements import (
    coulomb,
    heat_and_light,
    screening,
    spectroscopy,
    spins,
    superconducting,
    transport,
)
from triage.measurements.kind import Kind

_FAMILIES = (coulomb, spins, superconducting, transport, spectroscopy, heat_and_light, screening)
CATALOGUE: dict[str, Kind] = {
    kind.key: kind
    for kind in sorted((kind for family in _FAMILIES for kind in family.KINDS), key=lambda kind: kind.code)
}


class UnknownKind(TriageError, LookupError):  # noqa: N818  names the fault
    """A kind of measurement that is not in the catalogue; carries the nearest keys."""

    def __init__(self, key: str, near: tuple[str, ...]) -> None:
        self.key = key
        self.near = near
        hint = f"did you mean {' or '.join(repr(each) for each in near)}?" if near else "see the list of kinds"
        super().__init__(f"'{key}' is not a kind of measurement — {hint}")


def get(key: str) -> Kind:
    """The kind of that key.

    Raises `UnknownKind` with the nearest keys where there is none.
    """
    try:
        return CATALOGUE[key]
    except KeyError:
        raise UnknownKind(key, suggest(key)) from None


def suggest(key: str, most: int = 3) -> tuple[str, ...]:
    """The keys nearest to a word: by spelling, then by code, then by a word of the title."""
    from difflib import get_close_matches  # only needed once somebody mistypes

    word = str(key).strip().lower().replace("_", "-").replace(" ", "-")[:80]
    close = get_close_matches(word, CATALOGUE, n=most, cutoff=0.6)
    parts = [part for part in word.split("-") if len(part) > 3]
    for kind in CATALOGUE.values():
        text = f"{kind.key} {kind.title.lower()}"
        if kind.key not in close and (word == kind.code.lower() or any(part in text for part in parts)):
            close.append(kind.key)
    return tuple(close[:most])
