"""Invented proposals in an invented room: each is decided by one thing, and says so."""

from __future__ import annotations

import json

import pytest
from fabrication.make import SCENARIO

from triage.errors import BadInput
from triage.models.route import Route
from triage.route_text import route_text
from triage.services.assess import assess
from triage.services.route import route
from triage.services.route_data import route_data
from triage.services.workspace import Facility, find_proposal, open_facility, read_request, read_request_text

NAMES = [path.stem for path in sorted((SCENARIO / "proposals").glob("*.yaml"))]


@pytest.fixture(scope="module")
def facility() -> Facility:
    """The room of the scenario."""
    return open_facility(SCENARIO)


@pytest.fixture(scope="module")
def answers(facility: Facility) -> dict[str, Route]:
    """The route of every proposal, with the platform it will be measured on."""
    found = {}
    for name in NAMES:
        request = read_request(find_proposal(facility, name))
        found[name] = route(facility, request, assess(facility, request))
    return found


def rules(answer: Route, tool: str) -> set[str]:
    """The rules that forbid the way with one tool alone."""
    return {each.rule for plan in answer.plans if plan.tools == (tool,) for each in plan.vetoes}


def test_feature_size_decides(answers: dict[str, Route]) -> None:
    """The island of 60 nm is for electrons; the marks need none."""
    answer = answers["smallest-feature"]

    assert [layer.exposure for layer in answer.layers] == ["laser", "electron beam"]
    assert "route.feature-too-small" in rules(answer, "aligner")
    assert "route.feature-too-small" in rules(answer, "laser")


def test_overlay_decides(answers: dict[str, Route]) -> None:
    """60 nm to the marks: the marks are written by electrons too, although light could draw them."""
    answer = answers["tight-overlay"]

    assert answer.recommended is not None
    assert answer.recommended.tools == ("writer",)
    mixed = next(plan for plan in answer.plans if plan.tools == ("laser", "writer"))
    assert {each.rule for each in mixed.vetoes} == {"route.overlay-too-coarse"}


def test_contamination_decides_and_the_order_that_works_is_named(answers: dict[str, Route]) -> None:
    """Gold has been on the chip before the furnace; oxide first would do."""
    answer = answers["gold-before-furnace"]

    assert answer.recommended is None
    assert all(
        "route.dirty-sample-in-clean-tool" in {each.rule for each in plan.vetoes}
        for plan in answer.plans
        if plan.layers[0].exposure != "foundry"
    )
    assert "oxide, marks, gates" in answer.reason


def test_area_and_time_decide(answers: dict[str, Route]) -> None:
    """Wide planes by light, the core by electrons, since electrons alone take more than half a day."""
    answer = answers["large-area"]

    assert answer.layers[0].exposure == "mixed"
    assert answer.layers[0].facts["beam_time_saved"] >= 5
    alone = next(plan for plan in answer.plans if plan.tools == ("writer",))
    assert "route.beam-hours" in {each.rule for each in alone.findings}


def test_number_of_chips_and_revisions_decide(answers: dict[str, Route]) -> None:
    """Many chips of a frozen design pay for masks; the same chips of a moving design do not."""
    many, moving = answers["many-chips"], answers["moving-design"]

    assert many.recommended is not None
    assert many.recommended.tools == ("aligner",)
    assert many.goal == "production"
    assert moving.recommended is not None
    assert moving.recommended.tools == ("laser",)
    masked = next(plan for plan in moving.plans if plan.tools == ("aligner",))
    assert "route.masks-for-moving-design" in {each.rule for each in masked.findings}


def test_a_tool_that_is_not_here_decides(answers: dict[str, Route]) -> None:
    """No deep ultraviolet: the partner's stepper stops at 400 nm, so electrons write it."""
    answer = answers["deep-ultraviolet-wanted"]

    assert answer.recommended is not None
    assert answer.recommended.tools == ("writer",)
    assert "route.asked-tool-absent" in {each.rule for each in answer.findings}


