"""A proposal on one platform in one room, with every entry replaceable, for the tests of what surrounds the sample."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import yaml

from triage.estimates.case import Case
from triage.estimates.chain import evaluate
from triage.models.lab import Lab
from triage.services.workspace import read_request_text

INVENTED = "Everything here is invented for tests."
KINDS = {
    "stick": "helium bath stick",
    "insert": "helium-3 insert",
    "wet": "wet dilution unit",
    "dry": "dry dilution unit",
}


@lru_cache(maxsize=512)
def _lab(text: str) -> Lab:
    return Lab.model_validate(yaml.safe_load(text))


def lab(platform: str, room: Mapping[str, Any] | None = None, **entries: Mapping[str, Any]) -> Lab:
    """A facility with one platform of a kind, its entries completed; in a room where one is given."""
    described: dict[str, Any] = {"id": platform, "name": platform, "kind": KINDS[platform], **entries}
    data: dict[str, Any] = {"invented": INVENTED, "name": "Bench", "platforms": [described]}
    if room is not None:
        described["stored"] = {"room": "cellar", **described.get("stored", {})}
        data["rooms"] = [{"id": "cellar", **room}]
    return _lab(yaml.safe_dump(data))


def case(where: Lab, overrides: Mapping[str, Any] | None = None, **entries: Any) -> Case:
    """A proposal to record diamonds on the facility's platform, its entries completed."""
    data: dict[str, Any] = {"invented": INVENTED, "title": "Diamonds", "measurement": "coulomb-diamonds", "tier": "see",
                            "device": {"charging_energy": "3 meV"}, **entries}  # fmt: skip
    request = read_request_text(yaml.safe_dump(data))
    return evaluate(where, where.platforms[0], request.proposal, request.kind, request.inputs, overrides)
