"""The demonstration facility: every shipped proposal has an expected decision, and the program comes to it."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
import yaml

from triage.measurements.catalogue import CATALOGUE
from triage.models.estimate import GATES
from triage.models.recommendation import Recommendation
from triage.services.assess import assess
from triage.services.check import check
from triage.services.plain_data import recommendation_data
from triage.services.workspace import demonstration, open_facility, read_request

FOLDER = demonstration()
NAMES = sorted(path.stem for path in (FOLDER / "proposals").glob("*.yaml"))


@lru_cache(maxsize=64)
def answer(name: str) -> Recommendation:
    return assess(open_facility(), read_request(FOLDER / "proposals" / f"{name}.yaml"))


def expected(name: str) -> dict[str, object]:
    path = Path(FOLDER / "expected" / f"{name}.yaml")
    assert path.is_file(), f"{name} has no expected decision"
    data: dict[str, object] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return data


@pytest.mark.parametrize("name", NAMES)
def test_decision_is_the_expected_one(name: str) -> None:
    """Platform, verdict, confidence and tier."""
    wanted, found = expected(name), answer(name)

    assert wanted["platform"] == found.recommended
    assert wanted["verdict"] == found.verdict
    assert wanted["confidence"] == found.confidence
    assert wanted["tier"] == found.tier


@pytest.mark.parametrize("name", NAMES)
def test_refusals_rest_on_the_gate_named(name: str) -> None:
    """Each refused platform fails at the gate that a practitioner would name."""
    for platform, gate in dict(expected(name)["refused"]).items():  # type: ignore[call-overload]
        result = answer(name).platform(platform)
        assert result is not None
        states = {each.numbers.gate: each.state for each in result.gates}
        assert states[gate] == "fail", (platform, gate, states)


@pytest.mark.parametrize("name", NAMES)
def test_every_number_leads_to_its_inputs(name: str) -> None:
    """Walking back from every estimate ends at inputs with a basis, and every reference is in the list."""
    references = open_facility().rulebase.references
    for result in answer(name).platforms:
        grounds = {each.name for each in result.grounds}
        for estimate in result.estimates.values():
            assert estimate.formula
            assert estimate.basis
            assert set(estimate.references) <= references.keys(), estimate
            for used in estimate.uses:
                known = used in result.estimates or used in grounds or used.startswith("number.")
                assert known or used in NOT_SAID or used == "room.volume", (estimate.name, used)


# Inputs that nobody wrote and that only say that nothing is asked for.
NOT_SAID = {"lines.coax", "lines.fibres", "devices.lines_shared", "lab.prices.helium_recovery"}


@pytest.mark.parametrize("name", NAMES)
def test_sentences_have_no_holes(name: str) -> None:
    """No placeholder is left unfilled in any finding."""
    for result in answer(name).platforms:
        for finding in result.findings:
            assert "{" not in finding.because + finding.trade_off, finding.rule
            assert "not stated" not in finding.because, (finding.rule, finding.because)


@pytest.mark.parametrize("name", NAMES)
def test_the_same_input_gives_the_same_answer(name: str) -> None:
    """Assessed twice, the plain data agree to the last digit."""
    again = assess(open_facility(), read_request(FOLDER / "proposals" / f"{name}.yaml"))

    assert recommendation_data(again) == recommendation_data(answer(name))


def test_every_kind_of_case_is_shown() -> None:
    """Something that nothing suits, a tie, a tight answer, and decisions by six different gates."""
    answers = [answer(name) for name in NAMES]
    assert any(each.confidence == "none" for each in answers)
    assert any(each.confidence == "tie" for each in answers)
    assert any(each.verdict == "tight" for each in answers)
    deciding = {
        gate
        for name in NAMES
        for gate in dict(expected(name)["refused"]).values()  # type: ignore[call-overload]
    }

    assert {"temperature", "field", "lines", "size", "heat"} <= deciding


def test_every_kind_of_measurement_is_shown() -> None:
    """Each kind of the catalogue has a proposal with an expected decision."""
    shown = {read_request(FOLDER / "proposals" / f"{name}.yaml").kind.key for name in NAMES}

    assert sorted(set(CATALOGUE) - shown) == []


def test_every_gate_decides_something() -> None:
    """Each of the nine gates refuses a platform that a proposal names, or makes a recommended one tight."""
    refusing = {
        gate
        for name in NAMES
        for gate in dict(expected(name)["refused"]).values()  # type: ignore[call-overload]
    }
    tight = set()
    for name in NAMES:
        found = answer(name)
        if found.verdict == "tight" and found.recommended is not None:
            result = found.platform(found.recommended)
            assert result is not None
            tight |= {each.numbers.gate for each in result.gates if each.state == "tight"}

    assert sorted(set(GATES) - refusing - tight) == []


CHAIN = (
    "temperature.electrons-assumed",
    "temperature.resolution-claim-weak",
    "temperature.absence-not-defendable",
)


def test_an_absence_is_doubted_once_the_loom_was_changed(tmp_path: Path) -> None:
    """A loom changed since its thermometry makes the electrons assumed, the claim weak and the absence doubtful."""
    text = (FOLDER / "lab.yaml").read_text(encoding="utf-8")
    assert text.count(WET_LOOM) == 1
    (tmp_path / "lab.yaml").write_text(text.replace(WET_LOOM, WET_LOOM_CHANGED), encoding="utf-8")
    proposal = read_request(FOLDER / "proposals" / "absent-peak.yaml")
    before = answer("absent-peak").platform("wet-dilution")
    after = assess(open_facility(tmp_path), proposal).platform("wet-dilution")
    assert before is not None
    assert after is not None

    assert {each.rule for each in before.findings}.isdisjoint(CHAIN)
    assert {each.rule for each in after.findings} >= set(CHAIN)
    assert (before.verdict, after.verdict) == ("suitable", "tight")


WET_LOOM = "date: 2026-03-17, loom_changed: 2025-12-01"
WET_LOOM_CHANGED = "date: 2026-03-17, loom_changed: 2026-06-01"


def test_check_finds_no_problem_in_what_ships() -> None:
    """Facility, proposals and rules are clean."""
    problems, counted = check()

    assert problems == []
    assert "platforms" in counted
