"""The command line: arguments and printing only.

Exit status: 0 answered, 1 answered and nothing is suitable, 2 bad input, 3 internal error.
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from triage.allocate_commands import allocate
from triage.device_commands import preview, route, start
from triage.path_commands import path
from triage.record_commands import FACILITY, recheck, record
from triage.rules_commands import rules

# Looking for plug-ins of the validation library costs a tenth of a cold start, and none are used.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

AS_JSON = click.option("--json", "as_json", is_flag=True, help="Print plain data for programs.")

LESSON = """\
cold-triage says which cold platform a proposed measurement should use, and why.

Try, in this order:
  cold-triage assess                      every proposal of the demonstration facility
  cold-triage assess electrometer         one proposal, with reasons
  cold-triage explain electrometer --platform helium-3-insert
                                          the numbers behind one platform
  cold-triage kinds                       what can be measured, and what each kind asks
  cold-triage learn bath-stick            what a device must be to teach something there
  cold-triage allocate --facility scenarios/quarter
                                          who runs where and when, with a proven bound
  cold-triage rules list                  the rules behind it; `rules try`, `rules impact` ...
  cold-triage ui                          the same in a browser
  cold-triage check                       find mistakes in a facility and its proposals
  cold-triage route electrometer          how to make the device, layer by layer
  cold-triage preview electrometer        what one would see on each platform
  cold-triage start coulomb-diamonds      a proposal to fill in
  cold-triage path many-islands           which platforms the devices should visit, in which order
  cold-triage record electrometer --out records
                                          the case in writing: a page that prints, Markdown, data
  cold-triage schema proposal             what goes into a proposal file

