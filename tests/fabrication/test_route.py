"""Whole routes: order, contamination, time, and what decides."""

from __future__ import annotations

import itertools
from typing import get_args

import pytest
from fabrication.make import TOOLS, job, room, wanted
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.fabrication.layer import Place, ways
from triage.fabrication.route import follow, in_order, plans, with_others
from triage.fabrication.templates import TEMPLATES, expand
from triage.fabrication.totals import totals
from triage.fabrication.work import exposing_tools, total_time
from triage.models.cleanroom import CLASSES
from triage.models.fabrication import TemplateName

NAMES = get_args(TemplateName)


def test_every_template_has_its_layers() -> None:
    """The names a proposal may use are those of the templates."""
    assert set(NAMES) == set(TEMPLATES)


@pytest.mark.parametrize("name", NAMES)
def test_a_fully_equipped_room_makes_every_template(name: str) -> None:
    """Each of the common devices has a way that no rule forbids, and each of its numbers has a basis."""
    best = plans(job(wanted(template=name)))[0]

    assert best.vetoes == ()
    assert all(each.basis for layer in best.layers for each in layer.figures.values())


@pytest.mark.parametrize("name", NAMES)
def test_contamination_never_falls_back_along_a_route(name: str) -> None:
    """A sample takes the class of the dirtiest tool it has seen and keeps it."""
    for plan in plans(job(wanted(template=name))):
        seen = [CLASSES.index(each) for layer in plan.layers for each in (layer.class_before, layer.class_after)]
        assert seen == sorted(seen)


MATERIALS = st.sampled_from(["silicon oxide", "aluminium", "gold", "polysilicon", "niobium", "tungsten"])


@given(materials=st.lists(MATERIALS, min_size=1, max_size=5), free=st.booleans())
def test_contamination_never_falls_back_whatever_the_stack(materials: list[str], free: bool) -> None:
    """The same for any stack; where the order is free the cleanest layers come first."""
    layers = [
        {"name": f"layer {number}", "material": each, "thickness": "30 nm", "smallest_feature": "5 um"}
        | ({"after": []} if free else {})
        for number, each in enumerate(materials)
    ]
    work = job(wanted(layers=layers))
    made = follow(work, exposing_tools(work.room)[:1])

    assert made is not None
    assert [CLASSES.index(way.class_after) for way in made] == sorted(CLASSES.index(way.class_after) for way in made)
    for before, after in itertools.pairwise(made):
        assert before.class_after == after.class_before


@settings(max_examples=20, deadline=None)
@given(name=st.sampled_from(NAMES), chips=st.integers(1, 200), more=st.integers(0, 200))
def test_more_chips_never_take_less_time(name: str, chips: int, more: int) -> None:
    """On a given route; another route may be quicker with more chips, since a mask may then pay."""
    work = job(wanted(template=name))
    made = follow(work, exposing_tools(work.room)[:2])

    assert made is not None
    few, many = (
        [total_time(way.works, count, work.wanted.substrate.chips_per_piece.nominal) for way in made]
        for count in (chips, chips + more)
    )
    assert all(one <= other for one, other in zip(few, many, strict=True))


@settings(max_examples=15, deadline=None)
@given(good=st.integers(1, 60), more=st.integers(1, 60))
def test_more_good_chips_never_take_less_time_or_money(good: int, more: int) -> None:
    """The sums of one route grow with the number of good chips."""
    small, large = (job(wanted(template="tunnel-junction"), good=count) for count in (good, good + more))
    tools = exposing_tools(small.room)[:1]
    sums = [totals(follow(each, tools) or [], each.room, each.wanted, each.good).figures for each in (small, large)]
    for name in ("chips_started", "tool_time", "time_to_chips", "price"):
        assert sums[0][name].value <= sums[1][name].value


def test_the_hot_and_clean_layer_comes_first_where_it_may() -> None:
    """Gold marks listed first are made after the oxide, if nothing ties the oxide to them."""
    fabrication = wanted(
        layers=[
            {"name": "marks", "material": "gold", "smallest_feature": "3 um", "thickness": "50 nm"},
            {"name": "oxide", "material": "silicon oxide", "deposition": "grown", "after": []},
        ]
    )

    assert [each.name for each in in_order(expand(fabrication), room())] == ["oxide", "marks"]


def test_alignment_holds_the_order() -> None:
    """A layer never comes before the layer it is aligned to."""
    fabrication = wanted(
        layers=[
            {"name": "marks", "material": "gold", "smallest_feature": "3 um", "thickness": "50 nm"},
            {"name": "gates", "material": "silicon", "overlay_to": "marks", "after": [], "smallest_feature": "3 um"},
        ]
    )

    assert [each.name for each in in_order(expand(fabrication), room())] == ["marks", "gates"]


