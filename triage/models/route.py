"""The fabrication route: how each layer is made, what the whole takes, and what would change it."""

from __future__ import annotations

from dataclasses import dataclass, field

from triage.models.cleanroom import Cleanliness
from triage.models.estimate import Estimate
from triage.models.recommendation import Confidence, Finding, Ground, Verdict


@dataclass(frozen=True, slots=True)
class Step:
    """One visit to one tool: where it stands, in what air and light, and what to mind there."""

    what: str
    tool: str
    where: str
    iso_class: int
    iso_class_wanted: int
    particles: float  # of half a micrometre and larger in a cubic metre, in the class wanted
    yellow_light: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OtherTool:
    """A tool that could expose the layer instead, or cannot, with the number that limits it."""

    tool: str
    serves: bool
    because: str
    price: Estimate
    time: Estimate


@dataclass(frozen=True, slots=True)
class LayerPlan:
    """One layer as it will be made."""

    layer: str
    purpose: str
    tool: str
    exposure: str
    resist: str
    mask: bool
    steps: tuple[Step, ...]
    class_before: Cleanliness
    class_after: Cleanliness
    figures: dict[str, Estimate]
    facts: dict[str, float | str]
    findings: tuple[Finding, ...]
    others: tuple[OtherTool, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """One way to make the whole device."""

    name: str
    tools: tuple[str, ...]
    verdict: Verdict
    layers: tuple[LayerPlan, ...]
    figures: dict[str, Estimate]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of its layers, in their order."""
        return tuple(finding for layer in self.layers for finding in layer.findings)

    @property
    def vetoes(self) -> tuple[Finding, ...]:
        """What makes this way impossible."""
        return tuple(finding for finding in self.findings if finding.effect == "veto")


@dataclass(frozen=True, slots=True)
class Crossover:
    """Where another way of making becomes the better one."""

    name: str
    at: Estimate
    says: str


@dataclass(frozen=True, slots=True)
class Exchange:
    """A smaller feature against a colder platform: what each costs."""

    platform: str
    layer: str
    feature_now: Estimate
    feature_then: Estimate
    makeable: bool
    extra_price: Estimate
    extra_time: Estimate
    saved_price: Estimate
    saved_time: Estimate
    says: str


@dataclass(frozen=True, slots=True)
class Route:
    """The defended answer to how a proposal's device should be made."""

    proposal: str
    title: str
    facility: str
    goal: str
    recommended: Plan | None
    second: Plan | None
    plans: tuple[Plan, ...]
    confidence: Confidence
    confidence_because: tuple[str, ...]
    sentence: str
    reason: str
    crossovers: tuple[Crossover, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[Ground, ...]
    exchanges: tuple[Exchange, ...] = field(default_factory=tuple)
    tool_version: str = ""
    rule_base_version: str = ""
    engine: str = ""

    @property
    def layers(self) -> tuple[LayerPlan, ...]:
        """The layers of the recommended way, in the order in which they are made."""
        return self.recommended.layers if self.recommended else ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of the recommended way."""
        return self.recommended.findings if self.recommended else ()
