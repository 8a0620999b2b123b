"""A proposal on one platform of a small facility, written out here so that each number is in sight."""

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
PLATFORMS: dict[str, dict[str, Any]] = {
    "stick": {"kind": "helium bath stick", "clock": {"mount": "25 min", "cooldown": "20 min", "thermalise": "5 min",
                                                      "warm_up": "16 min"}},
    "insert": {
        "kind": "helium-3 insert", "cooling": {"charge": "4 L", "base_temperature": "0.3 K", "static_load": "20 uW"},
        "clock": {"mount": "1 h", "cooldown": "3 h", "thermalise": "30 min", "warm_up": "2 h", "recycle": "20 min",
                  "hold": "40 h", "queue": "1 week"},
    },
    "wet": {"kind": "wet dilution unit", "running": {"bath_volume": "36 L", "boil_off": "9 L/day"},
            "clock": {"slot": "0 h", "transfer": "1 h", "settle": "30 min"}},
    "dry": {"kind": "dry dilution unit"},
}  # fmt: skip


@lru_cache(maxsize=256)
def _lab(text: str) -> Lab:
    return Lab.model_validate(yaml.safe_load(text))


def lab(platform: str, prices: Mapping[str, Any] | None = None, **entries: Mapping[str, Any]) -> Lab:
    """A facility with one of the platforms, its entries replaced or completed."""
    described: dict[str, Any] = {"id": platform, "name": platform, **PLATFORMS[platform]}
    for section, values in entries.items():
        described[section] = {**described.get(section, {}), **values}
    data = {"invented": INVENTED, "name": "Bench", "prices": dict(prices or {}), "platforms": [described]}
    return _lab(yaml.safe_dump(data))


def case(where: Lab, overrides: Mapping[str, Any] | None = None, **entries: Any) -> Case:
    """A proposal to record diamonds there, its entries replaced or completed."""
    data: dict[str, Any] = {
        "invented": INVENTED, "title": "Diamonds", "measurement": "coulomb-diamonds", "tier": "see",
        "device": {"charging_energy": "3 meV"}, "devices": {"needed": 1, "lines_each": 6},
        "time": {"per_device": "3 h", "tuning": "1 h"},
    }  # fmt: skip
    for name, values in entries.items():
        data[name] = {**data.get(name, {}), **values} if isinstance(values, dict) else values
    request = read_request_text(yaml.safe_dump(data))
    return evaluate(where, where.platforms[0], request.proposal, request.kind, request.inputs, overrides)
