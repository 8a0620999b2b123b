"""One rule: what it looks at, what it says, and how it is read from its file."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from triage.errors import NotAQuantity, Problem
from triage.reasoning import limits
from triage.reasoning.entries import Entries, did_you_mean
from triage.reasoning.vocabulary import GATES, Value, Vocabulary
from triage.source import Path_, Source

RELATIONS = ("below", "at most", "above", "at least", "equal", "not equal", "one of")
CONCLUDED = "concluded"
MOST_CONDITIONS = 24  # of one rule; the rule engine takes 29
_FOR_WORDS = ("equal", "not equal", "one of")
_EFFECTS = ("veto", "caution", "credit", "note")
_STATUSES = ("draft", "trial", "stable", "retired")
_BASES = ("published", "common practice", "from memory")
_KEYS = (
    "id", "title", "about", "gate", "status", "when", "then", "because", "trade_off", "wrong_when", "basis",
    "references", "since", "goes_with", "examples",
)  # fmt: skip


@dataclass(frozen=True)
class Condition:
    """One condition on one fact, or on one conclusion (relation ``concluded``, no values)."""

    fact: str
    relation: str
    values: tuple[Value, ...] = ()
    written: str = field(default="", repr=False, compare=False)


@dataclass(frozen=True)
class Example:
    """A set of facts for which the rule must fire, or must stay silent."""

    values: Mapping[str, Value]
    concluded: tuple[str, ...] = ()


@dataclass(frozen=True)
class Rule:
    """One rule of the rule base, every value in SI."""

    id: str
    title: str
    about: str
    gate: str
    status: str
    when: tuple[Condition, ...]
    effect: str
    because: str
    lifts: bool = False
    conclude: str = ""
    trade_off: str = ""
    wrong_when: tuple[str, ...] = ()
    basis: str = ""
    references: tuple[str, ...] = ()
    since: str = ""
    fires: tuple[Example, ...] = ()
    silent: tuple[Example, ...] = ()
    goes_with: tuple[tuple[str, str], ...] = field(default=(), repr=False)  # changes no outcome, so no fingerprint
    origin: str = "shipped"
    source: Source = field(default_factory=lambda: Source("", {}), repr=False, compare=False)

    @property
    def in_force(self) -> bool:
        """Whether the rule takes part in assessments: on trial or stable."""
        return self.status in ("trial", "stable")

    @cached_property
    def needs(self) -> frozenset[str]:
        """The conclusions this rule waits for."""
        return frozenset(condition.fact for condition in self.when if condition.relation == CONCLUDED)

    @cached_property
    def facts(self) -> tuple[str, ...]:
        """The facts its conditions look at, in the order written."""
        named = (condition.fact for condition in self.when if condition.relation != CONCLUDED)
        return tuple(dict.fromkeys(named))

    def problem(self, path: Path_, message: str, remedy: str = "") -> Problem:
        """A problem at an entry of the rule's file."""
        return self.source.problem(path, message, remedy)


def read_rule(
    source: Source, vocabulary: Vocabulary, origin: str = "shipped", extra_keys: tuple[str, ...] = ()
) -> tuple[Rule | None, list[Problem]]:
    """The rule of a parsed file, or None with what prevents its use."""
    problems: list[Problem] = []
    top = Entries(source, source.data, (), problems, (*_KEYS, *extra_keys))
    if not top.data:
        return None, problems
    about = top.choice("about", GATES)
    effect, lifts, conclude = _then(top.below("then", top.data.get("then") or {}, ("effect", "lifts", "conclude")))
    reader = _FactReader(vocabulary)
    fires, silent = _examples(top, reader)
    rule = Rule(
        id=top.text("id"),
        title=top.text("title"),
        about=about,
        gate=top.choice("gate", GATES[about]) if about else "",
        status=top.choice("status", _STATUSES),
        when=_when(top, reader),
        effect=effect,
        lifts=lifts,
        conclude=conclude,
        because=top.text("because"),
        trade_off=top.text("trade_off", required=False),
        wrong_when=top.texts("wrong_when"),
        basis=top.choice("basis", _BASES),
        references=top.texts("references"),
        since=top.text("since"),
        goes_with=_goes_with(top),
        fires=fires,
        silent=silent,
        origin=origin,
        source=source,
    )
    if rule.since and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", rule.since):
        top.wrong("since", f"'{rule.since[:20]}' is not a date", "write it as 2026-11-25")
    problems += limits.beyond(rule)
    return (None if problems else rule), problems


