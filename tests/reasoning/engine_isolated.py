"""The rule engine against the plain evaluator, and every known trap of its library.

Run in a process of its own by test_engine.py, so that a crash of the library is a failed test.
"""

from __future__ import annotations

import gc
import itertools
import math
import random
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from reasoning.writing import OVERLAY, RULE, RULES, changed, loaded

from triage.errors import RuleEngineError
from triage.reasoning import engine, plain
from triage.reasoning.firing import FactSet, Firing
from triage.reasoning.rulebase import Rulebase

THRESHOLDS = (
    0.0,
    1.0,
    0.1 + 0.2,
    1 / 3,
    1e-9,
    -1e-9,
    1e-5,
    5e-324,
    2.2250738585072014e-308,
    123456789.123456789,
    2.0**53,
    1e16,
    1e22,
    1e308,
    1.7976931348623157e308,
    -3.0,
)
NUMBERS = [f"n{number}" for number in range(12)]
WORDS = [f"w{number}" for number in range(4)]
CHOICES = ("measured", "stale", "default")
ABOUTS = ("platform", "layer", "proposal")
GATES = {"platform": "temperature", "layer": "route", "proposal": "record"}


def random_vocabulary() -> dict[str, Any]:
    facts: dict[str, Any] = {}
    conclusions = {}
    for about in ABOUTS:
        common = {"about": about, "gate": GATES[about], "meaning": "x"}
        facts |= {f"{about}_{name}": {**common, "kind": "number"} for name in NUMBERS}
        facts |= {f"{about}_{name}": {**common, "kind": "word", "words": list(CHOICES)} for name in WORDS}
        conclusions |= {f"{about}-c{number}": {"about": about, "meaning": "x"} for number in range(6)}
    return {"facts": facts, "conclusions": conclusions, "shown": {}}


def random_rule(chance: random.Random, number: int) -> dict[str, Any]:
    """A rule of 1 to 4 conditions; conclusion k is made from conclusions before k only."""
    about = chance.choice(ABOUTS)
    when: list[dict[str, Any]] = []
    for _ in range(chance.choice((1, 1, 2, 2, 3, 4))):
        if chance.random() < 0.25:
            relation = chance.choice(("equal", "not equal", "one of"))
            value: Any = chance.sample(CHOICES, 2) if relation == "one of" else chance.choice(CHOICES)
            when.append({"fact": f"{about}_{chance.choice(WORDS)}", "is": relation, "value": value})
        else:
            relation = chance.choice(("below", "at most", "above", "at least", "equal", "not equal", "one of"))
            value = chance.sample(THRESHOLDS, 3) if relation == "one of" else chance.choice(THRESHOLDS)
            when.append({"fact": f"{about}_{chance.choice(NUMBERS)}", "is": relation, "value": value})
    then: dict[str, Any] = {"effect": "note"}
    makes = chance.randrange(6)
    if chance.random() < 0.4:
        then["conclude"] = f"{about}-c{makes}"
    if makes and chance.random() < 0.5:
        when.append({"concluded": f"{about}-c{chance.randrange(makes)}"})
    return changed(
        RULE,
        id=f"rule-{number:03}",
        about=about,
        gate=GATES[about],
        status="trial",
        when=when,
        then=then,
        because="x",
        trade_off=None,
        examples=None,
    )


def random_value(chance: random.Random) -> float:
    """Often exactly at a threshold or one float beside it."""
    value = chance.choice(THRESHOLDS)
    value = chance.choice(
        (
            value,
            value,
            math.nextafter(value, math.inf),
            math.nextafter(value, -math.inf),
            -value,
            chance.uniform(-5, 5),
            10 ** chance.uniform(-300, 300),
        )
    )
    return value if math.isfinite(value) else 0.0


def random_facts(chance: random.Random, subject: int) -> FactSet:
    about = chance.choice(ABOUTS)
    missing = chance.choice((0.0, 0.2, 0.9, 1.0))
    values: dict[str, float | str] = {f"{about}_{name}": random_value(chance) for name in NUMBERS}
    values |= {f"{about}_{name}": chance.choice(CHOICES) for name in WORDS}
    return FactSet(f"s{subject}", about, {key: value for key, value in values.items() if chance.random() >= missing})


@pytest.fixture(scope="module")
def various(tmp_path_factory: pytest.TempPathFactory) -> Rulebase:
    chance = random.Random(11)
    rules = [random_rule(chance, number) for number in range(120)]
    return loaded(tmp_path_factory.mktemp("various"), rules, random_vocabulary())