def test_a_smaller_island_is_weighed_against_a_colder_platform(answers: dict[str, Route]) -> None:
    """Capacitance goes with the junction's area, so the line shrinks with its square root."""
    exchange = next(each for each in answers["smallest-feature"].exchanges if each.platform == "helium-3")

    assert exchange.makeable
    assert float(exchange.feature_then.value) < float(exchange.feature_now.value)
    assert float(exchange.saved_time.value) > float(exchange.extra_time.value)


def test_a_mask_pays_sooner_against_electrons_than_against_a_laser(answers: dict[str, Route]) -> None:
    """The slower the serial tool, the sooner."""
    at = {each.name: float(each.at.value) for each in answers["smallest-feature"].crossovers}

    by_beam = at["mask instead of electron-beam writer for marks"]
    assert by_beam < at["mask instead of laser writer for marks"]


@pytest.mark.parametrize("name", NAMES)
def test_data_and_text(answers: dict[str, Route], name: str) -> None:
    """Plain data is JSON, and every figure in it has a basis; the text names the sentence and every caution."""
    data = route_data(answers[name])
    json.dumps(data, allow_nan=False)
    text = " ".join(route_text(answers[name]).split())

    figures = [each for plan in data["plans"] for each in plan["figures"].values()]
    assert all(each["basis"] for each in figures)
    assert answers[name].sentence in text
    assert all(" ".join(each.split()) in text for each in answers[name].cautions)


def test_no_finding_has_a_hole_in_its_sentence(answers: dict[str, Route]) -> None:
    """Every placeholder of a rule that fired is known for that layer."""
    found = [each for answer in answers.values() for plan in answer.plans for each in plan.findings]

    assert len({each.rule for each in found}) > 10
    assert [each.because for each in found if "not stated" in each.because or "{" in each.because] == []


def test_every_step_has_its_air_and_light(answers: dict[str, Route]) -> None:
    """Optical resist is handled in yellow light, resist for electrons need not be."""
    steps = {layer.exposure: layer.steps for layer in answers["smallest-feature"].layers}

    assert any(step.yellow_light for step in steps["laser"])
    assert not any(step.yellow_light for step in steps["electron beam"])
    exposing = [step for each in steps.values() for step in each if step.what == "expose"]
    assert all(step.particles > 0 and step.iso_class_wanted <= 6 for step in exposing)


def test_a_facility_without_a_cleanroom_says_so(facility: Facility) -> None:
    """Nothing to route is an answer, not a fault."""
    request = read_request(find_proposal(facility, "many-chips"))
    bare = Facility(facility.folder, facility.lab.model_copy(update={"cleanroom": None}), facility.rulebase)

    answer = route(bare, request)
    assert answer.recommended is None
    assert "no cleanroom" in answer.sentence
    assert "no cleanroom" in route_text(answer)


def test_an_unknown_feature_is_asked_for() -> None:
    """An unknown size of the finest line is a problem; other unknowns fall back to the usual figures."""
    text = """title: Unknown
measurement: transistor-screening
devices: {needed: 2, lines_each: 3}
fabrication:
  revisions: unknown
  layers: [{name: gates, smallest_feature: unknown}]
"""
    with pytest.raises(BadInput) as caught:
        read_request_text(text)
    known = read_request_text(text.replace("smallest_feature: unknown", "smallest_feature: about 3 um")).proposal

    assert "the smallest feature decides the route" in str(caught.value)
    assert known.fabrication is not None
    assert known.fabrication.revisions.basis == "common practice"


def test_a_layer_that_names_a_missing_one_is_a_problem_with_its_line(facility: Facility) -> None:
    """The line of the entry, and what to do."""
    text = """title: Typo
measurement: transistor-screening
devices: {needed: 2, lines_each: 3}
fabrication:
  layers:
    - {name: marks, smallest_feature: 3 um}
    - name: gates
      smallest_feature: 3 um
      overlay_to: mraks
"""
    with pytest.raises(BadInput) as caught:
        route(facility, read_request_text(text))

    assert "proposal.yaml:9 fabrication.layers[1].overlay_to: there is no layer 'mraks'" in str(caught.value)
