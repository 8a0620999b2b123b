"""What is wrong with a rule base: every mistake with its place and what to do about it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path, PurePosixPath
from string import Formatter

from triage.errors import Problem
from triage.reasoning import consistency, plain
from triage.reasoning.boxes import can_hold
from triage.reasoning.entries import did_you_mean
from triage.reasoning.rule import CONCLUDED, MOST_CONDITIONS, Condition, Example, Rule
from triage.reasoning.rulebase import Rulebase, load
from triage.reasoning.vocabulary import Vocabulary

Produced = Mapping[str, set[str]]


def check(shipped: Path, overlay: Path | None = None, produced: Produced | None = None) -> list[Problem]:
    """Load a rule base and return everything wrong with it, in the order of the files."""
    rulebase, problems = load(shipped, overlay)
    return sorted({*problems, *lint(rulebase, produced)})


def lint(rulebase: Rulebase, produced: Produced | None = None) -> list[Problem]:
    """Everything wrong with a rule base that was loaded.

    `produced` names, for each of platform, layer and proposal, the facts that the program computes.
    """
    problems = [
        problem for rule in rulebase.rules for rule_check in _RULE_CHECKS for problem in rule_check(rule, rulebase)
    ]
    for rule in rulebase.retired:
        problems += _identity(rule, rulebase)
    for base_check in (consistency.check, _conclusions, _circles):
        problems += base_check(rulebase)
    if produced is not None:
        problems += _production(rulebase, produced)
    return sorted(set(problems))


def _identity(rule: Rule, _: Rulebase) -> Iterator[Problem]:
    file = PurePosixPath(rule.source.file)
    if rule.id != file.stem:
        yield rule.problem(("id",), f"'{rule.id}' is not the file's name", f"name the file {rule.id}.yaml")
    shelved = file.parent.name == "retired"
    if rule.origin == "shipped" and shelved != (rule.status == "retired"):
        remedy = "write `status: retired`" if shelved else "move the file to retired/"
        yield rule.problem(("status",), f"a {rule.status} rule in folder {file.parent.name}/", remedy)


def _names(rule: Rule, rulebase: Rulebase) -> Iterator[Problem]:
    """Facts, conclusions and placeholders exist, and are about the rule's subject."""
    words = rulebase.vocabulary
    for index, condition in enumerate(rule.when):
        if condition.relation == CONCLUDED:
            yield from _conclusion_named(rule, words, ("when", index, CONCLUDED), condition.fact)
        else:
            yield from _about(rule, ("when", index, "fact"), condition.fact, words.facts[condition.fact].about)
    if rule.conclude:
        yield from _conclusion_named(rule, words, ("then", "conclude"), rule.conclude)
    for key, _, example in _examples(rule):
        for name in example.values:
            yield from _about(rule, key, name, words.facts[name].about)
        for name in example.concluded:
            yield from _conclusion_named(rule, words, key, name)


def _conclusion_named(rule: Rule, words: Vocabulary, path: tuple[str | int, ...], name: str) -> Iterator[Problem]:
    if name in words.conclusions:
        yield from _about(rule, path, name, words.conclusions[name].about)
    else:
        remedy = did_you_mean(name, words.conclusions, "add it under `conclusions` in facts.yaml")
        yield rule.problem(path, f"'{name}' is not a conclusion", remedy)


def _about(rule: Rule, path: tuple[str | int, ...], name: str, about: str) -> Iterator[Problem]:
    if about != rule.about:
        message = f"'{name}' is about the {about}, the rule is about the {rule.about}"
        yield rule.problem(path, message, f"use a name about the {rule.about}, or change `about`")


def _placeholders(rule: Rule, rulebase: Rulebase) -> Iterator[Problem]:
    words = rulebase.vocabulary
    for key, text in (("because", rule.because), ("trade_off", rule.trade_off)):
        try:
            fields = list(Formatter().parse(text))
        except ValueError:
            yield rule.problem((key,), "has an unpaired brace", "write {name}, or leave the brace out")
            continue
        for _, name, layout, conversion in fields:
            if name is None:
                continue
            if layout or conversion:
                yield rule.problem((key,), f"'{{{name}}}' has a layout", "write the name alone; units are added")
            if name in words.facts:
                yield from _about(rule, (key,), name, words.facts[name].about)
            elif name not in words.shown:
                remedy = did_you_mean(name, [*words.facts, *words.shown], "add it under `shown` in facts.yaml")
                yield rule.problem((key,), f"'{{{name}}}' is not a placeholder", remedy)


def _grounds(rule: Rule, rulebase: Rulebase) -> Iterator[Problem]:
    """What the rule rests on, and when it is wrong."""
    for index, key in enumerate(rule.references):
        if key not in rulebase.references:
            remedy = did_you_mean(key, rulebase.references, "add it to references.yaml")
            yield rule.problem(("references", index), f"'{key}' is not in references.yaml", remedy)
    if rule.basis == "published" and not rule.references:
        yield rule.problem(("basis",), "published, but no reference is given",
                           "add `references: [key]`, or write `basis: common practice`")  # fmt: skip
    if rule.effect == "veto" and not rule.wrong_when:
        yield rule.problem((), "a veto needs `wrong_when`", "say in which case this veto would be mistaken")