@pytest.fixture
def small(tmp_path: Path) -> Rulebase:
    return loaded(tmp_path)


WARM = FactSet("wet", "platform", {"thermal_margin": 0.5, "electron_temperature_basis": "stale"})
COLD = FactSet("dry", "platform", {"thermal_margin": 9.0, "electron_temperature_basis": "measured"})


def ids(firings: list[Firing]) -> list[str]:
    return [firing.rule.id for firing in firings]


def test_the_library_is_the_one_that_runs() -> None:
    """The version is the one the traps were found in."""
    assert engine.name() == "durable-rules 2.0.28"


def test_engine_and_plain_evaluator_agree(various: Rulebase) -> None:
    """On 3 000 random fact sets: the same rules, in the same order, on the same values."""
    chance = random.Random(12)
    assert len(various.strata) >= 3
    seen: set[str] = set()
    for _ in range(300):
        facts = [random_facts(chance, subject) for subject in range(10)]

        firings = engine.fire(various, facts)

        assert firings == plain.fire(various, facts)
        seen.update(ids(firings))
    assert len(seen) > 80, "the comparison must exercise most rules"


@pytest.mark.parametrize("value", THRESHOLDS)
def test_numbers_reach_the_library_exactly(tmp_path: Path, value: float) -> None:
    """One float beside a threshold is told from the threshold, with and without an exponent."""
    relations = ("below", "at most", "above", "at least", "equal", "not equal")
    rules = [
        changed(
            RULE,
            id=relation.replace(" ", "-"),
            status="trial",
            examples=None,
            when=[{"fact": "f", "is": relation, "value": repr(value)}],
            because="x",
            trade_off=None,
        )
        for relation in relations
    ]
    facts = {"facts": {"f": {"about": "platform", "kind": "number", "gate": "temperature", "meaning": "x"}}}
    rulebase = loaded(tmp_path, rules, facts)
    beside = [math.nextafter(value, -math.inf), value, math.nextafter(value, math.inf)]
    sets = [FactSet(str(number), "platform", {"f": number}) for number in beside if math.isfinite(number)]

    assert engine.fire(rulebase, sets) == plain.fire(rulebase, sets)


def test_nothing_to_do_is_no_trouble(small: Rulebase) -> None:
    """No facts, facts that match nothing, subjects without rules, no rules: no exception, no crash."""
    empty = Rulebase(())

    for _ in range(3):
        assert engine.fire(small, []) == []
        assert engine.fire(small, [COLD]) == []
        assert engine.fire(small, [FactSet("x", "platform", {})]) == []
        assert engine.fire(small, [FactSet("x", "proposal", {})]) == []
        assert engine.fire(empty, [WARM]) == []


def test_the_same_content_twice_is_two_subjects(small: Rulebase) -> None:
    """Facts have ids of their own, so the library does not take the second for the first."""
    once = ids(engine.fire(small, [WARM]))

    assert ids(engine.fire(small, [WARM, WARM, COLD, WARM])) == once * 3


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, "0.5", True])
def test_a_number_that_is_none_is_refused_before_the_library(small: Rulebase, value: Any) -> None:
    """The next assessment is not affected."""
    with pytest.raises(RuleEngineError, match="thermal_margin"):
        engine.fire(small, [WARM, FactSet("bad", "platform", {"thermal_margin": value})])

    assert engine.fire(small, [WARM]) == plain.fire(small, [WARM])


@pytest.mark.parametrize("word", ["1", "nan", "guessed", 'stale","thermal_margin":"0'])
def test_a_word_outside_the_vocabulary_is_refused(small: Rulebase, word: str) -> None:
    """The library would compare "1" with numbers; no such word passes."""
    with pytest.raises(RuleEngineError, match="electron_temperature_basis"):
        engine.fire(small, [FactSet("bad", "platform", {"electron_temperature_basis": word})])


def test_more_than_64_rules_may_fire_on_one_subject(tmp_path: Path) -> None:
    """The library refuses a fact that satisfies more than 64 conditions."""
    rules = [
        changed(
            RULE,
            id=f"rule-{number:03}",
            status="trial",
            examples=None,
            when=[{"fact": "thermal_margin", "is": "below", "value": number + 1}],
        )
        for number in range(200)
    ]
    rulebase = loaded(tmp_path, rules)

    assert len(engine.fire(rulebase, [WARM])) == 200


