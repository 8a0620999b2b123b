"""Commands that put a decision on record and hold old records against today."""

from __future__ import annotations

import json
from pathlib import Path

import click

FACILITY = click.option(
    "--facility", "folder", metavar="FOLDER", type=click.Path(path_type=Path, file_okay=False),
    help="Folder that holds lab.yaml; the demonstration facility if left out.",
)  # fmt: skip


@click.command()
@click.argument("proposal")
@FACILITY
@click.option("--out", type=click.Path(path_type=Path), help="Folder for records; FACILITY/records if left out.")
@click.option("--by", "deciders", multiple=True, metavar="NAME", help="Who decides; may be given more than once.")
@click.option("--status", default="proposed", help="proposed, accepted, superseded or withdrawn.")
@click.option("--platform", metavar="ID", help="Decide for this platform whatever the program says.")
@click.option("--why", default="", help="Why the decision departs from the program's answer.")
@click.option("--supersedes", metavar="RECORD", help="The record that this one replaces.")
@click.option("--date", help="Date and time (RFC 3339); now if left out.")
@click.option("--print", "length", type=click.Choice(["half page", "page", "appendix", "table"]),
              help="Print Markdown of this length instead of writing a record.")  # fmt: skip
def record(
    proposal: str, folder: Path | None, out: Path | None, deciders: tuple[str, ...], status: str, platform: str | None,
    why: str, supersedes: str | None, date: str | None, length: str | None,
) -> int:  # fmt: skip
    """Write the case for a decision: one page that prints, Markdown, and data.

    Example: cold-triage record electrometer --out records --by "A. Decider" --status accepted
    """
    from triage.errors import BadInput, Problem
    from triage.services import record as records
    from triage.services import workspace
    from triage.services.record_pages import markdown_page

    facility = workspace.open_facility(folder)
    request = workspace.read_request(workspace.find_proposal(facility, proposal))
    decision = records.Decision(deciders, status, platform, why, supersedes, date)
    made = records.make(facility, request, decision)
    if length:
        click.echo(markdown_page(made, length), nl=False)
        return 0
    if out is None and facility.is_demonstration:
        raise BadInput([Problem("--out", 0, "", "the demonstration facility keeps no records", "give --out FOLDER")])
    place = records.write(made, out or facility.folder / "records")
    click.echo(f"{made['answer']['sentence']}\nWritten: {place / 'record.html'}")
    return 0 if made["platform"] else 1


@click.command()
@click.argument("found", nargs=-1, type=click.Path(path_type=Path), metavar="RECORDS...")
@FACILITY
@click.option("--json", "as_json", is_flag=True, help="Print plain data for programs.")
def recheck(found: tuple[Path, ...], folder: Path | None, as_json: bool) -> int:
    """Hold records against today's facility and rules: same, weaker, stronger or flipped.

    Without RECORDS, all in FACILITY/records. Exit status 1 where a decision flipped or a record was edited.

    Example: cold-triage recheck records/2026-11-25-electrometer
    """
    from dataclasses import asdict

    from triage.services import workspace
    from triage.services.recheck import recheck_all
    from triage.text import labelled, problems_text

    facility = workspace.open_facility(folder)
    folders = found or tuple(sorted(path.parent for path in (facility.folder / "records").glob("*/record.json")))
    checked, problems = recheck_all(facility, folders)
    if as_json:
        click.echo(json.dumps([asdict(each) for each in checked], indent=1, ensure_ascii=False))
    else:
        for each in checked:
            change = "" if each.then == each.now else f": {each.then or 'none'} then, {each.now or 'none'} now"
            click.echo(labelled(each.outcome, f"{each.record}{change}"))
            for line in each.because:
                click.echo(labelled("", line))
            if each.edited:
                click.echo(labelled("edited", f"no longer matches its fingerprint: {', '.join(each.edited)}"))
        if not checked and not problems:
            click.echo("No records.")
    if problems:
        click.echo(problems_text(problems), err=True)
        return 2
    return 1 if any(each.outcome == "flipped" or each.edited for each in checked) else 0