`cold-triage COMMAND --help` shows an example for each command.
"""


class Commands(click.Group):
    """A group that suggests the nearest command for an unknown word."""

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        """The command named, or a usage error with a suggestion."""
        from difflib import get_close_matches

        name = args[0] if args else ""
        if self.get_command(ctx, name) is None and not name.startswith("-"):
            near = get_close_matches(name, self.list_commands(ctx), n=1)
            hint = f" Did you mean '{near[0]}'?" if near else ""
            raise click.UsageError(f"There is no command '{name}'.{hint}")
        return super().resolve_command(ctx, args)


@click.group(cls=Commands, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="cold-triage")
@click.pass_context
def cli(context: click.Context) -> None:
    """Which cold platform and which route a measurement should use, and why."""
    if context.invoked_subcommand is None:
        click.echo(LESSON, nl=False)


@cli.command()
@click.argument("proposal", required=False)
@FACILITY
@AS_JSON
def assess(proposal: str | None, folder: Path | None, as_json: bool) -> int:
    """Recommend a platform for one proposal, or for all of a facility.

    PROPOSAL is a file, or the name of a proposal in the facility.

    Example: cold-triage assess electrometer
    """
    from triage.services import workspace
    from triage.services.assess import assess as run

    facility = workspace.open_facility(folder)
    if proposal is None:
        return _assess_all(facility, as_json)
    request = workspace.read_request(workspace.find_proposal(facility, proposal))
    answer = run(facility, request)
    if as_json:
        _print_json(_data(answer))
    else:
        from triage.text import recommendation_text

        click.echo(recommendation_text(answer, demonstration=facility.is_demonstration))
    return 0 if answer.recommended else 1


def _data(answer: Any) -> dict[str, Any]:
    from triage.services.plain_data import recommendation_data

    return recommendation_data(answer)


def _assess_all(facility: Any, as_json: bool) -> int:
    from triage.errors import BadInput
    from triage.services import workspace
    from triage.services.assess import assess as run
    from triage.text import problems_text, table

    rows, answers, problems = [], [], []
    for file in facility.proposals():
        try:
            answer = run(facility, workspace.read_request(file), thorough=as_json)
        except BadInput as error:
            problems += error.problems
            continue
        answers.append(answer)
        best, second = answer.platform(answer.recommended), answer.platform(answer.second)
        rows.append([
            file.stem, answer.wanted_tier, best.name if best else "none", answer.verdict or "-",
            answer.tier or "-", answer.confidence, second.name if second else "-",
        ])  # fmt: skip
    if as_json:
        _print_json([_data(answer) for answer in answers])
    else:
        note = " (demonstration facility, invented data)" if facility.is_demonstration else ""
        click.echo(f"{facility.lab.name}{note}\n")
        head = ["proposal", "wanted", "platform", "verdict", "reached", "confidence", "second"]
        click.echo(table(head, rows))
        click.echo("\n`cold-triage assess NAME` gives the reasons for one of them.")
    if problems:
        click.echo(problems_text(sorted(problems)), err=True)
        return 2
    return 0 if all(answer.recommended for answer in answers) else 1


@cli.command()
@click.argument("proposal")
@click.option("--platform", "identifier", metavar="ID", help="Platform to explain; the recommended one if left out.")
@FACILITY
@AS_JSON
def explain(proposal: str, identifier: str | None, folder: Path | None, as_json: bool) -> int:
    """Show the chain from inputs to verdict for one platform.

    Example: cold-triage explain electrometer --platform bath-stick
    """
    answer = _answer(proposal, folder)
    result = _platform(answer, identifier or answer.recommended or answer.order[0])
    if as_json:
        data = _data(answer)
        _print_json(next(each for each in data["platforms"] if each["platform"] == result.platform))
    else:
        from triage.text import explanation_text

        click.echo(explanation_text(answer, result))
    return 0


@cli.command()
@click.argument("proposal")
@click.option("--platform", "identifier", metavar="ID", help="One platform only.")
@FACILITY
@AS_JSON
def facts(proposal: str, identifier: str | None, folder: Path | None, as_json: bool) -> int:
    """List the facts that the rules see.

    Example: cold-triage facts electrometer --platform bath-stick
    """
    from triage.display import significant
    from triage.services.plain_data import number

    answer = _answer(proposal, folder)
    results = [_platform(answer, identifier)] if identifier else list(answer.platforms)
    if as_json:
        _print_json({
            each.platform: {name: number(value) for name, value in sorted(each.facts.items())} for each in results
        })  # fmt: skip
        return 0
    from triage.text import table

    names = sorted({name for each in results for name in each.facts})

    def cell(value: Any) -> str:
        return "-" if value is None else value if isinstance(value, str) else significant(float(value), 3)

    rows = [[name, *(cell(each.facts.get(name)) for each in results)] for name in names]
    click.echo(table(["fact", *(each.platform for each in results)], rows, right=range(1, len(results) + 1)))
    return 0


@cli.command()
@FACILITY
@click.argument("proposals", nargs=-1)
def check(folder: Path | None, proposals: tuple[str, ...]) -> int:
    """Find every problem in a facility, its proposals and the rules.

    Example: cold-triage check --facility my-facility
    """
    from triage.services.check import check as run
    from triage.text import problems_text

    problems, counted = run(folder, proposals)
    if problems:
        click.echo(problems_text(problems))
        return 2
    click.echo(f"No problem found in {counted}.")
    return 0


@cli.command()
@click.argument("platform")
@FACILITY
def learn(platform: str, folder: Path | None) -> int:
    """What a device must be to teach something on PLATFORM, for every kind of measurement.

    Example: cold-triage learn bath-stick
    """
    from triage.errors import BadInput, Problem
    from triage.services import workspace
    from triage.services.learn import lessons, rows
    from triage.text import table

    facility = workspace.open_facility(folder)
    found = facility.lab.platform(platform)
    if found is None:
        known = ", ".join(each.id for each in facility.lab.platforms)
        raise BadInput([Problem("PLATFORM", 0, "", f"there is no platform '{platform}'", f"use one of: {known}")])
    head, lines = rows(lessons(facility, found), "kind")
    click.echo(table(head, lines, right=(1,)))
    return 0


@cli.command()
@click.argument("proposal")
@FACILITY
def device(proposal: str, folder: Path | None) -> int:
    """What the device of PROPOSAL must be on each platform, for each tier.

    Example: cold-triage device electrometer
    """
    from triage.services import workspace
    from triage.services.learn import device_needed, rows
    from triage.text import table

    facility = workspace.open_facility(folder)
    request = workspace.read_request(workspace.find_proposal(facility, proposal))
    head, lines = rows(device_needed(facility, request), "platform")
    click.echo(table(head, lines, right=(1,)))
    return 0


@cli.command()
@click.argument("kind", required=False)
def kinds(kind: str | None) -> int:
    """List the kinds of measurement, or show what one asks.

    Example: cold-triage kinds coulomb-diamonds
    """
    from triage.measurements.catalogue import CATALOGUE, get
    from triage.text import kind_text, table

    if kind is None:
        rows = [[each.key, each.title] for each in CATALOGUE.values()]
        click.echo(table(["kind", "what is measured"], rows))
    else:
        click.echo(kind_text(get(kind)))
    return 0


@cli.command()
@click.argument("what", type=click.Choice(["lab", "proposal"]))
def schema(what: str) -> int:
    """Print the JSON Schema of a file, so that editors complete and check it.

    Example: cold-triage schema proposal > proposal.schema.json
    """
    from triage.services.schema import schema_of

    _print_json(schema_of(what))
    return 0


@cli.command()
@FACILITY
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port on this machine; a free one if left out.")
@click.option("--no-browser", is_flag=True, help="Print the address only.")
def ui(folder: Path | None, port: int, no_browser: bool) -> int:
    """Open the screens in a browser on this machine; nothing leaves it.

    Example: cold-triage ui --facility my-facility
    """
    from triage.errors import BadInput, Problem

    try:
        from triage_ui.main import serve
    except ImportError as error:
        hint = "install the project with its screens: pip install ."
        raise BadInput([Problem("ui", 0, "", f"the screens are not installed ({error.name})", hint)]) from None
    serve(folder, port, not no_browser)
    return 0


cli.add_command(route)
cli.add_command(preview)
cli.add_command(start)
cli.add_command(path)
cli.add_command(allocate)
cli.add_command(rules)
cli.add_command(record)
cli.add_command(recheck)


def _answer(proposal: str, folder: Path | None) -> Any:
    from triage.services import workspace
    from triage.services.assess import assess as run

    facility = workspace.open_facility(folder)
    return run(facility, workspace.read_request(workspace.find_proposal(facility, proposal)), thorough=False)


def _platform(answer: Any, identifier: str) -> Any:
    from triage.errors import BadInput, Problem

    result = answer.platform(identifier)
    if result is None:
        known = ", ".join(answer.order)
        raise BadInput([Problem("--platform", 0, "", f"there is no platform '{identifier}'", f"use one of: {known}")])
    return result


def _print_json(data: Any) -> None:
    click.echo(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))


def main(arguments: list[str] | None = None) -> None:
    """Run a command and leave with its exit status."""
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)  # a cold start makes many objects and drops few
    sys.exit(_guarded(lambda: cli.main(args=arguments, standalone_mode=False)))


def _guarded(run: Callable[[], Any]) -> int:
    from triage.errors import BadInput, TriageError

    try:
        status = run()
        return status if isinstance(status, int) else 0
    except BadInput as error:
        from triage.text import problems_text

        click.echo(problems_text(error.problems), err=True)
        return 2
    except click.ClickException as error:
        error.show()
        return 2
    except (click.Abort, KeyboardInterrupt):
        click.echo("Interrupted.", err=True)
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except TriageError as error:
        click.echo(str(error), err=True)
        return 2
    except Exception as error:
        click.echo(f"Internal error: {type(error).__name__}: {error}. Please report it with the command.", err=True)
        return 3
