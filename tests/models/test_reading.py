"""Files to models: the test's text is the input document, and every mistake comes with line and remedy."""

from __future__ import annotations

import pytest

from triage.errors import BadInput
from triage.models.lab import Lab
from triage.models.reading import _validated
from triage.services.workspace import read_request_text
from triage.source import LARGEST_FILE, read_text


def problems_of(text: str | bytes) -> list[str]:
    with pytest.raises(BadInput) as caught:
        read_request_text(text, "proposal")
    return [str(problem) for problem in caught.value.problems]


def lab_problems(text: str) -> list[str]:
    lab, _, problems = _validated(Lab, *read_text(text, "lab.yaml"))
    assert lab is None
    return [str(problem) for problem in problems]


def test_all_mistakes_of_a_proposal_are_found_at_once() -> None:
    """Five mistakes, five problems, each with its line."""
    found = problems_of(
        """\
title: Diamonds
measurement: coulomb-diamonds
tier: mesure
device:
  charging_energy: 120 mV
field: {magnitude: -1 T}
board: {length: 34 mm, widht: 20 mm}
time: {per_device: 3 fF}
"""
    )

    assert len(found) == 5
    assert any("proposal.yaml:3 tier: 'mesure' is not one of the choices" in each for each in found)
    assert any("proposal.yaml:6 field.magnitude: '-1 T' is below 0 T" in each for each in found)
    assert any("proposal.yaml:7 board.width: is missing" in each for each in found)
    assert any("proposal.yaml:7 board.widht: is not known here — did you mean 'width'?" in each for each in found)
    assert any(
        "proposal.yaml:8 time.per_device: '3 fF' is a capacitance, but a time is needed" in each for each in found
    )


def test_device_inputs_are_checked_against_the_kind() -> None:
    """A voltage is no energy, and an input of another kind is not known."""
    found = problems_of(
        """\
title: Diamonds
measurement: coulomb-diamonds
device:
  charging_energy: 120 mV
  critical_temperature: 5 K
"""
    )

    assert any("proposal.yaml:4 device.charging_energy: '120 mV' is not an energy" in each for each in found)
    assert any(
        "proposal.yaml:5 device.critical_temperature: not an input of 'coulomb-diamonds'" in each for each in found
    )


@pytest.mark.parametrize("text", ["0.35 fF", "229 ueV", "2.66 K", "55.4 GHz", "3.67e-23 J", "1.98 T"])
def test_an_energy_may_be_written_in_any_of_its_equivalents(text: str) -> None:
    """Capacitance, electronvolts, kelvins, hertz, joules and teslas (g = 2) give the same charging energy."""
    request = read_request_text(
        f"title: Diamonds\nmeasurement: coulomb-diamonds\ndevice: {{charging_energy: {text}}}\n", "proposal"
    )

    assert request.inputs["charging_energy"].nominal == pytest.approx(3.67e-23, rel=0.005)


def test_a_missing_scale_is_asked_for() -> None:
    """What the kind needs and nobody gave is a problem, with the question as remedy."""
    found = problems_of("title: Diamonds\nmeasurement: coulomb-diamonds\n")

    assert any("device.charging_energy: is missing" in each for each in found)


def test_an_unknown_kind_gets_a_suggestion() -> None:
    """A kind one letter off is recognised."""
    assert "did you mean 'coulomb-diamonds'" in problems_of("title: x\nmeasurement: coulomb-dimonds\n")[0]


def test_unknown_is_an_answer() -> None:
    """A person may say that a number is not known."""
    request = read_request_text(
        "title: x\nmeasurement: coulomb-diamonds\ndevice: {charging_energy: unknown}\n", "proposal"
    )

    assert not request.inputs["charging_energy"].known


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a: !!python/object/apply:os.system [ls]", "is not accepted"),
        ("a: &a [1]\nb: *a\nc: [" + "[" * 200 + "]" * 200 + "]", "nested too deeply"),
        ("title: x\ntitle: y\n", "given twice, first on line 1"),
        ("a:\n\t- b", "not readable as YAML"),
        ("- a\n- b", "no set of entries"),
        ("just words", "no set of entries"),
        ("", "file is empty"),
        ("title: [a, b]\nmeasurement: coulomb-diamonds", "is not text"),
        (b"\xff\xfet\x00", "not UTF-8"),
        (b"title: \x00", "not UTF-8"),
        (b"title: \xff", "not UTF-8"),
        (b"a" * (LARGEST_FILE + 1), "larger than"),
        ("? [a, b]\n: c", "a key must be a plain word"),
    ],
)
def test_hostile_and_broken_yaml_is_refused(text: str | bytes, says: str) -> None:
    """Tags, depth, duplicates, tabs, lists, encodings and size."""
    assert any(says in each for each in problems_of(text)), problems_of(text)


def test_alias_bomb_is_refused_before_it_grows() -> None:
    """Nine levels of nine aliases each stand for 400 million entries."""
    bomb = "a: &a [1,1,1,1,1,1,1,1,1]\n" + "".join(
        f"{chr(98 + i)}: &{chr(98 + i)} [{','.join(['*' + chr(97 + i)] * 9)}]\n" for i in range(9)
    )

    assert any("entries" in each for each in problems_of(bomb))


def test_mistakes_of_a_lab_are_found_at_once() -> None:
    """Wrong kind, wrong dimension, an entry the mechanism does not have, a room that is not listed."""
    found = lab_problems(
        """\
name: Test
platforms:
  - {id: one, name: one, kind: helium bath stik}
  - id: two
    name: two
    kind: helium bath stick
    cooling: {pump_speed: 40 m3/h}
    clock: {mount: 3 K}
  - {id: Three, name: three, kind: nitrogen dip}
"""
    )

    assert any("lab.yaml:3 platforms[0]: 'helium bath stik' is not a kind of platform" in each for each in found)
    assert any("lab.yaml:7 platforms[1].cooling.pump_speed: is not known here" in each for each in found)
    assert any(
        "lab.yaml:8 platforms[1].clock.mount: '3 K' is a temperature, but a time is needed" in each for each in found
    )
    assert any("lab.yaml:9 platforms[2].id: 'Three' is not an id" in each for each in found)


def test_platforms_are_named_once_and_rooms_exist() -> None:
    """Two platforms of one id, and a platform in a room that is not listed."""
    stick = "{id: one, name: one, kind: helium bath stick"

    assert "given twice" in lab_problems(f"name: Test\nplatforms:\n  - {stick}}}\n  - {stick}}}\n")[0]
    assert "is not listed" in lab_problems(f"name: Test\nplatforms:\n  - {stick}, stored: {{room: attic}}}}\n")[0]
