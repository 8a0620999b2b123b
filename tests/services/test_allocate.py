"""Allocation of a facility's folder: the demonstration quarter, files in and out, and mistakes in them."""

from __future__ import annotations

import csv
import datetime
import io
import json
import shutil
import xml.etree.ElementTree as ElementTree
from functools import lru_cache
from pathlib import Path

import pytest

from triage import allocate_text
from triage.errors import BadInput
from triage.planning.allocation.checker import violations
from triage.planning.allocation.repair import changes_between
from triage.planning.allocation.result import Effort
from triage.planning.allocation.search import allocate as search
from triage.services import allocate as service
from triage.services.workspace import open_facility, shipped

QUARTER = shipped("scenarios") / "quarter"
EFFORT = Effort("test", 300, 2, 0.0, 50)
HEAD = "invented: A calendar for a test.\nstart: 2027-01-04\nweeks: 4\n"


@lru_cache(maxsize=1)
def question() -> service.Question:
    return service.question_of(open_facility(QUARTER))


@lru_cache(maxsize=1)
def answer() -> service.Answer:
    found = search(question().problem, EFFORT, 1)
    return service.answer_of(question(), found, service.Control(), explained=False)


def small(
    tmp_path: Path, calendar: str = HEAD, wishes: str = "", names: tuple[str, ...] = ("hole-mass", "tip-map")
) -> Path:
    """A facility of its own with a few proposals of the quarter."""
    (tmp_path / "proposals").mkdir(exist_ok=True)
    shutil.copy(QUARTER / "lab.yaml", tmp_path)
    for name in names:
        shutil.copy(QUARTER / "proposals" / f"{name}.yaml", tmp_path / "proposals")
    (tmp_path / "calendar.yaml").write_text(calendar, encoding="utf-8")
    if wishes:
        (tmp_path / "allocation.yaml").write_text(wishes, encoding="utf-8")
    return tmp_path


def problems(folder: Path) -> str:
    with pytest.raises(BadInput) as caught:
        service.allocate(open_facility(folder), EFFORT)
    return "\n".join(map(str, caught.value.problems))


def test_the_quarter_is_overloaded_and_planned_with_a_bound() -> None:
    found = answer()
    asked = {each.name for each in found.question.assessed}

    assert len(asked) >= 30
    assert len(found.question.names) >= 7
    assert found.unserved
    assert 0 < found.result.value <= found.result.bound
    assert found.result.value >= 1.1 * found.result.greedy["by priority"]
    assert violations(found.question.problem, found.result.plan) == []
    assert {each.project for each in found.unserved} | set(found.result.served) == {
        each.id for each in found.question.problem.projects
    }


def test_nothing_unsuitable_is_ever_a_mode_and_a_lower_tier_counts_less() -> None:
    by_name = {each.name: each for each in question().assessed}
    lower = 0
    for project in question().problem.projects:
        results = {each.platform: each for each in by_name[project.id].platforms} if project.id in by_name else {}
        for mode in project.modes if results else ():
            assert results[mode.platform].verdict in ("suitable", "tight")
            if mode.note == "see" and by_name[project.id].wanted == "measure":
                assert mode.quality < 90
                lower += 1
    assert lower


def test_screens_of_a_campaign_go_before_its_last_stage() -> None:
    visits = {visit.project: visit for visit in answer().result.plan}

    assert visits["many-islands/1"].end <= visits["many-islands/2"].start
    assert visits["many-islands/2"].end <= visits["many-islands"].start


def test_text_names_bound_gap_levels_and_every_reason() -> None:
    text = " ".join(allocate_text.allocation_text(answer()).split())

    for word in ("gap", "Bound from", "not proved", "Level 1", "earliness", "Not served", "fragile-state: no platform"):
        assert word in text
    for each in answer().unserved:
        assert each.project in text


def test_data_is_plain_and_reads_back_as_the_same_plan(tmp_path: Path) -> None:
    data = allocate_text.allocation_data(answer())
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(data, allow_nan=False), encoding="utf-8")

    plan, known = service.read_plan(file, question())

    assert plan == answer().result.plan
    assert set(known) >= {each.name for each in question().assessed}


