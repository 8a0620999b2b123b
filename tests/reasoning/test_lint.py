"""Every mistake a rule base can hold is named with its place and what to do about it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from reasoning.writing import ASSUMED, CALIBRATE, FACTS, OVERLAY, OXYGEN, RULE, RULES, changed, loaded, put, write

from triage.reasoning.lint import check, lint

PRODUCED = {
    "platform": {"thermal_margin", "oxygen_after_release", "electron_temperature_basis"},
    "layer": {"overlay_margin"},
}


def margin(relation: str, value: object) -> dict[str, object]:
    return {"fact": "thermal_margin", "is": relation, "value": value}


def test_a_sound_rule_base_has_no_problem(tmp_path: Path) -> None:
    """Nothing is said about rules that are in order."""
    assert check(write(tmp_path), produced=PRODUCED) == []


MISTAKES = yaml.safe_load((Path(__file__).parent / "mistakes.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake["message"])
def test_a_mistake_in_a_rule_is_named(tmp_path: Path, mistake: dict[str, Any]) -> None:
    """The problem has the rule's file, the entry and its line, and says what to do."""
    folder = write(tmp_path, [changed(RULE, **mistake["change"]), *RULES[1:]])

    problems = check(folder)

    found = [one for one in problems if mistake["message"] in one.message and mistake["field"] == one.field]
    assert len(found) == 1, [str(problem) for problem in problems]
    assert found[0].remedy
    assert mistake["remedy"] in found[0].remedy
    assert found[0].file == "rules/platform/temperature.too-warm.yaml"
    assert found[0].line >= 1


MARGIN = FACTS["facts"]["thermal_margin"]
SPARE = {"about": "layer", "meaning": "x"}


def fact(**changes: object) -> dict[str, Any]:
    return {"facts": FACTS["facts"] | {"extra": changed(MARGIN, **changes)}}


WRONG_WORDS: list[tuple[dict[str, Any], str, str]] = [
    (fact(meening="x"), "facts.extra.meening", "'meening' is not a known key"),
    (fact(meaning=None), "facts.extra", "`meaning` is missing"),
    (fact(about="fridge"), "facts.extra.about", "`about` cannot be 'fridge' here"),
    (fact(gate="record"), "facts.extra.gate", "`gate` cannot be 'record' here"),
    (fact(kind="text"), "facts.extra.kind", "`kind` cannot be 'text' here"),
    (fact(unit="furlong"), "facts.extra.from", "has no unit"),
    (fact(**{"from": 3, "to": 3}), "facts.extra.to", "the range is empty"),
    (fact(**{"from": "3 K"}), "facts.extra.from", "has no unit"),
    (fact(words=["a"]), "facts.extra.words", "a number has no words"),
    (fact(kind="word", **{"from": None, "to": None}), "facts.extra", "a word needs the `words` it can be"),
    (fact(kind="word", words=["a"], to=None), "facts.extra.from", "a word has no unit and no range"),
    (fact(kind="word", words=["1e5"]), "facts.extra.words", "'1e5' reads as a number"),
    (fact(kind="word", words=["inf"]), "facts.extra.words", "'inf' reads as a number"),
    (fact(kind="word", words=["3rd"]), "facts.extra.words", "'3rd' reads as a number"),
    (fact(kind="word", words=[True]), "facts.extra.words", "is not a list of texts"),
    (fact(shown_only="often"), "facts.extra.shown_only", "neither true nor false"),
    ({"facts": FACTS["facts"] | {"sid": MARGIN}}, "facts.sid", "is not a usable name"),
    ({"facts": FACTS["facts"] | {"Big$": MARGIN}}, "facts.Big$", "is not a usable name"),
    ({"shown": {**FACTS["shown"], "thermal_margin": "x"}}, "shown.thermal_margin", "is also a fact"),
    ({"conclusion": {}}, "conclusion", "'conclusion' is not a known key"),
    ({"conclusions": {**FACTS["conclusions"], "unused": SPARE}}, "conclusions.unused", "no rule makes it"),
    ({"conclusions": {**FACTS["conclusions"], "unused": SPARE}}, "conclusions.unused", "no rule uses it"),
    (
        {"conclusions": {**FACTS["conclusions"], "un used": SPARE}},
        "conclusions.un used",
        "is not a usable name",
    ),
]


