"""Which findings decide a verdict, and the tree from the verdict through facts and estimates to the inputs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from triage.display import plain_name, show, significant
from triage.models.estimate import Estimate
from triage.models.recommendation import Finding, GateResult, Ground, PlatformResult, Verdict
from triage.reasoning.origins import ORIGINS
from triage.reasoning.rulebase import Rulebase

Kind = Literal["verdict", "gate", "finding", "fact", "estimate", "input"]
_EFFECTS: dict[Verdict, str] = {"unsuitable": "veto", "tight": "caution"}


@dataclass(frozen=True)
class Deciding:
    """What decides a verdict.

    With `smallest` alone, all other findings forgotten, the verdict is the same; each of `instead` would do
    as well as the one taken. `unknown` are the gates whose margin nobody knows, where that decides.
    """

    verdict: Verdict
    smallest: tuple[Finding, ...] = ()
    instead: tuple[Finding, ...] = ()
    unknown: tuple[GateResult, ...] = ()


@dataclass(frozen=True)
class Node:
    """One step of an explanation; its children are what it was worked out from."""

    name: str
    kind: Kind
    text: str
    value: float | str | None = None
    unit: str = ""
    basis: str = ""
    references: tuple[str, ...] = ()
    children: tuple[Node, ...] = ()


def deciding(result: PlatformResult) -> Deciding:
    """The smallest set of findings that decides the verdict on a platform.

    One veto is enough to refuse a platform and one caution to make it tight; of several the one at the gate
    with the least margin is taken. A suitable platform needs none: nothing speaks against it.
    """
    unknown = tuple(gate for gate in result.gates if gate.state == "unknown")
    if result.verdict == "unknown":
        return Deciding("unknown", unknown=unknown)
    named = {rule for gate in result.gates for rule in gate.findings}
    effect = _EFFECTS.get(result.verdict)
    found = [each for each in result.findings if each.effect == effect and each.rule in named]
    margins = {gate.numbers.gate: float(gate.numbers.margin) for gate in result.gates}
    found.sort(key=lambda each: (margins.get(each.gate, 0.0), each.rule))  # type: ignore[call-overload]
    return Deciding(result.verdict, tuple(found[:1]), tuple(found[1:]))


def why(result: PlatformResult, rulebase: Rulebase | None = None) -> Node:
    """Why the verdict is what it is: the smallest set of findings that decides it, down to the inputs.

    With the rule base, what a finding concludes from other findings is followed too.
    """
    decides = deciding(result)
    lifting = [each for each in result.findings if each.lifts and result.verdict == "tight"]
    speaking = (*decides.smallest, *lifting)
    gates = [gate for gate in result.gates if _holds(gate, speaking) or gate in decides.unknown]
    return _Tree(result, rulebase).verdict(gates, speaking)


def why_not(result: PlatformResult, rulebase: Rulebase | None = None) -> Node:
    """All that stands between a platform and *suitable*: each veto, caution and unknown margin, down to the inputs."""
    against = tuple(each for each in result.findings if each.effect in ("veto", "caution"))
    gates = [gate for gate in result.gates if gate.state != "pass" or _holds(gate, against)]
    return _Tree(result, rulebase).verdict(gates, against)


def _holds(gate: GateResult, findings: Iterable[Finding]) -> bool:
    return any(each.gate == gate.numbers.gate for each in findings)


class _Tree:
    def __init__(self, result: PlatformResult, rulebase: Rulebase | None) -> None:
        self.result = result
        self.grounds: Mapping[str, Ground] = {each.name: each for each in result.grounds}
        self.makers = _makers(result, rulebase)
        self.known: dict[str, Node | None] = {}

    def verdict(self, gates: Sequence[GateResult], findings: Sequence[Finding]) -> Node:
        """The root: the verdict, and below it the gates that speak."""
        result = self.result
        text = f"{result.name} is {result.verdict}"
        if result.lifted and result.verdict == "tight":
            text += ", and a credit lets it compete with the suitable ones"
        if not gates:
            text += ": nothing speaks against it"
        below = tuple(self.gate(gate, findings) for gate in gates)
        return Node(result.platform, "verdict", text, result.verdict, children=below)

    def gate(self, gate: GateResult, findings: Sequence[Finding]) -> Node:
        """A gate, with the findings that speak at it; where its margin is not known, what it would need."""
        numbers = gate.numbers
        here = tuple(self.finding(each) for each in findings if each.gate == numbers.gate)
        margin = float(numbers.margin)
        text = f"{numbers.gate.replace('_', ' and ')}: {gate.state}"
        if not isfinite(margin):
            text += ", its margin is not known"
        elif margin < 1e6:
            text += f", margin {significant(margin)}" + (f" ({numbers.limit})" if numbers.limit else "")
        return Node(numbers.gate, "gate", text, margin if isfinite(margin) else None, children=here)

    def finding(self, finding: Finding) -> Node:
        """A finding, with the facts it stands on and the findings whose conclusions it needed."""
        before = tuple(self.finding(each) for each in self.makers.get(finding.rule, ()))
        facts = tuple(self.fact(name, value) for name, value in finding.facts.items())
        text = f"{finding.effect}: {finding.because}"
        return Node(finding.rule, "finding", text, finding.effect, "", finding.basis, finding.references,
                    (*before, *facts))  # fmt: skip

    def fact(self, name: str, value: float | str) -> Node:
        """A fact, with the estimates or inputs it is made of."""
        if name in self.result.estimates and (node := self.used(name)):
            return node
        below = tuple(node for used in ORIGINS.get(name, ()) if (node := self.used(used)))
        said = value if isinstance(value, str) else significant(float(value), 3)
        plain = value if isinstance(value, str) else float(value)
        return Node(name, "fact", f"{plain_name(name)}: {said}", plain, children=below)

    def used(self, name: str) -> Node | None:
        """An estimate or an input by name, or None where the case has neither; no name is below itself."""
        if name not in self.known:
            self.known[name] = None
            estimate, ground = self.result.estimates.get(name), self.grounds.get(name)
            self.known[name] = self.estimate(estimate) if estimate else _input(ground) if ground else None
        return self.known[name]

    def estimate(self, estimate: Estimate) -> Node:
        """An estimate, with what it was worked out from."""
        value = estimate.value if isinstance(estimate.value, str) else float(estimate.value)
        said = value if isinstance(value, str) else show(value, estimate.unit)
        doubt = "" if estimate.valid else f" (outside its range: {estimate.reason})"
        text = f"{plain_name(estimate.name)}: {said} = {estimate.formula}{doubt}"
        below = tuple(node for used in estimate.uses if (node := self.used(used)))
        return Node(estimate.name, "estimate" if estimate.uses else "input", text, value, estimate.unit,
                    estimate.basis, estimate.references, below)  # fmt: skip


def _input(ground: Ground) -> Node:
    source = f", {ground.source}" if ground.source else ""
    text = f"{plain_name(ground.name)}: {ground.value} ({ground.basis}{source})"
    return Node(ground.name, "input", text, ground.value, "", ground.basis)


def _makers(result: PlatformResult, rulebase: Rulebase | None) -> dict[str, tuple[Finding, ...]]:
    """For each finding, those whose conclusions its rule waits for."""
    if rulebase is None:
        return {}
    rules = {each.rule: rulebase.by_id[each.rule] for each in result.findings if each.rule in rulebase.by_id}
    made = [(rules[each.rule].conclude, each) for each in result.findings if each.rule in rules]
    return {
        rule.id: tuple(each for conclusion, each in made if conclusion in rule.needs)
        for rule in rules.values() if rule.needs
    }  # fmt: skip
