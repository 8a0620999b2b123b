"""The rule workshop: filters, trials, departures, and new rule files that never overwrite anything."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
import yaml

from triage.errors import BadInput
from triage.reasoning.firing import FactSet
from triage.services import workshop
from triage.services.rule_files import write_new
from triage.services.workshop import open_rules, problems_of


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    folder = tmp_path / "lab"
    folder.mkdir()
    return folder


def filled(path: Path, **words: str) -> Path:
    """A rule file with the parts named replaced, as a person would."""
    text = path.read_text(encoding="utf-8")
    for old, new in words.items():
        wanted = {"who": "  who: ", "why": "  why: "}.get(old, old)
        assert wanted in text, wanted
        text = text.replace(wanted, f"{wanted}{new}" if old in ("who", "why") else new)
    path.write_text(text, encoding="utf-8")
    return path


def departing(lab: Path, old: str = "value: 0.7", new: str = "value: 0.5") -> Path:
    """An override of the thermal veto with another threshold."""
    path = write_new(open_rules(), lab, "temperature.electrons-too-warm")
    return filled(path, who="A. Keeper", why="our averaging is longer", **{old: new})


def test_filters_narrow_and_add_up() -> None:
    """The two effects of one gate are all of its rules with an effect."""
    rulebase = open_rules()

    size = workshop.find_rules(rulebase, gate="size")

    assert {rule.gate for rule in size} == {"size"}
    parts = [workshop.find_rules(rulebase, gate="size", effect=each) for each in ("veto", "caution", "credit", "note")]
    assert sorted(rule.id for part in parts for rule in part) == sorted(rule.id for rule in size)
    assert [rule.id for rule in workshop.find_rules(rulebase, text="rotator narrow")] == ["size.rotator-too-narrow"]
    assert workshop.find_rules(rulebase, origin="facility") == []
    assert workshop.find_rules(rulebase) == list(rulebase.rules)


def test_an_unknown_rule_has_a_suggestion() -> None:
    """The nearest id."""
    with pytest.raises(BadInput, match=r"did you mean 'size\.does-not-enter'"):
        workshop.get_rule(open_rules(), "size.does-not-entre")


def test_a_trial_says_what_fires_and_why_not() -> None:
    """Every rule about the subject is in one of the two."""
    rulebase = open_rules()

    trial = workshop.try_facts(rulebase, workshop.read_facts(rulebase, ["oxygen_after_release=18.2 %"]))

    assert [each.rule for each in trial.findings] == ["safety.oxygen-monitor"]
    assert "18.2 %" in trial.findings[0].because
    silent = {each.rule.id: each.says for each in trial.silent}
    assert silent["safety.oxygen-not-alone"] == "oxygen_after_release is 18.2 %, not below 17 % (by 1.2 %)"
    assert len(trial.findings) + len(silent) == sum(rule.about == "platform" for rule in rulebase.rules)


@pytest.mark.parametrize(
    ("written", "message"),
    [
        (["thermal_margn=1"], "did you mean 'thermal_margin'"),
        (["thermal_margin"], "write name=value"),
        (["thermal_margin=1 K"], "has no unit"),
        (["oxygen_after_release=18"], "write for example '18 %'"),
        (["follows=electron"], "did you mean 'electrons'"),
        (["thermal_margin=1", "overlay_margin=1"], "is about the layer"),
        (["thermal_margin=nan"], "is not a plain number"),
    ],
)
def test_facts_that_cannot_be_read_say_what_to_write(written: list[str], message: str) -> None:
    """All problems at once, each with its remedy."""
    with pytest.raises(BadInput) as error:
        workshop.read_facts(open_rules(), written)

    assert message in str(error.value)


def test_a_departure_says_who_why_and_what(lab: Path) -> None:
    """The shipped and the own threshold side by side."""
    departing(lab)
    rulebase = open_rules(lab)

    departure = workshop.departure_of(rulebase, "temperature.electrons-too-warm")

    assert departure is not None
    assert (departure.action, departure.who, departure.why) == ("overrides", "A. Keeper", "our averaging is longer")
    assert [(each.entry, each.shipped, each.own) for each in workshop.differences(rulebase, departure)] == [
        ("when", "thermal_margin below 0.7", "thermal_margin below 0.5")
    ]
    assert rulebase.fingerprint != open_rules().fingerprint


@pytest.mark.parametrize("gate", ["temperature", "field", "lines", "size", "heat", "vibration", "hold", "turnaround",
                                  "risk_cost", "route", "record"])  # fmt: skip
def test_a_skeleton_reads_as_a_draft_of_every_gate(lab: Path, gate: str) -> None:
    """It loads, changes nothing while it is a draft, and its examples are right."""
    path = write_new(open_rules(), lab, f"{gate}.our-own")

    rulebase = open_rules(lab)

    rule = rulebase.by_id[f"{gate}.our-own"]
    assert (rule.status, rule.gate, rule.origin) == ("draft", gate, "facility")
    assert rule.fires
    assert rule.silent
    problems, _ = problems_of(lab, [path.name])
    assert {each.field for each in problems} <= {"when"}, "only that another rule says it already"


def test_a_skeleton_is_never_written_over(lab: Path) -> None:
    """What a person wrote stays."""
    path = write_new(open_rules(), lab, "lines.our-own")
    path.write_text("mine", encoding="utf-8")

    with pytest.raises(BadInput, match="exists already"):
        write_new(open_rules(), lab, "lines.our-own")

    assert path.read_text(encoding="utf-8") == "mine"
    assert os.listdir(path.parent) == ["lines.our-own.yaml"]


@pytest.mark.parametrize(
    "name", ["../lines.x", "/tmp/x", "lines/x", "lines.X", "lines.\u0445", "con.x", "", "lines.x\x00", "a" * 81]
)
def test_a_skeleton_stays_in_its_folder(lab: Path, name: str) -> None:
    """No path, no device name, no look-alike; nothing is written."""
    with pytest.raises(BadInput):
        write_new(open_rules(), lab, name)

    assert list(lab.rglob("*")) == []


def test_an_id_that_begins_with_no_gate_asks_for_one(lab: Path) -> None:
    """And is written where the gate is given."""
    with pytest.raises(BadInput, match="is not a gate"):
        write_new(open_rules(), lab, "ours.first")

    path = write_new(open_rules(), lab, "ours.first", gate="heat", effect="note")

    assert yaml.safe_load(path.read_text(encoding="utf-8"))["gate"] == "heat"


def test_an_override_waits_for_who_and_why(lab: Path) -> None:
    """Until they are filled in, the facility is told; the shipped rule stands."""
    write_new(open_rules(), lab, "temperature.electrons-too-warm")

    problems, _ = problems_of(lab)

    assert [(each.field, each.message) for each in problems] == [
        ("override.who", "`who` is missing"), ("override.why", "`why` is missing"),
    ]  # fmt: skip


def test_a_retirement_takes_the_rule_out(lab: Path) -> None:
    """It no longer fires, and is still shown with who and why."""
    filled(write_new(open_rules(), lab, "safety.oxygen-monitor", retire=True), who="A. Keeper", why="open air")
    rulebase = open_rules(lab)

    given = FactSet("x", "platform", {"oxygen_after_release": 0.18})
    assert workshop.try_facts(rulebase, given).findings == ()
    assert workshop.get_rule(rulebase, "safety.oxygen-monitor").id == "safety.oxygen-monitor"
    with pytest.raises(BadInput, match="not a shipped rule"):
        write_new(open_rules(), lab, "lines.our-own", retire=True)


FIVE_MISTAKES = [
    ("fact: thermal_margin", "fact: thermal_margn", "did you mean 'thermal_margin'?"),
    ("value: 0.5", "value: 0.5 K", "write a number"),
    ("effect: veto", "effect: vetoo", "did you mean 'veto'?"),
    ("basis: common practice", "basis: published", "add `references: [key]`"),
    ("{platform} gives", "{plattform} gives", "did you mean 'platform'?"),
    ("is: below", "is: under", "use one of"),
    ("status: stable", "status: final", "did you mean 'trial'?"),
]


@pytest.mark.parametrize(("right", "wrong", "remedy"), FIVE_MISTAKES)
def test_the_lint_says_what_to_do(lab: Path, right: str, wrong: str, remedy: str) -> None:
    """Five mistakes of a first rule and two more, each in the facility's own file with its line."""
    path = departing(lab)
    filled(path, **{right: wrong})
    if wrong == "basis: published":
        text = "".join(line for line in path.read_text(encoding="utf-8").splitlines(True) if "references:" not in line)
        path.write_text(text, encoding="utf-8")

    problems, _ = problems_of(lab)

    found = [each for each in problems if remedy in each.remedy]
    assert found, [str(each) for each in problems]
    assert all(each.file == "lab/rules/temperature.electrons-too-warm.yaml" and each.line for each in found)
