"""What would change the answer: the smallest single change of one input that alters a platform's verdict.

Found on the chain itself: the whole chain is evaluated on an array of values of the input, the nearest
change of verdict is located, and the bracket is refined.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from triage.display import show
from triage.estimates.case import Case
from triage.estimates.chain import evaluate
from triage.models.recommendation import Flip, PlatformResult, Verdict
from triage.physics.constants import elementary_charge
from triage.reasoning import plain
from triage.reasoning.rulebase import Rulebase
from triage.units import dimension_of, read_any

REACH = 10.0  # an input is varied between its tenth and its tenfold
_COARSE, _FINE = 121, 41
_CODE: dict[Verdict, int] = {"unsuitable": 0, "unknown": 1, "tight": 2, "suitable": 3}


@dataclass(frozen=True)
class Lever:
    """An input that a person could change, and the gates it acts on."""

    path: str
    label: str
    unit: str
    gates: tuple[str, ...]
    whole: bool = False


_GENERAL = (
    Lever("field.magnitude", "the field", "T", ("temperature", "field")),
    Lever("lines.coax", "the number of coaxial lines", "count", ("lines",), whole=True),
    Lever("lines.dc", "the number of DC lines", "count", ("lines",), whole=True),
    Lever("devices.lines_each", "the number of DC lines per device", "count", ("lines",), whole=True),
    Lever("board.width", "the width of the board", "m", ("size",)),
    Lever("board.height", "the height of the board", "m", ("size",)),
    Lever("board.length", "the length of the board", "m", ("size",)),
    Lever("heat.device", "the heat of the device", "W", ("heat", "temperature", "hold")),
    Lever("heat.chip_area", "the area of the chip", "m2", ("temperature", "heat")),
    Lever("lines.rf_power", "the radio-frequency power", "W", ("heat", "temperature", "hold")),
    Lever("signal.smallest", "the smallest signal", "A", ("vibration",)),
    Lever("signal.bias", "the bias", "V", ("vibration",)),
    Lever("signal.head_resonance", "the resonance of the head", "Hz", ("vibration",)),
    Lever("devices.needed", "the number of devices", "count", ("turnaround", "risk_cost", "hold"), whole=True),
    Lever("time.per_device", "the time per device", "s", ("hold", "turnaround", "risk_cost")),
    Lever("time.points", "the number of points", "count", ("hold", "turnaround", "risk_cost"), whole=True),
    Lever("time.deadline", "the deadline", "s", ("turnaround",)),
    Lever("budget", "the budget", "EUR", ("risk_cost",)),
    Lever("platform.electrons.measured", "the electron temperature on its loom", "K", ("temperature",)),
    Lever("platform.electrons.saturation", "the electron temperature on its loom", "K", ("temperature",)),
    Lever("platform.running.bath_volume", "its usable bath", "m3", ("hold",)),
    Lever("platform.clock.queue", "its queue", "s", ("turnaround",)),
)  # fmt: skip


def levers(case: Case) -> list[Lever]:
    """The inputs of a case that carry a number other than zero and can be varied."""
    criterion = case.kind.criterion
    device = [
        Lever(f"device.{name}", "the " + name.replace("_", " "), case.kind.input(name).unit, ("temperature",))  # type: ignore[union-attr]
        for name in criterion.uses
        if name in case.inputs
    ]
    usable = []
    for lever in (*device, *_GENERAL):
        value = case.value(lever.path)
        if lever.path == "platform.electrons.saturation" and case.platform.electrons.measured is not None:
            continue
        if lever.path == "field.magnitude" and not case.kind.needs_field:
            lever = Lever(lever.path, lever.label, lever.unit, ("field",))
        if value is not None and value.known and value.nominal > 0:
            usable.append(lever)
    return usable


def verdicts(rulebase: Rulebase, case: Case) -> NDArray[np.int64]:
    """The verdict of a case whose facts are arrays: 0 unsuitable, 1 unknown, 2 tight, 3 suitable."""
    masks = plain.masks(rulebase, case.facts)
    effect = {rule.id: rule.effect for rule in rulebase.rules}
    size = max((np.size(value) for value in case.facts.values() if not isinstance(value, str)), default=1)
    fail, tight, unknown = (np.zeros(size, dtype=bool) for _ in range(3))
    for rule, mask in masks.items():
        if effect[rule] == "veto":
            fail = fail | mask
        elif effect[rule] == "caution":
            tight = tight | mask
    for gate in case.gates.values():
        unknown = unknown | ~np.isfinite(np.asarray(gate.margin, dtype=float))
    return np.where(fail, 0, np.where(unknown, 1, np.where(tight, 2, 3)))


def flips(rulebase: Rulebase, case: Case, result: PlatformResult, *, sink: bool) -> list[Flip]:
    """The single changes that would make a platform serve (or, with `sink`, stop serving), smallest change first."""
    code = _CODE[result.verdict]
    failing = {gate.numbers.gate for gate in result.gates if gate.state in ("fail", "tight")}
    if not sink and not failing:
        return []
    found = []
    for lever in levers(case):
        if not sink and not failing <= set(lever.gates):
            continue
        wanted: Callable[[Any], Any] = (lambda codes: codes < 2) if sink else _better(code)
        at = _nearest(rulebase, case, lever, wanted)
        if at is None:
            continue
        value, new_code = at
        found.append(_flip(case, result, lever, value, new_code))
    return sorted(found, key=lambda flip: abs(np.log(flip.at / flip.now)))


def _better(code: int) -> Callable[[Any], Any]:
    """From unsuitable or unknown, serving at all; from tight, serving in full."""
    least = 3 if code == 2 else 2
    return lambda codes: codes >= least


def _nearest(rulebase: Rulebase, case: Case, lever: Lever, wanted: Callable[[Any], Any]) -> tuple[float, int] | None:
    """The value nearest to today's at which the wanted verdict holds, and that verdict."""
    now = case.number(lever.path)
    if not isinstance(now, float | int) or now <= 0:
        return None
    low, high = now / REACH, now * REACH
    points = _grid(now, low, high, _COARSE, lever.whole)
    codes = _codes(rulebase, case, lever, points)
    hit = _closest_hit(points, wanted(codes), now)
    if hit is None:
        return None
    if not lever.whole:
        index = int(np.flatnonzero(points == hit)[0])
        neighbour = points[index - 1] if hit > now else points[index + 1]
        points = np.geomspace(min(neighbour, hit), max(neighbour, hit), _FINE)
        codes = _codes(rulebase, case, lever, points)
        hit = _closest_hit(points, wanted(codes), now)
        if hit is None:
            return None
    return float(hit), int(codes[np.flatnonzero(points == hit)[0]])


