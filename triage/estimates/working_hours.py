"""The clock on the wall: what needs people waits for working hours, what needs nobody runs on.

Times count from a working morning. Every function takes arrays, so that a whole run is laid out at once for
many values of an input. Every day counts as a working day.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

DAY = 86400.0
_ROUNDING = 1e-6  # s; a step that ends exactly at closing time still fits
SHORTEST = 60.0  # s; a piece of measuring is not cut finer
FOLLOWED = 48  # pauses laid out one by one; the rest follow at their mean pace


def choose(condition: Any, yes: Any, no: Any) -> Any:
    """As `numpy.where`, and as light as an `if` where there is one case only."""
    if isinstance(condition, bool | np.bool_):
        return yes if condition else no
    return np.where(condition, yes, no)


def begin(now: Any, length: Any, working_day: Any) -> Any:
    """When people can begin a step: now where it ends within working hours, else the next morning.

    A step longer than the working day begins in the morning and is carried through in shifts.
    """
    phase = now % DAY
    single = isinstance(length, float) and isinstance(working_day, float)
    shown = min(length, working_day) if single else np.minimum(length, working_day)
    fits = phase + shown <= working_day + _ROUNDING
    return choose(fits | (length == 0) | (working_day >= DAY), now, now - phase + DAY)


def attended(now: Any, length: Any, working_day: Any) -> Any:
    """When a step that needs people ends."""
    return begin(now, length, working_day) + length


def series(runs: Any, run: Any, working_day: Any, slot: Any) -> Any:
    """Calendar time of so many runs, one after the other.

    A further run is begun on the same day where it ends that day, else on the next morning; where people work
    round the clock it follows at once.
    """
    run = np.maximum(run, slot)
    a_day = np.maximum(np.floor((working_day + _ROUNDING) / np.maximum(run, 1.0)), 1.0)
    short = np.floor((runs - 1) / a_day) * DAY + ((runs - 1) % a_day + 1) * run
    long = (runs - 1) * np.ceil((run - _ROUNDING) / DAY) * DAY + run
    return choose(working_day >= DAY, runs * run, choose(run <= working_day + _ROUNDING, short, long))


@dataclass(frozen=True)
class Pauses:
    """What interrupts the measuring: pieces of a given length, with a recycle, a transfer or both between them.

    `recycle_every` and `transfer_every` count pieces: of a charge that lasts three bath fillings every third
    pause is also a recycle. Where nothing interrupts, a piece is endless.
    """

    piece: Any
    recycle_every: Any
    transfer_every: Any
    recycle: Any
    transfer: Any

    def pieces(self, measuring: Any) -> Any:
        """Pieces into which the measuring is cut."""
        return np.maximum(np.ceil(measuring / self.piece - 1e-9), 1.0)

    def recycles(self, measuring: Any) -> Any:
        """Pauses that condense the charge anew."""
        return np.floor((self.pieces(measuring) - 1) / self.recycle_every)

    def transfers(self, measuring: Any) -> Any:
        """Pauses that refill the bath."""
        return np.floor((self.pieces(measuring) - 1) / self.transfer_every)

    def length(self, number: int) -> Any:
        """Time that people spend at the pause of a number, counted from one."""
        return choose(number % self.recycle_every == 0, self.recycle, 0.0) + choose(
            number % self.transfer_every == 0, self.transfer, 0.0
        )

    def end(self, start: Any, measuring: Any, working_day: Any) -> Any:
        """When the measuring ends that starts at a time.

        The first pauses are laid out exactly, the others follow at the mean pace of those.
        """
        count = self.pieces(measuring) - 1
        most = int(np.nanmax(count)) if np.any(np.isfinite(count)) else 0
        piece = choose(np.isfinite(self.piece), self.piece, 0.0)
        now, left = start, measuring
        for number in range(1, min(most, FOLLOWED) + 1):
            paused = attended(now + piece, self.length(number), working_day)
            cut = number <= count
            now, left = choose(cut, paused, now), choose(cut, left - piece, left)
        if most > FOLLOWED:
            beyond = np.maximum(count - FOLLOWED, 0.0)
            now = now + beyond * ((now - start) / FOLLOWED - piece)
        return now + left


def pauses(hold: Any, filling: Any, recycle: Any, transfer: Any) -> Pauses:
    """The pauses that a charge and a bath ask for, either of which may be None where nothing runs out."""
    limits = [each for each in (hold, filling) if each is not None]
    if not limits:
        return Pauses(np.inf, np.inf, np.inf, recycle, transfer)
    piece = np.maximum(limits[0] if len(limits) == 1 else np.minimum(hold, filling), SHORTEST)
    every = [
        np.inf if each is None else np.maximum(np.floor(_ratio(each, piece) + 1e-9), 1.0) for each in (hold, filling)
    ]
    return Pauses(piece, every[0], every[1], recycle, transfer)


def _ratio(limit: Any, piece: Any) -> Any:
    """How many pieces a limit spans; one where neither ends."""
    with np.errstate(invalid="ignore"):
        return choose(np.isinf(piece), 1.0, limit / piece)
