"""A proposal while it is being written: entries by path, YAML text that keeps what was written, equivalents."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import yaml

from triage.display import show
from triage.errors import BadInput, Problem
from triage.measurements.catalogue import CATALOGUE
from triage.measurements.inputs import read_inputs
from triage.measurements.observations import OBSERVATIONS, Observation
from triage.models.proposal import Proposal
from triage.physics.constants import bohr_magneton, boltzmann, elementary_charge, planck
from triage.services.workspace import Facility, Request, read_request_text
from triage.source import Source, read_text

Data = dict[str, Any]
UNTITLED = "Untitled proposal"
_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}


def get(data: Mapping[str, Any], path: str) -> Any:
    """What is written at a dotted path, or None."""
    here: Any = data
    for part in path.split("."):
        if not isinstance(here, Mapping):
            return None
        here = here.get(part)
    return here


def text_at(data: Mapping[str, Any], path: str) -> str:
    """What is written at a path as text for a field: the value alone where basis and source stand with it."""
    found = get(data, path)
    if isinstance(found, Mapping):
        found = found.get("value")
    if isinstance(found, bool):
        return "yes" if found else "no"
    return "" if found is None or isinstance(found, list | Mapping) else str(found)


def basis_at(data: Mapping[str, Any], path: str) -> tuple[str, str]:
    """Basis and source that stand with a value, both empty where only the value is written."""
    found = get(data, path)
    if not isinstance(found, Mapping) or "value" not in found:
        return "", ""
    return str(found.get("basis") or ""), str(found.get("source") or "")


def put(data: Mapping[str, Any], path: str, written: str | bool) -> Data:
    """A copy with another text at a path; an empty text takes the entry away, and what it leaves empty."""
    first, _, rest = path.partition(".")
    changed = dict(data)
    if rest:
        below = changed.get(first)
        inner = put(below if isinstance(below, Mapping) else {}, rest, written)
        if inner:
            changed[first] = inner
        else:
            changed.pop(first, None)
        return changed
    old = changed.get(first)
    if isinstance(written, str) and not written.strip():
        changed.pop(first, None)
    elif isinstance(old, Mapping) and "value" in old:
        changed[first] = {**old, "value": written}
    else:
        changed[first] = written
    return changed


def new_proposal(kind: str = "") -> Data:
    """The least a proposal says."""
    return {"title": UNTITLED, **({"measurement": kind} if kind else {}), "tier": "measure"}


def from_observation(observation: Observation) -> Data:
    """A proposal that repeats a published observation, its numbers marked by where they come from."""

    def marked(name: str, value: str) -> dict[str, str]:
        if name in observation.assumed:
            return {"value": value, "basis": "common practice", "source": "usual for such a device"}
        return {"value": value, "basis": observation.provenance, "source": observation.reference}

    data: Data = {
        "title": f"Repeat: {observation.seen}"[:200],
        "measurement": observation.kind,
        "tier": observation.tier,
    }
    if observation.device:
        data["device"] = {name: marked(name, value) for name, value in observation.device.items()}
    if observation.field is not None:
        data["field"] = {"magnitude": marked("field", observation.field)}
    return data


def observations() -> tuple[Observation, ...]:
    """The published observations a person can start from."""
    return OBSERVATIONS


def change_kind(data: Mapping[str, Any], kind: str) -> Data:
    """A copy for another kind of measurement; what that kind does not ask about the device is left out."""
    known = {each.name for each in CATALOGUE[kind].inputs}
    device = {name: value for name, value in dict(data.get("device") or {}).items() if name in known}
    changed = {**data, "measurement": kind}
    changed.pop("device", None)
    return {**changed, **({"device": device} if device else {})}


class _Writer(yaml.SafeDumper):
    """Writes text plain where YAML would read a number or a date, since files are read as text anyway."""

    def ignore_aliases(self, data: Any) -> bool:  # noqa: ARG002  an alias is legal but nobody expects one
        return True


def _text(writer: _Writer, text: str) -> yaml.Node:
    resolve: Any = writer.resolve
    tag: str = resolve(yaml.ScalarNode, text, (True, False))
    if tag.rpartition(":")[2] in ("int", "float", "timestamp"):
        return writer.represent_scalar(tag, text)
    return writer.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)


def _map(writer: _Writer, data: dict[str, Any]) -> yaml.Node:
    simple = all(not isinstance(value, dict | list) for value in data.values()) and "title" not in data
    short = sum(len(str(key)) + len(str(value)) + 4 for key, value in data.items()) < 90
    plain = all("\n" not in str(value) for value in data.values())
    return writer.represent_mapping("tag:yaml.org,2002:map", data.items(), flow_style=simple and short and plain)


_Writer.add_representer(str, _text)
_Writer.add_representer(dict, _map)


def to_yaml(data: Mapping[str, Any]) -> str:
    """A proposal as YAML, entries in the order of the schema; reading it gives the same data."""
    order = {name: place for place, name in enumerate(Proposal.model_fields)}
    ordered = dict(sorted(data.items(), key=lambda item: order.get(item[0], len(order))))
    text: str = yaml.dump(ordered, Dumper=_Writer, sort_keys=False, allow_unicode=True, width=100)
    return text


def from_text(text: str | bytes, name: str) -> tuple[Data, tuple[Problem, ...]]:
    """The entries of a proposal file as they are written, and the problems of reading it as YAML."""
    source, problems = read_text(text, f"{name}.yaml")
    if source is None or not isinstance(source.data, dict):
        problems = problems or [Problem(f"{name}.yaml", 1, "", "the file holds no set of entries", "see the schema")]
        return {}, tuple(problems)
    return source.data, tuple(problems)


def understood(data: Mapping[str, Any], name: str) -> tuple[Request | None, tuple[Problem, ...]]:
    """The proposal as the command line would read it, or every problem that prevents it."""
    try:
        return read_request_text(to_yaml(data), name), ()
    except BadInput as error:
        return None, tuple(error.problems)


def by_field(problems: Iterable[Problem], paths: Iterable[str]) -> tuple[dict[str, Problem], tuple[Problem, ...]]:
    """Problems beside the field they belong to, and those that belong to none of the fields shown."""
    known = list(paths)
    found: dict[str, Problem] = {}
    rest: list[Problem] = []
    for problem in problems:
        at = _nearest(problem.field, known)
        if at is None:
            rest.append(problem)
        else:
            found.setdefault(at, problem)
    return found, tuple(rest)


def _nearest(path: str, known: list[str]) -> str | None:
    if not path:
        return None
    if path in known:
        return path
    below = [each for each in known if each.startswith(f"{path}.")]
    above = [each for each in known if path.startswith(f"{each}.")]
    near = below or above
    return near[0] if near else None


def equivalents(data: Mapping[str, Any], name: str) -> tuple[str, ...]:
    """A device energy in every way the trade writes it; the field with the g-factor of the proposal.

    A capacitance is added where the kind reads one. Empty for anything that is no energy.
    """
    kind, device = CATALOGUE.get(str(data.get("measurement"))), data.get("device")
    asked = kind.input(name) if kind is not None else None
    if kind is None or asked is None or asked.reads == "quantity" or not isinstance(device, Mapping):
        return ()
    inputs, _ = read_inputs(kind, device, Source("", {}))
    value, g_factor = inputs.get(name), inputs.get("g_factor")
    if value is None or not value.known:
        return ()
    joule = value.nominal
    g = abs(g_factor.nominal) if g_factor is not None and g_factor.known and g_factor.nominal else 2.0
    shown = [
        show(joule, "J"), show(joule / boltzmann, "K"), show(joule / planck, "Hz"),
        f"{show(joule / (g * bohr_magneton), 'T')} at g = {g:g}",
    ]  # fmt: skip
    if asked.reads == "charging energy":
        shown.append(show(elementary_charge**2 / (2 * joule), "F"))
    return tuple(shown)


def name_from(title: str) -> str:
    """A file name made of a title: ``First island!`` is ``first-island``."""
    words = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60].strip("-")
    return words if words and words not in _RESERVED else "proposal"


def check_name(name: str) -> Problem | None:
    """What is wrong with the name of a proposal, or None."""
    if _NAME.fullmatch(name) and name not in _RESERVED:
        return None
    return Problem(name[:80], 0, "name", "is not a name for a proposal",
                   "use lower-case letters, digits and hyphens, at most 60")  # fmt: skip


def saved_text(facility: Facility, name: str) -> str | None:
    """The text of a proposal of the facility, or None where there is none of that name."""
    path = facility.folder / "proposals" / f"{name}.yaml"
    try:
        return path.read_text(encoding="utf-8") if check_name(name) is None else None
    except (OSError, UnicodeDecodeError):
        return None


def save(facility: Facility, name: str, text: str, *, expected: str | None) -> Path:
    """Write a proposal into the facility, whole or not at all.

    `expected` is the text that was read before (None for a new name); where the file has changed since,
    nothing is written. Raises `BadInput`.
    """
    if problem := check_name(name):
        raise BadInput([problem])
    if facility.is_demonstration:
        remedy = "download the file, or open a facility of your own"
        raise BadInput([Problem(f"{name}.yaml", 0, "", "the demonstration facility is not written to", remedy)])
    folder = facility.folder / "proposals"
    path = folder / f"{name}.yaml"
    if path.exists() and saved_text(facility, name) != expected:
        message = "has changed on disk since it was opened" if expected is not None else "exists already"
        raise BadInput([Problem(f"{name}.yaml", 0, "", message, "save under another name, or open it again")])
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _write(path, text)
    except OSError as error:
        reason = (error.strerror or "cannot be written").lower()
        remedy = "download the file, or use a folder that may be written"
        raise BadInput([Problem(str(path), 0, "", reason, remedy)]) from None
    return path


def _write(path: Path, text: str) -> None:
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem}-", suffix=".tmp")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, 0o644)
        os.replace(temporary, path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
