"""Boxes say of a rule just what the plain evaluator does: for every value, and for pairs of rules."""

from __future__ import annotations

import math
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from triage.reasoning import plain
from triage.reasoning.boxes import Span, boxes, full, holds_nothing, inside, meet, satisfying, span, within, witness
from triage.reasoning.firing import FactSet
from triage.reasoning.rule import Condition
from triage.reasoning.rulebase import load
from triage.reasoning.vocabulary import Fact

NUMBER = Fact("n", "platform", "number", "temperature", "x", low=0.0, high=10.0)
WORD = Fact("w", "platform", "word", "temperature", "x", words=("a", "b", "c"))
VALUES = (0.0, 1.0, math.nextafter(1.0, 0), math.nextafter(1.0, 2), 3.0, 10.0)
RELATIONS = ("below", "at most", "above", "at least", "equal", "not equal")
conditions = st.one_of(
    st.builds(lambda relation, value: Condition("n", relation, (value,)), st.sampled_from(RELATIONS),
              st.sampled_from((*VALUES, -1.0, 11.0))),
    st.builds(lambda values: Condition("n", "one of", tuple(values)), st.lists(st.sampled_from(VALUES), min_size=1,
              unique=True)),
)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(st.lists(conditions, min_size=1, max_size=4), st.sampled_from(VALUES))
def test_a_region_holds_just_the_values_that_satisfy(wanted: list[Condition], value: float) -> None:
    """Intervals, their ends to the last float, excluded and listed numbers, and the range of the fact."""
    region = full(NUMBER)
    for each in wanted:
        region = meet(region, satisfying(NUMBER, each))

    assert (value in region) == all(bool(plain.satisfied(each, {"n": value}, {})) for each in wanted)


@settings(max_examples=300, deadline=None)
@given(conditions, conditions)
def test_inside_means_that_every_value_is_in_the_other(one: Condition, other: Condition) -> None:
    """Checked on values at, beside and between the thresholds."""
    first, second = satisfying(NUMBER, one), satisfying(NUMBER, other)
    tried = [*VALUES, 0.5, 2.0, 5.0]
    if inside(first, second):
        assert all(value in second for value in tried if value in first)
    elif isinstance(first, Span) and isinstance(second, Span):
        assert first.low < second.low or first.high > second.high or any(gap in first for gap in second.without)


def test_words_are_a_choice() -> None:
    """`not equal` is all other words."""
    region = satisfying(WORD, Condition("w", "not equal", ("b",)))

    assert "a" in region
    assert "b" not in region
    assert inside(region, full(WORD))


def test_ends_that_are_left_out_move_inwards() -> None:
    """A range of one number without that number is empty."""
    assert holds_nothing({"n": span(1.0, 1.0, [1.0])})
    assert span(0.0, 1.0, [1.0]) == Span(0.0, math.nextafter(1.0, 0))


def test_every_shipped_rule_fires_at_the_witness_of_its_box() -> None:
    """Facts picked from the box fire the rule, conclusions included, on the plain evaluator."""
    rulebase, _ = load(Path(__file__).parents[2] / "rules")
    for name, mine in boxes(rulebase).items():
        assert mine, name
        for box in mine:
            assert within(box, box)
            facts = FactSet("x", rulebase.by_id[name].about, witness(box))
            assert name in {each.rule.id for each in plain.fire(rulebase, [facts])}
