"""Commands about the device: how to make it, what one would see, and a proposal to start from."""

from __future__ import annotations

import json
from pathlib import Path

import click

from triage.record_commands import FACILITY


@click.command()
@click.argument("proposal")
@FACILITY
@click.option("--json", "as_json", is_flag=True, help="Print plain data for programs.")
def route(proposal: str, folder: Path | None, as_json: bool) -> int:
    """How to make the device of PROPOSAL: layer by layer, with tools, time, price and yield.

    Example: cold-triage route electrometer
    """
    from triage.services import workspace
    from triage.services.assess import assess
    from triage.services.route import route as run

    facility = workspace.open_facility(folder)
    request = workspace.read_request(workspace.find_proposal(facility, proposal))
    answer = assess(facility, request)
    found = answer.route or run(facility, request, answer)
    if as_json:
        from triage.services.route_data import route_data

        click.echo(json.dumps(route_data(found), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from triage.route_text import route_text

        click.echo(route_text(found))
    return 0 if found.recommended else 1


@click.command()
@click.argument("proposal")
@FACILITY
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), help="Folder for SVG, PNG and CSV.")
@click.option("--theme", type=click.Choice(["light", "dark"]), default="light", help="Paper of the picture.")
def preview(proposal: str, folder: Path | None, out: Path | None, theme: str) -> int:
    """What one would see: the expected curve at each platform's temperature, in words or as pictures.

    Example: cold-triage preview electrometer --out pictures
    """
    from triage.errors import BadInput, Problem
    from triage.services import workspace
    from triage.services.preview import preview_of

    facility = workspace.open_facility(folder)
    request = workspace.read_request(workspace.find_proposal(facility, proposal))
    drawn = preview_of(facility, request, "dark" if theme == "dark" else "light")
    click.echo(drawn.text)
    if out is not None:
        try:
            out.mkdir(parents=True, exist_ok=True)
            (out / f"{request.name}.svg").write_text(drawn.svg, encoding="utf-8")
            (out / f"{request.name}.png").write_bytes(drawn.png)
            (out / f"{request.name}.csv").write_text(drawn.csv, encoding="utf-8", newline="")
        except OSError as error:
            reason = (error.strerror or "cannot be written").lower()
            raise BadInput([Problem(str(out), 0, "", reason, "choose another folder with --out")]) from None
        click.echo(f"Written: {out / request.name}.svg, .png and .csv")
    return 0


@click.command()
@click.argument("what", required=False)
def start(what: str | None) -> int:
    """Print a proposal to start from: of a kind of measurement, or of a published observation by number.

    Without WHAT, the published observations.

    Example: cold-triage start coulomb-diamonds > diamonds.yaml
    """
    from triage.services.start import observations, skeleton
    from triage.text import table

    if what is None:
        click.echo(table(["no", "kind", "what was seen", "at", "source"], observations(), right=(0, 3)))
    else:
        click.echo(skeleton(what), nl=False)
    return 0
