"""What one browser session holds, and the commands that change it; nothing here needs a page.

Each session has objects of its own. What changes often is observable, so that only the parts that
show it are drawn again.
"""

from __future__ import annotations

import hashlib
import json
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import flet as ft

from triage.errors import BadInput, Problem
from triage.measurements.catalogue import CATALOGUE
from triage.models.recommendation import Recommendation
from triage.services import editing, workspace
from triage.services.assess import assess
from triage.services.editing import Data
from triage.services.workspace import Facility, Request

MOST_UNDO = 200
SAME_EDIT = 2.0  # s between two changes of one field that undo takes back together
PAGES = ("Proposal", "Why", "Facility")
_START = "proposal"


@ft.observable
@dataclass(eq=False)
class Place:
    """Where the reader is: page, theme, what is selected, what was last reported."""

    page: int = 0
    dark: bool = False
    wide: bool = False
    platform: str = ""
    status: str = ""
    start_from: str = "kind"
    waiting: str = ""
    saving: bool = False
    opened: tuple[str, ...] = ()
    left: tuple[tuple[str, str], ...] = ()


@ft.observable
@dataclass(eq=False)
class Form:
    """The proposal being written. `version` counts its changes; `typing` is the field being typed in."""

    version: int = 0
    name: str = ""
    dirty: bool = False
    typing: str = ""
    checked: int = -1
    checks: int = 0


@ft.observable
@dataclass(eq=False)
class Shown:
    """The answer on the screen, and whether it is that of the entries as they stand."""

    number: int = 0
    stale: bool = False
    working: bool = False


@ft.observable
@dataclass(eq=False)
class Table:
    """Every proposal of the facility, assessed."""

    number: int = 0
    working: bool = False


@dataclass(frozen=True)
class Outcome:
    """What came of working a version of the form out."""

    version: int
    request: Request | None
    problems: tuple[Problem, ...]
    answer: Recommendation | None
    thorough: bool


@dataclass(frozen=True, eq=False)
class Held:
    """An answer as an argument of a part: the same only if it is the same object, never compared number by number."""

    answer: Recommendation


@dataclass(frozen=True)
class Row:
    """One proposal of the facility: its answer, or why it has none."""

    name: str
    answer: Recommendation | None
    problems: tuple[Problem, ...] = ()


