"""Which rules the scenario library of a facility exercises, and which thresholds it never comes near."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from triage.errors import Problem
from triage.reasoning.rule import CONCLUDED, Rule
from triage.reasoning.silence import in_unit
from triage.reasoning.vocabulary import Fact
from triage.services.library import Heard, assess_all
from triage.services.workspace import Facility

NEAR = 0.25  # of a threshold; a library that never comes nearer does not test where it lies


@dataclass(frozen=True)
class Exercised:
    """How often one rule fired in the library, and in which proposals."""

    rule: Rule
    firings: int
    proposals: tuple[str, ...]


@dataclass(frozen=True)
class Approach:
    """How near the library comes to one threshold of one rule; nothing where its fact is never known."""

    rule: Rule
    fact: str
    relation: str
    threshold: float
    written: str
    nearest: float | None
    proposal: str
    subject: str
    says: str

    @property
    def near(self) -> bool:
        """Whether some fact of the library lies close to the threshold."""
        if self.nearest is None:
            return False
        return abs(self.nearest - self.threshold) <= NEAR * (abs(self.threshold) or 1.0)


@dataclass(frozen=True)
class Coverage:
    """What a library says about a rule base: every rule in force, and every threshold of them."""

    proposals: int
    rules: tuple[Exercised, ...]
    thresholds: tuple[Approach, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def never(self) -> tuple[Rule, ...]:
        """The rules that no scenario exercises."""
        return tuple(each.rule for each in self.rules if not each.firings)

    @property
    def far(self) -> tuple[Approach, ...]:
        """The thresholds that no scenario comes near."""
        return tuple(each for each in self.thresholds if not each.near)


def coverage(facility: Facility) -> Coverage:
    """Assess the library and count which rules fire and how near facts come to thresholds."""
    assessed, problems = assess_all(facility)
    heard = [one for each in assessed for one in each.heard]
    rules = [rule for rule in facility.rulebase.rules if rule.in_force]
    facts = facility.rulebase.vocabulary.facts
    thresholds = [approach for rule in rules for approach in _approaches(rule, heard, facts)]
    return Coverage(len(assessed), tuple(_exercised(rules, heard)), tuple(thresholds), tuple(problems))


def _exercised(rules: Iterable[Rule], heard: Sequence[Heard]) -> list[Exercised]:
    fired: dict[str, list[str]] = {}
    for one in heard:
        for finding in one.findings:
            fired.setdefault(finding.rule, []).append(one.proposal)
    return [
        Exercised(rule, len(fired.get(rule.id, ())), tuple(dict.fromkeys(fired.get(rule.id, ())))) for rule in rules
    ]


def _approaches(rule: Rule, heard: Sequence[Heard], facts: Mapping[str, Fact]) -> Iterator[Approach]:
    for condition in rule.when:
        if condition.relation == CONCLUDED or facts[condition.fact].kind == "word":
            continue
        unit = facts[condition.fact].unit
        seen = [
            (float(one.facts[condition.fact]), one) for one in heard
            if one.about == rule.about and condition.fact in one.facts
        ]  # fmt: skip
        for threshold in map(float, condition.values):
            wanted = f"{condition.fact} {condition.relation} {in_unit(threshold, unit)}"
            if not seen:
                yield Approach(rule, condition.fact, condition.relation, threshold, condition.written, None, "", "",
                               f"{wanted}: the fact is never known")  # fmt: skip
                continue
            number, one = min(seen, key=lambda each: abs(each[0] - threshold))
            says = f"{wanted}: nearest is {in_unit(number, unit)}, {one.proposal} on {one.subject}"
            yield Approach(rule, condition.fact, condition.relation, threshold, condition.written, number,
                           one.proposal, one.subject, says)  # fmt: skip
