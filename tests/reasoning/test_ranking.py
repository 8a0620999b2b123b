"""Verdicts and order: properties that hold for any findings."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.models.estimate import GATES, GateNumbers
from triage.models.recommendation import Finding
from triage.reasoning.ranking import Candidate, confidence, gate_results, is_tie, rank, verdict

CANDIDATES = st.lists(
    st.builds(
        Candidate,
        platform=st.text("abcdefgh", min_size=1, max_size=3),
        verdict=st.sampled_from(["suitable", "tight", "unknown", "unsuitable"]),
        lifted=st.booleans(),
        price=st.floats(0, 1e6),
        time=st.floats(0, 1e8),
        temperature=st.floats(0.01, 300),
    ),
    min_size=1,
    max_size=8,
    unique_by=lambda each: each.platform,
)
FINDINGS = st.lists(
    st.builds(
        lambda gate, effect: Finding(f"{gate}.rule", "", gate, effect),
        st.sampled_from(GATES),
        st.sampled_from(["veto", "caution", "credit", "note"]),
    ),
    max_size=12,
)
KNOWN = {gate: GateNumbers(gate, 1.0, 2.0, "", 2.0) for gate in GATES}
WORSE = {"suitable": 0, "tight": 1, "unknown": 2, "unsuitable": 3}


def place(order: list[Candidate], platform: str) -> int:
    return next(index for index, each in enumerate(order) if each.platform == platform)


@given(CANDIDATES)
def test_order_does_not_depend_on_the_order_given(candidates: list[Candidate]) -> None:
    """Shuffled candidates rank alike."""
    assert rank(candidates) == rank(list(reversed(candidates)))


@given(CANDIDATES, st.data())
def test_a_veto_never_raises_a_rank(candidates: list[Candidate], data: st.DataObject) -> None:
    """A platform that fails a gate drops, or stays where it was."""
    victim = data.draw(st.sampled_from(candidates))
    before = rank(candidates)
    after = rank([replace(each, verdict="unsuitable") if each is victim else each for each in candidates])

    assert place(after, victim.platform) >= place(before, victim.platform)


@given(CANDIDATES)
def test_nothing_unsuitable_leads_while_something_serves(candidates: list[Candidate]) -> None:
    """Suitable before tight before unknown before unsuitable, lifted tight ones beside the suitable."""
    places = [each.place for each in rank(candidates)]

    assert places == sorted(places)


@given(CANDIDATES)
def test_no_much_cheaper_platform_of_the_class_is_passed_over(candidates: list[Candidate]) -> None:
    """The leader is within a fifth of the cheapest of its class."""
    leader = rank(candidates)[0]
    cheapest = min(each.price for each in candidates if each.place == leader.place)

    assert leader.price <= cheapest / 0.8 + 1e-9


@given(FINDINGS)
def test_one_veto_makes_unsuitable_whatever_else_is_found(findings: list[Finding]) -> None:
    """A failing gate is never averaged away."""
    veto = Finding("size.rule", "", "size", "veto")

    assert verdict(gate_results(KNOWN, [*findings, veto])) == "unsuitable"


@given(FINDINGS, st.integers(0, 11))
def test_removing_a_finding_never_makes_a_verdict_worse(findings: list[Finding], index: int) -> None:
    """Fewer objections, no worse verdict."""
    fewer = [each for position, each in enumerate(findings) if position != index]

    assert WORSE[verdict(gate_results(KNOWN, fewer))] <= WORSE[verdict(gate_results(KNOWN, findings))]


def test_a_margin_that_is_not_known_makes_the_gate_unknown() -> None:
    """Neither pass nor fail."""
    gates = KNOWN | {"heat": GateNumbers("heat", 1.0, None, "W", float("nan"))}

    assert verdict(gate_results(gates, [])) == "unknown"


@pytest.mark.parametrize(("price", "time", "tie"), [(110.0, 11.0, True), (150.0, 11.0, False), (110.0, 20.0, False)])
def test_a_tie_is_a_fifth_in_price_and_in_time(price: float, time: float, tie: bool) -> None:
    """Close in one only is no tie."""
    order = [Candidate("a", "suitable", False, 100.0, 10.0, 4.2), Candidate("b", "suitable", False, price, time, 4.2)]

    assert is_tie(order) is tie
    assert (confidence(order, ()) == "tie") is tie


def test_confidence_is_none_where_nothing_serves() -> None:
    """No recommendation, no confidence."""
    assert confidence([Candidate("a", "unsuitable", False, 1.0, 1.0, 4.2)], ()) == "none"
    assert confidence([], ()) == "none"
