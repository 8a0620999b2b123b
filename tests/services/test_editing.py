"""Writing a proposal: text that keeps what was written, equivalents, and what is asked."""

from __future__ import annotations

import pytest
import scipy.constants as codata
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.errors import Problem
from triage.measurements.catalogue import CATALOGUE
from triage.models.proposal import Proposal
from triage.services import editing, questions, workspace

PATHS = [path.stem for path in workspace.open_facility().proposals()]


@pytest.mark.parametrize("name", PATHS)
def test_writing_keeps_every_proposal(name: str) -> None:
    text = editing.saved_text(workspace.open_facility(), name)
    assert text is not None
    data, problems = editing.from_text(text, name)
    assert not problems
    assert editing.from_text(editing.to_yaml(data), name) == (data, ())


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=60))
@settings(max_examples=150, deadline=None)
def test_any_title_survives_writing(title: str) -> None:
    data = editing.put(editing.new_proposal("kondo"), "title", title)
    if title.strip():
        assert editing.from_text(editing.to_yaml(data), "x")[0]["title"] == title


def test_taking_the_last_entry_away_takes_its_group_away() -> None:
    data = editing.put({}, "board.connectors.overhang", "3 mm")
    assert data == {"board": {"connectors": {"overhang": "3 mm"}}}
    assert editing.put(data, "board.connectors.overhang", " ") == {}


def test_basis_and_source_stay_with_a_value_that_is_changed() -> None:
    data = {"device": {"charging_energy": {"value": "0.2 fF", "basis": "measured", "source": "log"}}}
    changed = editing.put(data, "device.charging_energy", "0.3 fF")
    assert editing.text_at(changed, "device.charging_energy") == "0.3 fF"
    assert editing.basis_at(changed, "device.charging_energy") == ("measured", "log")
    assert editing.text_at(data, "device.charging_energy") == "0.2 fF"


def test_an_energy_is_shown_in_every_way_the_trade_writes_it() -> None:
    """Against CODATA constants as scipy prints them: 1 meV over k_B, h and 2 µ_B."""
    data = {"title": "x", "measurement": "coulomb-diamonds", "device": {"charging_energy": "1 meV"}}
    shown = editing.equivalents(data, "charging_energy")
    joule = 1e-3 * codata.e
    magneton = codata.physical_constants["Bohr magneton"][0]
    expected = {
        "K": joule / codata.k, "GHz": joule / codata.h / 1e9, "T": joule / (2 * magneton),
        "aF": codata.e**2 / (2 * joule) * 1e18,
    }  # fmt: skip
    assert shown[0] == "1 meV"
    for unit, value in expected.items():
        text = next(each for each in shown if each.split()[1] == unit)
        assert float(text.split()[0]) == pytest.approx(value, rel=0.05)  # printed to two digits


def test_a_quantity_that_is_no_energy_has_no_equivalents() -> None:
    data = {"title": "x", "measurement": "spin-readout", "device": {"g_factor": "2"}}
    assert editing.equivalents(data, "g_factor") == ()
    assert (
        editing.equivalents(
            {"measurement": "coulomb-diamonds", "device": {"charging_energy": "5 h"}}, "charging_energy"
        )
        == ()
    )


@pytest.mark.parametrize("key", CATALOGUE)
def test_at_most_eight_questions_come_first_and_none_is_lost(key: str) -> None:
    kind = CATALOGUE[key]
    first = questions.first_questions(kind)
    assert len({"board" if each.path.startswith("board.") else each.path for each in first}) + 1 <= questions.MOST_FIRST
    paths = {each.path for each in first}
    assert {f"device.{each.name}" for each in kind.inputs if each.default is None and not each.optional} <= paths
    assert "field.magnitude" in paths or not kind.needs_field
    rest = [each.path for asked in questions.other_questions(kind).values() for each in asked]
    assert len(rest) == len(set(rest))
    assert paths | set(rest) == set(questions.all_questions(kind))


def test_every_quantity_of_a_proposal_is_asked() -> None:
    kind = CATALOGUE["coulomb-diamonds"]
    asked = questions.all_questions(kind)
    for group in ("devices", "lines", "heat", "time", "signal", "risk"):
        model = Proposal.model_fields[group].default
        names = {f"{group}.{name}" for name in type(model).model_fields} - {"signal.field_gradient"}
        assert names <= set(asked)


def test_problems_go_to_the_nearest_field() -> None:
    def problem(field: str) -> Problem:
        return Problem("x.yaml", 1, field, "is missing")

    found, rest = editing.by_field(
        [problem("field"), problem("board.width"), problem("device.tunnel"), problem("")],
        ["field.magnitude", "board.width", "board.length"],
    )
    assert set(found) == {"field.magnitude", "board.width"}
    assert [each.field for each in rest] == ["device.tunnel", ""]


def test_another_kind_keeps_what_both_ask() -> None:
    data = {"title": "x", "measurement": "coulomb-peaks", "device": {"addition_energy": "1 meV", "lever_arm": "0.1"}}
    assert editing.change_kind(data, "charge-sensing")["device"] == {"addition_energy": "1 meV"}
    assert "device" not in editing.change_kind(data, "kondo")