def test_an_accepted_plan_is_kept_but_for_the_one_start_that_moved(tmp_path: Path) -> None:
    """electrometer-a may only begin three weeks after it was planned."""
    folder = tmp_path / "quarter"
    shutil.copytree(QUARTER, folder)
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(allocate_text.allocation_data(answer())), encoding="utf-8")
    visit = next(each for each in answer().result.plan if each.project == "electrometer-a")
    later = question().date(min(visit.start + 21, 80))
    wishes = (folder / "allocation.yaml").read_text(encoding="utf-8")
    changed = wishes.replace(
        "electrometer-a: {priority: 6}",
        f"electrometer-a: {{priority: 6, window: {{first: {later}, last: 2027-04-04}}}}",
    )
    assert changed != wishes
    (folder / "allocation.yaml").write_text(changed, encoding="utf-8")

    found = service.allocate(open_facility(folder), EFFORT, accepted=file, explained=False)

    known = [each.name for each in question().assessed]
    kinds = changes_between(found.question.problem, answer().result.plan, found.result.plan, known)
    assert [each.project for each in kinds if each.kind == "dropped"] == []
    assert len([each for each in kinds if each.kind != "added"]) <= 5
    assert "electrometer-a" in {each.project for each in kinds}
    assert any("electrometer-a" in words for words in found.result.changes)


