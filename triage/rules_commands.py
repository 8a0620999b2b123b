"""The commands of the rule workshop: list, show, try, lint, coverage, impact, departures, new."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

FACILITY = click.option(
    "--facility", "folder", metavar="FOLDER", type=click.Path(path_type=Path, file_okay=False),
    help="Folder of a facility with rules of its own; the shipped rules and facility if left out.",
)  # fmt: skip
AS_JSON = click.option("--json", "as_json", is_flag=True, help="Print plain data for programs.")


@click.group()
def rules() -> None:
    """See, try and change the rules behind the answers.

    \b
    Examples:
      cold-triage rules list --gate temperature
      cold-triage rules try thermal_margin=0.9 follows=electrons
      cold-triage rules new lines.no-triax --facility my-facility
      cold-triage rules impact lines.no-triax --facility my-facility
    """


@rules.command("list")
@click.option("--gate", default="", help="Only rules of this gate, such as temperature or risk_cost.")
@click.option("--effect", type=click.Choice(["veto", "caution", "credit", "note"]), help="Only rules of this effect.")
@click.option("--status", type=click.Choice(["draft", "trial", "stable", "retired"]), help="Only this status.")
@click.option("--origin", type=click.Choice(["shipped", "facility"]), help="Only shipped rules, or the facility's own.")
@click.option("--text", default="", metavar="WORDS", help="Only rules in which all these words occur.")
@FACILITY
@AS_JSON
def list_rules(gate: str, effect: str | None, status: str | None, origin: str | None, text: str,
               folder: Path | None, as_json: bool) -> int:  # fmt: skip
    """List the rules, or those that fit.

    Example: cold-triage rules list --effect veto --text helium
    """
    from triage.services import workshop

    rulebase = workshop.open_rules(folder)
    found = workshop.find_rules(rulebase, gate=gate, effect=effect or "", status=status or "", origin=origin or "",
                                text=text)  # fmt: skip
    if as_json:
        from triage.services.rules_data import rule_data

        return _json([rule_data(rule, rulebase) for rule in found])
    from triage.rules_text import list_text

    click.echo(list_text(found, rulebase))
    return 0


@rules.command()
@click.argument("rule")
@FACILITY
@AS_JSON
def show(rule: str, folder: Path | None, as_json: bool) -> int:
    """Show one rule: conditions, reason, grounds, examples, and how the facility departs from it.

    Example: cold-triage rules show temperature.electrons-too-warm
    """
    from triage.services import workshop

    rulebase = workshop.open_rules(folder)
    found = workshop.get_rule(rulebase, rule)
    if as_json:
        from triage.services.rules_data import rule_data

        return _json(rule_data(found, rulebase))
    from triage.rules_text import rule_text

    click.echo(rule_text(found, rulebase))
    return 0


@rules.command("try")
@click.argument("facts", nargs=-1, metavar="FACT=VALUE...")
@click.option("--from", "proposal", metavar="PROPOSAL", help="Start from the facts of a proposal; those given go over.")
@click.option("--platform", metavar="ID", help="Platform whose facts to start from; the recommended one if left out.")
@click.option("--rule", metavar="ID", help="Say only what this rule does; a draft is tried as if it were in force.")
@click.option("--all", "everything", is_flag=True, help="List every silent rule.")
@FACILITY
@AS_JSON
def try_facts(facts: tuple[str, ...], proposal: str | None, platform: str | None, rule: str | None, everything: bool,
              folder: Path | None, as_json: bool) -> int:  # fmt: skip
    """Say which rules fire on some facts, and why each other rule stays silent.

    \b
    Examples:
      cold-triage rules try thermal_margin=0.9 "oxygen_after_release=18 %"
      cold-triage rules try --from electrometer --platform bath-stick thermal_margin=1.2
    """
    from triage.services import workshop

    rulebase = workshop.open_rules(folder)
    if rule:
        rulebase = workshop.on_trial(rulebase, [workshop.get_rule(rulebase, rule).id])
    start = _facts_of(proposal, platform, folder) if proposal else None
    about = "platform" if proposal else workshop.get_rule(rulebase, rule).about if rule else ""
    trial = workshop.try_facts(rulebase, workshop.read_facts(rulebase, facts, start, about))
    if rule:
        trial = workshop.only(trial, workshop.get_rule(rulebase, rule).id)
    if as_json:
        from triage.services.rules_data import trial_data

        return _json(trial_data(trial))
    from triage.rules_text import trial_text

    click.echo(trial_text(trial, everything=everything or bool(rule)))
    return 0


def _facts_of(proposal: str, platform: str | None, folder: Path | None) -> Any:
    from triage.errors import BadInput, Problem
    from triage.services import workspace
    from triage.services.assess import assess

    facility = workspace.open_facility(folder)
    answer = assess(facility, workspace.read_request(workspace.find_proposal(facility, proposal)), thorough=False)
    result = answer.platform(platform or answer.order[0])
    if result is None:
        known = ", ".join(answer.order)
        raise BadInput([Problem("--platform", 0, "", f"there is no platform '{platform}'", f"use one of: {known}")])
    return result.facts


@rules.command()
@click.argument("names", nargs=-1, metavar="[RULE]...")
@FACILITY
@AS_JSON
def lint(names: tuple[str, ...], folder: Path | None, as_json: bool) -> int:
    """Find mistakes in the rules: of form, of sense, and rules that quarrel or repeat each other.

    Example: cold-triage rules lint --facility my-facility
    """
    from triage.services.workshop import problems_of
    from triage.text import problems_text

    found, count = problems_of(folder, names)
    if as_json:
        _json([problem.as_dict() for problem in found])
    else:
        click.echo(problems_text(found) if found else f"No problem found in {count} rules.")
    return 2 if found else 0


@rules.command()
@FACILITY
@AS_JSON
def coverage(folder: Path | None, as_json: bool) -> int:
    """Say which rules no proposal of a facility exercises, and which thresholds none comes near.

    Example: cold-triage rules coverage
    """
    from triage.services.coverage import coverage as run
    from triage.services.workspace import open_facility
    from triage.text import problems_text

    found = run(open_facility(folder))
    if as_json:
        from triage.services.rules_data import coverage_data

        _json(coverage_data(found))
    else:
        from triage.rules_text import coverage_text

        click.echo(coverage_text(found))
        if found.problems:
            click.echo(problems_text(found.problems), err=True)
    return 2 if found.problems else 0


@rules.command()
@click.argument("edit", type=click.Path(path_type=Path))
@click.option("--on", "library", metavar="FOLDER", type=click.Path(path_type=Path, file_okay=False),
              help="Facility whose proposals are assessed; that of --facility, or the demonstration.")  # fmt: skip
@click.option("--all", "everything", is_flag=True, help="List every finding that came or went.")
@FACILITY
@AS_JSON
def impact(edit: Path, library: Path | None, everything: bool, folder: Path | None, as_json: bool) -> int:
    """Say which decisions of a facility's proposals an edit of the rules flips.

    EDIT is a rule file, a folder of them, or the id of a rule in the facility's own folder.

    \b
    Examples:
      cold-triage rules impact my-facility/rules/temperature.electrons-too-warm.yaml
      cold-triage rules impact lines.no-triax --facility my-facility
    """
    from triage.services.impact import impact as run
    from triage.text import problems_text

    found = run(_library(library, folder), edit, folder)
    if as_json:
        from triage.services.rules_data import impact_data

        _json(impact_data(found))
    else:
        from triage.rules_text import impact_text

        click.echo(impact_text(found, everything=everything))
        if found.problems:
            click.echo(problems_text(found.problems), err=True)
    return 2 if found.problems else 0


def _library(library: Path | None, folder: Path | None) -> Any:
    """The facility whose proposals tell what an edit does."""
    from triage.services.workspace import open_facility

    if library is None and folder is not None and any((folder / "proposals").glob("*.yaml")):
        library = folder
    return open_facility(library)


@rules.command()
@FACILITY
@AS_JSON
def departures(folder: Path | None, as_json: bool) -> int:
    """Say where a facility departs from the shipped rules, who did it and why.

    Example: cold-triage rules departures --facility my-facility
    """
    from triage.services.workshop import open_rules

    rulebase = open_rules(folder)
    if as_json:
        from triage.services.rules_data import departure_data

        return _json([departure_data(each, rulebase) for each in rulebase.departures])
    from triage.rules_text import departures_text

    click.echo(departures_text(rulebase))
    return 0


@rules.command()
@click.argument("rule")
@click.option("--gate", default="", help="Gate of the rule, where its id does not begin with one.")
@click.option("--effect", type=click.Choice(["veto", "caution", "credit", "note"]), default="caution",
              show_default=True, help="What the rule does.")  # fmt: skip
@click.option("--retire", is_flag=True, help="Take a shipped rule out instead.")
@FACILITY
def new(rule: str, gate: str, effect: str, retire: bool, folder: Path | None) -> int:
    """Write a new rule file into FACILITY/rules, to be filled in.

    A new id gives a commented draft; the id of a shipped rule gives a copy of it that overrides it here.
    A file that is there is never overwritten.

    \b
    Examples:
      cold-triage rules new lines.no-triax --facility my-facility
      cold-triage rules new temperature.electrons-too-warm --facility my-facility
    """
    from triage.errors import BadInput, Problem
    from triage.services import workshop
    from triage.services.rule_files import write_new

    if folder is None:
        raise BadInput([Problem("--facility", 0, "", "is missing", "give the folder of your facility")])
    path = write_new(workshop.open_rules(folder), folder, rule, gate, effect, retire)
    click.echo(f"Written: {path}\nFill it in, then: cold-triage rules lint --facility {folder}")
    return 0


def _json(data: Any) -> int:
    click.echo(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))
    return 0
