"""A decision on record: what was decided, by whom, on which grounds, in a form that stays readable and checkable.

A record is a folder with `record.json` (the data), `record.html` (one self-contained page that prints) and
`record.md`. The JSON carries the proposal and the facility as they were, the whole answer, and fingerprints.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import re
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from triage.errors import BadInput, Problem
from triage.services.assess import assess
from triage.services.plain_data import recommendation_data
from triage.services.workspace import Facility, Request

FORMAT = 1
KIND = "cold-triage decision record"
STATUSES = ("proposed", "accepted", "superseded", "withdrawn")
_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,79}")


@dataclass(frozen=True)
class Decision:
    """What people add to an answer to make it a decision."""

    deciders: tuple[str, ...] = ()
    status: str = "proposed"
    platform: str | None = None
    why: str = ""
    supersedes: str | None = None
    date: str | None = None


def make(facility: Facility, request: Request, decision: Decision) -> dict[str, Any]:
    """The record of a decision on a proposal, as plain data.

    Raises `BadInput` where a decision against the program's answer lacks its name or reason, where it overrides
    a safety veto without both, or where a platform, status or date is not usable.
    """
    answer = recommendation_data(assess(facility, request))
    date = _date(decision.date)
    chosen = decision.platform or answer["recommended"]["platform"]
    _check(decision, answer, chosen)
    lab_text = (facility.folder / "lab.yaml").read_text(encoding="utf-8")
    record: dict[str, Any] = {
        "format": FORMAT,
        "kind": KIND,
        "id": f"{date[:10]}-{request.name}",
        "status": decision.status,
        "date": date,
        "deciders": list(decision.deciders),
        "supersedes": decision.supersedes,
        "platform": chosen,
        "override": None
        if chosen == answer["recommended"]["platform"]
        else {"by": list(decision.deciders), "why": decision.why, "program_said": answer["recommended"]["platform"]},
        "claim": request.proposal.claim,
        "group": request.proposal.group,
        "proposal": {"name": request.name, "text": request.text},
        "facility": {"name": facility.lab.name, "text": lab_text},
        "departures": [
            {"rule": each.rule, "action": each.action, "who": each.who, "why": each.why}
            for each in facility.rulebase.departures
        ],
        "references": _references(facility, answer),
        "answer": answer,
    }
    record["fingerprints"] = fingerprints(record)
    return record


def _check(decision: Decision, answer: dict[str, Any], chosen: str | None) -> None:
    problems = []
    known = {each["platform"]: each for each in answer["platforms"]}
    if decision.status not in STATUSES:
        problems.append(
            Problem("--status", 0, "", f"'{decision.status}' is not a status", "use " + ", ".join(STATUSES))
        )
    if chosen is not None and chosen not in known:
        problems.append(Problem("--platform", 0, "", f"there is no platform '{chosen}'", "use " + ", ".join(known)))
    overridden = chosen != answer["recommended"]["platform"]
    if overridden and not (decision.deciders and decision.why.strip()):
        safety = [
            each["because"]
            for each in known.get(chosen or "", {}).get("findings", [])
            if each["rule"].startswith("safety.") and each["effect"] == "veto"
        ]
        remedy = "give --by NAME and --why REASON; both are printed in the record"
        if safety:
            remedy += "; it goes against a safety veto: " + " ".join(safety)
        problems.append(
            Problem("--platform", 0, "", "deciding otherwise than the program needs a name and a reason", remedy)
        )
    if problems:
        raise BadInput(problems)


def _date(text: str | None) -> str:
    """An RFC 3339 date and time; now, in UTC, where none is given."""
    if text is None:
        return datetime.datetime.now(datetime.UTC).replace(microsecond=0).isoformat().replace("+00:00", "Z")
    try:
        return datetime.datetime.fromisoformat(text).replace(microsecond=0).isoformat().replace("+00:00", "Z")
    except ValueError:
        raise BadInput([Problem("--date", 0, "", f"'{text}' is not a date", "write 2026-11-25T09:00:00Z")]) from None


def _references(facility: Facility, answer: dict[str, Any]) -> dict[str, str]:
    """The literature that the answer rests on, by key."""
    used: set[str] = set()
    for platform in answer["platforms"]:
        for part in (*platform["estimates"].values(), *platform["findings"]):
            used.update(part["references"])
    known = facility.rulebase.references
    return {key: str(known[key]["text"]) for key in sorted(used) if key in known}


def fingerprints(record: dict[str, Any]) -> dict[str, str]:
    """SHA-256 of each part that must not change unnoticed."""
    parts = {
        "proposal": record["proposal"],
        "facility": record["facility"],
        "answer": record["answer"],
        "decision": {key: record[key] for key in ("id", "date", "deciders", "platform", "override", "claim")},
    }
    return {
        name: hashlib.sha256(json.dumps(part, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
        for name, part in parts.items()
    }


def edited_parts(record: dict[str, Any]) -> list[str]:
    """The parts of a record that no longer match their fingerprints."""
    now, then = fingerprints(record), record.get("fingerprints", {})
    return sorted(name for name in now if now[name] != then.get(name))


def write(record: dict[str, Any], folder: Path) -> Path:
    """Write a record into a new folder of its own below `folder`; never over an older one."""
    from triage.services.record_pages import html_page, markdown_page

    name = str(record["id"])
    if not _NAME.fullmatch(name):
        raise BadInput([Problem(name, 0, "id", "is not usable as a folder name", "rename the proposal file")])
    text = json.dumps(record, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    pages = {"record.json": text, "record.html": html_page(record), "record.md": markdown_page(record, "page")}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        place = Path(tempfile.mkdtemp(dir=folder, prefix=".", suffix=".partial"))
        try:
            for file, content in pages.items():
                (place / file).write_text(content, encoding="utf-8")
            place.chmod(0o755)
            return _move(place, folder, name)
        finally:
            shutil.rmtree(place, ignore_errors=True)  # nothing is left where the move succeeded
    except OSError as error:
        reason = (error.strerror or "cannot be written").lower()
        raise BadInput([Problem(str(folder), 0, "", reason, "choose another folder with --out")]) from None


def _move(place: Path, folder: Path, name: str) -> Path:
    """Give the finished folder its name, with a number where the name is taken."""
    for number in range(1, 1000):
        target = folder / (name if number == 1 else f"{name}-{number}")
        try:
            place.rename(target)
        except OSError:
            if target.exists():
                continue
            raise
        return target
    raise BadInput([Problem(str(folder), 0, "", f"holds a thousand records of '{name}'", "clear it out")])


def read(path: Path) -> dict[str, Any]:
    """A record from its folder or its JSON file; raises `BadInput` where it cannot be read."""
    file = path / "record.json" if path.is_dir() else path
    try:
        record = json.loads(file.read_text(encoding="utf-8"))
    except OSError as error:
        raise BadInput([Problem(str(file), 0, "", (error.strerror or "cannot be read").lower(), "")]) from None
    except ValueError:
        raise BadInput([Problem(str(file), 0, "", "is not a record", "give a folder that `record` wrote")]) from None
    if not isinstance(record, dict) or record.get("kind") != KIND:
        raise BadInput([Problem(str(file), 0, "", "is not a record", "give a folder that `record` wrote")])
    if record.get("format") != FORMAT:
        raise BadInput(
            [Problem(str(file), 0, "format", f"is of format {record.get('format')}", f"this is format {FORMAT}")]
        )
    return record