def _possible(rule: Rule, rulebase: Rulebase) -> Iterator[Problem]:
    """No condition that can never hold, alone or with the others on the same fact."""
    if len(rule.when) > MOST_CONDITIONS:
        remedy = "let another rule conclude some of them"
        yield rule.problem(("when",), f"{len(rule.when)} conditions, at most {MOST_CONDITIONS}", remedy)
    by_fact: dict[str, list[Condition]] = defaultdict(list)
    for index, condition in enumerate(rule.when):
        if condition.relation == CONCLUDED:
            continue
        fact = rulebase.vocabulary.facts[condition.fact]
        if can_hold(fact, [condition]):
            by_fact[fact.name].append(condition)
        else:
            message = f"{fact.name} can never be {condition.relation} {condition.written}"
            yield rule.problem(("when", index), message, "correct the value, or the range in facts.yaml")
    for name, conditions in by_fact.items():
        if len(conditions) > 1 and not can_hold(rulebase.vocabulary.facts[name], conditions):
            said = " and ".join(f"{condition.relation} {condition.written}" for condition in conditions)
            yield rule.problem(("when",), f"{name} can never be {said}", "drop or correct one of them")


def _examples(rule: Rule) -> Iterator[tuple[tuple[str | int, ...], bool, Example]]:
    for key, examples in (("fires", rule.fires), ("silent", rule.silent)):
        for index, example in enumerate(examples):
            yield ("examples", key, index), key == "fires", example


def _examples_hold(rule: Rule, rulebase: Rulebase) -> Iterator[Problem]:
    for path, expected, example in _examples(rule):
        for name, value in example.values.items():
            fact = rulebase.vocabulary.facts[name]
            if fact.kind == "number" and not fact.low <= float(value) <= fact.high:
                yield rule.problem((*path, name), f"{value} is outside the range of {name}", "give a value it can take")
        if plain.holds(rule, example.values, dict.fromkeys(example.concluded, True)) != expected:
            what, instead = ("does not fire", "silent") if expected else ("fires", "fires")
            yield rule.problem(path, f"the rule {what} on this example", f"correct it, or move it to `{instead}`")


def _stable(rule: Rule, rulebase: Rulebase) -> Iterator[Problem]:
    """A stable rule shows a case that fires, one that does not, and one exactly at each threshold."""
    if rule.status != "stable":
        return
    for key, examples in (("fires", rule.fires), ("silent", rule.silent)):
        if not examples:
            yield rule.problem(("examples",), f"a stable rule needs an example under `{key}`", "add one")
    for index, condition in enumerate(rule.when):
        if condition.relation == CONCLUDED or rulebase.vocabulary.facts[condition.fact].kind == "word":
            continue
        shown = {example.values.get(condition.fact) for _, _, example in _examples(rule)}
        for value in condition.values:
            if value not in shown:
                message = f"no example has {condition.fact} exactly at {condition.written}"
                yield rule.problem(("when", index), message, "add the boundary to the examples")


def _conclusions(rulebase: Rulebase) -> Iterator[Problem]:
    words = rulebase.vocabulary
    made = {rule.conclude for rule in rulebase.rules}
    needed = {name for rule in rulebase.rules for name in rule.needs}
    for name, conclusion in words.conclusions.items():
        for known, what, verb in ((made, "makes", "concludes"), (needed, "uses", "needs")):
            if name not in known:
                yield Problem(words.file, conclusion.line, f"conclusions.{name}", f"no rule {what} it",
                              f"add a rule that {verb} it, or take it out")  # fmt: skip


def _circles(rulebase: Rulebase) -> Iterator[Problem]:
    circle = list(rulebase.circular)
    while pruned := [rule for rule in circle if any(rule.conclude in other.needs for other in circle)]:
        if pruned == circle:
            break
        circle = pruned
    for rule in circle:
        others = ", ".join(other.id for other in circle)
        yield rule.problem(("when",), f"the conclusions go in a circle: {others}", "let one do without the others")


def _production(rulebase: Rulebase, produced: Produced) -> Iterator[Problem]:
    """Facts used are produced, and facts produced are used or only shown."""
    words = rulebase.vocabulary
    used = {name for rule in rulebase.rules for name in rule.facts}
    for fact in words.facts.values():
        made = fact.name in produced.get(fact.about, set())
        place = (words.file, fact.line, f"facts.{fact.name}")
        if not made:
            yield Problem(*place, "no estimate produces it", "add it to an estimate, or take it out")
        if made and fact.name not in used and not fact.shown_only:
            yield Problem(*place, "no rule looks at it", "add a rule, or write `shown_only: true`")
    for about, names in produced.items():
        for name in sorted(names):
            if name not in words.facts or words.facts[name].about != about:
                yield Problem(words.file, 0, f"facts.{name}", f"is produced about the {about} but not listed",
                              f"add `{name}: {{about: {about}, …}}`")  # fmt: skip


_RULE_CHECKS: Iterable[Callable[[Rule, Rulebase], Iterator[Problem]]] = (
    _identity,
    _names,
    _placeholders,
    _grounds,
    _possible,
    _examples_hold,
    _stable,
)
