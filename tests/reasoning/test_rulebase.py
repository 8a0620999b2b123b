"""Loading a rule base: units, strata, fingerprint, a facility's departures, and files gone wrong."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reasoning.writing import ASSUMED, FACTS, OXYGEN, RULE, RULES, changed, loaded, put, write

from triage.reasoning.rule import read_rule
from triage.reasoning.rulebase import load
from triage.reasoning.vocabulary import read_vocabulary
from triage.source import Source

DEPARTS = {"who": "a person", "why": "a reason"}


def test_rules_are_sorted_and_values_are_si(tmp_path: Path) -> None:
    """A threshold written in per cent arrives as a fraction."""
    rulebase = loaded(tmp_path)

    assert [rule.id for rule in rulebase.rules] == sorted(rule["id"] for rule in RULES)
    condition = rulebase.by_id["risk_cost.oxygen"].when[0]
    assert condition.values == (0.195,)
    assert condition.written == "19.5 %"
    assert rulebase.vocabulary.facts["oxygen_after_release"].high == 0.25
    assert rulebase.references["Author1991"]["basis"] == "published"


def test_a_rule_stands_after_every_rule_whose_conclusion_it_needs(tmp_path: Path) -> None:
    """Two makers of one conclusion both come first."""
    second = changed(
        ASSUMED, id="a.second", when=[{"fact": "thermal_margin", "is": "equal", "value": 3}], examples=None
    )

    strata = loaded(tmp_path, [*RULES, second]).strata

    assert [rule.id for rule in strata[1]] == ["temperature.calibrate"]
    assert {"a.second", "temperature.assumed"} <= {rule.id for rule in strata[0]}


def test_draft_rules_are_loaded_but_not_in_force(tmp_path: Path) -> None:
    """A draft waits for its trial."""
    rulebase = loaded(tmp_path, [changed(RULE, status="draft"), OXYGEN])

    assert "temperature.too-warm" in rulebase.by_id
    assert [rule.id for stratum in rulebase.strata for rule in stratum] == ["risk_cost.oxygen"]


def test_retired_rules_are_kept_apart(tmp_path: Path) -> None:
    """A retired rule keeps its id taken but is no rule of the base."""
    folder = write(tmp_path, [RULE])
    put(folder / "retired" / "old.yaml", changed(OXYGEN, id="old", status="retired"))
    put(folder / "safety" / "old.yaml", changed(OXYGEN, id="old"))

    rulebase, problems = load(folder)

    assert [rule.id for rule in rulebase.rules] == ["temperature.too-warm"]
    assert [rule.id for rule in rulebase.retired] == ["old"]
    assert ["already the id" in problem.message for problem in problems] == [True]


def test_fingerprint_ignores_layout_and_follows_content(tmp_path: Path) -> None:
    """The same rules laid out otherwise have the same fingerprint; another threshold has another."""
    base = loaded(tmp_path / "a")
    other_layout = changed(
        dict(reversed(RULE.items())), when=[{"value": "1.0", "is": "below", "fact": "thermal_margin"}]
    )
    same = loaded(tmp_path / "b", [other_layout, *RULES[1:]])
    other = loaded(
        tmp_path / "c",
        [changed(RULE, when=[{"fact": "thermal_margin", "is": "below", "value": 1.01}]), *RULES[1:]],
    )

    assert len(base.fingerprint) == 12
    assert base.fingerprint == same.fingerprint
    assert base.fingerprint != other.fingerprint


def test_fingerprint_is_the_same_in_another_process(tmp_path: Path) -> None:
    """No hash seed enters it."""
    rulebase = loaded(tmp_path)
    code = (
        "import pathlib, triage.reasoning.rulebase as r;"
        f"print(r.load(pathlib.Path({str(tmp_path / 'rules')!r}))[0].fingerprint)"
    )
    for seed in ("1", "2"):
        run = subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed},
            cwd=Path(__file__).parents[2],
        )
        assert run.stdout.strip() == rulebase.fingerprint


def test_facility_adds_overrides_and_retires(tmp_path: Path) -> None:
    """Each departure is applied and kept with who and why."""
    shipped, facility = write(tmp_path / "shipped"), tmp_path / "facility"
    put(
        facility / "rules" / "own.yaml",
        changed(RULE, id="own", when=[{"fact": "thermal_margin", "is": "equal", "value": 7}]),
    )
    put(
        facility / "rules" / "temperature.too-warm.yaml",
        changed(RULE, when=[{"fact": "thermal_margin", "is": "below", "value": 0.5}], override=DEPARTS),
    )
    put(facility / "rules" / "risk_cost.oxygen.yaml", {"id": "risk_cost.oxygen", "retire": DEPARTS})

    rulebase, problems = load(shipped, facility)

    assert problems == []
    assert {departure.rule: departure.action for departure in rulebase.departures} == {
        "own": "adds",
        "temperature.too-warm": "overrides",
        "risk_cost.oxygen": "retires",
    }
    override = next(departure for departure in rulebase.departures if departure.action == "overrides")
    assert (override.who, override.why) == ("a person", "a reason")
    assert override.shipped is not None
    assert override.shipped.when[0].values == (1.0,)
    assert rulebase.by_id["temperature.too-warm"].when[0].values == (0.5,)
    assert rulebase.by_id["temperature.too-warm"].origin == "facility"
    assert rulebase.by_id["temperature.calibrate"].origin == "shipped"
    assert "risk_cost.oxygen" not in rulebase.by_id
    assert rulebase.fingerprint != load(shipped)[0].fingerprint


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (RULE, "is a shipped rule"),
        (changed(RULE, id="none", override=DEPARTS), "no rule 'none' to override"),
        (changed(RULE, override={"who": "a person"}), "`why` is missing"),
        (changed(RULE, override="yes please"), "is not a list of `key: value` entries"),
        ({"id": "temperature.to-warm", "retire": DEPARTS}, "no shipped rule 'temperature.to-warm' to retire"),
        ({"id": "risk_cost.oxygen", "retire": {"why": "so"}}, "`who` is missing"),
        ({"retire": DEPARTS}, "`id` is missing"),
        ({"id": "risk_cost.oxygen", "retire": DEPARTS, "when": []}, "'when' is not a known key"),
    ],
)
def test_a_departure_that_is_not_in_order_is_refused(tmp_path: Path, data: dict[str, Any], message: str) -> None:
    """The shipped rules stay as they are, and the problem names the facility's file."""
    shipped = write(tmp_path / "shipped")
    put(tmp_path / "facility" / "rules" / "x.yaml", data)

    rulebase, problems = load(shipped, tmp_path / "facility")

    assert any(message in problem.message and problem.file == "facility/rules/x.yaml" for problem in problems)
    assert rulebase.departures == ()
    assert [rule.id for rule in rulebase.rules] == sorted(rule["id"] for rule in RULES)


