"""A proposal to start from: a kind of measurement with its questions, or a published observation."""

from __future__ import annotations

from triage.measurements.catalogue import get
from triage.measurements.kind import Kind
from triage.measurements.observations import OBSERVATIONS, Observation


def skeleton(key: str) -> str:
    """A commented proposal for a kind, or for the observation of that number, ready to be filled in.

    Raises `UnknownKind` with near words where the key is neither.
    """
    if key.isdigit() and 1 <= int(key) <= len(OBSERVATIONS):
        observation = OBSERVATIONS[int(key) - 1]
        return _text(get(observation.kind), observation)
    return _text(get(key), None)


def _text(kind: Kind, seen: Observation | None) -> str:
    title = f"To see again: {seen.seen}" if seen else f"A first look: {kind.title.lower()}"
    lines = [f"title: {_quoted(title)}", "claim:   # one sentence with a number and its uncertainty"]
    if seen:
        lines.insert(0, f"# Starts from {seen.reference}: seen at {seen.temperature} ({seen.provenance}).")
    tier = seen.tier if seen else "measure"
    lines += [f"measurement: {kind.key}", f"tier: {tier}   # see, measure or publish"]
    if kind.inputs:
        lines.append("device:")
        lines += [_input(each.name, each.question, each.default, each.optional, seen) for each in kind.inputs]
    if kind.needs_field:
        field = seen.field if seen and seen.field else "1 T"
        lines += ["field:", f"  magnitude: {field}"]
    usual = kind.usual
    lines += [
        "devices:",
        f"  needed: {usual.get('devices', 1)}   # usual for this kind",
        f"  lines_each: {usual.get('dc', 4)}   # usual for this kind",
        "board: {length: 20 mm, width: 15 mm}   # connectors included",
        "time:",
        f"  per_device: {usual.get('per_device', '2 h')}   # usual for this kind",
        "#  deadline: 8 weeks",
        "# More entries: `cold-triage schema proposal`",
    ]
    return "\n".join(lines) + "\n"


def _input(name: str, question: str, default: str | None, optional: bool, seen: Observation | None) -> str:
    value = (seen.device.get(name) if seen else None) or default
    if value is None and optional:
        return f"#  {name}:   # optional: {question}"
    assumed = " (assumed, the report does not say)" if seen and name in seen.assumed else ""
    return f"  {name}: {value or 'unknown'}   # {question}{assumed}"


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "").replace('"', "'") + '"'


def observations() -> list[tuple[str, str, str, str, str]]:
    """Number, kind, what was seen, temperature and reference of every published observation."""
    return [
        (str(number), each.kind, each.seen, each.temperature, each.reference)
        for number, each in enumerate(OBSERVATIONS, start=1)
    ]
