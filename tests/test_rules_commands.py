"""The commands of the rule workshop: what they print, their exit status, and plain data."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner

from triage.errors import BadInput
from triage.reasoning.deciding import why, why_not
from triage.rules_commands import rules
from triage.rules_text import tree_text
from triage.services.assess import assess
from triage.services.workspace import demonstration, open_facility, read_request


def run(*arguments: str) -> str:
    """What a command prints; its exit status must be 0."""
    result = CliRunner().invoke(rules, list(arguments), standalone_mode=False, catch_exceptions=False)
    assert result.return_value in (0, None), result.output
    return result.output


def data(*arguments: str) -> Any:
    return json.loads(run(*arguments, "--json"))


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    folder = tmp_path / "lab"
    folder.mkdir()
    return folder


@pytest.fixture
def few(tmp_path: Path) -> Path:
    """The demonstration facility with two of its proposals."""
    (tmp_path / "few" / "proposals").mkdir(parents=True)
    for name in ("lab", "proposals/electrometer", "proposals/gate-recipe"):
        (tmp_path / "few" / f"{name}.yaml").write_bytes((demonstration() / f"{name}.yaml").read_bytes())
    return tmp_path / "few"


def test_every_command_shows_an_example() -> None:
    """Of its own use."""
    for name, command in rules.commands.items():
        text = run(name, "--help") if isinstance(command, click.Command) else ""
        assert f"cold-triage rules {name}" in text, name


def test_list_and_show() -> None:
    """The table, one rule in full, and the same as data."""
    assert "temperature.electrons-too-warm" in run("list", "--gate", "temperature", "--effect", "veto")
    shown = run("show", "temperature.absence-not-defendable")
    assert "concluded resolution-claim-weak" in shown
    assert "Wrong when" in shown

    listed = data("list", "--gate", "size")
    assert {each["gate"] for each in listed} == {"size"}
    assert data("show", "size.does-not-enter")["when"][0] == {
        "fact": "size_margin", "is": "below", "values": [1.0], "written": "1", "unit": "",
    }  # fmt: skip


def test_try_from_facts_and_from_a_proposal() -> None:
    """Facts given stand over those of the proposal."""
    text = run("try", "thermal_margin=0.9", "follows=electrons")
    assert "caution temperature.reaches-lower-tier" in text
    assert "temperature.electrons-too-warm: thermal_margin is 0.9, not below 0.7 (by 0.2)" in text

    refused = data("try", "--from", "electrometer", "--platform", "bath-stick")
    assert "temperature.electrons-too-warm" in {each["rule"] for each in refused["fired"]}
    freed = data("try", "--from", "electrometer", "--platform", "bath-stick", "thermal_margin=2",
                 "thermal_margin_to_see=2")  # fmt: skip
    assert not [each for each in freed["fired"] if each["effect"] == "veto"]

    one = run("try", "thermal_margin=0.9", "--rule", "temperature.electrons-too-warm")
    assert one.splitlines()[0] == "No rule fires on these facts."
    assert one.count("temperature.") == 1


def test_lint_impact_and_departures_of_a_new_rule(lab: Path, few: Path) -> None:
    """The way of the guide: write, fill in, lint, look at the impact, see the departure."""
    assert "No problem found" in run("lint")
    assert run("departures", "--facility", str(lab)) == "This facility uses the shipped rules as they are.\n"

    written = run("new", "risk_cost.no-long-nights", "--facility", str(lab), "--effect", "caution")
    path = lab / "rules" / "risk_cost.no-long-nights.yaml"
    assert str(path) in written
    text = path.read_text(encoding="utf-8")
    text = text.replace("{fact: budget_margin, is: below, value: 1}", '{fact: runs_overnight, is: equal, value: "yes"}')
    text = text.replace("{budget_margin: 0.5}", '{runs_overnight: "yes"}').replace(
        "{budget_margin: 1}", '{runs_overnight: "no"}')  # fmt: skip
    text = text.replace("budget_margin is {budget_margin}", "one run is longer than ten hours")
    path.write_text(text, encoding="utf-8")

    linted = CliRunner().invoke(rules, ["lint", "--facility", str(lab)], standalone_mode=False)
    assert "risk_cost.newcomer-alone-overnight nothing to add" in linted.output
    assert linted.return_value == 2
    found = data("impact", "risk_cost.no-long-nights", "--facility", str(lab), "--on", str(few))
    assert found["edited"] == ["risk_cost.no-long-nights"]
    assert found["flips"]
    assert "adds risk_cost.no-long-nights" in run("departures", "--facility", str(lab))
    assert [each["id"] for each in data("list", "--origin", "facility", "--facility", str(lab))] == [
        "risk_cost.no-long-nights"
    ]
    assert "before" in run("impact", "risk_cost.no-long-nights", "--facility", str(lab), "--on", str(few))


def test_new_needs_a_facility() -> None:
    """The shipped rules are not written into."""
    with pytest.raises(BadInput, match="give the folder of your facility"):
        run("new", "lines.our-own")


def test_coverage(few: Path) -> None:
    """What never fires and what comes near nothing, with their counts."""
    text = run("coverage", "--facility", str(few))

    count = int(re.search(r"No scenario exercises \((\d+)\):", text)[1])  # type: ignore[index]
    fired, in_force = map(int, re.match(r"(\d+) of (\d+) rules in force fire", text).groups())  # type: ignore[union-attr]
    assert fired + count == in_force == len(open_facility().rulebase.rules)
    assert "Thresholds that no scenario comes within a quarter of" in text


def test_the_tree_of_a_refusal_goes_down_to_what_was_written() -> None:
    """Veto, margin, temperatures, charging energy; a repeated estimate is named once in full."""
    facility = open_facility()
    answer = assess(facility, read_request(facility.folder / "proposals" / "electrometer.yaml"), thorough=False)
    result = answer.platform("bath-stick")
    assert result is not None

    text = tree_text(why(result, facility.rulebase))

    lines = [line.strip() for line in text.splitlines()]
    for start in ("bath stick is unsuitable", "temperature: fail", "veto:", "thermal margin", "charging energy"):
        assert any(line.startswith(start) for line in lines), (start, text)
    best = answer.platform(answer.recommended)
    assert best is not None
    assert "nothing speaks against it" in tree_text(why(best))
    assert len(tree_text(why_not(result)).splitlines()) >= len(lines)