def test_more_than_255_facts_may_be_given(tmp_path: Path) -> None:
    """Only facts that rules look at are sent, in groups, since the library takes 255 properties."""
    facts = {
        f"f{number}": {"about": "platform", "kind": "number", "gate": "temperature", "meaning": "x"}
        for number in range(600)
    }
    rules = [
        changed(
            RULE,
            id=f"rule-{number:03}",
            status="trial",
            examples=None,
            because="x",
            trade_off=None,
            when=[
                {"fact": f"f{number}", "is": "above", "value": 1},
                {"fact": f"f{599 - number}", "is": "above", "value": 1},
            ],
        )
        for number in range(300)
    ]
    rulebase = loaded(tmp_path, rules, {"facts": facts})

    assert len(engine.fire(rulebase, [FactSet("x", "platform", dict.fromkeys(facts, 2.0))])) == 300


def test_one_of_fires_once_and_twice_in_one_rule(tmp_path: Path) -> None:
    """Several engine rules of one id give one firing, also when several of them match."""
    rule = changed(
        RULE,
        status="trial",
        examples=None,
        when=[
            {"fact": "thermal_margin", "is": "one of", "value": [1, 2, "1.0"]},
            {"fact": "electron_temperature_basis", "is": "one of", "value": ["stale", "default"]},
        ],
    )
    rulebase = loaded(tmp_path, [rule])

    facts = [
        FactSet(f"{margin} {basis}", "platform", {"thermal_margin": margin, "electron_temperature_basis": basis})
        for margin, basis in itertools.product((1.0, 2.0, 3.0), CHOICES)
    ]
    assert [firing.subject for firing in engine.fire(rulebase, facts)] == [
        "1.0 stale",
        "1.0 default",
        "2.0 stale",
        "2.0 default",
    ]


def test_a_missing_fact_is_not_unequal(tmp_path: Path) -> None:
    """Absence satisfies no condition."""
    unlike = changed(
        RULE,
        id="x",
        status="trial",
        examples=None,
        when=[{"fact": "thermal_margin", "is": "not equal", "value": 1}],
    )

    assert engine.fire(loaded(tmp_path, [unlike]), [FactSet("x", "platform", {})]) == []


def test_words_that_begin_alike_are_told_apart(tmp_path: Path) -> None:
    """Whole words are compared, signs and quotes included."""
    words = ["on", "one", "on demand", "µ-metal", 'a "quoted" word', "On"]
    facts = {
        "facts": {
            "f": {
                "about": "platform",
                "kind": "word",
                "words": words,
                "gate": "temperature",
                "meaning": "x",
            }
        }
    }
    rules = [
        changed(
            RULE,
            id=f"{relation.replace(' ', '-')}-{number}",
            status="trial",
            examples=None,
            because="x",
            trade_off=None,
            when=[{"fact": "f", "is": relation, "value": word}],
        )
        for relation in ("equal", "not equal")
        for number, word in enumerate(words)
    ]
    rulebase = loaded(tmp_path, rules, facts)
    sets = [FactSet(word, "platform", {"f": word}) for word in words]

    firings = engine.fire(rulebase, sets)

    assert firings == plain.fire(rulebase, sets)
    assert len(firings) == 6 * 6


def test_no_result_depends_on_the_order_of_facts(various: Rulebase) -> None:
    """Subjects come in the order given; what fires on each does not change."""
    chance = random.Random(13)
    facts = [random_facts(chance, subject) for subject in range(12)]
    forward = engine.fire(various, facts)

    backward = engine.fire(various, facts[::-1])

    assert sorted(forward, key=lambda one: (one.subject, one.rule.id)) == sorted(
        backward, key=lambda one: (one.subject, one.rule.id)
    )
    assert [one.subject for one in backward] == sorted(
        (one.subject for one in backward), key=[given.subject for given in facts[::-1]].index
    )


def test_no_threads_of_the_library_are_started(small: Rulebase) -> None:
    """Its Python layer, which starts them, is not even imported."""
    engine.fire(small, [WARM])

    assert threading.active_count() == 1
    assert "durable" not in sys.modules


def test_eight_threads_get_what_one_gets(various: Rulebase) -> None:
    """Each its own assessments, all at once."""
    chance = random.Random(14)
    batches = [[random_facts(chance, subject) for subject in range(8)] for _ in range(40)]
    expected = [plain.fire(various, facts) for facts in batches]

    with ThreadPoolExecutor(8) as pool:
        for found in pool.map(lambda _: [engine.fire(various, facts) for facts in batches], range(8)):
            assert found == expected


