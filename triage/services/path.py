"""The path of a proposal over the platforms of a facility: screens, order, odds, time and price."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from triage.errors import BadInput
from triage.estimates.case import Case
from triage.models.proposal import Campaign as Written
from triage.models.proposal import Screen
from triage.planning.path import Campaign, Ladder, Stage, ladders, quantile, time_law
from triage.services.workspace import Facility, Request

CONFIDENCE = 0.9  # of having the wanted number of good devices, where the proposal states none


@dataclass(frozen=True)
class Path:
    """The ranked ladders of a proposal, and the law of the best one's time."""

    proposal: str
    final: str
    wanted: int
    device_yield: float
    confidence: float
    ladders: tuple[Ladder, ...]
    names: dict[str, str]
    quantiles: dict[str, float | None]

    @property
    def best(self) -> Ladder | None:
        """The leading ladder, where any is feasible."""
        return self.ladders[0] if self.ladders and self.ladders[0].feasible else None


def path(facility: Facility, request: Request, cases: Mapping[str, Case], recommended: str) -> Path:
    """Work out every ladder of the screens that the proposal names before the recommended platform.

    Raises `BadInput` where the proposal describes no campaign, no yield, or screens that are not there.
    """
    written = _campaign_of(facility, request)
    final = _stage(cases[recommended], 1.0, 1.0, written, float(cases[recommended].got("per_device")))
    screens = [_screen(cases[each.platform], each, written) for each in written.screens if each.platform != recommended]
    confidence = CONFIDENCE if written.confidence is None else written.confidence.nominal
    campaign = Campaign(
        device_yield=_yield(request),
        wanted=written.good,
        confidence=confidence,
        candidates=written.candidates,
        cost_per_device=0.0 if written.cost_per_device is None else written.cost_per_device.nominal,
    )
    found = ladders(screens, final, campaign, cheapest=written.cheapest)
    return Path(
        proposal=request.name,
        final=recommended,
        wanted=written.good,
        device_yield=campaign.device_yield,
        confidence=confidence,
        ladders=tuple(found),
        names={identifier: case.platform.name for identifier, case in cases.items()},
        quantiles=_quantiles(found[0], screens, final, campaign),
    )


def _campaign_of(facility: Facility, request: Request) -> Written:
    written = request.proposal.campaign
    problems = []
    if written is None:
        remedy = "add `campaign:` with good and screens; see `cold-triage schema proposal`"
        raise BadInput([request.source.problem(("campaign",), "is missing", remedy)])
    if request.proposal.devices.working is None:
        remedy = "add `working:` under devices, the part of the devices expected to work"
        problems.append(request.source.problem(("devices", "working"), "is missing", remedy))
    for index, screen in enumerate(written.screens):
        if facility.lab.platform(screen.platform) is None:
            known = ", ".join(each.id for each in facility.lab.platforms)
            where = ("campaign", "screens", index, "platform")
            problems.append(
                request.source.problem(where, f"there is no platform '{screen.platform}'", f"use one of: {known}")
            )
    if problems:
        raise BadInput(problems)
    return written


def _yield(request: Request) -> float:
    working = request.proposal.devices.working
    return working.nominal if working is not None else 1.0


def _screen(case: Case, screen: Screen, written: Written) -> Stage:
    seconds = float(case.got("per_device")) if screen.per_device is None else screen.per_device.nominal
    return _stage(case, screen.keeps_good.nominal, screen.stops_bad.nominal, written, seconds)


def _stage(case: Case, keeps: float, stops: float, written: Written, seconds: float) -> Stage:
    """A platform's own clock and price as a stage."""
    clock = case.platform.clock
    handling = sum(each.nominal for each in (clock.mount, clock.cooldown, clock.thermalise, clock.warm_up))
    tuning = float(case.got("tuning") or 0.0)
    hold, day = case.got("usable_hold"), case.platform.clock.working_day.nominal
    run = max(handling + tuning, clock.slot.nominal)
    place = float(case.got("price")) / max(float(case.got("cooldowns")) * float(case.got("run")), 60.0)
    return Stage(
        platform=case.platform.id,
        keeps_good=keeps,
        stops_bad=stops,
        batch=max(1, int(case.got("devices_per_load"))),
        minutes_per_run=round(run * 86400.0 / day / 60),
        minutes_per_device=max(1, round(seconds * 86400.0 / day / 60)),
        cost_per_minute=place * 60 * day / 86400.0,
        hold_minutes=None if hold is None else max(1, int(float(hold) / 60)),
        recycle_minutes=round((clock.recycle.nominal if clock.recycle else 0.0) / 60),
        lost_per_cycle=0.0 if written.lost_per_cycle is None else written.lost_per_cycle.nominal,
    )


def _quantiles(best: Ladder, screens: list[Stage], final: Stage, campaign: Campaign) -> dict[str, float | None]:
    if not best.feasible:
        return {}
    by_name = {each.platform: each for each in screens}
    chosen = [by_name[name] for name in best.stages[:-1]]
    law = time_law(chosen, final, campaign, best.devices, best.load)
    return {f"{chance:.0%}": quantile(law, chance) for chance in (0.5, 0.9)}
