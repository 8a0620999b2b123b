"""Numbers into words: the texts behind the placeholders of rules, and the sentences of findings."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from triage.display import show, significant
from triage.estimates.case import Case
from triage.estimates.vibration import band
from triage.measurements.kind import reached
from triage.models.quantity import Value
from triage.models.recommendation import Finding
from triage.models.tier import TIERS
from triage.reasoning.firing import Firing

_PLACEHOLDER = re.compile(r"\{([a-z][a-z0-9_]*)\}")
_UNSTATED = "not stated"


def tier_reached(case: Case) -> str | None:
    """The highest tier whose needed temperature is not below the one given on this platform."""
    given = float(case.got("given_temperature"))
    return reached({tier: case.got(f"needed_temperature_to_{tier}") for tier in TIERS}, given)


def context(case: Case) -> dict[str, str]:
    """What each placeholder stands for in this case."""
    texts = {name: _estimate(each.value, each.unit) for name, each in case.estimates.items()}
    texts |= {
        name: value if isinstance(value, str) else significant(float(value)) for name, value in case.facts.items()
    }
    low, high = band(case)
    texts |= {
        "platform": case.platform.name,
        "measurement": case.kind.title,
        "tier_wanted": case.proposal.tier,
        "tier_reached": tier_reached(case) or "no tier",
        "scale_name": case.kind.criterion.scale_name or "the measurement",
        "warmest": _value(case.platform.warmest, "K"),
        "dc_lines": _value(case.platform.wiring.dc_lines, "count"),
        "coax_lines": _value(case.platform.wiring.coax_lines, "count"),
        "queue": _value(case.platform.clock.queue, "s"),
        "cooldown": _value(case.platform.clock.cooldown, "s"),
        "deadline": _value(case.proposal.time.deadline, "s"),
        "budget": _value(case.proposal.budget, "EUR"),
        "bore": _value(case.platform.space.bore or case.platform.space.board_length, "m"),
        "board": _board(case),
        "signal_band": f"{show(low, 'Hz')} to {show(high, 'Hz')}",
        "comb": _value(case.platform.vibration.comb, "Hz"),
    }
    return texts


def _estimate(value: Any, unit: str) -> str:
    return value if isinstance(value, str) else show(float(value), unit)


def _value(value: Value | None, unit: str) -> str:
    return _UNSTATED if value is None else show(value.nominal, unit)


def _board(case: Case) -> str:
    board = case.proposal.board
    if board is None:
        return _UNSTATED
    return f"{show(board.length.nominal, 'm')} × {show(board.width.nominal, 'm')}"


def fill(template: str, texts: Mapping[str, str]) -> str:
    """A rule's sentence with its placeholders filled; nothing in it is ever run."""
    return _PLACEHOLDER.sub(lambda match: texts.get(match[1], _UNSTATED), template)


def finding(firing: Firing, texts: Mapping[str, str]) -> Finding:
    """A firing put into words."""
    rule = firing.rule
    return Finding(
        rule=rule.id,
        title=rule.title,
        gate=rule.gate,
        effect=rule.effect,  # type: ignore[arg-type]
        because=fill(rule.because, texts),
        trade_off=fill(rule.trade_off, texts),
        wrong_when=rule.wrong_when,
        references=rule.references,
        basis=rule.basis,
        facts=dict(firing.facts),
        origin=rule.origin,
        lifts=rule.lifts,
    )
