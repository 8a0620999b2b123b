"""The rule workshop: list and show rules, try facts on them, find mistakes, name departures."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path

from triage.errors import BadInput, NotAQuantity, Problem
from triage.models.recommendation import Finding
from triage.reasoning import engine
from triage.reasoning.entries import did_you_mean
from triage.reasoning.firing import FactSet
from triage.reasoning.lint import lint
from triage.reasoning.rule import CONCLUDED, Condition, Rule
from triage.reasoning.rulebase import Departure, Rulebase, load
from triage.reasoning.silence import Silence, in_unit, silences
from triage.reasoning.vocabulary import GATES, Value
from triage.reasoning.words import finding
from triage.services.workspace import shipped


@dataclass(frozen=True)
class Trial:
    """What the rules say to a set of facts, and why each other rule about the subject says nothing."""

    given: FactSet
    findings: tuple[Finding, ...]
    silent: tuple[Silence, ...]
    engine: str


@dataclass(frozen=True)
class Difference:
    """One entry in which a facility's rule departs from the shipped rule."""

    entry: str
    shipped: str
    own: str


def load_rules(folder: Path | None = None) -> tuple[Rulebase, list[Problem]]:
    """The shipped rules with those of a facility's folder over them, as they are on disk now."""
    return load(shipped("rules"), folder if folder is not None and (folder / "rules").is_dir() else None)


def open_rules(folder: Path | None = None) -> Rulebase:
    """As `load_rules`; raises `BadInput` with every problem of the files."""
    if folder is not None and not folder.is_dir():
        raise BadInput([Problem(str(folder), 0, "", "is no folder", "give the folder of your facility")])
    rulebase, problems = load_rules(folder)
    if problems:
        raise BadInput(problems)
    return rulebase


def problems_of(folder: Path | None = None, names: Sequence[str] = ()) -> tuple[list[Problem], int]:
    """Everything wrong with the rules, or with the files named only, and the number of rules looked at."""
    rulebase, problems = load_rules(folder)
    found = sorted({*problems, *lint(rulebase)})
    if names:
        wanted = {Path(name).stem for name in names}
        found = [problem for problem in found if Path(problem.file).stem in wanted]
    return found, len(rulebase.rules)


def find_rules(
    rulebase: Rulebase, *, gate: str = "", effect: str = "", status: str = "", origin: str = "", text: str = ""
) -> list[Rule]:
    """The rules that fit every filter given; `text` is looked for in all that a person reads of a rule."""
    words = text.lower().split()
    return [
        rule for rule in (*rulebase.rules, *(rulebase.retired if status == "retired" else ()))
        if gate in ("", rule.gate) and effect in ("", rule.effect) and status in ("", rule.status)
        and origin in ("", rule.origin) and all(word in _read_by_people(rule) for word in words)
    ]  # fmt: skip


def _read_by_people(rule: Rule) -> str:
    return " ".join((rule.id, rule.title, rule.because, rule.trade_off, *rule.wrong_when, *rule.facts,
                     *rule.references)).lower()  # fmt: skip


def get_rule(rulebase: Rulebase, name: str) -> Rule:
    """The rule of that id, in force or not; raises `BadInput` with the nearest id."""
    known = {rule.id: rule for rule in (*rulebase.retired, *rulebase.rules)}
    departed = {each.rule: each.shipped for each in rulebase.departures if each.shipped}
    rule = known.get(name) or departed.get(name)
    if rule is None:
        hint = did_you_mean(name, known, "see `cold-triage rules list`")
        raise BadInput([Problem(name[:80], 0, "", "there is no such rule", hint)])
    return rule


def departure_of(rulebase: Rulebase, name: str) -> Departure | None:
    """How the facility departs from the shipped base in one rule, or None where it does not."""
    return next((each for each in rulebase.departures if each.rule == name), None)


def differences(rulebase: Rulebase, departure: Departure) -> list[Difference]:
    """The entries in which an overriding rule differs from the shipped one; none for added and retired rules."""
    own, old = rulebase.by_id.get(departure.rule), departure.shipped
    if own is None or old is None:
        return []
    skipped = ("origin", "source", "fires", "silent", "since")
    found = []
    for each in fields(Rule):
        one, other = getattr(old, each.name), getattr(own, each.name)
        if each.name not in skipped and one != other:
            found.append(Difference(each.name, _said(one), _said(other)))
    return found


def _said(value: object) -> str:
    if isinstance(value, tuple):
        return "; ".join(condition_text(one) if isinstance(one, Condition) else str(one) for one in value) or "none"
    return str(value) or "none"


def condition_text(condition: Condition) -> str:
    """``thermal_margin below 1``, or ``concluded electron-temperature-assumed``."""
    if condition.relation == CONCLUDED:
        return f"concluded {condition.fact}"
    return f"{condition.fact} {condition.relation} {condition.written}"


def read_facts(rulebase: Rulebase, written: Iterable[str], start: Mapping[str, Value] | None = None,
               about: str = "") -> FactSet:  # fmt: skip
    """Facts written as ``name=value``, over those to start from; raises `BadInput` with every problem.

    Without `about`, the first fact says what they are about.
    """
    values, problems = dict(start or {}), []
    known = rulebase.vocabulary.facts
    for text in written:
        name, _, value = (part.strip() for part in text.partition("="))
        fact = known.get(name)
        if not value:
            problems.append(Problem(text[:80], 0, "", "is not a fact with a value", "write name=value"))
        elif fact is None:
            problems.append(Problem(name[:80], 0, "", "is not a fact", did_you_mean(name, known, "see facts.yaml")))
        else:
            about = about or fact.about
            try:
                values[name] = fact.read(value[:200])
            except NotAQuantity as trouble:
                problems.append(Problem(name, 0, "", trouble.message, trouble.remedy))
            if fact.about != about:
                message = f"is about the {fact.about}, the others are about the {about}"
                problems.append(Problem(name, 0, "", message, "try facts about one subject at a time"))
    if problems:
        raise BadInput(problems)
    return FactSet("these facts", about or next(iter(GATES)), values)


def try_facts(rulebase: Rulebase, given: FactSet) -> Trial:
    """The rules that fire on these facts, by the rule engine, and why each other rule stays silent."""
    firings = engine.fire(rulebase, [given])
    texts = _Named(given.values, rulebase)
    return Trial(given, tuple(finding(each, texts) for each in firings),
                 tuple(silences(rulebase, given, firings)), engine.name())  # fmt: skip


def on_trial(rulebase: Rulebase, names: Container[str]) -> Rulebase:
    """The rule base with the drafts named put on trial, so that their authors see what they would do."""
    drafts = {rule.id for rule in rulebase.rules if rule.id in names and rule.status == "draft"}
    rules = (replace(rule, status="trial") if rule.id in drafts else rule for rule in rulebase.rules)
    return replace(rulebase, rules=tuple(rules))


def only(trial: Trial, rule: str) -> Trial:
    """What one rule does in a trial."""
    return replace(
        trial,
        findings=tuple(each for each in trial.findings if each.rule == rule),
        silent=tuple(each for each in trial.silent if each.rule.id == rule),
    )


class _Named:
    """Placeholders where no case stands behind the facts: the facts, and the names of all else."""

    def __init__(self, facts: Mapping[str, Value], rulebase: Rulebase) -> None:
        self._facts, self._known = facts, rulebase.vocabulary.facts

    def __getitem__(self, name: str) -> str:
        value = self._facts.get(name)
        if value is None:
            return f"[{name.replace('_', ' ')}]"
        return value if isinstance(value, str) else in_unit(float(value), self._known[name].unit)
