"""Numbers into words: the texts behind the placeholders of rules, and the sentences of findings."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Protocol

from triage.display import show, significant
from triage.estimates.case import Case
from triage.estimates.vibration import band
from triage.measurements.kind import reached
from triage.models.estimate import Estimate
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


def shown(estimate: Estimate) -> str:
    """An estimate as printed: its word, or its number with a unit."""
    return estimate.value if isinstance(estimate.value, str) else show(float(estimate.value), estimate.unit)


class Words(Protocol):
    """Something that knows what a placeholder stands for."""

    def __getitem__(self, name: str) -> str:
        """The text behind a placeholder."""
        ...


class FactTexts:
    """Placeholders of rules about the proposal: its facts and nothing else."""

    def __init__(self, facts: Mapping[str, float | str]) -> None:
        self._facts = facts

    def __getitem__(self, name: str) -> str:
        fact = self._facts.get(name, _UNSTATED)
        return fact if isinstance(fact, str) else significant(float(fact))


class Texts:
    """What each placeholder stands for in a case; worked out only when asked for."""

    def __init__(self, case: Case) -> None:
        self._case = case
        self._known: dict[str, str] = {}

    def __getitem__(self, name: str) -> str:
        if name not in self._known:
            self._known[name] = self._text(name)
        return self._known[name]

    def _text(self, name: str) -> str:
        case = self._case
        if name in _OWN:
            return _OWN[name](case)
        if name in case.estimates:
            return shown(case.estimates[name])
        if name in case.facts:
            fact = case.facts[name]
            return fact if isinstance(fact, str) else significant(float(fact))
        return _UNSTATED


def _value(value: Value | None, unit: str) -> str:
    return _UNSTATED if value is None else show(value.nominal, unit)


def _board(case: Case) -> str:
    board = case.proposal.board
    if board is None:
        return _UNSTATED
    return f"{show(board.length.nominal, 'm')} × {show(board.width.nominal, 'm')}"


def _band(case: Case) -> str:
    low, high = band(case)
    return f"{show(low, 'Hz')} to {show(high, 'Hz')}"


_OWN: dict[str, Callable[[Case], str]] = {
    "platform": lambda case: case.platform.name,
    "measurement": lambda case: case.kind.title,
    "tier_wanted": lambda case: case.proposal.tier,
    "tier_reached": lambda case: tier_reached(case) or "no tier",
    "scale_name": lambda case: case.kind.criterion.scale_name or "the measurement",
    "warmest": lambda case: _value(case.platform.warmest, "K"),
    "dc_lines": lambda case: _value(case.platform.wiring.dc_lines, "count"),
    "coax_lines": lambda case: _value(case.platform.wiring.coax_lines, "count"),
    "queue": lambda case: _value(case.platform.clock.queue, "s"),
    "cooldown": lambda case: _value(case.platform.clock.cooldown, "s"),
    "deadline": lambda case: _value(case.proposal.time.deadline, "s"),
    "budget": lambda case: _value(case.proposal.budget, "EUR"),
    "bore": lambda case: _value(case.platform.space.bore or case.platform.space.board_length, "m"),
    "board": _board,
    "signal_band": _band,
    "line_voltage": lambda case: _value(case.proposal.lines.voltage, "V"),
    "line_current": lambda case: _value(case.proposal.lines.current, "A"),
    "field_in_tesla": lambda case: _value(case.proposal.field.magnitude if case.proposal.field else None, "T"),
    "comb": lambda case: _value(case.platform.vibration.comb, "Hz"),
}


def fill(template: str, texts: Words) -> str:
    """A rule's sentence with its placeholders filled; nothing in it is ever run."""
    text = _PLACEHOLDER.sub(lambda match: texts[match[1]], template)
    return text[:1].upper() + text[1:]


def finding(firing: Firing, texts: Words) -> Finding:
    """A firing put into words."""
    rule = firing.rule
    return Finding(
        rule=rule.id,
        title=rule.title,
        gate=rule.gate,
        effect=rule.effect,  # type: ignore[arg-type]
        wrong_when=rule.wrong_when,
        references=rule.references,
        basis=rule.basis,
        facts=dict(firing.facts),
        origin=rule.origin,
        lifts=rule.lifts,
        sentences=lambda: (fill(rule.because, texts), fill(rule.trade_off, texts)),
    )
