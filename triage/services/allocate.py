"""Allocate: a facility's proposals on its calendar; again from an accepted plan; and what would change it."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from triage.errors import BadInput, Problem
from triage.models.calendar import Calendar
from triage.models.calendar_reading import MOST_PROPOSALS, read_calendar
from triage.planning.allocation import explain, repair
from triage.planning.allocation.bound import relaxation
from triage.planning.allocation.build import DAY, Assessed, Errand, build, date_of
from triage.planning.allocation.problem import Allocation, Inconsistent, Mode, Plan, Platform, Visit, in_order
from triage.planning.allocation.result import EFFORTS, Effort, Result
from triage.planning.allocation.search import Control, seeds
from triage.planning.allocation.search import allocate as search
from triage.planning.allocation.simulate import Robustness, robustness
from triage.services.assess import assess, cases_of, path_of
from triage.services.workspace import Facility, Request, read_request

WHAT_IF = ("week", "insert", "no-maintenance", "helium-cut")
_FORCED = 12  # projects whose cost of forcing in is worked out, the most valued first


@dataclass(frozen=True)
class Question:
    """Everything that an allocation is asked about: the calendar, the proposals as assessed, and the model."""

    facility: str
    calendar: Calendar
    assessed: tuple[Assessed, ...]
    names: Mapping[str, str]
    problem: Allocation
    demonstration: bool = False

    def date(self, slot: int) -> datetime.date:
        """The first day of a slot."""
        return date_of(self.calendar, slot)

    def title(self, project: str) -> str:
        """The title of a project; a stage before the last carries its number."""
        name, _, stage = project.partition("/")
        title = next((each.title for each in self.assessed if each.name == name), name)
        return f"{title}, screen {stage}" if stage else title


@dataclass(frozen=True)
class Granted:
    """What one proposal asked for and what it is given, in days on a platform."""

    project: str
    asked_platform: str | None
    asked_days: int
    given_platform: str | None
    given_days: int
    quality: int
    why: str


@dataclass(frozen=True)
class Answer:
    """A plan and its reasons."""

    question: Question
    result: Result
    unserved: tuple[explain.Unserved, ...]
    granted: tuple[Granted, ...]
    use: Mapping[str, tuple[int, int]]
    bottleneck: explain.Bottleneck | None = None
    robustness: Robustness | None = None


@dataclass(frozen=True)
class WhatIf:
    """One change of the facility, and the interval in which the value it adds lies."""

    words: str
    base: Result
    changed: Result
    question: Question

    @property
    def interval(self) -> tuple[int, int]:
        """The least and the most that the change can add to the best value."""
        return self.changed.value - self.base.bound, self.changed.bound - self.base.value


Said = Callable[[str, float], None]


def question_of(facility: Facility, said: Said = lambda *_: None, buffer: float | None = None) -> Question:
    """Read and assess everything that an allocation is asked about.

    Raises `BadInput` with every problem of calendar, wishes and proposals.
    """
    files = facility.proposals()
    if len(files) > MOST_PROPOSALS:
        remedy = "plan a part of them at a time, each in a folder of its own"
        message = f"holds {len(files)} proposals, more than {MOST_PROPOSALS}"
        raise BadInput([Problem(str(facility.folder / "proposals"), 0, "", message, remedy)])
    platforms = [each.id for each in facility.lab.platforms]
    calendar, wishes, problems = read_calendar(facility.folder, platforms, [each.stem for each in files])
    requests = []
    for file in files:
        try:
            requests.append(read_request(file))
        except BadInput as error:
            problems += error.problems
    if problems or calendar is None:
        raise BadInput(problems)
    if buffer is not None:
        calendar = calendar.model_copy(update={"buffer": _fraction(buffer)})
    found = []
    for number, request in enumerate(requests):
        said("assessing", number / len(requests))
        found.append(assessed_of(facility, request))
    names = {each.id: each.name for each in facility.lab.platforms}
    problem = build(facility.lab, calendar, wishes, found)
    return Question(facility.lab.name, calendar, tuple(found), names, problem, facility.is_demonstration)


def _fraction(value: float) -> Any:
    from triage.models.quantity import Value

    return Value(value, value, value, f"{value:g}")


def assessed_of(facility: Facility, request: Request) -> Assessed:
    """One proposal as the allocation sees it."""
    answer = assess(facility, request, thorough=False)
    proposal = request.proposal
    field = "no field" if proposal.field is None else proposal.field.magnitude.text
    wiring = proposal.signal.read_as or "plain lines"
    return Assessed(
        request.name, proposal.title, proposal.group or "", proposal.tier, answer.recommended, answer.platforms,
        f"{field}, {wiring}", _errands(facility, request) if answer.recommended else (),
    )  # fmt: skip


def _errands(facility: Facility, request: Request) -> tuple[Errand, ...]:
    """The stages that devices visit before the last, each with the devices that are expected to reach it."""
    proposal = request.proposal
    if proposal.campaign is None or proposal.devices.working is None:
        return ()
    best = path_of(facility, request).best
    if best is None:
        return ()
    cases = {case.platform.id: case for case in cases_of(facility, request)}
    screens = {each.platform: each for each in proposal.campaign.screens}
    good = best.devices * proposal.devices.working.nominal
    bad = best.devices - good
    errands = []
    for stage in best.stages[:-1]:
        case, screen = cases[stage], screens[stage]
        each = float(case.got("per_device")) if screen.per_device is None else screen.per_device.nominal
        handling = float(case.got("run")) - float(case.got("data_time")) - float(case.got("interruption_time"))
        loads = -(-(good + bad) // max(1.0, float(case.got("devices_per_load"))))
        day = case.platform.clock.working_day.nominal
        errands.append(Errand(stage, (loads * max(0.0, handling) + (good + bad) * each) * DAY / day))
        good, bad = good * screen.keeps_good.nominal, bad * (1 - screen.stops_bad.nominal)
    return tuple(errands)


def allocate(
    facility: Facility, effort: Effort = EFFORTS["normal"], seed: int = 1, control: Control | None = None,
    accepted: Path | None = None, *, buffer: float | None = None, explained: bool = True,
) -> Answer:  # fmt: skip
    """Plan a facility's calendar, from an accepted plan where one is given.

    Raises `BadInput` with every problem.
    """
    control = control or Control()
    question = question_of(facility, lambda words, part: control.told_of(words, part, 0), buffer)
    if accepted is None and question.calendar.accepted is not None:
        accepted = facility.folder / question.calendar.accepted
    try:
        if accepted is None:
            result = search(question.problem, effort, seed, control)
        else:
            plan, known = read_plan(accepted, question)
            result = repair.again(question.problem, plan, known, effort, seed, control)
    except Inconsistent as error:
        raise BadInput([Problem(str(facility.folder), 0, "", fault) for fault in error.faults]) from None
    return answer_of(question, result, control, explained=explained)


def answer_of(question: Question, result: Result, control: Control, *, explained: bool = True) -> Answer:
    """A result with its reasons."""
    problem, plan = question.problem, result.plan
    missing = explain.unserved(problem, plan)
    if explained:
        missing = _with_costs(problem, plan, missing, control)
    helps = None
    if explained and not control.over():
        control.told_of("what would help", 0.5, result.value)
        helps = explain.bottleneck(problem, result.value, result.bound, _quick(plan, control))
    return Answer(
        question, result, missing, granted(question, plan, missing), explain.occupied(problem, plan), helps,
        robustness(problem, plan) if explained else None,
    )  # fmt: skip


def _with_costs(
    problem: Allocation, plan: Plan, missing: tuple[explain.Unserved, ...], control: Control
) -> tuple[explain.Unserved, ...]:
    """The most valued projects without a place, each with the cost of forcing it in."""
    movable = sorted((each for each in missing if not each.reason), key=lambda e: -problem.by_id[e.project].value)
    costs = {}
    for each in movable[:_FORCED]:
        if control.over():
            break
        control.told_of("the cost of those without a place", 0.9, 0)
        costs[each.project] = explain.cost_of_forcing(problem, plan, each.project)
    found = []
    for each in missing:
        cost = costs.get(each.project)
        found.append(each if cost is None else replace(each, cost_at_most=cost[0], displaces=cost[1]))
    return tuple(found)


def _quick(plan: Plan, control: Control) -> Callable[[Allocation], tuple[int, int]]:
    """Value and bound of a variant, by a short search from a plan that still holds in it."""
    from triage.planning.allocation.iterated import improve

    def one(variant: Allocation) -> tuple[int, int]:
        bound = relaxation(variant, nodes=50, seconds=3.0).value
        table, _ = seeds(variant, plan)
        improve(table, 300, 1, lambda _, value: control.over() or value >= bound)
        return table.score(), max(bound, table.score())

    return one


def granted(question: Question, plan: Plan, missing: tuple[explain.Unserved, ...]) -> tuple[Granted, ...]:
    """What every proposal asked for against what it is given."""
    problem, found = question.problem, []
    given: dict[str, list[Visit]] = {}
    for visit in plan:
        given.setdefault(visit.project, []).append(visit)
    table = explain.table_of(problem, plan)
    reasons = {each.project: each for each in missing}
    step = question.calendar.days_in_slot
    for each in question.assessed:
        wanted = _wanted(problem, each)
        visits = given.get(each.name, [])
        days = sum(visit.end - visit.start for visit in visits) * step
        asked = 0 if wanted is None else explain.cold_slots(wanted) * step
        platform = visits[0].platform if visits else None
        mode = None if platform is None else problem.mode(each.name, platform)
        if platform is None:
            why = reasons[each.name].reason or "no room; see the blockers"
        elif wanted is not None and platform != wanted.platform:
            why = _why_moved(question, table, each, wanted, platform)
        else:
            why = ""
        found.append(Granted(each.name, wanted.platform if wanted else each.recommended, asked, platform, days,
                             mode.quality if mode else 0, why))  # fmt: skip
    return tuple(found)


def _wanted(problem: Allocation, asked: Assessed) -> Mode | None:
    """The recommended mode; the best there is where the recommended platform may not be used."""
    modes = problem.by_id[asked.name].modes
    first = next((mode for mode in modes if mode.platform == asked.recommended), None)
    return first or max(modes, key=lambda mode: (mode.quality, -mode.duration), default=None)


def _why_moved(question: Question, table: Any, asked: Assessed, wanted: Mode, platform: str) -> str:
    """Why a proposal is not where it was recommended: warmer or colder, and what stood in the way."""
    problem = question.problem
    number = table.index[asked.name]
    modes = problem.projects[number].modes
    index = modes.index(wanted)
    temperature = {
        each.platform: float(each.estimates["given_temperature"].value) for each in asked.platforms
        if each.platform in (wanted.platform, platform)
    }  # fmt: skip
    way = "warmer" if temperature[platform] > temperature[wanted.platform] else "colder"
    kept = table.snapshot()
    table.remove(number)
    blocked = explain.blockers(table, number, index)
    table.restore(kept)
    mode = problem.mode(asked.name, platform)
    share = (
        "" if mode is None or mode.quality == wanted.quality else f", {mode.quality} % instead of {wanted.quality} %"
    )
    by = ", ".join(f"{name} {count}" for name, count in sorted(blocked.by.items(), key=lambda each: -each[1]))
    where = question.names[wanted.platform]
    return f"{way}{share}: of {blocked.starts} starts on {where}, {blocked.free} are free ({by or 'nothing blocks'})"


def what_if(
    facility: Facility, word: str, effort: Effort = EFFORTS["normal"], seed: int = 1, control: Control | None = None
) -> WhatIf:  # fmt: skip
    """The plan as things are and the plan after one change; `word` is one of `WHAT_IF`."""
    control = control or Control()
    question = question_of(facility, lambda words, part: control.told_of(words, part, 0))
    variants: dict[str, tuple[str, Callable[[Allocation, Plan], Allocation]]] = {
        "week": ("one more week", partial(one_more_week, 7 // question.calendar.days_in_slot)),
        "insert": ("one more of the platform that is used most", one_more_insert),
        "no-maintenance": ("no maintenance", no_maintenance),
        "helium-cut": ("helium cut by a third", helium_cut),
    }
    if word not in variants:
        raise BadInput([Problem("--what-if", 0, "", f"'{word}' is not known", f"use one of: {', '.join(WHAT_IF)}")])
    words, change = variants[word]
    try:
        base = search(question.problem, effort, seed, control)
        changed_problem = change(question.problem, base.plan)
        changed = search(changed_problem, effort, seed, control, base.plan)
        if word != "helium-cut" and base.value < changed.value:
            base = search(question.problem, effort, seed, control, changed.plan)
    except Inconsistent as error:
        raise BadInput([Problem(str(facility.folder), 0, "", fault) for fault in error.faults]) from None
    return WhatIf(words, base, changed, replace(question, problem=changed_problem))


def one_more_week(more: int, problem: Allocation, _: Plan = ()) -> Allocation:
    """The same question with a week's slots more at the end, for those whose window ends there."""
    budgets = tuple(
        replace(each, capacity=(*each.capacity, *[each.capacity[-1]] * more),
                held=None if each.held is None else each.held + more if each.held >= problem.horizon else each.held)
        for each in problem.budgets
    )  # fmt: skip
    projects = tuple(
        replace(each, due=None if each.due is None or each.due >= problem.horizon else each.due)
        for each in problem.projects
    )
    return replace(problem, horizon=problem.horizon + more, budgets=budgets, projects=projects)