class _FactReader:
    def __init__(self, vocabulary: Vocabulary) -> None:
        self.facts = vocabulary.facts

    def known(self, entries: Entries, key: str, name: str) -> bool:
        """Whether a fact exists; a problem at the key where it does not."""
        if name and name not in self.facts:
            remedy = did_you_mean(name, self.facts, "add it to facts.yaml")
            entries.wrong(key, f"'{name}' is not a fact", remedy)
        return name in self.facts

    def value(self, entries: Entries, key: str, name: str, written: Any) -> Value | None:
        """A value of a known fact; a problem at the key where it cannot be one."""
        if len(str(written)) > limits.LONGEST_VALUE:
            entries.wrong(key, f"is longer than {limits.LONGEST_VALUE} characters", "write one value with its unit")
            return None
        try:
            return self.facts[name].read(written)
        except NotAQuantity as trouble:
            entries.wrong(key, trouble.message, trouble.remedy)
            return None


def _then(entries: Entries) -> tuple[str, bool, str]:
    conclude = entries.text("conclude", required=False)
    effect = entries.choice("effect", _EFFECTS, required=not conclude) or "note"
    lifts = entries.flag("lifts")
    if lifts and effect != "credit":
        entries.wrong("lifts", f"a {effect} cannot lift a platform", "use `effect: credit`, or leave `lifts` out")
    return effect, lifts, conclude


def _when(top: Entries, reader: _FactReader) -> tuple[Condition, ...]:
    written = top.data.get("when")
    if not isinstance(written, list) or not written:
        top.wrong("when" if "when" in top.data else None, "`when` is not a list of conditions",
                  "write `- {fact: name, is: below, value: 1}`")  # fmt: skip
        return ()
    if _too_many(top, "when", written):
        return ()
    listed = Entries(top.source, {}, ("when",), top.problems)
    found = [_condition(listed, index, item, reader) for index, item in enumerate(written)]
    return tuple(condition for condition in found if condition)


def _condition(listed: Entries, index: int, item: Any, reader: _FactReader) -> Condition | None:
    if isinstance(item, dict) and CONCLUDED in item:
        entries = listed.below(index, item, (CONCLUDED,))
        return Condition(entries.text(CONCLUDED), CONCLUDED)
    entries = listed.below(index, item, ("fact", "is", "value"))
    if not entries.data:
        return None
    name, relation = entries.text("fact"), entries.choice("is", RELATIONS)
    known = reader.known(entries, "fact", name)
    if "value" not in entries.data:
        entries.wrong(None, "`value` is missing", "add `value:`")
    if not known or not relation or "value" not in entries.data:
        return None
    fact, written = reader.facts[name], entries.data["value"]
    if fact.kind == "word" and relation not in _FOR_WORDS:
        entries.wrong("is", f"{name} is a word and cannot be '{relation}'", "use equal, not equal or one of")
        return None
    many = isinstance(written, list)
    if many != (relation == "one of") or written == []:
        remedy = "write `value: [first, second]`" if relation == "one of" else "give one value, or use `is: one of`"
        entries.wrong("value", f"'{relation}' does not fit this value", remedy)
        return None
    if many and _too_many(entries, "value", written):
        return None
    items = written if many else [written]
    values = [reader.value(entries, "value", name, one) for one in items]
    usable = tuple(dict.fromkeys(value for value in values if value is not None))
    return Condition(name, relation, usable, ", ".join(str(one) for one in items))


def _too_many(entries: Entries, key: str, written: Sequence[Any]) -> bool:
    """A problem where a list is longer than any person writes, before anything of it is read."""
    if len(written) > limits.MOST_LISTED:
        entries.wrong(key, f"lists {len(written)}, at most {limits.MOST_LISTED}", "keep those that matter")
    return len(written) > limits.MOST_LISTED


def _goes_with(top: Entries) -> tuple[tuple[str, str], ...]:
    """The rules that this one is meant to overlap with, and why."""
    entries = top.below("goes_with", top.data.get("goes_with") or {})
    return tuple((name, entries.text(name)) for name in sorted(entries.data))


def _examples(top: Entries, reader: _FactReader) -> tuple[tuple[Example, ...], tuple[Example, ...]]:
    entries = top.below("examples", top.data.get("examples") or {}, ("fires", "silent"))
    return _example_list(entries, "fires", reader), _example_list(entries, "silent", reader)


def _example_list(entries: Entries, key: str, reader: _FactReader) -> tuple[Example, ...]:
    written = entries.data.get(key) or []
    if not isinstance(written, list):
        entries.wrong(key, "is not a list of fact sets", "write `- {fact_name: value}`")
        return ()
    found: list[Example] = []
    if _too_many(entries, key, written):
        return ()
    for index, item in enumerate(written):
        one = Entries(entries.source, item, (*entries.path, key, index), entries.problems)
        values: dict[str, Value] = {}
        for name in sorted(one.data.keys() - {CONCLUDED}):
            if reader.known(one, name, name):
                value = reader.value(one, name, name, one.data[name])
                if value is not None:
                    values[name] = value
        found.append(Example(values, tuple(sorted(one.texts(CONCLUDED)))))
    return tuple(found)
