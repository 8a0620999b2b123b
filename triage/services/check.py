"""Find every problem in a facility, its proposals and the rules."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from triage.errors import BadInput, Problem
from triage.models.reading import read_lab
from triage.reasoning.lint import lint
from triage.services import workspace


def check(folder: Path | None = None, proposals: Sequence[str] = ()) -> tuple[list[Problem], str]:
    """The problems found, and a few words on what was looked at."""
    folder = workspace.demonstration() if folder is None else folder
    if not folder.is_dir():
        return [Problem(str(folder), 0, "", "is no folder", "give a folder that holds a lab.yaml")], ""
    lab, _, problems = read_lab(folder / "lab.yaml", "lab.yaml")
    rulebase, rule_problems = workspace.load_rules(folder if (folder / "rules").is_dir() else None)
    problems = [*problems, *rule_problems, *lint(rulebase)]
    paths = [Path(each) for each in proposals] or sorted((folder / "proposals").glob("*.yaml"))
    for path in paths:
        try:
            request = workspace.read_request(path)
        except BadInput as error:
            problems += error.problems
            continue
        asked = request.proposal.asked.platform
        if lab is not None and asked is not None and lab.platform(asked) is None:
            known = ", ".join(each.id for each in lab.platforms)
            problems.append(
                request.source.problem(("asked", "platform"), f"there is no platform '{asked}'", f"use one of: {known}")
            )
    platforms = 0 if lab is None else len(lab.platforms)
    counted = f"{platforms} platforms, {len(paths)} proposals and {len(rulebase.rules)} rules"
    return sorted(problems), counted
