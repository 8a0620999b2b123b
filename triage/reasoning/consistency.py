"""Rules that quarrel, repeat each other or can never speak, found by the facts for which they fire.

Two rules are compared where both can fire: over the ranges of the vocabulary and through the conclusions
that they wait for, not by how they are written. Where two rules are meant to overlap, one of them says so
under `goes_with`, with the reason; a `goes_with` that is not needed is itself a problem.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from triage.display import show
from triage.errors import Problem
from triage.reasoning.boxes import MOST_BOXES, Box, boxes, holds_nothing, narrowed, own_box, within, witness
from triage.reasoning.entries import did_you_mean
from triage.reasoning.rule import Rule
from triage.reasoning.rulebase import Rulebase
from triage.reasoning.vocabulary import Value, Vocabulary

_STRENGTH = {"caution": 1, "veto": 2}  # of effects that decide a gate; nothing undoes the stronger one


@dataclass(frozen=True)
class Overlap:
    """Two rules that get in each other's way, and facts for which both fire."""

    kind: str  # contradictory | subsumed | duplicate
    rule: Rule
    other: Rule
    facts: Mapping[str, Value]

    @property
    def accepted(self) -> bool:
        """Whether one of the two says that it is meant to go with the other."""
        return self.other.id in dict(self.rule.goes_with) or self.rule.id in dict(self.other.goes_with)


def check(rulebase: Rulebase) -> list[Problem]:
    """Every rule that contradicts, repeats or lies within another, or can never fire, with what to do about it."""
    known = boxes(rulebase)
    found = overlaps(rulebase, known)
    problems = [_problem(each, rulebase.vocabulary) for each in found if not each.accepted]
    problems += _unreachable(rulebase, known)
    problems += _needless(rulebase, found)
    return sorted(problems)


def overlaps(rulebase: Rulebase, known: Mapping[str, Sequence[Box]] | None = None) -> list[Overlap]:
    """Every pair of rules that are contradictory, one within the other, or equal, accepted or not."""
    known = boxes(rulebase) if known is None else known
    subjects: dict[str, list[Rule]] = defaultdict(list)
    for rule in rulebase.rules:
        if known.get(rule.id):
            subjects[rule.about].append(rule)
    pairs = (pair for rules in subjects.values() for pair in combinations(rules, 2))
    return [found for one, other in pairs if (found := _compared(one, other, known))]


def _compared(one: Rule, other: Rule, known: Mapping[str, Sequence[Box]]) -> Overlap | None:
    lies, holds = _lies_within(one, other, known), _lies_within(other, one, known)
    if lies and holds:
        return Overlap("duplicate", other, one, witness(known[one.id][0]))
    for inner, outer, is_inside in ((one, other, lies), (other, one, holds)):
        if is_inside and _adds_nothing(inner, outer):
            return Overlap("subsumed", inner, outer, witness(known[inner.id][0]))
    if one.gate == other.gate and {one.effect, other.effect} == {"veto", "credit"}:
        credit, veto = (one, other) if one.effect == "credit" else (other, one)
        for box in _common(credit, veto, known):
            return Overlap("contradictory", credit, veto, witness(box))
    return None


def _lies_within(one: Rule, other: Rule, known: Mapping[str, Sequence[Box]]) -> bool:
    if len(known[one.id]) == MOST_BOXES:
        return False  # it has more ways to fire than are looked at
    return all(any(within(inner, outer) for outer in known[other.id]) for inner in known[one.id])


def _adds_nothing(inner: Rule, outer: Rule) -> bool:
    """Whether a rule that fires only where the other does leaves its gate as the other has it anyway.

    A note decides nothing and is there for its words, so only an equal note repeats it.
    """
    if inner.gate != outer.gate or inner.lifts != outer.lifts or inner.conclude not in ("", outer.conclude):
        return False
    if inner.effect == outer.effect:
        return inner.effect != "note"
    return 0 < _STRENGTH.get(inner.effect, 0) < _STRENGTH.get(outer.effect, 0)


