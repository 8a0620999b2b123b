"""Rules that quarrel, repeat each other or can never speak are found by the facts for which they fire."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from reasoning.writing import ASSUMED, CALIBRATE, RULE, changed, loaded, put, write

from triage.reasoning import plain
from triage.reasoning.consistency import check, overlaps
from triage.reasoning.firing import FactSet
from triage.reasoning.rulebase import load


def when(*conditions: tuple[str, str, Any]) -> list[dict[str, Any]]:
    return [{"fact": fact, "is": relation, "value": value} for fact, relation, value in conditions]


def rule(name: str, *conditions: tuple[str, str, Any], **changes: Any) -> dict[str, Any]:
    changes = {"then": {"effect": "caution"}} | changes
    return changed(RULE, id=name, status="trial", examples=None, when=when(*conditions), **changes)


def found(tmp_path: Path, *rules: dict[str, Any]) -> list[tuple[str, str, str]]:
    rulebase = loaded(tmp_path, rules)
    return [(each.kind, each.rule.id, each.other.id) for each in overlaps(rulebase)]


MARGIN, BASIS = "thermal_margin", "electron_temperature_basis"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        # written otherwise, the same facts: over the words, the floats and the range of the vocabulary
        ((BASIS, "not equal", "measured"), (BASIS, "one of", ["stale", "default"])),
        ((MARGIN, "below", 1), (MARGIN, "at most", "0.9999999999999999")),
        ((MARGIN, "at least", 1000), (MARGIN, "equal", 1000)),
        ((MARGIN, "above", 0), (MARGIN, "not equal", 0)),
    ],
)
def test_duplicates_need_not_be_written_alike(tmp_path: Path, one: Any, other: Any) -> None:
    """Equal boxes are found whatever the relations used."""
    assert found(tmp_path, rule("a", one), rule("b", other)) == [("duplicate", "b", "a")]


def test_one_float_more_is_no_duplicate(tmp_path: Path) -> None:
    """The wider of two rules stands, the narrower adds nothing."""
    narrow, wide = rule("narrow", (MARGIN, "below", 1)), rule("wide", (MARGIN, "at most", 1))

    assert found(tmp_path, narrow, wide) == [("subsumed", "narrow", "wide")]


def test_a_rule_with_more_conditions_lies_within_one_with_fewer(tmp_path: Path) -> None:
    """Also a caution within a veto; but not a veto within a caution, nor on another gate, nor a note."""
    wide = rule("wide", (MARGIN, "below", 1))
    inner = ((MARGIN, "below", 0.5), (BASIS, "equal", "stale"))
    gate = {"gate": "risk_cost"}

    assert found(tmp_path / "a", wide, rule("x", *inner)) == [("subsumed", "x", "wide")]
    veto = wide | {"then": {"effect": "veto"}}
    assert found(tmp_path / "b", veto, rule("x", *inner)) == [("subsumed", "x", "wide")]
    assert found(tmp_path / "c", wide, rule("x", *inner, then={"effect": "veto"})) == []
    assert found(tmp_path / "d", wide, rule("x", *inner, **gate)) == []
    assert found(tmp_path / "e", wide, rule("x", *inner, then={"effect": "note"})) == []


def test_a_rule_that_concludes_or_lifts_adds_something(tmp_path: Path) -> None:
    """Its conclusion is lost with it."""
    wide = rule("wide", (MARGIN, "below", 1))
    concludes = rule(
        "x", (MARGIN, "below", 0.5), then={"effect": "caution", "conclude": "electron-temperature-assumed"}
    )

    assert found(tmp_path, wide, concludes) == []


def test_a_credit_and_a_veto_on_common_ground_contradict(tmp_path: Path) -> None:
    """Only where both can fire, on the same gate, and with a fact in common."""
    veto = rule("veto", (MARGIN, "below", 1), then={"effect": "veto"})

    def credit(*conditions: Any, **changes: Any) -> dict[str, Any]:
        return rule("credit", *conditions, then={"effect": "credit", "lifts": True}, **changes)

    assert found(tmp_path / "a", veto, credit((MARGIN, "above", 0.9))) == [("contradictory", "credit", "veto")]
    assert found(tmp_path / "b", veto, credit((MARGIN, "at least", 1))) == []
    assert found(tmp_path / "c", veto, credit((MARGIN, "above", 0.9), gate="risk_cost")) == []
    assert found(tmp_path / "d", veto, credit((BASIS, "equal", "stale"))) == []


def test_the_facts_named_fire_both_rules(tmp_path: Path) -> None:
    """The example in a problem can be tried and is right."""
    veto = rule("veto", (MARGIN, "below", 1), (BASIS, "not equal", "default"), then={"effect": "veto"})
    credit = rule("credit", (MARGIN, "above", 0.9), then={"effect": "credit"})
    rulebase = loaded(tmp_path, [veto, credit])
    (overlap,) = overlaps(rulebase)

    fired = plain.fire(rulebase, [FactSet("x", "platform", overlap.facts)])

    assert {each.rule.id for each in fired} == {"veto", "credit"}
    assert any("for example with electron_temperature_basis = " in each.message for each in check(rulebase))


def test_conclusions_are_followed(tmp_path: Path) -> None:
    """A rule that waits for a conclusion is compared by the facts that lead to it."""
    direct = rule("direct", (BASIS, "not equal", "measured"))
    chained = changed(CALIBRATE, status="trial", examples=None)

    assert ("subsumed", "temperature.calibrate", "direct") in found(tmp_path, ASSUMED, chained, direct)


def unreachable(tmp_path: Path, *rules: dict[str, Any]) -> list[str]:
    return [each.message for each in check(loaded(tmp_path, rules)) if "never fire" in each.message]


def test_a_rule_whose_conclusion_is_never_made_is_unreachable(tmp_path: Path) -> None:
    """Nobody makes it, only a draft makes it, or the conditions exclude those of its makers."""
    asks = changed(CALIBRATE, status="trial", examples=None)
    draft = changed(ASSUMED, status="draft")
    excludes = changed(asks, when=[{"concluded": "electron-temperature-assumed"}, *when((BASIS, "equal", "measured"))])

    assert unreachable(tmp_path / "a", asks) == [
        "can never fire: no rule in force can conclude electron-temperature-assumed"
    ]
    assert len(unreachable(tmp_path / "b", asks, draft)) == 1
    assert unreachable(tmp_path / "c", excludes, ASSUMED) == [
        "can never fire: its conditions exclude those of temperature.assumed, whose conclusions it needs"
    ]
    assert unreachable(tmp_path / "d", asks, ASSUMED) == []


def test_an_overlap_is_accepted_with_a_reason_and_only_while_there_is_one(tmp_path: Path) -> None:
    """`goes_with` excuses one pair; where nothing overlaps, or the rule is not there, it is a problem itself."""
    wide, inner = rule("wide", (MARGIN, "below", 1)), rule("inner", (MARGIN, "below", 0.5))

    def problems(folder: str, reason: Any, outer: dict[str, Any] = wide) -> list[str]:
        rulebase = loaded(tmp_path / folder, [outer, inner | {"goes_with": reason}])
        return [each.message for each in check(rulebase)]

    assert problems("a", {"wide": "they say different things"}) == []
    assert "there is no rule 'wid'" in problems("b", {"wid": "a reason"})
    apart = rule("wide", (MARGIN, "above", 1))
    assert problems("c", {"wide": "a reason"}, apart) == ["does not get in the way of wide"]
    _, refused = load(write(tmp_path / "d", [wide, inner | {"goes_with": {"wide": None}}]))
    assert [each.message for each in refused] == ["`wide` is missing"]


def test_a_facility_is_told_in_its_own_file(tmp_path: Path) -> None:
    """The shipped file is not the facility's to change, and what it accepts need not be tidied."""
    shipped = write(tmp_path / "shipped", [rule("inner", (MARGIN, "below", 0.5))])
    put(tmp_path / "lab" / "rules" / "wide.yaml", rule("wide", (MARGIN, "below", 1)))
    rulebase, problems = load(shipped, tmp_path / "lab")
    assert problems == []

    (problem,) = check(rulebase)

    assert problem.file == "lab/rules/wide.yaml"
    assert problem.message.startswith("leaves inner nothing to add")
    assert "retire the shipped one" in problem.remedy


def test_retiring_a_partner_does_not_make_the_shipped_acceptance_a_problem(tmp_path: Path) -> None:
    """The shipped rule still names the rule that the facility has retired."""
    inner = rule("inner", (MARGIN, "below", 0.5)) | {"goes_with": {"wide": "a reason"}}
    shipped = write(tmp_path / "shipped", [inner, rule("wide", (MARGIN, "below", 1))])
    put(tmp_path / "lab" / "rules" / "wide.yaml", {"id": "wide", "retire": {"who": "a person", "why": "a reason"}})

    assert check(load(shipped, tmp_path / "lab")[0]) == []


def test_the_shipped_rules_are_consistent() -> None:
    """Every overlap among them is accepted in one of the two, with a reason."""
    rulebase, _ = load(Path(__file__).parents[2] / "rules")

    assert [str(each) for each in check(rulebase)] == []
    assert all(each.accepted for each in overlaps(rulebase))
