"""The rule base: loading, a facility's departures from it, its fingerprint and its order of work."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from triage.errors import Problem
from triage.reasoning.entries import Entries, did_you_mean
from triage.reasoning.limits import LONGEST_TEXT, MOST_RULES, misleading
from triage.reasoning.rule import Condition, Example, Rule, read_rule
from triage.reasoning.store import read_all
from triage.reasoning.vocabulary import Vocabulary, read_vocabulary
from triage.source import Source, read

__all__ = ["Condition", "Departure", "Example", "Rule", "Rulebase", "Vocabulary", "load", "stratify"]

Strata = tuple[tuple[Rule, ...], ...]


@dataclass(frozen=True)
class Departure:
    """One way in which a facility's rules differ from the shipped ones."""

    rule: str
    action: str  # adds | overrides | retires
    who: str = ""
    why: str = ""
    file: str = field(default="", repr=False)
    shipped: Rule | None = field(default=None, repr=False)


@dataclass(frozen=True)
class Rulebase:
    """The rules that are not retired (sorted by id), the words they use and the literature they cite."""

    rules: tuple[Rule, ...]
    vocabulary: Vocabulary = field(default_factory=Vocabulary)
    references: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    retired: tuple[Rule, ...] = ()
    departures: tuple[Departure, ...] = ()

    @cached_property
    def by_id(self) -> dict[str, Rule]:
        """The rules by their id."""
        return {rule.id: rule for rule in self.rules}

    @cached_property
    def content(self) -> str:
        """SHA-256 of everything that can change an outcome or its words, whatever the layout of the files."""
        said = repr((self.rules, self.vocabulary, self.departures))
        return hashlib.sha256(said.encode()).hexdigest()

    @property
    def fingerprint(self) -> str:
        """The first 12 hex digits of `content`, as records show it."""
        return self.content[:12]

    @cached_property
    def _ordered(self) -> tuple[Strata, tuple[Rule, ...]]:
        return stratify(rule for rule in self.rules if rule.in_force)

    @property
    def strata(self) -> Strata:
        """The rules in force, each after every rule whose conclusion it needs."""
        return self._ordered[0]

    @property
    def circular(self) -> tuple[Rule, ...]:
        """Rules that cannot be ordered because their conclusions wait for each other; they never fire."""
        return self._ordered[1]


def stratify(rules: Iterable[Rule]) -> tuple[Strata, tuple[Rule, ...]]:
    """Rules grouped so that conclusions are made before they are needed, and the rules left in a circle."""
    waiting, strata = list(rules), []
    while waiting:
        to_come = {rule.conclude for rule in waiting if rule.conclude}
        ready = [rule for rule in waiting if not rule.needs & to_come]
        if not ready:
            break
        strata.append(tuple(ready))
        waiting = [rule for rule in waiting if rule.needs & to_come]
    return tuple(strata), tuple(waiting)


def load(shipped: Path, overlay: Path | None = None) -> tuple[Rulebase, list[Problem]]:
    """Read the shipped rules and, where given, a facility's own rules over them.

    Every problem is returned; a rule with problems is left out, so the caller decides whether to go on.
    """
    problems: list[Problem] = []
    vocabulary = Vocabulary()
    facts, literature = shipped / "facts.yaml", shipped / "references.yaml"
    sources, found = read_all([facts, literature, *sorted(shipped.glob("*/*.yaml"))], shipped.parent)
    problems += found
    if source := sources.pop(facts, None):
        vocabulary, found = read_vocabulary(source)
        problems += found
    references = _references(sources.pop(literature, None), problems)
    rules: dict[str, Rule] = {}
    for source in sources.values():
        rule, found = read_rule(source, vocabulary)
        problems += found
        if rule:
            _add(rule, rules, problems)
    departures: list[Departure] = []
    if overlay:
        own = overlay / "rules" / "references.yaml"
        if own.is_file():
            references |= _references(_read(own, overlay.parent, problems), problems)
        for path in _own_files(overlay, problems):
            source = None if path == own else _read(path, overlay.parent, problems)
            if source:
                departures += _depart(source, vocabulary, rules, problems)
    ordered = [rules[name] for name in sorted(rules)]
    return (
        Rulebase(
            tuple(rule for rule in ordered if rule.status != "retired"),
            vocabulary,
            references,
            tuple(rule for rule in ordered if rule.status == "retired"),
            tuple(departures),
        ),
        problems,
    )


