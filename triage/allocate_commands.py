"""The command that shares a facility's platforms across its proposals."""

from __future__ import annotations

import json
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from triage.record_commands import FACILITY

if TYPE_CHECKING:
    from triage.planning.allocation.search import Control, Progress
    from triage.services.allocate import Answer

INTERRUPTED = 130
_FILE = click.Path(path_type=Path, dir_okay=False)


@click.command()
@FACILITY
@click.option("--json", "as_json", is_flag=True, help="Print plain data for programs; `--from` reads it.")
@click.option("--csv", "csv_file", type=_FILE, metavar="FILE", help="Write the plan as a table for spreadsheets.")
@click.option("--ics", "ics_file", type=_FILE, metavar="FILE", help="Write the plan as a calendar (iCalendar).")
@click.option("--svg", "svg_file", type=_FILE, metavar="FILE", help="Write the plan as a picture.")
@click.option("--theme", type=click.Choice(["light", "dark"]), default="light", help="Of the picture.")
@click.option("--from", "accepted", type=_FILE, metavar="FILE", help="Change as little as possible of this plan.")
@click.option("--what-if", "word", type=click.Choice(["week", "insert", "no-maintenance", "helium-cut"]),
              help="What one change of the facility would be worth.")  # fmt: skip
@click.option("--effort", type=click.Choice(["quick", "normal", "thorough"]), default="normal",
              help="How long to search, by count: the same effort gives the same plan.")  # fmt: skip
@click.option("--seconds", type=click.FloatRange(min=0.1), help="Stop the search after so long; may give another plan.")
@click.option("--buffer", type=click.FloatRange(0, 100), metavar="PERCENT", help="Plan every run longer by this part.")
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, help="Of the search.")
@click.option("--brief", is_flag=True, help="Leave out costs, bottlenecks and the simulation.")
def allocate(
    folder: Path | None, as_json: bool, csv_file: Path | None, ics_file: Path | None, svg_file: Path | None,
    theme: str, accepted: Path | None, word: str | None, effort: str, seconds: float | None, buffer: float | None,
    seed: int, brief: bool,
) -> int:  # fmt: skip
    """Plan who runs where and when, from calendar.yaml and allocation.yaml of a facility.

    Interrupted (Ctrl-C), it keeps and prints the best plan so far and leaves with status 130; status 1 says
    that somebody is not served.

    Example: cold-triage allocate --facility scenarios/quarter --svg plan.svg
    """
    from triage import allocate_text
    from triage.planning.allocation.result import EFFORTS
    from triage.planning.allocation.search import with_seconds
    from triage.services import allocate as service
    from triage.services import workspace

    facility = workspace.open_facility(folder)
    much = with_seconds(EFFORTS[effort], seconds)
    with _followed() as control:
        if word is not None:
            found = service.what_if(facility, word, much, seed, control)
            click.echo(_json(allocate_text.what_if_data(found)) if as_json else allocate_text.what_if_text(found))
            return INTERRUPTED if control.stopped == "interrupted" else 0
        answer = service.allocate(facility, much, seed, control, accepted,
                                  buffer=None if buffer is None else buffer / 100, explained=not brief)  # fmt: skip
    click.echo(_json(allocate_text.allocation_data(answer)) if as_json else allocate_text.allocation_text(answer))
    _write(answer, csv_file, ics_file, svg_file, theme)
    if control.stopped == "interrupted":
        return INTERRUPTED
    return 1 if answer.unserved else 0


def _write(answer: Answer, csv_file: Path | None, ics_file: Path | None, svg_file: Path | None, theme: str) -> None:
    from triage import allocate_text
    from triage.errors import BadInput, Problem

    drawn = allocate_text.picture(answer, "dark" if theme == "dark" else "light").svg if svg_file else ""
    for file, content in (
        (csv_file, allocate_text.csv_text(answer).encode() if csv_file else b""),
        (ics_file, allocate_text.calendar_bytes(answer) if ics_file else b""),
        (svg_file, drawn.encode()),
    ):
        if file is not None:
            try:
                file.write_bytes(content)
            except OSError as error:
                reason = (error.strerror or "cannot be written").lower()
                raise BadInput([Problem(str(file), 0, "", reason, "check the path")]) from None


def _json(data: object) -> str:
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False)


@contextmanager
def _followed() -> Iterator[Control]:
    """A control that shows progress on the terminal and turns the first Ctrl-C into a stop; the second ends."""
    from triage.planning.allocation.search import Control

    pressed: list[int] = []

    def press(number: int, _: object) -> None:
        if pressed:
            raise KeyboardInterrupt
        pressed.append(number)

    before = signal.signal(signal.SIGINT, press)
    try:
        yield Control(told=_Bar(), cancelled=lambda: bool(pressed))
    finally:
        signal.signal(signal.SIGINT, before)
        if sys.stderr.isatty():
            click.echo("\r\033[K", nl=False, err=True)


class _Bar:
    """Progress on standard error: a bar on a terminal, one line per stage elsewhere."""

    def __init__(self) -> None:
        self.stage = ""

    def __call__(self, progress: Progress) -> None:
        bound = "" if progress.bound is None else f" of at most {progress.bound}"
        words = f"{progress.stage}: {progress.value}{bound}" if progress.value else progress.stage
        if sys.stderr.isatty():
            done = int(20 * min(1.0, progress.part))
            click.echo(f"\r\033[K[{'#' * done}{'.' * (20 - done)}] {words}", nl=False, err=True)
        elif progress.stage != self.stage:
            click.echo(words, err=True)
        self.stage = progress.stage
