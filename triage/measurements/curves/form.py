"""The form of an expected curve, and what the families share to compute one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import boltzmann
from triage.physics.kind import Numbers

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Axis:
    """One axis: what it shows, its SI unit, and the places along it (none for the axis that is computed).

    `low` and `high` bound what is drawn; the numbers may go further.
    """

    label: str
    unit: str
    values: Array = field(default_factory=lambda: np.empty(0))
    logarithmic: bool = False
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Mark:
    """A place on an axis worth pointing at, in the unit of that axis."""

    label: str
    at: float
    axis: Literal["x", "y"] = "x"


@dataclass(frozen=True)
class Curve:
    """What one would see at each temperature.

    `lines` holds one line per temperature (temperatures, points); for a map, with `second` as its upright
    axis, one picture per temperature (temperatures, rows, columns), `y` being what its shade shows; for a law
    against temperature, one line per entry of `names`, and `points` its (x, y) at every temperature, nan where
    the law has no meaning there. `widths` holds the full width at half height along x, nan where there is none.
    `illustrative` says that numbers of a typical device stand in for what was not asked.
    """

    title: str
    note: str
    x: Axis
    y: Axis
    lines: Array
    temperatures: Array
    second: Axis | None = None
    names: tuple[str, ...] = ()
    points: Array | None = None
    widths: Array | None = None
    marks: tuple[Mark, ...] = ()
    illustrative: bool = False
    references: tuple[str, ...] = ()

    @property
    def form(self) -> Literal["lines", "law", "map"]:
        """How the curve is drawn."""
        if self.second is not None:
            return "map"
        return "law" if self.names else "lines"


def column(temperatures: Array) -> Array:
    """Temperatures [K] as a column that broadcasts over the points of a line."""
    return temperatures[:, np.newaxis]


def crowded(low: float, high: float, points: int, centres: tuple[float, ...], finest: float) -> Array:
    """Places from low to high, a third even and the rest crowded around the centres down to `finest` apart.

    A line that is sharp at 20 mK and broad at 300 K is then caught by few points.
    """
    span = high - low
    finest = min(max(finest, 1e-7 * span), span)
    steps = np.geomspace(finest / 30, span, 300)
    around = [centre + sign * steps for centre in centres for sign in (-1, 1)]
    table = np.unique(np.clip(np.concatenate([np.linspace(low, high, 600), *around, centres]), low, high))
    share = (table - low) / span * np.arcsinh(span / finest) * len(centres)
    for centre in centres:
        share = share + np.arcsinh((table - centre) / finest)
    places: Array = np.interp(np.linspace(share[0], share[-1], points), share, table)
    for centre in centres:
        # The top itself belongs to the line, but never the two ends.
        places[1 + np.abs(places[1:-1] - centre).argmin()] = centre if low < centre < high else places[1]
    return np.sort(places)


def normalised(lines: Array) -> Array:
    """Every line over its own highest value."""
    top = lines.max(axis=-1, keepdims=True)
    return np.asarray(lines / np.where(top > 0, top, 1.0))


def modulated(shape: Callable[[Array], Numbers], energy: Array, amplitude: float, harmonic: int) -> Array:
    """A shape in energy [J] as a lock-in sees it with a modulation of that peak amplitude [J].

    Gauss-Chebyshev mean over the kernel of the first (dI/dV) or second harmonic (d²I/dV²), the shape taken
    from a table on the places themselves; `seen_by_lock_in` keeps it smooth between the nodes.
    """
    if not amplitude > 0:
        return np.asarray(shape(energy))
    beyond = np.linspace(amplitude / 60, amplitude, 60)
    places = np.concatenate([energy[0] - beyond[::-1], energy, energy[-1] + beyond])
    table = np.asarray(shape(places))
    angle = (np.arange(48) + 0.5) * pi / 48
    weight = np.sin(angle) ** (2 * harmonic)
    total: Array = np.zeros((len(table), len(energy)))
    for node, share in zip(amplitude * np.cos(angle), weight / weight.sum(), strict=True):
        total += share * np.stack([np.interp(energy - node, places, row) for row in table])
    return total


def seen_by_lock_in(temperatures: Array, amplitude: float) -> Array:
    """Temperatures as a column, none so cold that it would not show beside the modulation [J] (1 % of width)."""
    return column(np.maximum(temperatures, amplitude / (40 * boltzmann)))


def span_of(temperatures: Array, low: float, high: float, points: int) -> Array:
    """Temperatures [K] for a law: from low to high, and as far as the platforms reach."""
    coldest, warmest = min(low, float(temperatures.min())), max(high, float(temperatures.max()))
    return np.geomspace(coldest, warmest, points)


def law(
    value: Callable[[Array], tuple[Numbers, ...]], axis: Array, temperatures: Array, main: int = 0
) -> tuple[Array, Array]:
    """Lines of a law along an axis of temperature, and (T, y) of its main line at the temperatures given."""
    lines = np.stack([np.broadcast_to(np.asarray(each, dtype=float), axis.shape) for each in value(axis)])
    at = np.broadcast_to(np.asarray(value(temperatures)[main], dtype=float), temperatures.shape)
    return lines, np.stack([temperatures, at], axis=-1)


def thermal(temperatures: Array) -> Array:
    """Thermal energy kT [J]."""
    return boltzmann * temperatures
