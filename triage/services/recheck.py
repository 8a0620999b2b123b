"""Old records against today's facility and rules: same, weaker, stronger or flipped, and why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from triage.errors import BadInput, Problem
from triage.services import record as records
from triage.services.assess import assess
from triage.services.plain_data import recommendation_data
from triage.services.workspace import Facility, read_request_text

_VERDICTS = {"suitable": 2, "tight": 1, None: 0}
_CONFIDENCES = {"firm": 2, "leaning": 1, "tie": 1, "none": 0}
_STATES = {"pass": 3, "tight": 2, "unknown": 1, "fail": 0}


@dataclass(frozen=True)
class Recheck:
    """What has become of one record."""

    record: str
    outcome: str  # same | weaker | stronger | flipped
    then: str | None
    now: str | None
    because: tuple[str, ...]
    edited: tuple[str, ...]


def recheck(facility: Facility, record: dict[str, Any]) -> Recheck:
    """One record: its own proposal, worked out anew on the facility and the rules of today."""
    request = read_request_text(record["proposal"]["text"], record["proposal"]["name"])
    now = recommendation_data(assess(facility, request))
    then = record["answer"]
    changes = _changes(then, now)
    if now["recommended"]["platform"] != then["recommended"]["platform"]:
        outcome = "flipped"
    else:
        before, after = _strength(then), _strength(now)
        outcome = "stronger" if after > before else "weaker" if after < before else "same"
    return Recheck(
        record["id"],
        outcome,
        then["recommended"]["platform"],
        now["recommended"]["platform"],
        tuple(changes),
        tuple(records.edited_parts(record)),
    )


def _strength(answer: dict[str, Any]) -> tuple[int, int]:
    said = answer["recommended"]
    return _VERDICTS[said["verdict"]], _CONFIDENCES[said["confidence"]]


def _changes(then: dict[str, Any], now: dict[str, Any]) -> list[str]:
    """The gates whose state has changed, with the numbers before and after."""
    old = {each["platform"]: each for each in then["platforms"]}
    new = {each["platform"]: each for each in now["platforms"]}
    lines = [f"{old[gone]['name']} is no longer there" for gone in old.keys() - new.keys()]
    lines += [f"{new[come]['name']} is new" for come in new.keys() - old.keys()]
    for platform in old.keys() & new.keys():
        for before, after in zip(old[platform]["gates"], new[platform]["gates"], strict=True):
            if before["state"] != after["state"]:
                margins = f"margin {_margin(before)} then, {_margin(after)} now"
                gate = after["gate"].replace("_", " and ")
                lines.append(f"{new[platform]['name']}: {gate} was {before['state']}, is {after['state']} ({margins})")
    if then["rule_base_version"] != now["rule_base_version"]:
        lines.append(f"rules changed from {then['rule_base_version']} to {now['rule_base_version']}")
    if then["tool_version"] != now["tool_version"]:
        lines.append(f"program changed from {then['tool_version']} to {now['tool_version']}")
    return sorted(lines)


def _margin(gate: dict[str, Any]) -> str:
    return "-" if gate["margin"] is None else f"{gate['margin']:.3g}"


def recheck_all(facility: Facility, folders: Iterable[Path]) -> tuple[list[Recheck], list[Problem]]:
    """Every record that can be read; the problems of the others do not stop the rest."""
    found, problems = [], []
    for folder in folders:
        try:
            found.append(recheck(facility, records.read(folder)))
        except BadInput as error:
            problems += error.problems
    return found, problems
