"""What an allocation answers with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from triage.planning.allocation.problem import Allocation, Plan


@dataclass(frozen=True)
class Effort:
    """How long to search, counted so that the same effort gives the same plan.

    `iterations` of iterated greedy, `rounds` of exact parts, `work` of the whole exact model in the solver's
    deterministic time, `nodes` of the relaxation. `seconds` is a limit by the clock; where it cuts the
    search, the plan depends on the machine and the result says so.
    """

    name: str
    iterations: int
    rounds: int
    work: float
    nodes: int = 2000
    seconds: float | None = None


EFFORTS: Mapping[str, Effort] = {
    "quick": Effort("quick", 800, 6, 0.2, 100),
    "normal": Effort("normal", 6000, 50, 0.8, 1000),
    "thorough": Effort("thorough", 20000, 200, 4.0, 4000),
}


@dataclass(frozen=True)
class Level:
    """One level of the objective: its words, what was reached, and whether that is proved the best."""

    words: str
    reached: int
    proved: bool


@dataclass(frozen=True)
class Result:
    """A plan with its proven bound, and everything needed to make it again."""

    problem: Allocation
    plan: Plan
    value: int
    bound: int
    bound_source: str
    levels: tuple[Level, ...]
    greedy: Mapping[str, int]
    seed: int
    effort: str
    iterations: int
    rounds: int
    versions: Mapping[str, str]
    stopped: str = ""
    changes: tuple[str, ...] = field(default=())

    @property
    def gap(self) -> float:
        """(bound - value) / bound."""
        return max(0.0, (self.bound - self.value) / self.bound) if self.bound > 0 else 0.0

    @property
    def proved(self) -> bool:
        """Whether no plan is worth more."""
        return self.value >= self.bound

    @property
    def served(self) -> dict[str, str]:
        """Platform by project."""
        return {visit.project: visit.platform for visit in self.plan}
