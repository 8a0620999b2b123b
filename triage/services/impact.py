"""What an edit of the rules does to the scenario library: which decisions flip, and why."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from triage.errors import BadInput, Problem
from triage.models.recommendation import Finding, Recommendation
from triage.reasoning.rulebase import Rulebase, load
from triage.services.library import Assessed, Heard, assess_all
from triage.services.workshop import on_trial
from triage.services.workspace import Facility, shipped


@dataclass(frozen=True)
class Decision:
    """What is answered to one proposal."""

    platform: str | None
    verdict: str | None
    confidence: str
    tier: str | None
    second: str | None
    making: str | None = None

    @property
    def says(self) -> str:
        """The decision in a few words."""
        if self.platform is None:
            return "none"
        second = f"; second, {self.second}" if self.second else ""
        return f"{self.platform}, {self.verdict} ({self.tier or 'no tier'}), {self.confidence}{second}"


@dataclass(frozen=True)
class Change:
    """One proposal before and after the edit."""

    proposal: str
    before: Decision
    after: Decision
    verdicts: tuple[str, ...]  # of platforms and ways of making, "name: suitable -> tight"
    because: tuple[str, ...]  # findings that came or went
    gained: int
    lost: int

    @property
    def flips(self) -> bool:
        """Whether another platform is recommended, or the same with another verdict, tier or confidence."""
        return self.before != self.after


@dataclass(frozen=True)
class Impact:
    """The scenario library under two rule bases."""

    before: str  # fingerprints
    after: str
    edited: tuple[str, ...]  # ids of the rules that differ
    library: str
    proposals: int
    changes: tuple[Change, ...]  # of proposals in which anything differs
    problems: tuple[Problem, ...] = ()

    @property
    def flips(self) -> tuple[Change, ...]:
        """The proposals whose decision differs."""
        return tuple(each for each in self.changes if each.flips)


def impact(library: Facility, edit: Path, folder: Path | None = None) -> Impact:
    """Assess every proposal of a library without and with an edit of the rules.

    `edit` is a rule file, a folder of rule files, a facility's folder whose ``rules`` are put over those of
    `folder`, or a whole rule base (a folder with ``facts.yaml``). A file that already lies in the rules of
    `folder` is taken out for *before*. A draft is assessed as if it were on trial. Raises `BadInput`.
    """
    folder = library.folder if folder is None else folder
    before, after = _rule_bases(folder, _found(folder, edit))
    edited = tuple(_edited(before, after))
    rules = [rulebase.by_id[name] for name in edited for rulebase in (before, after) if name in rulebase.by_id]
    making = any(rule.about == "layer" for rule in rules)
    one, problems = assess_all(replace(library, rulebase=before), making=making)
    other, _ = assess_all(replace(library, rulebase=after), making=making)
    changes = [_change(*pair) for pair in zip(one, other, strict=True)]
    differ = tuple(each for each in changes if each.flips or each.verdicts or each.gained or each.lost)
    return Impact(before.fingerprint, after.fingerprint, edited, library.lab.name, len(one),
                  differ, tuple(problems))  # fmt: skip


def _rule_bases(facility: Path, edit: Path) -> tuple[Rulebase, Rulebase]:
    own = facility / "rules"
    overlay = facility if own.is_dir() else None
    if (edit / "facts.yaml").is_file():
        before = _loaded(*load(shipped("rules"), overlay))
        return before, _on_trial(*load(edit, overlay), before)
    folder = edit / "rules" if (edit / "rules").is_dir() else edit
    files = _rule_files(folder)
    names = {_place(path, folder, own) for path in files}
    inside = all(path.resolve().is_relative_to(own.resolve()) for path in files)
    with tempfile.TemporaryDirectory() as temporary:
        without, with_edit = (Path(temporary) / when / facility.resolve().name for when in ("before", "after"))
        _copy_rules(own, without / "rules", names if inside else set())
        _copy_rules(own, with_edit / "rules", names)
        for path in files:
            target = with_edit / "rules" / _place(path, folder, own)
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target)
        before = _loaded(*load(shipped("rules"), without))
        return before, _on_trial(*load(shipped("rules"), with_edit), before)


def _found(facility: Path, edit: Path) -> Path:
    """The edit as given, or the facility's own rule of that id."""
    own = facility / "rules" / f"{edit.name}.yaml"
    if edit.exists():
        return edit
    if edit.name == str(edit) and own.is_file():
        return own
    raise BadInput([Problem(str(edit), 0, "", "is no file, no folder and no rule of this facility",
                            "give the edited file, or the id of a rule in the facility's folder")])  # fmt: skip


