"""Ranges and guesses carried through the chain: in what part of what could be true does a platform serve?

Every input with a range is drawn evenly between its ends; the same draws serve all platforms, and the same
seed gives the same draws.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from triage.estimates.case import Case
from triage.estimates.chain import compare, evaluate
from triage.models.recommendation import Odds
from triage.planning.thresholds import verdicts
from triage.reasoning.rulebase import Rulebase

DRAWS = 10_000
SEED = 20260101
_SHARED = ("platform.",)  # drawn anew for each platform; everything else is common to all


@dataclass(frozen=True)
class Spread:
    """One input that may lie anywhere between two ends."""

    path: str
    low: float
    high: float


def spreads(case: Case) -> list[Spread]:
    """The inputs of a case that were looked up and have a range."""
    found = []
    for path in sorted(case.bases):
        value = case.value(path)
        if value is not None and value.known and value.high > value.low:
            found.append(Spread(path, value.low, value.high))
    return found


def draw(spread: Spread, owner: str, count: int, seed: int) -> NDArray[np.float64]:
    """The draws of one input; those of a platform's own inputs differ from platform to platform."""
    name = f"{owner}/{spread.path}" if spread.path.startswith(_SHARED) else spread.path
    key = [seed, *name.encode()]
    return np.random.Generator(np.random.PCG64(key)).uniform(spread.low, spread.high, count)


def odds(rulebase: Rulebase, cases: Sequence[Case], count: int = DRAWS, seed: int = SEED) -> tuple[Odds, ...]:
    """For each platform the part of the draws in which it is suitable, and in which it serves at all."""
    varied: list[Case] = []
    drawn: list[dict[str, NDArray[np.float64]]] = []
    for case in cases:
        overrides: dict[str, Any] = {each.path: draw(each, case.platform.id, count, seed) for each in spreads(case)}
        drawn.append(overrides)
        varied.append(evaluate(case.lab, case.platform, case.proposal, case.kind, case.inputs, overrides))
    compare(varied)
    found = []
    for case, overrides in zip(varied, drawn, strict=True):
        codes = np.broadcast_to(verdicts(rulebase, case), (count,))
        serves = codes >= 2
        found.append(
            Odds(
                platform=case.platform.id,
                serves=float(serves.mean()),
                suitable=float((codes == 3).mean()),
                draws=count,
                decided_by=_decided_by(serves, overrides),
            )
        )
    return tuple(found)


def _decided_by(serves: NDArray[np.bool_], overrides: Mapping[str, NDArray[np.float64]]) -> str:
    """The input whose draws go most closely with serving or not; empty where all draws agree."""
    if serves.all() or not serves.any():
        return ""
    outcome = serves - serves.mean()
    closeness = {
        path: abs(float(np.dot(values - values.mean(), outcome) / (values.std() * outcome.std() * values.size)))
        for path, values in overrides.items()
    }
    return max(sorted(closeness), key=closeness.__getitem__, default="")


@dataclass(frozen=True)
class End:
    """What becomes of a platform when one input lies at one end of its range and all others as stated."""

    path: str
    end: str
    value: float
    serves: bool
    margin: float


def ends(rulebase: Rulebase, case: Case) -> list[End]:
    """Every input with a range, at its lower and at its upper end, one at a time."""
    varied = spreads(case)
    if not varied:
        return []
    count = 2 * len(varied)
    overrides: dict[str, NDArray[np.float64]] = {}
    for index, each in enumerate(varied):
        nominal = case.value(each.path)
        column = np.full(count, nominal.nominal if nominal is not None else each.low)
        column[2 * index], column[2 * index + 1] = each.low, each.high
        overrides[each.path] = column
    result = evaluate(case.lab, case.platform, case.proposal, case.kind, case.inputs, overrides)
    result.fact("weeks_sooner", case.facts.get("weeks_sooner"))
    codes = np.broadcast_to(verdicts(rulebase, result), (count,))
    margins = np.broadcast_to(np.asarray(result.facts.get("thermal_margin", np.nan), dtype=float), (count,))
    return [
        End(each.path, end, value, bool(codes[2 * index + side] >= 2), float(margins[2 * index + side]))
        for index, each in enumerate(varied)
        for side, (end, value) in enumerate((("lower", each.low), ("upper", each.high)))
    ]