def test_marks_of_gold_do_not_outlive_a_furnace() -> None:
    """Etched marks do."""
    gates = {"name": "gates", "smallest_feature": "5 um", "overlay": "3 um", "overlay_to": "marks", "after": ["oxide"]}
    oxide = {"name": "oxide", "material": "silicon oxide", "deposition": "grown", "temperature": "1173 K"}
    facts = []
    for marks in ({"material": "gold"}, {"material": "silicon", "deposition": "etched"}):
        work = job(wanted(layers=[{"name": "marks", "smallest_feature": "3 um", **marks}, oxide, gates]))
        made = follow(work, exposing_tools(work.room)[1:2])
        assert made is not None
        facts.append(made[-1].facts["marks_survive"])

    assert facts == ["no", "yes"]


def test_electrons_on_marks_made_by_light_land_less_well() -> None:
    """Each way of making the marks has its own overlay."""
    work = job(wanted(template="tunnel-junction"))
    marks, junction = work.layers
    reached = []
    for tool in exposing_tools(work.room)[:2]:
        below = ways(marks, [tool], work.room, work.wanted, Place("A"))[0]
        place = Place(below.class_after, {"marks": below})
        way = ways(junction, exposing_tools(work.room)[:1], work.room, work.wanted, place)[0]
        reached.append(way.overlay)

    assert reached[0] < reached[1]


def test_a_tool_that_nobody_has_is_a_veto() -> None:
    """A sputtered film in a room without a sputter."""
    place = room(*(tool for tool in TOOLS if tool["kind"] != "sputter"))
    best = plans(job(wanted(template="resonator"), place=place))[0]

    assert {each.rule for each in best.vetoes} == {"route.tool-nowhere"}
    assert "sputter" in best.vetoes[0].because


def test_a_partner_s_tool_serves_with_a_caution() -> None:
    """The same with a node that has one."""
    here = [tool for tool in TOOLS if tool["kind"] != "sputter"]
    node = {"name": "Partner", "tools": [tool for tool in TOOLS if tool["kind"] == "sputter"]}
    best = plans(job(wanted(template="resonator"), place=room(*here, nodes=[node])))[0]

    assert best.vetoes == ()
    assert "route.tool-elsewhere" in {each.rule for each in best.findings}


def test_a_sample_that_must_return_to_the_furnace_takes_no_metal() -> None:
    """Gates of aluminium are the end of the silicon line."""
    best = plans(job(wanted(template="test-transistors", returns_to_furnace=True)))[0]

    assert "route.metal-before-furnace" in {each.rule for each in best.vetoes}


def test_a_foundry_takes_silicon_and_refuses_gold() -> None:
    """Materials decide before price does."""
    place = room(foundries=[{"name": "line"}])
    verdicts = {}
    for name in ("test-transistors", "hall-bar"):
        found = plans(job(wanted(template=name, revisions=0), place=place))
        verdicts[name] = next(plan.vetoes for plan in found if plan.name == "line")

    assert verdicts["test-transistors"] == ()
    assert "route.material-bars-foundry" in {each.rule for each in verdicts["hall-bar"]}


def test_other_tools_are_listed_with_what_limits_them() -> None:
    """A mask aligner and a laser writer cannot draw a junction, and say by how much."""
    work = job(wanted(template="tunnel-junction"))
    best = with_others(work, plans(work)[0])
    others = {each.tool: each for each in best.layers[-1].others}

    assert not others["aligner"].serves
    assert "200 nm" in others["aligner"].because


def test_a_process_whose_yield_is_low_is_cautioned() -> None:
    """A layer that fails more than one time in ten is mended first."""
    layers = [{"name": "junction", "works": "70 %"}]
    best = plans(job(wanted(template="tunnel-junction", layers=layers)))[0]

    assert "route.weak-layer" in {each.rule for each in best.findings}


def test_a_large_area_at_a_small_current_is_told_with_its_numbers() -> None:
    """2 mm2 of 12 nm lines at the finest spot take hours a chip (common practice: 1 mm2 at 1 nA, 50 min)."""
    drawn = {"name": "grid", "smallest_feature": "12 nm", "thickness": "5 nm", "exposed_area": "2 mm2"}
    best = next(plan for plan in plans(job(wanted(layers=[drawn]))) if plan.tools == ("writer",))
    said = {each.rule: each.because for each in best.findings}

    assert "2 mm2" in said["route.wrong-current"]
    assert "0.1 nA" in said["route.wrong-current"] or "100 pA" in said["route.wrong-current"]
