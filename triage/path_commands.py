"""The command that works out a path over several platforms."""

from __future__ import annotations

import json
from pathlib import Path

import click

from triage.record_commands import FACILITY


@click.command()
@click.argument("proposal")
@FACILITY
@click.option("--json", "as_json", is_flag=True, help="Print plain data for programs.")
def path(proposal: str, folder: Path | None, as_json: bool) -> int:
    """Which platforms the devices of PROPOSAL should visit, in which order, before the cold run.

    Example: cold-triage path many-islands
    """
    from dataclasses import asdict

    from triage.services import workspace
    from triage.services.assess import path_of

    facility = workspace.open_facility(folder)
    found = path_of(facility, workspace.read_request(workspace.find_proposal(facility, proposal)))
    if as_json:
        data = asdict(found)
        for ladder in data["ladders"]:
            if not ladder["feasible"]:
                ladder["minutes"] = ladder["cost"] = None
        click.echo(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from triage.text import path_text

        click.echo(path_text(found))
    return 0 if found.best else 1
