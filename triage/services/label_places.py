"""Where the labels of a picture go: beside their own line or point, clear of the others. All in pixels."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from triage.measurements.curves.form import Array

_SQUARE = 4.0
_CHARACTER, _LINE = 3.2, 8.0  # half the width of a character and half the height of a line of small print
_FEW, _CLASH, _OUTSIDE = 12, 60.0, 1e6


def boxes(centres: Array, text: str) -> Array:
    """Room that a label takes around each centre: left, low, right, high."""
    half = np.array([_CHARACTER * len(text) + 3, _LINE])
    return np.concatenate([centres - half, centres + half], axis=-1)


def evenly(corners: Array) -> Array:
    """A line through its corners as points every few pixels along its way."""
    corners = corners[np.isfinite(corners).all(axis=1)]
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    even = np.linspace(0.0, way[-1], int(np.clip(way[-1] / 4, 50, 2000)))
    return np.stack([np.interp(even, way, corners[:, axis]) for axis in (0, 1)], axis=-1)


class Ground:
    """Which squares of the picture each line runs through, summed so that any box is counted at once."""

    def __init__(self, lines: Sequence[Array], frame: Array) -> None:
        self._origin = frame[:2]
        wide, tall = np.ceil((frame[2:] - frame[:2]) / _SQUARE).astype(int)
        seen = np.zeros((len(lines), wide + 1, tall + 1))
        for row, line in enumerate(lines):
            column, height = np.floor((line - self._origin) / _SQUARE).astype(int).T
            held = (column >= 0) & (column < wide) & (height >= 0) & (height < tall)
            seen[row, column[held] + 1, height[held] + 1] = 1
        self._sums = seen.cumsum(axis=1).cumsum(axis=2)

    def crossings(self, rooms: Array, rows: Sequence[int] | None = None, most: int = _FEW) -> Array:
        """Squares with a line in each box, each line counting at most so many."""
        sums = self._sums if rows is None else self._sums[list(rows)]
        limits = np.array(sums.shape[1:]) - 1
        places = np.round((rooms.reshape(-1, 2, 2) - self._origin) / _SQUARE).astype(int)
        (left, low), (right, high) = np.clip(places, 0, limits).transpose(1, 2, 0)
        counts = sums[:, right, high] - sums[:, left, high] - sums[:, right, low] + sums[:, left, low]
        return np.asarray(np.minimum(counts, most).sum(axis=0))


def clashes(rooms: Array, taken: Sequence[Array]) -> Array:
    """With how many of the boxes already taken each box overlaps."""
    total = np.zeros(len(rooms))
    for old in taken:
        total += (rooms[:, :2] < old[2:]).all(axis=1) & (old[:2] < rooms[:, 2:]).all(axis=1)
    return total


def outside(rooms: Array, frame: Array) -> Array:
    """Which boxes leave the frame."""
    return np.asarray((rooms[:, :2] < frame[:2]).any(axis=1) | (rooms[:, 2:] > frame[2:]).any(axis=1))


def on_line(
    own: Array,
    ground: Ground,
    rows: Sequence[int],
    others: Sequence[int],
    text: str,
    taken: Sequence[Array],
    frame: Array,
) -> Array | None:
    """Centre for the label of a line (`rows` of the ground) where it runs alone; None where there is no room."""
    wide = _CHARACTER * len(text) + 6
    # On the line, or close beside it where the line is steep.
    offers = np.array([[0.0, 0.0], [wide, 0.0], [-wide, 0.0], [0.0, 11.0]])
    spots = np.repeat(own[:: max(1, len(own) // 90)], len(offers), axis=0)
    centres = spots + np.tile(offers, (len(spots) // len(offers), 1))
    rooms, near = boxes(centres, text), np.concatenate([spots - 16, spots + 16], axis=-1)
    cost = 1.5 * (centres != spots).any(axis=1) + ground.crossings(rooms, others) + _CLASH * clashes(rooms, taken)
    # Close to a neighbour a label could be taken for it; across its own line it would hide it.
    cost += 0.7 * ground.crossings(near, others, 10) + 0.4 * ground.crossings(rooms, rows[:1], 1000)
    cost += _OUTSIDE * outside(rooms, frame)
    best = int(cost.argmin())
    return centres[best] if cost[best] < _OUTSIDE else None


def near_point(spot: Array, ground: Ground, text: str, taken: Sequence[Array], frame: Array) -> Array:
    """Centre for the label of a point, joined to it by a thin line."""
    wide = _CHARACTER * len(text) + 10
    heights = (13, -13, 28, -28, 44, -44, 60, -60, 78, 96, 114, -78, -96)
    shifts = np.array([(side * wide, up) for up in heights for side in (1, 0, -1)], dtype=float)
    rooms = boxes(spot + shifts, text)
    cost = 80 * outside(rooms, frame) + _CLASH * clashes(rooms, taken) + ground.crossings(rooms, most=9)
    return np.asarray(spot + shifts[int((cost + 0.05 * np.abs(shifts[:, 1])).argmin())])