@dataclass(eq=False)
class Session:
    """Everything of one browser session."""

    facility: Facility
    place: Place = field(default_factory=Place)
    form: Form = field(default_factory=Form)
    shown: Shown = field(default_factory=Shown)
    table: Table = field(default_factory=Table)
    data: Data = field(default_factory=editing.new_proposal)
    saved: Data | None = None
    saved_text: str | None = None
    problems: tuple[Problem, ...] = ()
    request: Request | None = None
    answer: Recommendation | None = None
    latest: Held | None = None
    core: Held | None = None  # the answer as first shown: all but thresholds and odds
    rows: tuple[Row, ...] = ()
    table_stale: bool = False
    _undo: list[Data] = field(default_factory=list)
    _redo: list[Data] = field(default_factory=list)
    _last_edit: tuple[str, float] = ("", 0.0)
    _first: Data = field(default_factory=editing.new_proposal)

    # What is written -------------------------------------------------------------------------------

    @property
    def kind(self) -> str:
        """The kind of measurement chosen, or nothing where none is known."""
        key = str(self.data.get("measurement") or "")
        return key if key in CATALOGUE else ""

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._undo)

    @property
    def can_redo(self) -> bool:
        """Whether there is a change to bring back."""
        return bool(self._redo)

    def change(self, path: str, written: str | bool) -> None:
        """Write something at a path of the proposal."""
        if editing.text_at(self.data, path) == written:
            return
        now = time.monotonic()
        joined = self._last_edit[0] == path and now - self._last_edit[1] < SAME_EDIT
        self._last_edit = (path, now)
        self._replace(editing.put(self.data, path, written), joined=joined)
        self.form.typing = path if isinstance(written, str) else ""

    def change_kind(self, key: str) -> None:
        """Choose a kind of measurement."""
        if key in CATALOGUE and key != self.data.get("measurement"):
            self._replace(editing.change_kind(self.data, key))

    def start_from(self, index: int) -> None:
        """Begin again from a published observation."""
        self._load(editing.from_observation(editing.observations()[index]), "", None)
        self.place.status = "Started from a published observation."

    def undo(self) -> None:
        """Take the last change back."""
        if self._undo:
            self._redo.append(self.data)
            self._set(self._undo.pop())

    def redo(self) -> None:
        """Bring the change last taken back again."""
        if self._redo:
            self._undo.append(self.data)
            self._set(self._redo.pop())

    def _replace(self, data: Data, *, joined: bool = False) -> None:
        if not joined:
            self._undo = [*self._undo[-MOST_UNDO + 1 :], self.data]
        self._redo = []
        self._set(data)

    def _set(self, data: Data) -> None:
        self.data = data
        self.form.typing = ""
        self.form.dirty = data != (self.saved if self.saved is not None else self._first)
        self.form.version += 1
        self.shown.stale = True

    # Opening and saving ----------------------------------------------------------------------------

    def new(self) -> None:
        """An empty proposal."""
        self._load(editing.new_proposal(), "", None)
        self.place.status = "New proposal."

    def open(self, name: str) -> None:
        """Open a proposal of the facility."""
        text = editing.saved_text(self.facility, name)
        if text is None:
            self.place.status = f"There is no readable proposal '{name}'."
            return
        self.open_text(text, name)
        if self.data is not None:
            self.saved_text = text

    def open_text(self, text: str | bytes, name: str) -> None:
        """Open a proposal given as text."""
        data, problems = editing.from_text(text, name)
        if not data:
            self.place.status = f"{name} cannot be read: {problems[0].message} — {problems[0].remedy}"
            return
        self._load(data, name, data)
        self.place.status = f"Opened {name}." if not problems else f"Opened {name}; {problems[0]}"

    def _load(self, data: Data, name: str, saved: Data | None) -> None:
        self.saved, self.saved_text = saved, None
        self._undo, self._redo = [], []
        self._first = editing.new_proposal() if saved is None else data
        self.answer = self.latest = self.core = self.request = None
        self.form.checked = -1
        self.problems = ()
        self.form.name = name
        self.place.platform = ""
        self.place.start_from = "kind"
        self._set(data)

    @property
    def suggested_name(self) -> str:
        """A name to save under."""
        return self.form.name or editing.name_from(str(self.data.get("title") or ""))

    def comments_lost(self) -> bool:
        """Whether saving over the opened file drops comments in it."""
        lines = (self.saved_text or "").splitlines()
        return any(line.lstrip().startswith("#") or " # " in line for line in lines)

    def save(self, name: str) -> bool:
        """Write the proposal into the facility; says in the status line what came of it."""
        expected = self.saved_text if name == self.form.name else None
        try:
            path = editing.save(self.facility, name, self.yaml(), expected=expected)
        except BadInput as error:
            problem = error.problems[0]
            self.place.status = f"Not saved: {problem.message} — {problem.remedy}"
            return False
        self.mark_saved(name)
        self.saved_text = path.read_text(encoding="utf-8")
        self.place.status = f"Saved as {path.name}."
        self.table_stale = True
        return True

    def mark_saved(self, name: str) -> None:
        """Remember the entries as they stand as saved."""
        self.form.name = name
        self.saved = self.data
        self.form.dirty = False

    def yaml(self) -> str:
        """The proposal as the file it is saved as."""
        return editing.to_yaml(self.data)

    # Drafts ----------------------------------------------------------------------------------------

    def draft(self) -> str:
        """The entries as text that outlives the session."""
        return json.dumps({"data": self.data, "name": self.form.name, "saved": self.saved, "text": self.saved_text})

    def restore(self, draft: str) -> bool:
        """Take up a draft; says whether it could be read."""
        try:
            kept = json.loads(draft)
            data, name = dict(kept["data"]), str(kept["name"])
            saved = None if kept["saved"] is None else dict(kept["saved"])
            text = None if kept["text"] is None else str(kept["text"])
        except (ValueError, TypeError, KeyError):
            return False
        self._load(data, name, saved)
        self.saved_text = text
        if saved is not None:
            self.form.dirty = data != saved
        self.place.status = "Unsaved changes from before are here again."
        return True

    @property
    def facility_key(self) -> str:
        """A short name of the facility's folder, under which drafts are kept."""
        return hashlib.sha256(str(self.facility.folder).encode()).hexdigest()[:12]

    # Working out -----------------------------------------------------------------------------------

    def work_out(self, *, thorough: bool) -> Outcome:
        """The answer to the entries as they stand; safe to run in another thread."""
        version, data = self.form.version, self.data
        request, problems = editing.understood(data, self.form.name or _START)
        answer = assess(self.facility, request, thorough=thorough) if request is not None else None
        return Outcome(version, request, problems, answer, thorough)

    def publish(self, outcome: Outcome) -> bool:
        """Show an outcome, unless the entries have moved on; says whether it was shown."""
        if outcome.version != self.form.version:
            return False
        first = self.form.checked != outcome.version or self.core is None
        self.problems, self.request = outcome.problems, outcome.request
        if outcome.answer is not None:
            self.answer, self.latest = outcome.answer, Held(outcome.answer)
            if first:
                self.core = self.latest
            if self.answer.platform(self.place.platform) is None:
                self.place.platform = self.answer.recommended or self.answer.order[0]
        self.shown.working = not outcome.thorough and outcome.answer is not None
        self.shown.stale = outcome.answer is None
        self.shown.number += 1
        if first:
            self.form.checked = outcome.version
            self.form.checks += 1
        return True

    def settle(self) -> None:
        """Work the answer out here and now."""
        self.publish(self.work_out(thorough=True))
        self.form.typing = ""

    def assess_all(self) -> tuple[Row, ...]:
        """Every proposal of the facility, assessed as the command line does without a name."""
        rows = []
        for path in self.facility.proposals():
            try:
                rows.append(Row(path.stem, assess(self.facility, workspace.read_request(path), thorough=False)))
            except BadInput as error:
                rows.append(Row(path.stem, None, tuple(error.problems)))
        return tuple(rows)

    # Where the reader is ---------------------------------------------------------------------------

    def go(self, page: int) -> None:
        """Turn to a page."""
        self.place.page = max(0, min(page, len(PAGES) - 1))

    def select(self, platform: str) -> None:
        """Look at a platform."""
        self.place.platform = platform

    def toggle(self, section: str) -> None:
        """Open or close a section."""
        opened = self.place.opened
        self.place.opened = (
            tuple(each for each in opened if each != section) if section in opened else (*opened, section)
        )

    def tell(self, words: str) -> None:
        """Report something in the status line."""
        self.place.status = words


def new_session(folder: Path | None) -> Session:
    """A session on a facility; without a folder, the demonstration facility."""
    return Session(workspace.open_facility(folder))


def draft_title(draft: str) -> str:
    """The title in a draft, or nothing where it cannot be read."""
    try:
        return str(json.loads(draft)["data"].get("title") or "without a title")[:80]
    except (ValueError, TypeError, KeyError, AttributeError):
        return ""


def field_problems(session: Session, paths: list[str]) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """Problems by field and those without one; the field being typed in is left in peace."""
    found, rest = editing.by_field(session.problems, paths)
    found.pop(session.form.typing, None)
    return found, rest
