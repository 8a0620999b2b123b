"""Records: complete, escaped, fingerprinted, never half written, and checked against today."""

from __future__ import annotations

import copy
import datetime
import json
import shutil
from pathlib import Path

import html5lib
import pytest

from triage.errors import BadInput
from triage.services import record as records
from triage.services.recheck import recheck, recheck_all
from triage.services.record_pages import LENGTHS, html_page, markdown_page
from triage.services.workspace import demonstration, open_facility, read_request, read_request_text

FOLDER = demonstration()
DATE = "2026-11-25T09:00:00+00:00"


def made(name: str = "electrometer", **decision: object) -> dict:
    request = read_request(FOLDER / "proposals" / f"{name}.yaml")
    return records.make(open_facility(), request, records.Decision(date=DATE, **decision))  # type: ignore[arg-type]


def test_a_record_answers_what_a_stranger_asks() -> None:
    """Claim, need, what each platform gives, why not the others, cost, doubt, flip, sources."""
    page = html_page(made())
    for text in (
        "Measure on helium-3 insert", "Charging energy and gate capacitances to 10 per cent", "pumped insert",
        "What the answer assumes", "Rules that decided", "price to the answer", "Confidence: firm", "capacitance is at",
        "The International Temperature Scale of 1990", "local codes, the responsible safety officer",
    ):  # fmt: skip
        assert text in page, text


def test_html_is_valid() -> None:
    """A strict HTML5 parser finds nothing wrong, and nothing is loaded from elsewhere."""
    page = html_page(made())
    html5lib.HTMLParser(strict=True).parse(page)

    assert "http://" not in page.replace("http://www.w3.org", "")
    assert "src=" not in page


@pytest.mark.parametrize("length", LENGTHS)
def test_markdown_comes_in_four_lengths(length: str) -> None:
    """Each length names the verdict's platform; the longer ones say more."""
    text = markdown_page(made(), length)

    assert "helium-3 insert" in text
    assert len(text.splitlines()) < {"half page": 40, "page": 70, "appendix": 220, "table": 16}[length]


def test_the_same_input_and_date_give_the_same_bytes(tmp_path: Path) -> None:
    """Written twice, all three files agree."""
    first, second = (records.write(made(), tmp_path / each) for each in ("one", "two"))
    for file in ("record.json", "record.html", "record.md"):
        assert (first / file).read_bytes() == (second / file).read_bytes()


def test_dates_are_rfc_3339() -> None:
    """The date parses with its offset, given or not."""
    today = records.make(open_facility(), read_request(FOLDER / "proposals" / "electrometer.yaml"), records.Decision())
    for date in (made()["date"], today["date"]):
        assert datetime.datetime.fromisoformat(date).tzinfo is not None
    with pytest.raises(BadInput):
        records.make(
            open_facility(), read_request(FOLDER / "proposals" / "electrometer.yaml"), records.Decision(date="soon")
        )


def test_deciding_otherwise_needs_a_name_and_a_reason() -> None:
    """An override without them is refused, with them it is printed."""
    for decision in ({}, {"deciders": ("A. Decider",)}, {"why": "habit"}):
        with pytest.raises(BadInput):
            made(platform="dry-dilution", **decision)
    page = html_page(made(platform="dry-dilution", deciders=("A. Decider",), why="The insert is being repaired."))

    assert "departs from the program's answer" in page.replace("&#39;", "'")
    assert "The insert is being repaired." in page


def test_hostile_titles_are_text() -> None:
    """Markup in a title is shown, not run."""
    text = (FOLDER / "proposals" / "electrometer.yaml").read_text(encoding="utf-8")
    text = text.replace("title: Aluminium", 'title: "<script>alert(1)</script> | {{ 7 * 7 }} ')
    text = text.replace("electrometer\n", 'electrometer"\n', 1)
    record = records.make(open_facility(), read_request_text(text, "odd"), records.Decision(date=DATE))

    assert "<script>" not in html_page(record)
    assert "49" not in html_page(record).split("</title>")[0]
    assert "<script>" not in markdown_page(record, "page")


def test_edited_parts_are_named() -> None:
    """A changed number no longer matches its fingerprint."""
    record = made()
    assert records.edited_parts(record) == []
    record["answer"]["platforms"][0]["gates"][0]["margin"] = 9.9

    assert records.edited_parts(record) == ["answer"]


def test_records_are_never_overwritten(tmp_path: Path) -> None:
    """A second record of the day gets a number, and no partial folder stays behind."""
    places = [records.write(made(), tmp_path) for _ in range(3)]

    assert [each.name for each in places] == [f"2026-11-25-electrometer{end}" for end in ("", "-2", "-3")]
    assert not list(tmp_path.glob(".*"))


def test_a_folder_that_cannot_be_written_is_a_problem(tmp_path: Path) -> None:
    """A file in the place of the folder, and nothing half written."""
    (tmp_path / "taken").write_text("")
    with pytest.raises(BadInput) as caught:
        records.write(made(), tmp_path / "taken")

    assert caught.value.problems[0].remedy


def test_path_tricks_in_names_are_refused(tmp_path: Path) -> None:
    """A name that is no plain name never becomes a folder."""
    for name in ("../../escape", "a/b", "con:", "x" * 300, ""):
        record = made()
        record["id"] = name
        with pytest.raises(BadInput):
            records.write(record, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_recheck_names_exactly_the_decisions_that_a_warmer_loom_touches(tmp_path: Path) -> None:
    """The wet unit's electrons at 140 mK in place of 45: the decision that needed them flips, the others stand."""
    folder = tmp_path / "facility"
    shutil.copytree(FOLDER, folder)
    names = ("electrometer", "small-splitting", "gate-recipe")
    old = [made(name) for name in names]
    lab = (folder / "lab.yaml").read_text(encoding="utf-8")
    (folder / "lab.yaml").write_text(lab.replace("measured: 45 mK +/- 5 mK", "measured: 200 mK +/- 5 mK"))
    today = open_facility(folder)
    outcomes = {each["proposal"]["name"]: recheck(today, each) for each in old}

    assert {name: each.outcome for name, each in outcomes.items()} == {
        "electrometer": "same", "small-splitting": "flipped", "gate-recipe": "same",
    }  # fmt: skip
    assert any("wet dilution unit: temperature was pass, is" in line for line in outcomes["small-splitting"].because)


def test_recheck_goes_on_past_broken_records(tmp_path: Path) -> None:
    """One damaged record is a problem, the others are checked."""
    good = records.write(made(), tmp_path)
    bad = tmp_path / "bad"
    bad.mkdir()
    (bad / "record.json").write_text("{")
    found, problems = recheck_all(open_facility(), [good, bad])

    assert [each.outcome for each in found] == ["same"]
    assert len(problems) == 1


def test_old_formats_are_told_apart(tmp_path: Path) -> None:
    """A record of an unknown format is refused with its number."""
    record = copy.deepcopy(made())
    record["format"] = 99
    (tmp_path / "record.json").write_text(json.dumps(record))
    with pytest.raises(BadInput, match="format 99"):
        records.read(tmp_path)
