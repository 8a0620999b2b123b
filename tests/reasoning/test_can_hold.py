"""Whether conditions can hold together, against trying every value that could tell."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from triage.reasoning import plain
from triage.reasoning.boxes import can_hold
from triage.reasoning.rule import Condition, Rule
from triage.reasoning.vocabulary import Fact

LOW, HIGH = 0.0, 4.0
NUMBERS = st.sampled_from([-1.0, 0.0, 1.0, 2.0, 3.0, 4.0, 5.0])
WORDS = ("measured", "stale", "default")


def conditions(values: st.SearchStrategy[object], relations: tuple[str, ...]) -> st.SearchStrategy[Condition]:
    one = st.builds(lambda relation, value: Condition("f", relation, (value,)), st.sampled_from(relations), values)
    several = st.lists(values, min_size=1, max_size=3).map(lambda many: Condition("f", "one of", tuple(many)))
    return one | several


def satisfied(value: float | str, together: list[Condition]) -> bool:
    rule = Rule("x", "", "platform", "temperature", "stable", tuple(together), "note", "")
    return plain.holds(rule, {"f": value}, {})


@settings(max_examples=600, deadline=None)
@given(st.lists(conditions(NUMBERS, ("below", "at most", "above", "at least", "equal", "not equal")), max_size=4))
def test_numbers_can_hold_when_some_number_does(together: list[Condition]) -> None:
    """Every threshold in the fact's range and a number between each two of them are tried."""
    fact = Fact("f", "platform", "number", "temperature", "", low=LOW, high=HIGH)
    grid = [0.0, 1.0, 2.0, 3.0, 4.0]
    tried = grid + [(low + high) / 2 for low, high in pairwise(grid)]

    assert can_hold(fact, together) == any(satisfied(value, together) for value in tried)


@settings(max_examples=200, deadline=None)
@given(st.lists(conditions(st.sampled_from(WORDS), ("equal", "not equal")), max_size=4))
def test_words_can_hold_when_some_word_does(together: list[Condition]) -> None:
    """Every word of the fact is tried."""
    fact = Fact("f", "platform", "word", "temperature", "", words=WORDS)

    assert can_hold(fact, together) == any(satisfied(word, together) for word in WORDS)
