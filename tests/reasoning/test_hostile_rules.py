"""Rule files from strangers are data: nothing in them runs, reads a file, hangs or looks like what it is not."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

import pytest
from reasoning.writing import ASSUMED, RULE, changed, put, write

from triage.reasoning import engine
from triage.reasoning.consistency import check
from triage.reasoning.firing import FactSet
from triage.reasoning.limits import MOST_RULES
from triage.reasoning.lint import lint
from triage.reasoning.rulebase import Rulebase, load
from triage.reasoning.words import FactTexts, finding

LONGEST = 5.0  # s for any file; ten times what the slowest takes


@pytest.fixture
def shipped(tmp_path: Path) -> Path:
    return write(tmp_path / "shipped")


def own(tmp_path: Path, data: Any, name: str = "own.yaml") -> Path:
    """A facility with one rule file of a stranger, as data or as raw text."""
    path = tmp_path / "lab" / "rules" / name
    if isinstance(data, str):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(data, encoding="utf-8")
    else:
        put(path, data)
    return tmp_path / "lab"


def taken(shipped: Path, facility: Path) -> tuple[Rulebase, list[str]]:
    """The rule base and all its problems, in time."""
    began = time.monotonic()
    rulebase, problems = load(shipped, facility)
    found = [str(each) for each in (*problems, *lint(rulebase))]
    assert time.monotonic() - began < LONGEST
    return rulebase, found


STRANGE = changed(RULE, id="own", status="trial", examples=None,
                  when=[{"fact": "thermal_margin", "is": "equal", "value": 7}])  # fmt: skip


@pytest.mark.parametrize(
    "text",
    [
        "!!python/object/apply:os.system ['touch hacked']",
        "id: !!python/name:os.system own",
        "id: own\nwhen: !!python/object/new:type []",
        "<<: &a [*a]",
        "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b, *b, *b]\nd: [*c, *c, *c, *c]",
        "a: &a\n  b: *a",
        "[" * 5000 + "]" * 5000,
        "".join(f"{' ' * depth}a:\n" for depth in range(300)),
        "- " * 3000 + "x",
        "id: own\nwhen: [" + "{fact: thermal_margin, is: below, value: 1}, " * 9000 + "]",
        "id: own\n" + "".join(f"key{number}: x\n" for number in range(30_000)),
        "id: " + "a" * 1_900_000,
        "id: own\nbecause: \"" + "{" * 500_000 + "\"",
        "id: own\nbecause: '" + "(a+)+" * 100_000 + "$'",
        "? [a, b]\n: c",
        "\x00",
        "%YAML 9.9\n---\nid: own",
    ],
    ids=range(17),
)  # fmt: skip
def test_strange_files_are_problems_in_time(
    tmp_path: Path, shipped: Path, text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No code runs, the shipped rules stay, and each file is answered with problems."""
    monkeypatch.chdir(tmp_path)
    rulebase, problems = taken(shipped, own(tmp_path, text))

    assert problems
    assert all(rule.origin == "shipped" for rule in rulebase.rules)
    assert not (tmp_path / "hacked").exists()
    assert sum(len(each) for each in problems) < 100_000


@pytest.mark.parametrize(
    "because",
    [
        "{platform.__class__.__mro__}", "{0}", "{}", "{platform!r}", "{platform:>1000000000}", "%s %n %(platform)s",
        "{thermal_margin.__init__.__globals__}", "{{platform}}", "${platform}", "{platform[0]}", "\\x1b[2J{x", "}{",
        "{% for x in y %}{{ x }}{% endfor %}", "$(touch hacked) `touch hacked`", "{" * 69,
    ],
)  # fmt: skip
def test_a_sentence_is_never_evaluated(tmp_path: Path, shipped: Path, because: str) -> None:
    """What is no placeholder stays as it is written; the lint says so where it looks like one."""
    rulebase, problems = taken(shipped, own(tmp_path, changed(STRANGE, because=because)))
    given = FactSet("x", "platform", {"thermal_margin": 7.0})
    (fired,) = [each for each in engine.fire(rulebase, [given]) if each.rule.id == "own"]

    said = finding(fired, FactTexts(given.values)).because

    expected = because.replace("{platform}", "not stated") if "{platform}" in because else because
    assert said.lower() == expected.lower()
    looks_like_one = "{" in because or "}" in because
    assert bool(problems) >= (looks_like_one and "{platform}" not in because)


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/passwd", "/etc/passwd", "..", "a/b", "a\\b", "CON:", "a b", "x" * 81, "-own", ".own", "own.",
        "temperature.t\u043eo-warm", "temperature\u2024too-warm", "\uff54emperature.too-warm", "own\u200b", "\u202enwo",
        "{platform}", "own;rm", "Own", "a..b", "",
    ],
)  # fmt: skip
def test_ids_are_plain(tmp_path: Path, shipped: Path, name: str) -> None:
    """No path, no look-alike of a shipped id, no sign that cannot be seen."""
    rulebase, problems = taken(shipped, own(tmp_path, changed(STRANGE, id=name)))

    assert all(rule.origin == "shipped" for rule in rulebase.rules)
    assert problems
    assert all(each.isprintable() for each in problems)