def read_calendar(raw: bytes) -> list[dict[str, str]]:
    """A second reader of RFC 5545: section 3.1 unfolding, then the components of section 3.6."""
    assert raw.endswith(b"\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    lines = raw.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode("utf-8").split("\r\n")[:-1]
    assert (lines[0], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    events: list[dict[str, str]] = []
    inside = False
    header: dict[str, str] = {}
    for line in lines[1:-1]:
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            events.append({})
            inside = True
        elif line == "END:VEVENT":
            inside = False
        else:
            (events[-1] if inside else header)[name] = value
    assert header["VERSION"] == "2.0"
    assert header["PRODID"]
    return events


def test_calendar_is_read_back_by_a_second_reader() -> None:
    """RFC 5545: UID and DTSTAMP in every event, dates as VALUE=DATE, DTEND the day after the last."""
    events = read_calendar(allocate_text.calendar_bytes(answer()))
    plan, dates = answer().result.plan, question().date

    assert len(events) == len(plan)
    assert len({each["UID"] for each in events}) == len(events)
    assert all(each["DTSTAMP"].endswith("Z") for each in events)
    for event, visit in zip(events, plan, strict=True):
        assert event["DTSTART;VALUE=DATE"] == f"{dates(visit.start):%Y%m%d}"
        assert event["DTEND;VALUE=DATE"] == f"{dates(visit.end):%Y%m%d}"
        assert event["SUMMARY"].startswith(visit.project)
    assert allocate_text.calendar_bytes(answer()) == allocate_text.calendar_bytes(answer())


def test_table_has_a_row_for_everybody_and_no_formula() -> None:
    rows = list(csv.DictReader(io.StringIO(allocate_text.csv_text(answer()))))

    assert {row["proposal"] for row in rows} >= {each.name for each in question().assessed}
    assert sum(row["status"] == "served" for row in rows) == len(answer().result.plan)
    assert allocate_text._cell("=1+1") == "'=1+1"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_picture_is_well_formed_named_and_told_in_words(theme: str) -> None:
    drawing = allocate_text.picture(answer(), "dark" if theme == "dark" else "light")
    root = ElementTree.fromstring(drawing.svg)
    space = "{http://www.w3.org/2000/svg}"
    width, height = float(root.attrib["width"]), float(root.attrib["height"])

    assert root.attrib["role"] == "img"
    assert root.find(f"{space}title") is not None
    words = root.find(f"{space}desc")
    assert words is not None
    assert words.text is not None
    for name in answer().result.served:
        assert name in words.text
    for box in root.iter(f"{space}rect"):
        assert float(box.attrib.get("x", 0)) + float(box.attrib["width"]) <= width + 0.1
        assert float(box.attrib.get("y", 0)) + float(box.attrib["height"]) <= height + 0.1


def test_titles_from_people_are_text_in_the_picture() -> None:
    from triage.drawing.gantt import Run, gantt

    days = [datetime.date(2027, 1, 4) + datetime.timedelta(days=n) for n in range(8)]
    drawing = gantt([("p", "<script>")], [Run("p", 0, 7, ("<b>&",))], [], days, title='"<i>"')

    assert "<script>" not in drawing.svg
    ElementTree.fromstring(drawing.svg)


def test_a_warmer_platform_is_granted_with_its_reason_and_days() -> None:
    moved = [each for each in answer().granted if each.why and each.given_platform]
    assert moved
    assert all(each.why.startswith(("warmer", "colder")) for each in moved)
    assert all(each.given_days > 0 for each in moved)


def test_every_mistake_is_told_at_once_with_line_and_remedy(tmp_path: Path) -> None:
    calendar = HEAD + (
        "platforms:\n"
        "  - {platform: helium-3-inset, run_by: nobody}\n"
        "  - platform: pumped-insert\n"
        "    closed: [{first: 2028-01-01, last: 2028-01-02}]\n"
        "staff: [{role: technician, per_day: 4 h}]\n"
    )
    wishes = (
        "proposals:\n"
        "  hole-mass: {priority: 2, after: [tip-map]}\n"
        "  tip-map: {priority: 2, after: [hole-mass], platforms: [moon]}\n"
        "  tipmap: {window: {first: 2020-01-01, last: 2020-02-01}}\n"
    )

    text = problems(small(tmp_path, calendar, wishes))

    assert "calendar.yaml:5 platforms[0].platform: there is no platform 'helium-3-inset' — did you mean" in text
    assert "there is no role 'nobody'" in text
    assert "lies outside the calendar" in text
    assert "waits, in the end, for itself" in text
    assert "there is no platform 'moon'" in text
    assert "there is no proposal 'tipmap' — did you mean 'tip-map'?" in text
    assert len(text.splitlines()) >= 8


@pytest.mark.parametrize(
    ("calendar", "says"),
    [
        (HEAD.replace("weeks: 4", "weeks: 0"), "weeks"),
        (HEAD.replace("2027-01-04", "soon"), "start"),
        (HEAD + "platforms: [{platform: bath-stick, places: 0}]\n", "has no place"),
        (HEAD + "platforms: [{platform: bath-stick}, {platform: bath-stick}]\n", "given twice"),
        (
            HEAD + "platforms:\n  - platform: bath-stick\n    closed:\n"
            "      - {first: 2027-01-04, last: 2027-01-08}\n      - {first: 2027-01-08, last: 2027-01-09}\n",
            "overlap",
        ),
        (
            HEAD + "platforms: [{platform: bath-stick, closed: [{first: 2027-01-09, last: 2027-01-08}]}]\n",
            "before it begins",
        ),
        (HEAD + "helium: {weekly: 12 K}\n", "helium.weekly"),
        (HEAD + "shares: {a: 70 %, b: 40 %}\n", "more than the whole"),
        (HEAD + "slot: day\n", "did you mean 'slots'"),
        ("", "empty"),
    ],
)
def test_a_calendar_that_cannot_be_is_refused(tmp_path: Path, calendar: str, says: str) -> None:
    assert says in problems(small(tmp_path, calendar))


def test_without_a_calendar_or_with_too_many_proposals_the_remedy_is_told(tmp_path: Path) -> None:
    folder = small(tmp_path)
    (folder / "calendar.yaml").unlink()
    assert "calendar.yaml" in problems(folder)
    text = (QUARTER / "proposals" / "hole-mass.yaml").read_text(encoding="utf-8")
    for number in range(2000):
        (folder / "proposals" / f"n{number}.yaml").write_text(text, encoding="utf-8")
    assert "more than 1000" in problems(folder)


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"plan": [{"proposal": 1}]}', '{"plan": 3, "granted": []}', "\x00"])
def test_a_file_that_is_no_plan_is_refused(tmp_path: Path, text: str) -> None:
    file = tmp_path / "plan.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match="is no plan"):
        service.read_plan(file, question())


def test_what_if_changes_one_thing_and_gives_an_interval(tmp_path: Path) -> None:
    folder = small(tmp_path, HEAD + "helium: {weekly: 30 L}\n", names=("hole-mass", "tip-map", "electron-mass"))
    facility = open_facility(folder)

    for word in service.WHAT_IF:
        found = service.what_if(facility, word, EFFORT)
        least, most = found.interval
        assert least <= found.changed.value - found.base.value <= most
        assert violations(found.changed.problem, found.changed.plan) == []
        assert "What if" in allocate_text.what_if_text(found)
        if word != "helium-cut":
            assert found.changed.value >= found.base.value
    with pytest.raises(BadInput):
        service.what_if(facility, "rain", EFFORT)