def test_a_facility_may_cite_its_own_literature(tmp_path: Path) -> None:
    """Its references are added to the shipped ones."""
    put(
        tmp_path / "facility" / "rules" / "references.yaml",
        {"Own2026": {"text": "A report", "basis": "published"}},
    )

    rulebase, problems = load(write(tmp_path / "shipped"), tmp_path / "facility")

    assert problems == []
    assert set(rulebase.references) == {"Author1991", "Own2026"}


@pytest.mark.parametrize(
    "text", ["", "- a list", "a: [", "!!python/object:os.system {}", "a: 1\na: 2", "\x00", "when: {}"]
)
def test_a_broken_file_is_a_problem_and_the_rest_is_loaded(tmp_path: Path, text: str) -> None:
    """No exception, and the other rules are there."""
    folder = write(tmp_path)
    (folder / "platform" / "broken.yaml").write_text(text, encoding="utf-8")

    rulebase, problems = load(folder)

    assert problems
    assert {problem.file for problem in problems} == {"rules/platform/broken.yaml"}
    assert len(rulebase.rules) == len(RULES)


@pytest.mark.parametrize("name", ["facts.yaml", "references.yaml"])
@pytest.mark.parametrize("text", [None, "", "- a list", "facts: [1]\nconclusions: 3\nshown: []", "x: y"])
def test_a_broken_vocabulary_or_reference_list_is_a_problem(tmp_path: Path, name: str, text: str | None) -> None:
    """No exception, whatever the file holds or whether it is there."""
    folder = write(tmp_path)
    (folder / name).unlink()
    if text is not None:
        (folder / name).write_text(text, encoding="utf-8")

    _, problems = load(folder)

    assert any(problem.file == f"rules/{name}" for problem in problems)


def test_a_facility_without_rules_departs_in_nothing(tmp_path: Path) -> None:
    """A folder without rules/ is in order."""
    rulebase, problems = load(write(tmp_path), tmp_path / "nowhere")

    assert problems == []
    assert rulebase.departures == ()


SCALARS = st.none() | st.booleans() | st.text(max_size=12) | st.sampled_from(["thermal_margin", "below", "1", "1e400"])
DATA = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["fact", "is", "value", "concluded", "effect", "fires", "x"]), inner, max_size=3
        )
    ),
    max_leaves=8,
)


@settings(max_examples=500, deadline=None)
@given(st.dictionaries(st.sampled_from([*RULE, "odd"]), DATA, max_size=4))
def test_no_rule_makes_the_reader_stumble(changes: dict[str, Any]) -> None:
    """Whatever stands in a rule's entries, the answer is a rule or problems."""
    vocabulary, _ = read_vocabulary(Source("facts.yaml", FACTS))

    rule, problems = read_rule(Source("x.yaml", {**RULE, **changes}), vocabulary)

    assert (rule is None) == bool(problems)


@settings(max_examples=300, deadline=None)
@given(DATA, DATA, DATA)
def test_no_vocabulary_makes_the_reader_stumble(facts: Any, conclusions: Any, shown: Any) -> None:
    """Whatever stands in the three sections, the answer is a vocabulary and its problems."""
    vocabulary, _ = read_vocabulary(
        Source(
            "facts.yaml",
            {
                "facts": {"one": facts, "two": {**FACTS["facts"]["thermal_margin"], "from": facts}},
                "conclusions": conclusions,
                "shown": shown,
            },
        )
    )

    assert "one" not in vocabulary.facts


def test_a_hundred_rules_load_quickly(tmp_path: Path) -> None:
    """A command line run loads them every time; the bound is ten times what is measured."""
    rules = [
        changed(RULE, id=f"rule-{number}", when=[{"fact": "thermal_margin", "is": "below", "value": number + 1}])
        for number in range(100)
    ]
    folder = write(tmp_path, rules)

    start = time.perf_counter()
    rulebase, _ = load(folder)

    assert len(rulebase.rules) == 100
    assert time.perf_counter() - start < 0.6
