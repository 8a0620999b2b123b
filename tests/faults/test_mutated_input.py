"""Proposals and facilities broken at random: an answer or a list of problems, never a traceback or a hang."""

from __future__ import annotations

import copy
import os
import random
import re
import time
from typing import Any

import pytest
import yaml

from triage.errors import BadInput
from triage.models.lab import Lab
from triage.models.reading import _validated
from triage.services.assess import assess
from triage.services.workspace import Facility, demonstration, open_facility, read_request_text
from triage.source import read_text

COUNT = int(os.environ.get("TRIAGE_MUTATIONS", "1500"))
FOLDER = demonstration()
PROPOSALS = [yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted((FOLDER / "proposals").glob("*.yaml"))]
LAB = yaml.safe_load((FOLDER / "lab.yaml").read_text(encoding="utf-8"))
ODD = [
    None, "", "unknown", "nan", "inf", "-inf", "0", "-1", "1e308", "1e-308", "1e999", "120 mT", "-269 degC", "0,3 fF",
    "3 \u00b5eV", "3 \u03bcm", "1 K..2 mm", "5..3 K", "about 3 K", "0 K", "-3 K", "1e30 T", "3 parsec", True, [], {},
    ["a"], {"value": "3 K"}, {"value": "3 K", "basis": "hearsay"}, {"value": []}, "x" * 500, "../../etc/passwd",
    "<script>", "=1+1", "0 fF", "1e-30 fF", "9e9 L", "100 %", "300 %", "2026-13-45", "{platform}", "\u202e",
]  # fmt: skip


def mutated(data: Any, chance: random.Random) -> Any:
    """A copy of the data with one to three entries replaced, removed, renamed, doubled or moved."""
    data = copy.deepcopy(data)
    for _ in range(chance.randint(1, 3)):
        places = list(_places(data))
        parent, key = chance.choice(places)
        action = chance.choice(("replace", "scale", "scale", "scale", "scale", "remove", "rename", "swap"))
        number = re.match(r"\d+(?:\.\d+)?", str(parent[key]))
        if action == "scale" and number:
            scaled = float(number[0]) * 10 ** chance.uniform(-4, 4)
            parent[key] = f"{scaled:.3g}{str(parent[key])[number.end() :]}"
        elif action in ("replace", "scale"):
            parent[key] = copy.deepcopy(chance.choice(ODD))
        elif action == "remove":
            del parent[key]
        elif action == "rename" and isinstance(parent, dict):
            parent[f"{key}x"] = parent.pop(key)
        else:
            other, at = chance.choice(places)
            if at in other if isinstance(other, dict) else at < len(other):
                parent[key] = copy.deepcopy(other[at])
        if not list(_places(data)):
            break
    return data


def _places(data: Any) -> Any:
    if isinstance(data, dict):
        for key in list(data):
            yield data, key
            yield from _places(data[key])
    elif isinstance(data, list):
        for index in range(len(data)):
            yield data, index
            yield from _places(data[index])


@pytest.mark.parametrize("seed", range(4))
def test_mutated_proposals(seed: int) -> None:
    """An answer or problems with remedies, each within five seconds."""
    facility, chance = open_facility(), random.Random(seed)
    answered, refused = 0, []
    for _ in range(COUNT // 4):
        text = yaml.safe_dump(mutated(chance.choice(PROPOSALS), chance), allow_unicode=True)
        began = time.monotonic()
        try:
            answered += (
                assess(facility, read_request_text(text), thorough=chance.random() < 0.1).recommended is not None
            )
        except BadInput as error:
            refused.append((error, text))
        assert time.monotonic() - began < 5, text
    for error, text in refused:
        assert error.problems, text
        assert all(each.message for each in error.problems), text
    assert answered > COUNT // 40, "the mutations should leave a part usable"


@pytest.mark.parametrize("seed", range(2))
def test_mutated_facilities(seed: int) -> None:
    """A facility that reads is also assessed without a traceback."""
    shipped, chance = open_facility(), random.Random(1000 + seed)
    proposals = [path.read_text(encoding="utf-8") for path in shipped.proposals()]
    usable = 0
    for _ in range(COUNT // 8):
        text = yaml.safe_dump(mutated(LAB, chance), allow_unicode=True)
        lab, _, problems = _validated(Lab, *read_text(text, "lab.yaml"))
        if lab is None:
            assert problems
            continue
        facility = Facility(shipped.folder, lab, shipped.rulebase)
        assess(facility, read_request_text(chance.choice(proposals)), thorough=chance.random() < 0.1)
        usable += 1
    assert usable > COUNT // 60
