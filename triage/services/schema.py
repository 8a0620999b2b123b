"""JSON Schemas of the files a person writes."""

from __future__ import annotations

import json
from typing import Any

from triage.measurements.catalogue import CATALOGUE
from triage.models.archetypes import KINDS
from triage.models.lab import Lab
from triage.models.proposal import Proposal


def schema_of(what: str) -> dict[str, Any]:
    """The schema of `lab` or `proposal`; entries that an archetype or a kind fills in are not required."""
    schema: dict[str, Any] = Lab.model_json_schema() if what == "lab" else Proposal.model_json_schema()
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    definitions = schema.get("$defs", {})
    if what == "proposal":
        schema["properties"]["measurement"] = {
            "enum": sorted(CATALOGUE),
            "description": "kind of measurement",
        }
        schema["properties"]["device"] = _device_schema()
    else:
        definitions["Platform"]["properties"]["kind"] = {
            "enum": list(KINDS),
            "description": "kind of platform",
        }
        for name in _completed(definitions):
            definitions[name]["required"] = ["id", "name", "kind"] if name == "Platform" else []
            definitions[name]["properties"].pop("mechanism", None)
        definitions["Platform"]["properties"]["cooling"] = {
            "anyOf": definitions["Platform"]["properties"]["cooling"].get("oneOf", [])
        }
    return schema


def _completed(definitions: dict[str, Any]) -> list[str]:
    """The models that an archetype fills in: a platform and the sections of its own."""
    sections = definitions["Platform"]["properties"]
    archetype = next(iter(KINDS.values()))
    found = ["Platform"]
    for key in archetype:
        text = json.dumps(sections[key])
        found += [name for name in definitions if f'"#/$defs/{name}"' in text]
    return found


def _device_schema() -> dict[str, Any]:
    inputs = {each.name: each for kind in CATALOGUE.values() for each in kind.inputs}
    return {
        "type": "object",
        "description": "what the kind of measurement asks about the device",
        "properties": {
            name: {"type": ["string", "number", "object"], "description": each.question}
            for name, each in sorted(inputs.items())
        },
        "additionalProperties": False,
    }
