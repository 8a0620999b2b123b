"""Why a rule stayed silent: the first of its conditions that failed, and by how much."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from triage.display import show, significant
from triage.reasoning import plain
from triage.reasoning.firing import FactSet, Firing, checked
from triage.reasoning.rule import CONCLUDED, Condition, Rule
from triage.reasoning.rulebase import Rulebase
from triage.reasoning.vocabulary import Fact, Value

Reason = Literal["not in force", "not known", "not concluded", "number", "word"]


@dataclass(frozen=True)
class Silence:
    """A rule that did not fire, and the first condition that kept it from firing.

    `distance` is how far the number found lies from the threshold [SI unit of the fact], zero where it lies
    on a threshold that does not count; None for words and for what is not known.
    """

    rule: Rule
    reason: Reason
    says: str
    condition: Condition | None = None
    found: Value | None = None
    distance: float | None = None


def silences(rulebase: Rulebase, given: FactSet, firings: Sequence[Firing] | None = None) -> list[Silence]:
    """Each rule about the subject that did not fire on its facts, by id, with the reason.

    `firings` are those of the rule engine on the same facts; without them the plain evaluator is asked.
    Raises `RuleEngineError` for facts that no rule may see.
    """
    values = checked(given, rulebase.vocabulary)
    firings = plain.fire(rulebase, [given]) if firings is None else firings
    fired = {each.rule.id for each in firings if each.subject == given.subject}
    concluded = {each.rule.conclude: True for each in firings if each.rule.id in fired and each.rule.conclude}
    asked = _Asked(rulebase, values, concluded)
    return [asked.why(rule) for rule in rulebase.rules if rule.about == given.about and rule.id not in fired]


@dataclass(frozen=True)
class _Asked:
    rulebase: Rulebase
    values: Mapping[str, Value]
    concluded: Mapping[str, bool]

    def why(self, rule: Rule) -> Silence:
        """The reason for one rule."""
        if not rule.in_force:
            return Silence(rule, "not in force", f"the rule is {_a(rule.status)} and not in force")
        failing = next((each for each in rule.when if not plain.satisfied(each, self.values, self.concluded)), None)
        if failing is None:
            return Silence(rule, "not concluded", "its conclusions and those of other rules go in a circle")
        if failing.relation == CONCLUDED:
            return Silence(rule, "not concluded", " ".join(self._not_concluded(failing.fact)), failing)
        fact, found = self.rulebase.vocabulary.facts[failing.fact], self.values.get(failing.fact)
        if found is None:
            return Silence(rule, "not known", f"{fact.name} is not known", failing)
        if isinstance(found, str):
            return Silence(rule, "word", f"{fact.name} is {found}, {_missed(failing, 'word')}", failing, found)
        distance = min(abs(found - float(value)) for value in failing.values)
        return Silence(rule, "number", _number(fact, failing, found, distance), failing, found, distance)

    def _not_concluded(self, name: str) -> Iterator[str]:
        """That nobody concluded it, and what each rule that could have done so lacked; circles are not followed."""
        yield f"no rule concluded {name}"
        for maker in self.rulebase.rules:
            if maker.conclude == name and maker.id not in {each.id for each in self.rulebase.circular}:
                yield f"({maker.id}: {self.why(maker).says})"


def _a(word: str) -> str:
    return "on trial" if word == "trial" else f"a {word}"


def _missed(condition: Condition, what: str) -> str:
    """What was wanted instead of the value found."""
    wanted = condition.written
    said = {"equal": f"not {wanted}", "one of": f"none of {wanted}", "not equal": f"the {what} that does not count"}
    return said.get(condition.relation, f"not {condition.relation} {wanted}")


def _number(fact: Fact, condition: Condition, found: float, distance: float) -> str:
    """``thermal_margin is 1.2, not below 1 (by 0.2)``."""
    by = "" if condition.relation == "not equal" else f" (by {in_unit(distance, fact.unit)})"
    if distance == 0 and condition.relation in ("below", "above"):
        by = " (exactly there)"
    return f"{fact.name} is {in_unit(found, fact.unit)}, {_missed(condition, 'value')}{by}"


def in_unit(number: float, unit: str) -> str:
    """A number of a fact with three digits, in the unit people use for it."""
    return show(number, unit, 3) if unit else significant(number, 3)
