"""Chips, time and money of a whole route, trials included."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from triage.fabrication.counts import chance, chip_yield, chips_to_start
from triage.fabrication.figures import Source, figure
from triage.fabrication.layer import Way
from triage.fabrication.work import Work, total_price, total_time, usual_work
from triage.models.cleanroom import Cleanroom
from triage.models.estimate import Estimate
from triage.models.fabrication import Fabrication
from triage.models.quantity import Value

_DAY, _WEEK = 86400.0, 7.0


@dataclass(frozen=True)
class Totals:
    """The sums of a route, as numbers for going on and as figures for showing."""

    chips: float
    trials: float
    figures: dict[str, Estimate]
    sources: dict[str, Source]


def totals(made: Sequence[Way], room: Cleanroom, wanted: Fabrication, good: Value) -> Totals:
    """The sums of a route: chips to start, yield, time at tools, time until done, price."""
    parts = [way.layer_yield for way in made]
    part_good = chip_yield([part.nominal for part in parts], room.handling_loss.nominal, room.bonding_loss.nominal)
    chips = chips_to_start(good.nominal, part_good, wanted.confidence.nominal)
    trials = max((way.layer.revisions or wanted.revisions).nominal for way in made)
    per_piece = wanted.substrate.chips_per_piece.nominal
    bonding = usual_work("dice and bond", "bonder", room)
    sources = _sources(made, room, wanted, good)
    price = sum(
        total_price(way.works, chips, per_piece, trials, (way.layer.revisions or wanted.revisions).nominal)
        for way in made
    ) + total_price([bonding], chips, per_piece, trials, 0.0)  # fmt: skip
    works = [*(work for way in made for work in way.works), bonding]
    final = total_time(works, chips, per_piece)
    elapsed = _elapsed(works, room, final, total_time(works, per_piece, per_piece), trials)
    yields: dict[str, Source] = {f"{way.layer.name}.yield": part for way, part in zip(made, parts, strict=True)}
    yields |= {"handling_loss": room.handling_loss, "bonding_loss": room.bonding_loss}
    wish: dict[str, Source] = {"good_chips": good, "confidence": wanted.confidence}
    figures = {
        "good_chips": figure("good_chips", good.nominal, "count", "stated, or devices over devices per chip", wish),
        "part_good": figure("part_good", part_good, "%", "product of layer yields, handling and bonding", yields),
        "chips_started": figure("chips_started", chips, "count", "min N: P(Bin(N, y) >= k) >= c", yields | wish),
        "chance": figure("chance", chance(chips, good.nominal, part_good), "%", "P(Bin(N, y) >= k)", yields | wish),
        "trials": figure("trials", trials, "count", "revisions expected", {"revisions": wanted.revisions}),
        "tool_time": figure("tool_time", final, "s", "sum over tools, final run", sources),
        "time_to_chips": figure("time_to_chips", elapsed, "s",
                                "(1 + trials) (queue or masks + leads) + working time in working hours", sources),
        "price": figure("price", price, "EUR", "tool and room hours of trials and final run, and masks", sources),
        "effort": figure("effort", price + elapsed * room.waiting.nominal, "EUR", "price + waiting", sources),
    }  # fmt: skip
    return Totals(chips, trials, figures, sources)


def _elapsed(works: Sequence[Work], room: Cleanroom, final: float, trial: float, trials: float) -> float:
    """Calendar time: tools and masks are booked and ordered at once, visits follow each other."""
    queue = max((work.tool.queue.nominal for work in works), default=0.0)
    masks = max((work.mask_lead for work in works), default=0.0)
    away = {work.node.name: work.node.lead.nominal for work in works if work.node is not room}
    wait = max(queue, masks) + sum(away.values())
    stretch = _DAY / room.hours_per_day.nominal * _WEEK / room.days_per_week.nominal
    return (1.0 + trials) * wait + (final + trials * trial) * stretch


def _sources(made: Sequence[Way], room: Cleanroom, wanted: Fabrication, good: Value) -> dict[str, Source]:
    """Every number of the tools, the terms and the wish that the sums rest on."""
    found: dict[str, Source] = {"good_chips": good, "revisions": wanted.revisions}
    found["chips_per_piece"] = wanted.substrate.chips_per_piece
    found["hours_per_day"] = room.hours_per_day
    for work in (work for way in made for work in way.works):
        for name in ("rate", "queue", "run_time", "load_time", "mask_price", "mask_lead", "speed"):
            value = getattr(work.tool, name, None)
            if isinstance(value, Value):
                found[f"{work.tool.id}.{name}"] = value
        found[f"{work.node.name}.room_rate"] = work.node.access.room_rate
    return found
