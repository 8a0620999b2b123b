"""What a browser session holds and does, without a browser."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from triage_ui.guard import Guard
from triage_ui.state import Session, new_session

from triage.errors import BadInput
from triage.services import editing, workspace
from triage.services.assess import assess
from triage.services.plain_data import recommendation_data


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A facility that may be written to."""
    return Path(shutil.copytree(workspace.demonstration(), tmp_path / "a facility"))


@pytest.fixture
def session(folder: Path) -> Session:
    """A session on that facility."""
    return new_session(folder)


def names() -> list[str]:
    """The proposals of the demonstration facility."""
    return [path.stem for path in workspace.open_facility().proposals()]


@pytest.mark.parametrize("name", names())
def test_the_answer_shown_is_that_of_the_command_line(name: str) -> None:
    session = new_session(None)
    session.open(name)
    session.settle()
    facility = workspace.open_facility()
    expected = assess(facility, workspace.read_request(workspace.find_proposal(facility, name)))
    assert session.answer is not None
    assert recommendation_data(session.answer) == recommendation_data(expected)


def test_a_student_gets_from_nothing_to_a_saved_proposal(session: Session, folder: Path) -> None:
    session.change_kind("coulomb-diamonds")
    session.settle()
    assert session.answer is None
    assert [problem.field for problem in session.problems] == ["device.charging_energy"]
    session.change("device.charging_energy", "0.2 fF")
    session.change("title", "First island")
    session.settle()
    assert session.answer is not None
    assert session.answer.recommended
    assert session.form.dirty
    assert session.suggested_name == "first-island"
    assert session.save("first-island")
    assert not session.form.dirty
    again = workspace.read_request(folder / "proposals" / "first-island.yaml")
    assert again.proposal.title == "First island"
    assert again.inputs["charging_energy"].text == "0.2 fF"


def test_a_mistake_keeps_the_last_answer_and_marks_it_as_old(session: Session) -> None:
    session.open("electrometer")
    session.settle()
    before = session.answer
    session.change("board.width", "16 K")
    session.settle()
    assert session.answer is before
    assert session.shown.stale
    assert [problem.field for problem in session.problems] == ["board.width"]
    session.change("board.width", "16 mm")
    session.settle()
    assert not session.shown.stale


def test_an_outcome_that_was_overtaken_is_not_shown(session: Session) -> None:
    session.open("electrometer")
    late = session.work_out(thorough=True)
    session.change("tier", "see")
    assert not session.publish(late)
    assert session.answer is None


def test_undo_and_redo_walk_through_the_changes(session: Session) -> None:
    session.open("electrometer")
    first = session.data
    session.change("board.width", "17 mm")
    session.change("board.width", "18 mm")  # typed on at once: one change
    session.change("devices.needed", "4")
    session.undo()
    assert editing.text_at(session.data, "devices.needed") == "3"
    assert editing.text_at(session.data, "board.width") == "18 mm"
    session.undo()
    assert session.data == first
    assert not session.form.dirty
    assert not session.can_undo
    session.redo()
    session.redo()
    assert editing.text_at(session.data, "devices.needed") == "4"
    assert not session.can_redo


def test_a_draft_outlives_its_session(session: Session, folder: Path) -> None:
    session.open("electrometer")
    session.change("board.width", "17 mm")
    draft = session.draft()
    later = new_session(folder)
    assert later.restore(draft)
    assert later.form.dirty
    assert later.form.name == "electrometer"
    assert editing.text_at(later.data, "board.width") == "17 mm"
    assert later.save("electrometer")


@pytest.mark.parametrize("draft", ["", "{", "[]", "null", json.dumps({"data": 1, "name": "", "saved": None})])
def test_a_broken_draft_is_left_alone(session: Session, draft: str) -> None:
    session.open("electrometer")
    before = session.data
    assert not session.restore(draft)
    assert session.data == before


def test_two_sessions_share_nothing_unsaved(folder: Path) -> None:
    one, other = new_session(folder), new_session(folder)
    one.open("electrometer")
    one.change("title", "Mine alone")
    one.place.dark = True
    one.settle()
    assert other.data == editing.new_proposal()
    assert other.answer is None
    assert not other.place.dark
    assert not other.form.dirty


def test_a_file_changed_behind_the_back_is_not_overwritten(session: Session, folder: Path) -> None:
    session.open("electrometer")
    session.change("title", "Mine")
    path = folder / "proposals" / "electrometer.yaml"
    theirs = path.read_text().replace("Aluminium", "Niobium")
    path.write_text(theirs)
    assert not session.save("electrometer")
    assert "changed on disk" in session.place.status
    assert path.read_text() == theirs
    assert session.save("electrometer-mine")


def test_a_new_proposal_does_not_replace_an_old_one(session: Session) -> None:
    session.change_kind("coulomb-diamonds")
    assert not session.save("electrometer")
    assert "exists already" in session.place.status


def test_the_demonstration_facility_is_not_written_to() -> None:
    session = new_session(None)
    session.change_kind("coulomb-diamonds")
    assert not session.save("mine")
    assert "demonstration" in session.place.status


@pytest.mark.parametrize("name", ["../up", "a/b", "", "CON", "nul", "x" * 61, "ünïcode", "a b", ".hidden", "-x"])
def test_names_that_leave_the_folder_are_refused(session: Session, name: str) -> None:
    assert editing.check_name(name) is not None
    with pytest.raises(BadInput):
        editing.save(session.facility, name, "title: x\n", expected=None)


def test_a_session_starts_from_every_published_observation(session: Session) -> None:
    for index, _ in enumerate(editing.observations()):
        session.start_from(index)
        session.settle()
        assert session.answer is not None, session.problems


def test_every_proposal_is_in_the_table(session: Session, folder: Path) -> None:
    (folder / "proposals" / "broken.yaml").write_text("title: Broken\nmeasurement: coulomb-dimonds\n")
    rows = {row.name: row for row in session.assess_all()}
    assert set(rows) == {*names(), "broken"}
    assert rows["broken"].answer is None
    assert "coulomb-diamonds" in rows["broken"].problems[0].remedy


def test_files_that_cannot_be_read_are_reported(session: Session) -> None:
    before = session.data
    session.open_text(b"\xff\xfe", "theirs")
    assert "cannot be read" in session.place.status
    session.open("not-there")
    assert "no readable proposal" in session.place.status
    assert session.data == before


HOSTS = ("127.0.0.1:8000", "localhost:8000")


@pytest.mark.parametrize(
    ("headers", "allowed"),
    [
        ([(b"host", b"127.0.0.1:8000")], True),
        ([(b"Host", b"LOCALHOST:8000"), (b"Origin", b"http://localhost:8000")], True),
        ([(b"host", b"127.0.0.1:8000"), (b"origin", b"http://evil.example")], False),
        ([(b"host", b"127.0.0.1:8000"), (b"origin", b"null")], False),
        ([(b"host", b"127.0.0.1:8000"), (b"origin", b"https://127.0.0.1:8000")], False),
        ([(b"host", b"evil.example")], False),
        ([(b"host", b"127.0.0.1:9000")], False),
        ([], False),
        ([(b"host", b"127.0.0.1:8000"), (b"host", b"evil.example")], False),
    ],
)
def test_the_guard_knows_its_own_pages(headers: list[tuple[bytes, bytes]], allowed: bool) -> None:
    async def nothing(*_: object) -> None: ...

    assert Guard(nothing, HOSTS).allowed(headers) is allowed