@pytest.mark.parametrize("entry", ["title", "because", "trade_off", "wrong_when", "who", "goes_with"])
@pytest.mark.parametrize("text", ["a\u202eb", "a\x1b[2Jb", "a\u200bb", "x" * 2001])
def test_texts_hold_no_hidden_signs_and_no_novels(tmp_path: Path, shipped: Path, entry: str, text: str) -> None:
    """A terminal or a screen shows what is written and nothing else."""
    change: dict[str, Any] = {entry: text}
    if entry == "wrong_when":
        change = {entry: [text]}
    if entry == "goes_with":
        change = {entry: {"temperature.too-warm": text}}
    if entry == "who":
        change = {"id": "temperature.too-warm", "override": {"who": text, "why": "a reason"}}

    rulebase, problems = taken(shipped, own(tmp_path, changed(STRANGE, **change)))

    assert all(rule.origin == "shipped" for rule in rulebase.rules)
    assert any("signs that cannot be seen" in each or "longer than 2000" in each for each in problems)


@pytest.mark.parametrize(
    "when",
    [
        [{"fact": "thermal_margin", "is": "one of", "value": list(range(61))}],
        [{"fact": "thermal_margin", "is": "one of", "value": list(range(60))}] * 24,
        [{"fact": "thermal_margin", "is": "below", "value": 1}] * 61,
        [{"fact": "thermal_margin", "is": "below", "value": "9" * 100_000}],
        [{"fact": "oxygen_after_release", "is": "below", "value": "1" + " m*m" * 30_000}],
        [{"fact": "oxygen_after_release", "is": "below", "value": "9**9**9**9 %"}],
        [{"fact": "oxygen_after_release", "is": "below", "value": "__import__('os') %"}],
    ],
    ids=range(7),
)
def test_conditions_are_limited_before_they_are_worked_out(tmp_path: Path, shipped: Path, when: list[Any]) -> None:
    """Long lists, products of lists and arithmetic are refused in time."""
    rulebase, problems = taken(shipped, own(tmp_path, changed(STRANGE, when=when)))

    assert all(rule.origin == "shipped" for rule in rulebase.rules)
    assert problems


def test_examples_are_limited(tmp_path: Path, shipped: Path) -> None:
    """Ten thousand examples are not read."""
    examples = {"fires": [{"thermal_margin": 7}] * 10_000}

    _, problems = taken(shipped, own(tmp_path, changed(STRANGE, examples=examples)))

    assert any("lists 10000, at most 60" in each for each in problems)


def test_a_link_to_a_file_elsewhere_is_not_followed(tmp_path: Path, shipped: Path) -> None:
    """Neither a file nor a folder; nothing of what it holds is shown."""
    secret = put(tmp_path / "secret.yaml", {"password": "swordfish", "id": "own"})
    elsewhere = tmp_path / "elsewhere"
    put(elsewhere / "own2.yaml", STRANGE | {"id": "own2"})
    rules = tmp_path / "lab" / "rules"
    rules.mkdir(parents=True)
    os.symlink(secret, rules / "own.yaml")
    os.symlink(elsewhere, rules / "more", target_is_directory=True)

    rulebase, problems = taken(shipped, tmp_path / "lab")

    assert all(rule.origin == "shipped" for rule in rulebase.rules)
    assert any("is a link to a file elsewhere" in each for each in problems)
    assert not any("swordfish" in each or "password" in each for each in problems)


def test_too_many_rules_are_refused_in_time(tmp_path: Path, shipped: Path) -> None:
    """The first three hundred are read, and the problem says what to do."""
    for number in range(MOST_RULES + 50):
        own(tmp_path, changed(STRANGE, id=f"own-{number}", when=[
            {"fact": "thermal_margin", "is": "below", "value": 2 + number}]), f"own-{number}.yaml")  # fmt: skip

    began = time.monotonic()
    rulebase, problems = load(shipped, tmp_path / "lab")

    assert time.monotonic() - began < LONGEST
    assert [each.message for each in problems] == ["holds 350 rule files, at most 300"]
    assert sum(rule.origin == "facility" for rule in rulebase.rules) == MOST_RULES


def test_many_ways_to_one_conclusion_do_not_hang_the_comparison(tmp_path: Path, shipped: Path) -> None:
    """A hundred rules that conclude the same, and a hundred that wait for it."""
    for number in range(100):
        makes = changed(ASSUMED, id=f"makes-{number}", status="trial", examples=None, when=[
            {"fact": "thermal_margin", "is": "equal", "value": number}])  # fmt: skip
        waits = changed(STRANGE, id=f"waits-{number}", then={"effect": "caution"}, when=[
            {"concluded": "electron-temperature-assumed"},
            {"fact": "thermal_margin", "is": "above", "value": number}])  # fmt: skip
        own(tmp_path, makes, f"makes-{number}.yaml")
        own(tmp_path, waits, f"waits-{number}.yaml")
    rulebase, problems = load(shipped, tmp_path / "lab")
    assert problems == []

    began = time.monotonic()
    check(rulebase)

    assert time.monotonic() - began < LONGEST