def one_more_insert(problem: Allocation, plan: Plan) -> Allocation:
    """The same question with a second platform like the one of which the plan uses the largest part."""
    use = explain.occupied(problem, plan)
    fullest = max(sorted(use), key=lambda name: use[name][0] / max(1, use[name][1]))
    twin = f"{fullest}-2"
    projects = tuple(
        replace(each, modes=(*each.modes, *(replace(mode, platform=twin) for mode in each.modes
                                            if mode.platform == fullest)))
        for each in problem.projects
    )  # fmt: skip
    places = problem.platform_by_id[fullest].places
    return replace(problem, platforms=(*problem.platforms, Platform(twin, places)), projects=projects)


def no_maintenance(problem: Allocation, _: Plan = ()) -> Allocation:
    """The same question with every platform open all the time."""
    return replace(problem, platforms=tuple(replace(each, closed=()) for each in problem.platforms))


def helium_cut(problem: Allocation, _: Plan = ()) -> Allocation:
    """The same question with two thirds of the helium."""
    budgets = tuple(
        replace(each, capacity=tuple(2 * level // 3 for level in each.capacity)) if each.unit == "L" else each
        for each in problem.budgets
    )
    return replace(problem, budgets=budgets)


def read_plan(path: Path, question: Question) -> tuple[Plan, frozenset[str]]:
    """An accepted plan, as `allocate --json` wrote it, on the question's calendar; and who had asked then.

    Raises `BadInput` where it is no such plan.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        visits = [
            Visit(str(each["proposal"]), int(each["cooldown"]) - 1, str(each["platform"]),
                  _slot(each["first"], question), _slot(each["last"], question, end=True), bool(each["leads"]))
            for each in data["plan"]
        ]  # fmt: skip
        known = frozenset(str(each["proposal"]) for each in data["granted"])
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise BadInput([Problem(str(path), 0, "", reason, "check the path")]) from None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        remedy = "give what `cold-triage allocate --json` wrote"
        raise BadInput([Problem(str(path), 0, "", "is no plan that this program wrote", remedy)]) from None
    return in_order(visits), known | {visit.project for visit in visits}


def _slot(text: str, question: Question, *, end: bool = False) -> int:
    days = (datetime.date.fromisoformat(text) - question.calendar.start).days + (1 if end else 0)
    return days // question.calendar.days_in_slot