def _own_files(overlay: Path, problems: list[Problem]) -> list[Path]:
    """The rule files of a facility; none that lies elsewhere and is only linked to, and not too many."""
    folder, found = overlay / "rules", []
    for path in sorted(folder.rglob("*.yaml")):
        if path.resolve().is_relative_to(folder.resolve()):
            found.append(path)
        else:
            name = path.relative_to(overlay.parent).as_posix()
            problems.append(Problem(name, 0, "", "is a link to a file elsewhere", "copy the file into the folder"))
    if len(found) > MOST_RULES:
        name = folder.relative_to(overlay.parent).as_posix()
        message = f"holds {len(found)} rule files, at most {MOST_RULES}"
        problems.append(Problem(name, 0, "", message, "keep the rules of this facility only"))
    return found[:MOST_RULES]


def _read(path: Path, above: Path, problems: list[Problem]) -> Source | None:
    source, found = read(path, path.relative_to(above).as_posix())
    problems += found
    return source


def _references(source: Source | None, problems: list[Problem]) -> dict[str, Mapping[str, Any]]:
    if source is None:
        return {}
    top = Entries(source, source.data, (), problems)
    return {key: top.below(key, data).data for key, data in top.data.items()}


def _add(rule: Rule, rules: dict[str, Rule], problems: list[Problem]) -> None:
    first = rules.setdefault(rule.id, rule)
    if first is not rule:
        message = f"'{rule.id}' is already the id of {first.source.file}"
        problems.append(rule.problem(("id",), message, "give the rule its own id; ids are never used again"))


def _depart(source: Source, vocabulary: Vocabulary, rules: dict[str, Rule], problems: list[Problem]) -> list[Departure]:
    """Apply one file of a facility's rules; returns the departure it makes, if it is in order."""
    data = source.data if isinstance(source.data, dict) else {}
    if "retire" in data:
        return _retire(source, rules, problems)
    rule, found = read_rule(source, vocabulary, "facility", ("override",))
    who, why = _reason(source, "override", found) if "override" in data else ("", "")
    problems += found
    if rule is None or found:
        return []
    shipped = rules.get(rule.id)
    if shipped is None and "override" in data:
        remedy = did_you_mean(rule.id, rules, "leave `override` out to add a rule")
        problems.append(rule.problem(("override",), f"there is no rule '{rule.id}' to override", remedy))
        return []
    if shipped is None:
        rules[rule.id] = rule
        return [Departure(rule.id, "adds", file=source.file)]
    if shipped.origin == "facility":
        _add(rule, rules, problems)
        return []
    if "override" not in data:
        message = f"'{rule.id}' is a shipped rule"
        remedy = "add `override: {who: name, why: reason}`, or choose another id"
        problems.append(rule.problem(("id",), message, remedy))
        return []
    rules[rule.id] = rule
    return [Departure(rule.id, "overrides", who, why, source.file, shipped)]


def _retire(source: Source, rules: dict[str, Rule], problems: list[Problem]) -> list[Departure]:
    found: list[Problem] = []
    name = Entries(source, source.data, (), found, ("id", "retire")).text("id")
    who, why = _reason(source, "retire", found)
    shipped = rules.get(name)
    if name and (shipped is None or shipped.origin != "shipped"):
        remedy = did_you_mean(name, rules, "see `rules/` for the ids")
        found.append(source.problem(("id",), f"there is no shipped rule '{name}' to retire", remedy))
    problems += found
    if found:
        return []
    del rules[name]
    return [Departure(name, "retires", who, why, source.file, shipped)]


def _reason(source: Source, key: str, problems: list[Problem]) -> tuple[str, str]:
    entries = Entries(source, source.data.get(key), (key,), problems, ("who", "why"))
    who, why = entries.text("who"), entries.text("why")
    for name, text in (("who", who), ("why", why)):
        if len(text) > LONGEST_TEXT or misleading(text):
            entries.wrong(name, "is too long, or has signs that cannot be seen", "type it again, and shorter")
    return who, why
