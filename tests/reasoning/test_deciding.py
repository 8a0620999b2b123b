"""The smallest set of findings that decides a verdict, and the tree down to the inputs."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations

import pytest

from triage.models.estimate import GateNumbers
from triage.models.recommendation import Effect, Finding, PlatformResult
from triage.reasoning.deciding import Node, deciding, why, why_not
from triage.reasoning.origins import ORIGINS
from triage.reasoning.ranking import gate_results, verdict
from triage.services.assess import assess
from triage.services.workspace import open_facility, read_request

NAMES = (
    "cold-multiplexer",
    "electrometer",
    "film-loss",
    "fragile-state",
    "large-board",
    "new-film",
    "single-shot",
    "tip-map",
)


@lru_cache(maxsize=64)
def results(name: str) -> tuple[PlatformResult, ...]:
    facility = open_facility()
    return assess(facility, read_request(facility.folder / "proposals" / f"{name}.yaml"), thorough=False).platforms


def verdict_with(result: PlatformResult, findings: tuple[Finding, ...]) -> str:
    gates: dict[str, GateNumbers] = {gate.numbers.gate: gate.numbers for gate in result.gates}
    return verdict(gate_results(gates, findings))


def walk(node: Node) -> Iterator[Node]:
    yield node
    for child in node.children:
        yield from walk(child)


@pytest.mark.parametrize("name", NAMES)
def test_the_smallest_set_decides_and_no_smaller_one_does(name: str) -> None:
    """The ranking comes to the same verdict with the set alone, and with no subset of all findings that is smaller."""
    for result in results(name):
        decides = deciding(result)
        assert verdict_with(result, decides.smallest) == result.verdict
        for size in range(len(decides.smallest)):
            for fewer in combinations(result.findings, size):
                assert verdict_with(result, fewer) != result.verdict
        for other in decides.instead:
            assert verdict_with(result, (other,)) == result.verdict


@pytest.mark.parametrize("name", NAMES)
def test_all_that_why_not_names_is_all_there_is_to_change(name: str) -> None:
    """Without the findings that it names, and with every margin known, the platform would be suitable."""
    for result in results(name):
        named = {node.name for node in walk(why_not(result)) if node.kind == "finding"}
        left = tuple(each for each in result.findings if each.rule not in named)
        unknown = [node for node in walk(why_not(result)) if node.kind == "gate" and "not known" in node.text]
        assert verdict_with(result, left) == ("unknown" if unknown else "suitable")


@pytest.mark.parametrize("name", NAMES)
def test_every_branch_ends_at_an_input(name: str) -> None:
    """Each margin of a finding leads to what somebody wrote or what stands in for it, with its basis."""
    facility = open_facility()
    for result in results(name):
        for node in walk(why_not(result, facility.rulebase)):
            if node.kind == "fact" and node.name in ORIGINS:
                leaves = [each for each in walk(node) if not each.children]
                assert leaves
                assert any(each.kind == "input" and each.basis for each in leaves), (result.platform, node.name)
            if node.kind == "estimate":
                assert node.basis


def test_facts_with_a_margin_have_an_origin() -> None:
    """Every margin in the vocabulary, and every origin names a fact."""
    facts = open_facility().rulebase.vocabulary.facts
    margins = {name for name, fact in facts.items() if fact.about == "platform" and name.endswith("_margin")}

    assert margins - ORIGINS.keys() == {"operator_margin", "field_axes_margin"}  # made of words and counts
    assert ORIGINS.keys() <= facts.keys()


def test_a_conclusion_leads_to_the_rule_that_made_it() -> None:
    """With the rule base, the three steps of an absence on an assumed temperature stand below each other."""
    facility = open_facility()
    path = facility.folder / "proposals" / "small-splitting.yaml"
    result = next(each for each in results(path.stem) if each.platform == "wet-dilution")
    rules = facility.rulebase.by_id
    chain = ["temperature.electrons-assumed", "temperature.resolution-claim-weak", "temperature.absence-not-defendable"]
    effects: list[Effect] = ["note", "note", "caution"]
    made = tuple(Finding(rule=name, title="", gate="temperature", effect=effect)
                 for name, effect in zip(chain, effects, strict=True))  # fmt: skip
    numbers = {gate.numbers.gate: gate.numbers for gate in result.gates}
    gates = gate_results(numbers, made)
    crafted = PlatformResult(
        platform="x", name="X", verdict=verdict(gates), tier=None, gates=gates, findings=made, facts={}
    )

    tree = why(crafted, facility.rulebase)

    assert crafted.verdict == "tight"
    assert [node.name for node in walk(tree) if node.kind == "finding"] == chain[::-1]
    assert rules[chain[-1]].needs == {"resolution-claim-weak"}
