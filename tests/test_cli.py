"""The command line: what it prints, its exit statuses, and that bad input ends in problems, never in a traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from triage.cli import main


class Ran:
    """A command that has run: status and both outputs."""

    def __init__(self, status: int, out: str, err: str) -> None:
        self.status, self.out, self.err = status, out, err


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):
    def command(*arguments: str) -> Ran:
        with pytest.raises(SystemExit) as left:
            main(list(arguments))
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return Ran(int(left.value.code or 0), out, err)

    return command


def test_without_arguments_it_teaches(run) -> None:
    """The first lines name the commands to try."""
    ran = run()

    assert ran.status == 0
    assert "cold-triage assess electrometer" in ran.out


def test_assess_prints_verdict_reason_flip_and_cautions(run) -> None:
    """What a student reads first."""
    ran = run("assess", "electrometer")

    assert ran.status == 0
    for label in ("Verdict", "Because", "Confidence", "Flip", "Not on", "Assumed", "Caution"):
        assert f"\n{label}" in ran.out
    assert "Measure on helium-3 insert" in ran.out
    assert "invented data" in ran.out


def test_assess_json_has_the_contract(run) -> None:
    """The fields that programs rely on, with nine gates per platform."""
    ran = run("assess", "electrometer", "--json")
    data = json.loads(ran.out)

    fields = {
        "proposal", "facility", "tool_version", "rule_base_version", "recommended", "second", "platforms", "flips",
        "path", "route", "time", "cost", "cautions", "assumptions", "problems",
    }  # fmt: skip
    assert fields <= data.keys()
    assert {"platform", "verdict", "confidence", "tier"} <= data["recommended"].keys()
    for platform in data["platforms"]:
        assert [gate["gate"] for gate in platform["gates"]] == [
            "temperature", "field", "lines", "size", "heat", "vibration", "hold", "turnaround", "risk_cost",
        ]  # fmt: skip
        assert {"gate", "state", "need", "have", "unit", "margin"} <= platform["gates"][0].keys()
    assert {"platform", "field", "from", "to", "unit"} <= data["flips"][0].keys()


def test_nothing_suitable_exits_with_one(run) -> None:
    """A proposal that nothing serves is an answer, with status 1."""
    ran = run("assess", "fragile-state")

    assert ran.status == 1
    assert "None of the" in ran.out


def test_all_proposals_make_a_table(run) -> None:
    """Without a proposal every one of the facility is assessed."""
    ran = run("assess")

    assert ran.status == 1  # one of them is served by nothing
    assert "fragile-state" in ran.out
    assert "helium-3 insert" in ran.out


def test_explain_walks_the_chain(run) -> None:
    """Gates, inputs, and estimates with formula and source."""
    ran = run("explain", "electrometer", "--platform", "bath-stick")

    assert ran.status == 0
    assert "boiling temperature at the site's pressure" in ran.out
    assert "PrestonThomas1990" in ran.out
    assert "FAIL" in ran.out


def test_facts_lists_margins(run) -> None:
    """The numbers that rules see."""
    ran = run("facts", "electrometer", "--platform", "bath-stick", "--json")

    assert 0 < json.loads(ran.out)["bath-stick"]["thermal_margin"] < 1


def test_check_is_clean_on_the_demonstration(run) -> None:
    """The facility that ships has no problem."""
    ran = run("check")

    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith("No problem found in")


def test_kinds_and_schema_print(run) -> None:
    """The catalogue, one entry of it, and both schemas."""
    assert "coulomb-diamonds" in run("kinds").out
    assert "charging_energy (needed)" in run("kinds", "coulomb-diamonds").out
    assert json.loads(run("schema", "lab").out)["title"] == "Lab"
    assert "coulomb-diamonds" in json.loads(run("schema", "proposal").out)["properties"]["measurement"]["enum"]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["asess"], "Did you mean 'assess'?"),
        (["assess", "elektrometer"], "no such proposal"),
        (["explain", "electrometer", "--platform", "stick"], "there is no platform 'stick'"),
        (["assess", "electrometer", "--facility", "nowhere"], "is no folder"),
        (["kinds", "coulomb-diamond"], "coulomb-diamonds"),
        (["schema", "room"], "room"),
    ],
)
def test_wrong_words_get_a_hint(run, arguments: list[str], says: str) -> None:
    """Status 2 and a word on what to do."""
    ran = run(*arguments)

    assert ran.status == 2
    assert says in ran.err


def test_a_bad_file_lists_all_its_problems(run, tmp_path: Path) -> None:
    """Every problem with its line, and status 2."""
    path = tmp_path / "bad.yaml"
    path.write_text("title: x\nmeasurement: coulomb-diamonds\ntier: best\ndevice: {charging_energy: 3 mm}\n")
    ran = run("assess", str(path))

    assert ran.status == 2
    assert "bad.yaml:3 tier" in ran.err
    assert "1 problem found" in ran.err or "problems found" in ran.err


def test_every_command_has_help_with_an_example(run) -> None:
    """Help says what a command does and shows one call."""
    from triage.cli import cli

    for name in cli.commands:
        ran = run(name, "--help")
        assert ran.status == 0
        text = " ".join(ran.out.split())
        assert "Example" in text, name
        assert f"cold-triage {name}" in text, name
