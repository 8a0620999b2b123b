"""The words that rules may use: facts with their units and ranges, conclusions, placeholders."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from triage.errors import NotAQuantity, Problem
from triage.reasoning.entries import Entries, did_you_mean
from triage.source import Source

GATES: dict[str, tuple[str, ...]] = {
    "platform": (
        "temperature", "field", "lines", "size", "heat", "vibration", "hold", "turnaround", "risk_cost",
    ),
    "layer": ("route",),
    "proposal": ("record",),
}  # fmt: skip
_FACT_KEYS = ("about", "kind", "unit", "gate", "from", "to", "words", "meaning", "shown_only")
_NAME = re.compile(r"[a-z][a-z0-9_]*")
_CONCLUSION = re.compile(r"[a-z][a-z0-9-]*")
_RESERVED = {"concluded", "id", "kind", "sid"}

Value = float | str


@dataclass(frozen=True)
class Fact:
    """One fact: what it is about, and which values it can take."""

    name: str
    about: str
    kind: str
    gate: str
    meaning: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    words: tuple[str, ...] = ()
    shown_only: bool = False
    line: int = field(default=0, repr=False, compare=False)

    def read(self, written: object) -> Value:
        """A value as a person writes it, to the word or the SI number; raises `NotAQuantity`."""
        if self.kind == "word":
            if written not in self.words:
                remedy = did_you_mean(written, self.words)
                raise NotAQuantity(f"'{written}' is not a word of {self.name}", remedy)
            return str(written)
        text = str(written).strip()
        number = _plain_number(text)
        if not self.unit:
            if number is None:
                raise NotAQuantity(f"'{text}' is not a plain number, and {self.name} has no unit", "write a number")
            return number
        if number is not None:
            raise NotAQuantity(f"'{text}' has no unit", f"write for example '{text} {self.unit}'")
        return _quantity(text, self.unit)


@dataclass(frozen=True)
class Conclusion:
    """A word that rules conclude and that other rules may build on."""

    name: str
    about: str
    meaning: str
    line: int = field(default=0, repr=False, compare=False)


@dataclass(frozen=True)
class Vocabulary:
    """Every fact, conclusion and placeholder that rules may name."""

    facts: Mapping[str, Fact] = field(default_factory=dict)
    conclusions: Mapping[str, Conclusion] = field(default_factory=dict)
    shown: Mapping[str, str] = field(default_factory=dict)
    file: str = field(default="facts.yaml", repr=False, compare=False)


def read_vocabulary(source: Source) -> tuple[Vocabulary, list[Problem]]:
    """The vocabulary of a parsed ``facts.yaml``, with its problems; unusable entries are left out."""
    problems: list[Problem] = []
    top = Entries(source, source.data, (), problems, ("facts", "conclusions", "shown"))
    facts: dict[str, Fact] = {}
    conclusions: dict[str, Conclusion] = {}
    for name, entries in _named(top, "facts", _FACT_KEYS):
        before = len(problems)
        fact = _fact(name, entries)
        if len(problems) == before:
            facts[name] = fact
    for name, entries in _named(top, "conclusions", ("about", "meaning")):
        if not _CONCLUSION.fullmatch(name):
            entries.wrong(None, f"'{name}' is not a usable name", "use small letters, digits and hyphens")
        line = source.line(entries.path)
        conclusions[name] = Conclusion(name, entries.choice("about", GATES), entries.text("meaning"), line)
    section = top.below("shown", top.data.get("shown") or {})
    shown = {name: section.text(name) for name in sorted(section.data)}
    for name in facts.keys() & shown.keys():
        section.wrong(name, f"'{name}' is also a fact", "keep the fact: facts are placeholders already")
    return Vocabulary(_by_name(facts), _by_name(conclusions), shown, source.file), problems


def _by_name(items: dict[str, Any]) -> dict[str, Any]:
    return dict(sorted(items.items()))


def _named(top: Entries, key: str, known: Iterable[str]) -> list[tuple[str, Entries]]:
    section = top.below(key, top.data.get(key) or {})
    return [(name, section.below(name, data, known)) for name, data in section.data.items()]


def _fact(name: str, entries: Entries) -> Fact:
    if not _NAME.fullmatch(name) or name in _RESERVED:
        entries.wrong(None, f"'{name}' is not a usable name", "use small letters, digits and _; not id, kind, sid")
    about = entries.choice("about", GATES)
    kind = entries.choice("kind", ("number", "word"))
    gate = entries.choice("gate", GATES.get(about, ()) if about else sum(GATES.values(), ()))
    words = entries.texts("words")
    unit = entries.text("unit", required=False)
    low, high = -math.inf, math.inf
    if kind == "word":
        _check_words(entries, words)
    elif kind == "number":
        if words:
            entries.wrong("words", "a number has no words", "give from and to instead")
        low, high = _range(entries, name, unit)
    meaning, shown_only = entries.text("meaning"), entries.flag("shown_only")
    line = entries.source.line(entries.path)
    return Fact(name, about, kind, gate, meaning, unit, low, high, words, shown_only, line)


def _check_words(entries: Entries, words: tuple[str, ...]) -> None:
    if not words:
        entries.wrong(None, "a word needs the `words` it can be", "add `words: [first, second]`")
    for word in words:
        if looks_like_number(word):
            entries.wrong("words", f"'{word}' reads as a number", "spell it out")
    for key in ("unit", "from", "to"):
        if key in entries.data:
            entries.wrong(key, "a word has no unit and no range", f"leave `{key}` out")


def _range(entries: Entries, name: str, unit: str) -> tuple[float, float]:
    ends = {"from": -math.inf, "to": math.inf}
    fact = Fact(name, "", "number", "", "", unit)
    for key in ends:
        if key in entries.data:
            try:
                ends[key] = float(fact.read(entries.text(key)))
            except NotAQuantity as trouble:
                entries.wrong(key, trouble.message, trouble.remedy)
    if not ends["from"] < ends["to"]:
        entries.wrong("to", "the range is empty", "`from` must be smaller than `to`")
    return ends["from"], ends["to"]


def looks_like_number(word: str) -> bool:
    """Whether a word could be taken for a number; the engine compares such words with numbers."""
    try:
        float(word)
    except ValueError:
        return bool(re.match(r"\s*[-+.]?\d", word))
    return True


def _plain_number(text: str) -> float | None:
    if not re.fullmatch(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?", text):
        return None
    number = float(text)
    return number if math.isfinite(number) else None


def _quantity(text: str, unit: str) -> float:
    from triage.units import read_quantity

    reading = read_quantity(text, unit)
    if not reading.low == reading.nominal == reading.high:
        raise NotAQuantity(f"'{text}' is not one number", "write a single value with its unit")
    return reading.nominal