def resident() -> int:
    """Resident memory [kB]."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(next(line for line in status.splitlines() if line.startswith("VmRSS")).split()[1])


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="needs /proc")
def test_sessions_are_given_back(small: Rulebase, various: Rulebase) -> None:
    """1 500 assessments exceed the library's 1 024 sessions, 300 more leave the memory flat."""
    chance = random.Random(15)
    facts = [random_facts(chance, subject) for subject in range(8)]
    for _ in range(1500):
        engine.fire(small, [WARM])
    for _ in range(60):
        engine.fire(various, facts)
    gc.collect()
    before = resident()

    for _ in range(300):
        engine.fire(various, facts)

    gc.collect()
    assert resident() - before < 500


class Spy:
    """The library with one function replaced."""

    def __init__(self, **replaced: Any) -> None:
        self.calls: list[str] = []
        self.replaced = replaced
        self.real = engine._library

    def __getattr__(self, name: str) -> Any:
        self.calls.append(name)
        return self.replaced.get(name) or getattr(self.real, name)


@pytest.fixture
def spied(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    def put(**replaced: Any) -> Spy:
        spy = Spy(**replaced)
        monkeypatch.setattr(engine, "_library", spy)
        return spy

    return put


def test_the_rules_are_built_once_per_content(tmp_path: Path, spied: Any) -> None:
    """The library never frees a rule set, so an equal rule base loaded again is not built again."""
    when = [{"fact": "overlay_margin", "is": "below", "value": 0.123}]
    unseen = changed(OVERLAY, id="route.unseen", when=when, status="trial", examples=None)
    spy = spied()
    for folder in "ab":
        rulebase = loaded(tmp_path / folder, [*RULES, unseen])
        engine.fire(rulebase, [WARM])
        engine.fire(rulebase, [COLD])

    assert spy.calls.count("create_ruleset") == 1
    assert spy.calls.count("delete_state") == 4


def fail(*_: object) -> Any:
    raise engine._library.error("Could not assert fact, error code: 303")


def interrupt(*_: object) -> Any:
    raise KeyboardInterrupt


@pytest.mark.parametrize(
    ("replaced", "message"),
    [
        ({"complete_and_start_action": fail}, "error code: 303"),
        ({"complete_and_start_action": lambda *_: None}, "failed on fact"),
        ({"complete_and_start_action": lambda *_: '{"r1":{}}'}, "failed on fact"),
        (
            {
                "start_action_for_state": lambda *_: ("{}", '{"r99":{}}'),
                "complete_and_start_action": lambda *_: None,
            },
            "did not end with the last rule",
        ),
        ({"start_action_for_state": lambda *_: None}, "failed on fact"),
        ({"assert_fact": lambda *_: (1, 0)}, "not accepted, status 1"),
    ],
)
def test_a_failure_of_the_library_is_an_error_and_leaves_no_trace(
    small: Rulebase, replaced: dict[str, Any], message: str
) -> None:
    """Dropped rules, endless rules, refusals: never a wrong answer, and the next assessment is right."""
    engine.fire(small, [WARM])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine, "_library", Spy(**replaced))
        with pytest.raises(RuleEngineError, match=message):
            engine.fire(small, [WARM])

    assert engine.fire(small, [WARM]) == plain.fire(small, [WARM])


def test_an_interrupt_gets_through(small: Rulebase) -> None:
    """The library's Python layer would swallow it; the session is deleted all the same."""
    engine.fire(small, [WARM])
    with pytest.MonkeyPatch.context() as patch:
        spy = Spy(complete_and_start_action=interrupt)
        patch.setattr(engine, "_library", spy)
        with pytest.raises(KeyboardInterrupt):
            engine.fire(small, [WARM])

    assert engine.fire(small, [WARM]) == plain.fire(small, [WARM])


def test_a_rule_too_long_for_the_library_is_refused(tmp_path: Path) -> None:
    """24 conditions run, 25 are refused with the rule named."""
    facts = {
        f"f{number}": {"about": "platform", "kind": "number", "gate": "temperature", "meaning": "x"}
        for number in range(25)
    }
    for count in (24, 25):
        rule = changed(
            RULE,
            status="trial",
            examples=None,
            because="x",
            trade_off=None,
            when=[{"fact": f"f{number}", "is": "above", "value": 1} for number in range(count)],
        )
        rulebase = loaded(tmp_path / str(count), [rule], {"facts": facts})
        given = [FactSet("x", "platform", dict.fromkeys(facts, 2.0))]
        if count == 24:
            assert ids(engine.fire(rulebase, given)) == ["temperature.too-warm"]
        else:
            with pytest.raises(RuleEngineError, match="more than 24"):
                engine.fire(rulebase, given)
