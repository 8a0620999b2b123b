"""The answer: findings, verdicts per platform, and the recommendation made of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from triage.errors import Problem
from triage.models.estimate import Estimate, GateNumbers

if TYPE_CHECKING:
    from triage.models.route import Route

Effect = Literal["veto", "caution", "credit", "note"]
Verdict = Literal["suitable", "tight", "unsuitable", "unknown"]
State = Literal["pass", "tight", "fail", "unknown"]
Confidence = Literal["firm", "leaning", "tie", "none"]


@dataclass(frozen=True)
class Finding:
    """One rule that fired for one platform; its sentences are written when first read."""

    rule: str
    title: str
    gate: str
    effect: Effect
    wrong_when: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    basis: str = "common practice"
    facts: dict[str, float | str] = field(default_factory=dict)
    origin: str = "shipped"
    lifts: bool = False
    sentences: Callable[[], tuple[str, str]] = field(default=lambda: ("", ""), repr=False, compare=False)

    @cached_property
    def _written(self) -> tuple[str, str]:
        return self.sentences()

    @property
    def because(self) -> str:
        """Why the rule fired, with the numbers of the case."""
        return self._written[0]

    @property
    def trade_off(self) -> str:
        """What taking the finding seriously costs."""
        return self._written[1]


@dataclass(frozen=True, slots=True)
class GateResult:
    """One of the nine gates of one platform."""

    numbers: GateNumbers
    state: State
    findings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ground:
    """A number that somebody wrote, or that stands in for one, and on what it rests."""

    name: str
    value: str
    basis: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a run: its start after a working morning and its length [s], and whether it needs people."""

    name: str
    start: float
    length: float
    attended: bool
    note: str = ""


@dataclass(frozen=True)
class PlatformResult:
    """Everything about one platform for one proposal."""

    platform: str
    name: str
    verdict: Verdict
    tier: str | None
    gates: tuple[GateResult, ...]
    findings: tuple[Finding, ...]
    facts: dict[str, float | str]
    estimates_of: Callable[[], dict[str, Estimate]] = field(default=dict, repr=False, compare=False)
    grounds_of: Callable[[], tuple[Ground, ...]] = field(default=tuple, repr=False, compare=False)
    timeline: tuple[Step, ...] = ()
    lifted: bool = False

    @cached_property
    def estimates(self) -> dict[str, Estimate]:
        """Every estimate by name, worked out to its basis when first asked for."""
        return self.estimates_of()

    @cached_property
    def grounds(self) -> tuple[Ground, ...]:
        """What people wrote and what stands in for it, worked out when first asked for."""
        return self.grounds_of()


@dataclass(frozen=True, slots=True)
class Flip:
    """A single change of one input that would change the verdict on one platform."""

    platform: str
    field: str
    now: float
    at: float
    unit: str
    becomes: Verdict
    says: str


@dataclass(frozen=True, slots=True)
class Odds:
    """The part of what was said could be true in which a platform serves, and the input that decides it most."""

    platform: str
    serves: float
    suitable: float
    draws: int
    decided_by: str = ""


@dataclass(frozen=True, slots=True)
class Recommendation:
    """The defended answer to one proposal at one facility."""

    proposal: str
    title: str
    facility: str
    measurement: str
    wanted_tier: str
    recommended: str | None
    verdict: Verdict | None
    confidence: Confidence
    confidence_because: tuple[str, ...]
    tier: str | None
    second: str | None
    sentence: str
    reason: str
    platforms: tuple[PlatformResult, ...]
    order: tuple[str, ...]
    flips: tuple[Flip, ...]
    path: tuple[str, ...]
    devices_to_start: int | None
    route: Route | None
    odds: tuple[Odds, ...]
    remarks: tuple[Finding, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[Ground, ...]
    problems: tuple[Problem, ...]
    tool_version: str
    rule_base_version: str
    departures: tuple[str, ...]
    engine: str

    def platform(self, identifier: str | None) -> PlatformResult | None:
        """The result for the platform of that id, or None."""
        return next((each for each in self.platforms if each.platform == identifier), None)
