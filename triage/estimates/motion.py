"""How the sample moves: lines of a measured spectrum, else the curve of a class, else that of a level.

Everything is rms displacement at a frequency. Lines lie along the last axis, so that inputs may be arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from triage.estimates.case import Case
from triage.models.surroundings import SpectralLine
from triage.physics.vibration import RELAXED_BELOW_8_HZ, comb, criterion_velocity, sine_displacement

# Level 0 to 5 as a class at the sample; 5 is a bare cold head, 10 um peak to peak at 1.4 Hz (common practice).
CLASS_OF_LEVEL = ("VC-G", "VC-F", "VC-E", "VC-D", "VC-B", "VC-A")
QUIET_CLASS = "VC-F"  # with the machine switched off; that of level 1 (common practice)
HARMONICS = 20  # of the machine's rhythm that are commonly seen in a spectrum
THIRD_OCTAVES = 10.0 ** (np.arange(0, 20) / 10.0)  # Hz, 1 to 80 Hz, exact centres to base ten (ISO 266)


@dataclass(frozen=True)
class Motion:
    """Frequencies [Hz] and rms displacements [m] along the last axis, the words for them, and what they rest on."""

    frequency: NDArray[np.float64]
    displacement: Any
    says: str
    basis: str
    uses: tuple[str, ...] = ()


def motion_of(case: Case, *, quiet: bool = False) -> Motion:
    """The motion of the sample's stage, or (`quiet`) that with the machine switched off."""
    stated = case.platform.vibration
    if quiet:
        name = stated.quiet_criterion or QUIET_CLASS
        basis = "stated" if stated.quiet_criterion else "common practice"
        return Motion(THIRD_OCTAVES, class_displacement(name), f"{name}, machine off", basis)
    if stated.spectrum:
        frequency, displacement = _measured(stated.spectrum)
        dated = f" of {stated.date}" if stated.date else ""
        return Motion(frequency, displacement, f"spectrum of {frequency.size} lines{dated}", "measured")
    name = stated.criterion or CLASS_OF_LEVEL[stated.level]
    curve = class_displacement(name)
    basis = "stated" if stated.criterion else "common practice"
    first = case.number("platform.vibration.comb_displacement")
    rhythm = case.number("platform.vibration.comb")
    if first is None or rhythm is None:
        return Motion(THIRD_OCTAVES, curve, name, basis)
    lines = np.asarray(rhythm)[..., None] * comb(1.0, HARMONICS)
    # Higher lines at the velocity of the first, the shape of a sharp kick (common practice).
    strength = np.asarray(first)[..., None] / comb(1.0, HARMONICS)
    frequency, displacement = _joined(THIRD_OCTAVES, curve, lines, strength)
    return Motion(frequency, displacement, f"{name} and the machine's rhythm", basis,
                  ("platform.vibration.comb", "platform.vibration.comb_displacement"))  # fmt: skip


@lru_cache(maxsize=32)
def class_displacement(name: str) -> NDArray[np.float64]:
    """The displacement that a class allows in each third octave; below its curve the curve's lowest velocity holds."""
    lowest = 4.0 if name in RELAXED_BELOW_8_HZ else 1.0
    allowed = criterion_velocity(name, np.clip(THIRD_OCTAVES, lowest, 80.0))
    return np.asarray(sine_displacement(allowed, THIRD_OCTAVES), dtype=np.float64)


@lru_cache(maxsize=64)
def _measured(spectrum: tuple[SpectralLine, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    frequency = np.array([line.frequency.nominal for line in spectrum])
    motion = [
        line.displacement.nominal
        if line.displacement is not None
        else float(sine_displacement(line.velocity.nominal, line.frequency.nominal))  # type: ignore[union-attr]
        for line in spectrum
    ]
    return frequency, np.array(motion)


def _joined(first: Any, strength: Any, second: Any, other: Any) -> tuple[Any, Any]:
    """Two sets of lines behind one another along the last axis."""
    shape = np.broadcast_shapes(np.shape(second)[:-1], np.shape(other)[:-1])

    def wide(values: Any) -> Any:
        return np.broadcast_to(values, (*shape, np.shape(values)[-1]))

    return np.concatenate([wide(first), wide(second)], -1), np.concatenate([wide(strength), wide(other)], -1)
