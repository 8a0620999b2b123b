"""The scenario library of a facility: every proposal of it, assessed under one rule base."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from triage.errors import BadInput, Problem
from triage.models.recommendation import Finding, Recommendation
from triage.models.route import Route
from triage.reasoning.vocabulary import Value
from triage.services import workspace
from triage.services.assess import assess
from triage.services.route import route
from triage.services.workspace import Facility


@dataclass(frozen=True)
class Heard:
    """What the rules were told about one subject, and what they said."""

    proposal: str
    subject: str  # a platform, a layer and how it is made, or "proposal"
    about: str
    facts: Mapping[str, Value]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Assessed:
    """One proposal of the library with its answer and, where it names layers, its route."""

    name: str
    answer: Recommendation
    route: Route | None

    @property
    def heard(self) -> list[Heard]:
        """Every platform, every layer of every way of making, and the proposal itself."""
        found = [Heard(self.name, each.platform, "platform", each.facts, each.findings)
                 for each in self.answer.platforms]  # fmt: skip
        for plan in self.route.plans if self.route else ():
            found += [Heard(self.name, f"{each.layer} by {plan.name}", "layer", each.facts, each.findings)
                      for each in plan.layers]  # fmt: skip
        facts: dict[str, Value] = {}
        for remark in self.answer.remarks:
            facts |= remark.facts
        return [*found, Heard(self.name, "proposal", "proposal", facts, self.answer.remarks)]


def assess_all(facility: Facility, *, making: bool = True) -> tuple[list[Assessed], list[Problem]]:
    """Every proposal of the facility that can be read, assessed, and the problems of the others.

    Without `making` the fabrication routes, which take most of the time, are left out.
    """
    found: list[Assessed] = []
    problems: list[Problem] = []
    for path in facility.proposals():
        try:
            request = workspace.read_request(path)
            answer = assess(facility, request, thorough=False)
            makes = making and request.proposal.fabrication is not None
            found.append(Assessed(path.stem, answer, route(facility, request, answer) if makes else None))
        except BadInput as error:
            problems += error.problems
    return found, problems
