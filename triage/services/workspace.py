"""A facility as a folder: what is read from it, and the demonstration facility that ships."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from triage.errors import BadInput, Problem
from triage.measurements.catalogue import CATALOGUE, suggest
from triage.measurements.inputs import read_inputs
from triage.measurements.kind import Kind
from triage.models.lab import Lab
from triage.models.proposal import Proposal
from triage.models.quantity import Value
from triage.models.reading import read_lab, read_proposal, read_proposal_text
from triage.reasoning.rulebase import Rulebase, load
from triage.source import Source

DEMONSTRATION = "fernhollow"
_PACKAGE = Path(__file__).parent.parent


def shipped(name: str) -> Path:
    """A folder that ships with the program: `rules` or `scenarios`."""
    inside = _PACKAGE / "_shipped" / name
    return inside if inside.is_dir() else _PACKAGE.parent / name


def demonstration() -> Path:
    """The folder of the demonstration facility."""
    return shipped("scenarios") / DEMONSTRATION


@dataclass(frozen=True)
class Request:
    """A proposal that has been read and understood."""

    name: str
    proposal: Proposal
    kind: Kind
    inputs: dict[str, Value]
    source: Source
    text: str = ""


@dataclass(frozen=True)
class Facility:
    """A facility that has been read: its lab, its rule base and where it lives."""

    folder: Path
    lab: Lab
    rulebase: Rulebase
    problems: tuple[Problem, ...] = ()

    @property
    def is_demonstration(self) -> bool:
        """Whether this is the facility that ships."""
        return self.folder == demonstration()

    def proposals(self) -> list[Path]:
        """The proposal files of the facility, by name."""
        return sorted((self.folder / "proposals").glob("*.yaml"))


def open_facility(folder: Path | None = None) -> Facility:
    """Read a facility; without a folder, the demonstration facility.

    Raises `BadInput` with every problem of `lab.yaml` and of the rules.
    """
    folder = demonstration() if folder is None else folder
    if not folder.is_dir():
        raise BadInput([Problem(str(folder), 0, "", "is no folder", "give a folder that holds a lab.yaml")])
    lab, _, problems = read_lab(folder / "lab.yaml")
    overlay = folder if (folder / "rules").is_dir() else None
    rulebase, rule_problems = load_rules(overlay)
    problems = [*problems, *rule_problems]
    if lab is None or problems:
        raise BadInput(problems)
    return Facility(folder, lab, rulebase)


@lru_cache(maxsize=8)
def load_rules(overlay: Path | None = None) -> tuple[Rulebase, tuple[Problem, ...]]:
    """The shipped rule base with a facility's departures from it, read once."""
    rulebase, problems = load(shipped("rules"), overlay)
    return rulebase, tuple(problems)


def find_proposal(facility: Facility, name: str | Path) -> Path:
    """A proposal by file, or by its name within the facility.

    Raises `BadInput` where there is none, with the names there are.
    """
    path = Path(name)
    if path.suffix in (".yaml", ".yml") and path.is_file():
        return path
    inside = facility.folder / "proposals" / f"{path.name}.yaml"
    if path.name == str(name) and inside.is_file():
        return inside
    known = ", ".join(each.stem for each in facility.proposals()) or "none"
    raise BadInput([Problem(str(name), 0, "", "no such proposal", f"give a file, or one of: {known}")])


def read_request(path: Path) -> Request:
    """Read one proposal file; raises `BadInput` with every problem."""
    proposal, source, problems = read_proposal(path)
    text = "" if proposal is None else path.read_text(encoding="utf-8-sig")
    return _request(path.stem, proposal, source, problems, text=text)


def read_request_text(text: str | bytes, name: str = "proposal") -> Request:
    """Read a proposal given as text; raises `BadInput` with every problem."""
    shown = text if isinstance(text, str) else text.decode("utf-8", "replace")
    return _request(name, *read_proposal_text(text, f"{name}.yaml"), text=shown)


def _request(
    name: str, proposal: Proposal | None, source: Source | None, problems: list[Problem], *, text: str
) -> Request:
    if proposal is None or source is None:
        raise BadInput(problems)
    kind = CATALOGUE.get(proposal.measurement)
    if kind is None:
        near = suggest(proposal.measurement)
        hint = f"did you mean {' or '.join(map(repr, near))}?" if near else "see `cold-triage kinds`"
        problem = source.problem(("measurement",), f"'{proposal.measurement}' is not a kind of measurement", hint)
        raise BadInput([*problems, problem])
    inputs, found = read_inputs(kind, proposal.device, source)
    problems = [*problems, *found]
    if kind.needs_field and proposal.field is None:
        problems.append(
            source.problem(("field",), "is missing", f"'{kind.key}' needs a field, such as magnitude: 1.5 T")
        )
    if problems:
        raise BadInput(problems)
    return Request(name, proposal, kind, inputs, source, text)