def _rule_files(folder: Path) -> list[Path]:
    """The rule files of an edit; none that is only linked to."""
    files = sorted(folder.rglob("*.yaml")) if folder.is_dir() else [folder]
    if not files:
        raise BadInput([Problem(str(folder), 0, "", "holds no rule files", "give a folder with *.yaml files")])
    above = (folder if folder.is_dir() else folder.parent).resolve()
    linked = [path for path in files if not path.resolve().is_relative_to(above)]
    if linked:
        raise BadInput([Problem(str(path), 0, "", "is a link to a file elsewhere", "copy it") for path in linked])
    return files


def _place(path: Path, folder: Path, own: Path) -> Path:
    """Where an edited file goes below a facility's rules."""
    for above in (own, folder):
        if path.resolve().is_relative_to(above.resolve()) and path != above:
            return path.resolve().relative_to(above.resolve())
    return Path(path.name)


def _copy_rules(own: Path, target: Path, without: set[Path]) -> None:
    target.mkdir(parents=True)
    for path in sorted(own.rglob("*.yaml")) if own.is_dir() else ():
        place = path.relative_to(own)
        if place not in without:
            (target / place).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target / place)


def _loaded(rulebase: Rulebase, problems: Sequence[Problem]) -> Rulebase:
    if problems:
        raise BadInput(problems)
    return rulebase


def _on_trial(rulebase: Rulebase, problems: Sequence[Problem], before: Rulebase) -> Rulebase:
    """The edited rule base with the drafts of the edit put on trial."""
    rules = _loaded(rulebase, problems).rules
    return on_trial(rulebase, {rule.id for rule in rules if before.by_id.get(rule.id) != rule})


def _edited(before: Rulebase, after: Rulebase) -> Iterator[str]:
    for name in sorted(before.by_id.keys() | after.by_id.keys()):
        if before.by_id.get(name) != after.by_id.get(name):
            yield name


def _change(before: Assessed, after: Assessed) -> Change:
    verdicts = tuple(_verdicts(before, after))
    gained, lost = list(_more(before, after)), list(_more(after, before))
    moved = {each.partition(":")[0] for each in verdicts}
    told = [("now", *each) for each in gained] + [("no longer", *each) for each in lost]
    told.sort(key=lambda each: (each[1].subject not in moved, each[2].effect == "note", each[1].subject, each[2].rule))
    because = tuple(
        f"{when} {finding.effect} {finding.rule} on {heard.subject}: {finding.because}" for when, heard, finding in told
    )
    return Change(before.name, _decision(before), _decision(after), verdicts, because, len(gained), len(lost))


def _decision(assessed: Assessed) -> Decision:
    answer: Recommendation = assessed.answer
    plan = assessed.route.recommended if assessed.route else None
    return Decision(answer.recommended, answer.verdict, answer.confidence, answer.tier, answer.second,
                    plan.name if plan else None)  # fmt: skip


def _verdicts(before: Assessed, after: Assessed) -> Iterator[str]:
    now = _by_name(after)
    for name, verdict in _by_name(before).items():
        if now.get(name, verdict) != verdict:
            yield f"{name}: {verdict} -> {now[name]}"


def _by_name(assessed: Assessed) -> Mapping[str, str]:
    found = {each.platform: str(each.verdict) for each in assessed.answer.platforms}
    return found | {each.name: str(each.verdict) for each in (assessed.route.plans if assessed.route else ())}


def _more(before: Assessed, after: Assessed) -> Iterator[tuple[Heard, Finding]]:
    """The findings of the second that the first does not have, or has in other words or with another effect."""
    known = {(one.subject, each.rule, each.effect) for one in before.heard for each in one.findings}
    for one in after.heard:
        for each in one.findings:
            if (one.subject, each.rule, each.effect) not in known:
                yield one, each