def _common(one: Rule, other: Rule, known: Mapping[str, Sequence[Box]]) -> Iterator[Box]:
    """The boxes in which both rules fire, as far as they look at a common fact."""
    for mine in known[one.id]:
        for theirs in known[other.id]:
            both = narrowed(mine, theirs)
            if mine.keys() & theirs.keys() and not holds_nothing(both):
                yield both


def _problem(found: Overlap, words: Vocabulary) -> Problem:
    """The problem in the file of the rule found; in the facility's where the other one is a shipped rule."""
    rule, other = found.rule, found.other
    swapped = rule.origin == "shipped" and other.origin != "shipped"
    here, there = (other, rule) if swapped else (rule, other)
    where = facts_text(found.facts, words)
    if found.kind == "contradictory":
        message = f"is a {here.effect} where {there.id} is a {there.effect} on the same gate, for example with {where}"
        remedy = "narrow one of them"
    elif found.kind == "duplicate":
        message, remedy = f"the conditions are those of {there.id}", "merge the two, or retire one"
    elif swapped:
        message = f"leaves {rule.id} nothing to add: wherever that fires, this is a {other.effect} on the same gate"
        remedy = "narrow this one, or retire the shipped one"
    else:
        message = f"never adds anything: wherever it fires, {other.id} is a {other.effect} on the same gate"
        remedy = "widen it, make it a note, or retire it"
    accept = f"; if both are wanted, write `goes_with: {{{there.id}: why}}`"
    return here.problem(("when",), message, remedy + accept)


def facts_text(facts: Mapping[str, Value], words: Vocabulary) -> str:
    """Facts as a person types them: ``unbroken = yes, hold_margin = 0.5``."""
    return ", ".join(f"{name} = {value_text(value, words.facts[name].unit)}" for name, value in facts.items())


def value_text(value: Value, unit: str) -> str:
    """A value of a fact as a person writes it."""
    return value if isinstance(value, str) else show(value, unit) if unit else f"{value:.6g}"


def _unreachable(rulebase: Rulebase, known: Mapping[str, Sequence[Box]]) -> Iterator[Problem]:
    """Rules for which no facts make all conditions hold at once, or whose conclusions nobody makes."""
    for rule in rulebase.rules:
        if rule.id not in known or known[rule.id] or holds_nothing(own_box(rule, rulebase.vocabulary)):
            continue  # a circle, a rule that can fire, or conditions that the lint names one by one
        makers = {
            name: [each for each in rulebase.rules if each.conclude == name and each.in_force and known[each.id]]
            for name in sorted(rule.needs)
        }
        idle = next((name for name, rules in makers.items() if not rules), None)
        if idle:
            message = f"can never fire: no rule in force can conclude {idle}"
            remedy = "put a rule that concludes it in force, or take the condition out"
        else:
            named = ", ".join(each.id for rules in makers.values() for each in rules)
            message = f"can never fire: its conditions exclude those of {named}, whose conclusions it needs"
            remedy = "drop the condition that excludes them"
        yield rule.problem(("when",), message, remedy)


def _needless(rulebase: Rulebase, found: Sequence[Overlap]) -> Iterator[Problem]:
    """What is written under `goes_with` and excuses nothing."""
    pairs = {frozenset((each.rule.id, each.other.id)) for each in found}
    departed = {departure.rule for departure in rulebase.departures}
    for rule in rulebase.rules:
        for name, _ in rule.goes_with:
            if rule.origin == "shipped" and name in departed:
                continue  # a facility that changes one rule need not tidy the shipped ones
            path = ("goes_with", name)
            if name not in rulebase.by_id:
                remedy = did_you_mean(name, rulebase.by_id, "take it out")
                yield rule.problem(path, f"there is no rule '{name}'", remedy)
            elif frozenset((rule.id, name)) not in pairs:
                yield rule.problem(path, f"does not get in the way of {name}", "take it out")
