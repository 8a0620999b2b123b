"""Small rule bases written to a folder, for the tests of loading, lint and the evaluators."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path
from typing import Any

import yaml

from triage.reasoning.rulebase import Rulebase, load

FACTS: dict[str, Any] = {
    "facts": {
        "thermal_margin": {
            "about": "platform",
            "kind": "number",
            "gate": "temperature",
            "from": 0,
            "to": 1000,
            "meaning": "needed over given electron temperature",
        },
        "oxygen_after_release": {
            "about": "platform",
            "kind": "number",
            "unit": "%",
            "gate": "risk_cost",
            "from": "0 %",
            "to": "25 %",
            "meaning": "oxygen left in the room after all helium is released",
        },
        "electron_temperature_basis": {
            "about": "platform",
            "kind": "word",
            "words": ["measured", "stale", "default"],
            "gate": "temperature",
            "meaning": "where the electron temperature comes from",
        },
        "overlay_margin": {
            "about": "layer",
            "kind": "number",
            "gate": "route",
            "from": 0,
            "to": 1000,
            "meaning": "allowed over reached overlay error",
        },
    },
    "conclusions": {"electron-temperature-assumed": {"about": "platform", "meaning": "nobody measured it"}},
    "shown": {"platform": "the platform's name", "needed_temperature": "the temperature needed"},
}

RULE: dict[str, Any] = {
    "id": "temperature.too-warm",
    "title": "Electrons warmer than the energy scale allows",
    "about": "platform",
    "gate": "temperature",
    "status": "stable",
    "when": [{"fact": "thermal_margin", "is": "below", "value": 1}],
    "then": {"effect": "veto"},
    "because": "{platform} is too warm; {needed_temperature} is needed, margin {thermal_margin}.",
    "trade_off": "A colder platform costs cooldown time.",
    "wrong_when": ["Self-heating sets the electron temperature whatever the bath does."],
    "basis": "published",
    "references": ["Author1991"],
    "since": "2026-11-25",
    "examples": {"fires": [{"thermal_margin": 0.36}], "silent": [{"thermal_margin": 1}]},
}

ASSUMED = RULE | {
    "id": "temperature.assumed",
    "when": [{"fact": "electron_temperature_basis", "is": "one of", "value": ["stale", "default"]}],
    "then": {"conclude": "electron-temperature-assumed"},
    "because": "Nobody measured the electron temperature of {platform}.",
    "examples": {
        "fires": [{"electron_temperature_basis": "stale"}],
        "silent": [{"electron_temperature_basis": "measured"}],
    },
}

CALIBRATE = RULE | {
    "id": "temperature.calibrate",
    "when": [
        {"concluded": "electron-temperature-assumed"},
        {"fact": "thermal_margin", "is": "below", "value": 2},
    ],
    "then": {"effect": "caution"},
    "because": "Calibrate {platform} first.",
    "examples": {
        "fires": [{"thermal_margin": 1.5, "concluded": ["electron-temperature-assumed"]}],
        "silent": [
            {"thermal_margin": 2, "concluded": ["electron-temperature-assumed"]},
            {"thermal_margin": 1},
        ],
    },
}

OXYGEN = RULE | {
    "id": "risk_cost.oxygen",
    "gate": "risk_cost",
    "when": [{"fact": "oxygen_after_release", "is": "below", "value": "19.5 %"}],
    "because": "A release leaves {oxygen_after_release} oxygen.",
    "examples": {
        "fires": [{"oxygen_after_release": "12 %"}],
        "silent": [{"oxygen_after_release": "19.5 %"}],
    },
}

OVERLAY = RULE | {
    "id": "route.overlay",
    "about": "layer",
    "gate": "route",
    "when": [{"fact": "overlay_margin", "is": "at most", "value": 1}],
    "because": "The overlay margin is {overlay_margin}.",
    "examples": {"fires": [{"overlay_margin": 1}], "silent": [{"overlay_margin": 2}]},
}

RULES = (RULE, ASSUMED, CALIBRATE, OXYGEN, OVERLAY)


def changed(base: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """A copy of a rule or vocabulary with top-level entries replaced; None takes an entry out."""
    copy = deepcopy(base) | changes
    return {key: value for key, value in copy.items() if value is not None}


def write(
    above: Path,
    rules: tuple[dict[str, Any], ...] | list[dict[str, Any]] = RULES,
    facts: dict[str, Any] = FACTS,
    references: tuple[str, ...] = ("Author1991",),
) -> Path:
    """Write a rule base under a folder; returns its ``rules`` folder."""
    folder = above / "rules"
    (folder / "platform").mkdir(parents=True)
    put(folder / "facts.yaml", facts)
    put(folder / "references.yaml", {key: {"text": "A text", "basis": "published"} for key in references})
    for rule in rules:
        put(folder / "platform" / f"{rule['id']}.yaml", rule)
    return folder


def put(path: Path, data: Any) -> Path:
    """Write one YAML file, with its folders."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(yaml.safe_dump(data, sort_keys=False, allow_unicode=True), encoding="utf-8")
    return path


def loaded(
    above: Path,
    rules: tuple[dict[str, Any], ...] | list[dict[str, Any]] = RULES,
    facts: dict[str, Any] = FACTS,
) -> Rulebase:
    """Write and load a rule base that has no problems."""
    rulebase, problems = load(write(above, rules, facts))
    assert problems == []
    return rulebase