def _grid(now: float, low: float, high: float, count: int, whole: bool) -> NDArray[np.float64]:
    points = [now, *np.geomspace(low, high, count).tolist()]
    if whole:
        points = [now, *(each for each in map(round, points) if each >= 1)]
    return np.array(sorted(set(points)), dtype=float)


def _closest_hit(points: NDArray[np.float64], hits: Any, now: float) -> float | None:
    good = points[np.broadcast_to(hits, points.shape)]
    good = good[good != now]
    if good.size == 0:
        return None
    return float(good[np.argmin(np.abs(np.log(good / now)))])


def _codes(rulebase: Rulebase, case: Case, lever: Lever, points: NDArray[np.float64]) -> NDArray[np.int64]:
    varied = evaluate(case.lab, case.platform, case.proposal, case.kind, case.inputs,
                      {**case.overrides, lever.path: points})  # fmt: skip
    varied.fact("weeks_sooner", case.facts.get("weeks_sooner"))
    return np.broadcast_to(verdicts(rulebase, varied), points.shape)


def _flip(case: Case, result: PlatformResult, lever: Lever, value: float, code: int) -> Flip:
    now = float(case.number(lever.path))  # type: ignore[arg-type]
    becomes = next(name for name, number in _CODE.items() if number == code)
    direction = "at least" if value > now else "at most"
    label, shown, before = lever.label, show(value, lever.unit, 2), show(now, lever.unit, 2)
    written = case.value(lever.path)
    if written is not None and lever.unit == "J" and _is_capacitance(written.text):
        label, direction = "the island's capacitance", "at most" if value > now else "at least"
        shown, before = (show(elementary_charge**2 / (2 * energy), "F", 2) for energy in (value, now))
    verb = {
        "suitable": "is suitable",
        "tight": "serves, tightly",
        "unsuitable": "fails",
        "unknown": "cannot be judged",
    }
    says = f"{result.name} {verb[becomes]} if {label} is {direction} {shown} (now {before})"
    return Flip(result.platform, lever.path, now, value, lever.unit, becomes, says)


def _is_capacitance(text: str) -> bool:
    return read_any(text)[1] == dimension_of("F")


def all_flips(
    rulebase: Rulebase, cases: Sequence[Case], results: Sequence[PlatformResult], chosen: str | None
) -> Iterable[Flip]:
    """For each platform not chosen what would make it serve, and for the chosen one what would sink it."""
    for case, result in zip(cases, results, strict=True):
        yield from flips(rulebase, case, result, sink=result.platform == chosen)
