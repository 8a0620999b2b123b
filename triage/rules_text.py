"""The rule workshop as plain text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.reasoning.consistency import facts_text
from triage.reasoning.deciding import Node
from triage.reasoning.rule import CONCLUDED, Example, Rule
from triage.reasoning.rulebase import Rulebase
from triage.reasoning.silence import Silence
from triage.services.coverage import Coverage
from triage.services.impact import Change, Impact
from triage.services.workshop import Trial, condition_text, departure_of, differences
from triage.text import labelled, table, wrap

_MOST_REASONS = 3


def list_text(rules: Sequence[Rule], rulebase: Rulebase) -> str:
    """One rule a line, and how many there are."""
    departed = {each.rule: each.action for each in rulebase.departures}
    rows = [
        [rule.id, rule.effect + (" (lifts)" if rule.lifts else ""), rule.status, departed.get(rule.id, ""), rule.title]
        for rule in rules
    ]
    count = "1 rule" if len(rules) == 1 else f"{len(rules)} rules"
    end = f"{count} of {len(rulebase.rules)}, rule base {rulebase.fingerprint}."
    return "\n".join([table(["rule", "effect", "status", "here", "title"], rows), "", end]) if rules else end


def rule_text(rule: Rule, rulebase: Rulebase) -> str:
    """Everything one rule says and rests on."""
    parts = [f"{rule.title} ({rule.id})", ""]
    makes = f", concludes {rule.conclude}" if rule.conclude else ""
    lifts = ", lets a tight platform compete with the suitable ones" if rule.lifts else ""
    parts += [labelled("Effect", f"{rule.effect} at the gate {rule.gate}{lifts}{makes}; {rule.status}")]
    parts += [labelled("When", condition_text(rule.when[0]))]
    parts += [labelled("and", condition_text(each)) for each in rule.when[1:]]
    parts += [labelled("", line) for line in _meanings(rule, rulebase)]
    parts += [labelled("Because", rule.because)]
    parts += [labelled("Trade-off", rule.trade_off)] if rule.trade_off else []
    parts += [labelled("Wrong when", each) for each in rule.wrong_when]
    parts += [labelled("Basis", rule.basis)]
    for key in rule.references:
        parts.append(labelled("", f"{key}: {rulebase.references.get(key, {}).get('text', 'not in references.yaml')}"))
    parts += [labelled("Goes with", f"{name}: {why}") for name, why in rule.goes_with]
    parts += [labelled("Fires", _example(each, rulebase)) for each in rule.fires]
    parts += [labelled("Silent", _example(each, rulebase)) for each in rule.silent]
    parts += [labelled("File", f"{rule.source.file}, since {rule.since}, {rule.origin}")]
    return "\n".join([*parts, *_departure(rule, rulebase)])


def _meanings(rule: Rule, rulebase: Rulebase) -> Iterator[str]:
    words = rulebase.vocabulary
    for condition in rule.when:
        concluded = condition.relation == CONCLUDED
        known = words.conclusions.get(condition.fact) if concluded else words.facts.get(condition.fact)
        if known:
            yield f"{condition.fact}: {known.meaning}"


def _example(example: Example, rulebase: Rulebase) -> str:
    concluded = "".join(f", concluded {name}" for name in example.concluded)
    return (facts_text(example.values, rulebase.vocabulary) + concluded).removeprefix(", ")


def _departure(rule: Rule, rulebase: Rulebase) -> list[str]:
    departure = departure_of(rulebase, rule.id)
    if departure is None:
        return []
    said = f": {departure.why} ({departure.who})" if departure.why else ""
    parts = [labelled("Here", f"the facility {departure.action} this rule{said}; {departure.file}")]
    for each in differences(rulebase, departure):
        parts.append(labelled("", f"{each.entry}: shipped {each.shipped}; here {each.own}"))
    return parts


def departures_text(rulebase: Rulebase) -> str:
    """Where the facility departs from the shipped rules, who did it and why."""
    if not rulebase.departures:
        return "This facility uses the shipped rules as they are."
    parts = [f"{len(rulebase.departures)} departures from the shipped rules; rule base {rulebase.fingerprint}.", ""]
    for departure in rulebase.departures:
        said = f": {departure.why} ({departure.who})" if departure.why else ""
        parts.append(wrap(f"{departure.action} {departure.rule}{said}; {departure.file}", 0, 2))
        for each in differences(rulebase, departure):
            parts.append(wrap(f"{each.entry}: shipped {each.shipped}; here {each.own}", 2, 2))
    return "\n".join(parts)


def trial_text(trial: Trial, *, everything: bool = False) -> str:
    """What fired, then why the others did not: those decided by the facts given, and a count of the rest."""
    parts = [labelled("Fires", f"{each.effect} {each.rule} at {each.gate}: {each.because}") for each in trial.findings]
    parts = parts or ["No rule fires on these facts."]
    told = [each for each in trial.silent if everything or each.reason != "not known"]
    told.sort(key=_nearness)
    parts += ["", "Silent, and the first condition that kept each so:"] if told else []
    parts += [wrap(f"{each.rule.id}: {each.says}", 2, 2) for each in told]
    rest = len(trial.silent) - len(told)
    if rest:
        parts.append(f"{rest} more look first at facts that were not given; --all lists them.")
    return "\n".join([*parts, "", f"{trial.engine}; about the {trial.given.about}."])


def _nearness(silence: Silence) -> tuple[bool, float, str]:
    """Those that a small change of a number would wake come first."""
    if silence.distance is None or silence.condition is None:
        return True, 0.0, silence.rule.id
    threshold = abs(float(silence.condition.values[0]))
    return False, silence.distance / (threshold or 1.0), silence.rule.id


def coverage_text(found: Coverage) -> str:
    """The rules that no scenario exercises and the thresholds that none comes near."""
    fired = sum(1 for each in found.rules if each.firings)
    parts = [f"{fired} of {len(found.rules)} rules in force fire in the {found.proposals} proposals of this facility."]
    if found.never:
        parts += ["", f"No scenario exercises ({len(found.never)}):"]
        parts += [wrap(f"{rule.id}: {rule.title}", 2, 2) for rule in found.never]
    far = [each for each in found.far if each.nearest is not None]
    if far:
        parts += ["", f"Thresholds that no scenario comes within a quarter of ({len(far)}):"]
        parts += [wrap(f"{each.rule.id}: {each.says}", 2, 2) for each in far]
    unknown = sorted({each.fact for each in found.far if each.nearest is None})
    if unknown:
        parts += ["", wrap(f"Facts that no scenario makes known ({len(unknown)}): {', '.join(unknown)}", 0, 2)]
    return "\n".join(parts)


def impact_text(found: Impact, *, everything: bool = False) -> str:
    """Which decisions flip: before, after, because."""
    if not found.edited:
        return "The edit changes no rule."
    parts = [labelled("Edited", ", ".join(found.edited)), labelled("Rule base", f"{found.before} -> {found.after}"), ""]
    for change in found.flips:
        parts += _change(change, everything)
    quiet = [each for each in found.changes if not each.flips]
    if quiet:
        parts.append(f"Same decision, other findings ({len(quiet)}):")
        for change in quiet:
            moved = f"; {'; '.join(change.verdicts)}" if change.verdicts else ""
            parts.append(wrap(f"{change.proposal}: {change.gained} findings more, {change.lost} fewer{moved}", 2, 2))
        parts.append("")
    flipped = len(found.flips)
    word = "decision flips" if flipped == 1 else "decisions flip"
    return "\n".join([*parts, f"{flipped or 'No'} {word} of {found.proposals} at {found.library}."])


def _change(change: Change, everything: bool) -> list[str]:
    parts = [change.proposal, labelled("  before", change.before.says), labelled("  after", change.after.says)]
    if change.before.making != change.after.making:
        parts.append(labelled("  making", f"{change.before.making or 'none'} -> {change.after.making or 'none'}"))
    parts += [labelled("  verdict", each) for each in change.verdicts]
    shown = change.because if everything else change.because[:_MOST_REASONS]
    parts += [labelled("  because", each) for each in shown]
    rest = len(change.because) - len(shown)
    return [*parts, *([labelled("", f"and {rest} more; --all lists them")] if rest else []), ""]


def tree_text(node: Node) -> str:
    """An explanation as an indented tree; what was shown in full above is only named again."""
    return "\n".join(_branches(node, 0, set()))


def _branches(node: Node, depth: int, shown: set[str]) -> Iterator[str]:
    again = node.kind == "estimate" and node.name in shown and bool(node.children)
    grounds = "; ".join(filter(None, [node.basis if node.kind in ("finding", "estimate") else "",
                                      ", ".join(node.references)]))  # fmt: skip
    text = f"{node.text.partition(' = ')[0]} (as above)" if again else node.text + (f" [{grounds}]" if grounds else "")
    yield wrap(text, 2 * depth, 4)
    if not again:
        shown.add(node.name)
        for child in node.children:
            yield from _branches(child, depth + 1, shown)