@pytest.mark.parametrize(("changes", "field", "message"), WRONG_WORDS)
def test_a_mistake_in_the_vocabulary_is_named(
    tmp_path: Path, changes: dict[str, Any], field: str, message: str
) -> None:
    """The problem has the entry of facts.yaml and a remedy."""
    folder = write(tmp_path, facts={**FACTS, **changes})

    found = [problem for problem in check(folder) if message in problem.message and problem.field == field]

    assert len(found) == 1, [str(problem) for problem in check(folder)]
    assert found[0].remedy
    assert found[0].file == "rules/facts.yaml"
    assert found[0].line > 1 or field == "conclusion"


def messages(folder: Path, **options: Any) -> list[str]:
    return [f"{problem.field}: {problem.message}" for problem in check(folder, **options)]


def test_the_file_has_the_name_of_the_rule(tmp_path: Path) -> None:
    """An id other than the file's name is a mistake."""
    folder = write(tmp_path)
    (folder / "platform" / "risk_cost.oxygen.yaml").rename(folder / "platform" / "oxygen.yaml")

    assert messages(folder) == ["id: 'risk_cost.oxygen' is not the file's name"]


def test_an_id_is_used_once(tmp_path: Path) -> None:
    """The second file of the same id is named, with the first."""
    folder = write(tmp_path)
    put(folder / "safety" / "risk_cost.oxygen.yaml", OXYGEN)

    assert messages(folder) == ["id: 'risk_cost.oxygen' is already the id of rules/platform/risk_cost.oxygen.yaml"]


def test_two_rules_with_the_same_conditions_are_named(tmp_path: Path) -> None:
    """Order and notation of the conditions do not matter."""
    twin = changed(CALIBRATE, id="z.twin", when=[margin("below", "2.0"), CALIBRATE["when"][0]])

    assert messages(write(tmp_path, [*RULES, twin])) == ["when: the conditions are those of temperature.calibrate"]


def test_conclusions_in_a_circle_are_named(tmp_path: Path) -> None:
    """Only the rules of the circle, not those that hang on it."""
    concluded = {"about": "platform", "meaning": "x"}
    facts = changed(FACTS, conclusions={**FACTS["conclusions"], "ping": concluded, "pong": concluded})
    circle = [("a", "ping", "pong"), ("b", "pong", "ping"), ("c", "ping", "electron-temperature-assumed")]
    ping, pong, after = (
        changed(
            RULE,
            id=name,
            status="trial",
            examples=None,
            then={"conclude": makes},
            when=[{"concluded": needs}, margin("below", number)],
        )
        for number, (name, needs, makes) in enumerate(circle, start=1)
    )

    assert (
        messages(write(tmp_path, [*RULES, ping, pong, after], facts))
        == ["when: the conclusions go in a circle: a, b"] * 2
    )


def test_facts_are_produced_and_used(tmp_path: Path) -> None:
    """In both directions, unless a fact is only shown."""
    folder = write(tmp_path, [RULE, ASSUMED, CALIBRATE, OVERLAY])

    produced = {"platform": (PRODUCED["platform"] - {"thermal_margin"}) | {"brand_new"}, "layer": set[str]()}
    assert messages(folder, produced=produced) == [
        "facts.brand_new: is produced about the platform but not listed",
        "facts.thermal_margin: no estimate produces it",
        "facts.oxygen_after_release: no rule looks at it",
        "facts.overlay_margin: no estimate produces it",
    ]
    only_shown = changed(FACTS["facts"]["oxygen_after_release"], shown_only=True)
    put(folder / "facts.yaml", changed(FACTS, facts={**FACTS["facts"], "oxygen_after_release": only_shown}))
    assert messages(folder, produced=PRODUCED) == []


def test_a_rule_about_the_layer_cannot_build_on_a_conclusion_about_the_platform(tmp_path: Path) -> None:
    """A conclusion reaches only rules about the same subject."""
    wrong = changed(OVERLAY, id="route.wrong", status="trial", examples=None, when=[CALIBRATE["when"][0]])

    assert messages(write(tmp_path, [*RULES, wrong])) == [
        "when[0].concluded: 'electron-temperature-assumed' is about the platform, the rule is about the layer"
    ]


def test_all_problems_come_at_once_in_order(tmp_path: Path) -> None:
    """Mistakes in several files and several in one file."""
    folder = write(
        tmp_path,
        [changed(RULE, references=["None1"], wrong_when=None), changed(OXYGEN, basis="x"), *RULES[1:3]],
    )

    problems = check(folder)

    assert problems == sorted(problems)
    assert {problem.file.split("/")[-1] for problem in problems} >= {
        "temperature.too-warm.yaml",
        "risk_cost.oxygen.yaml",
    }


def test_lint_of_a_loaded_rule_base(tmp_path: Path) -> None:
    """`lint` alone is enough once a base is loaded."""
    assert lint(loaded(tmp_path), PRODUCED) == []
