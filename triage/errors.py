"""Problems as values, and the few exceptions the program raises.

A person's mistake is a `Problem`: it is collected, never raised one at a time. An exception of
this module means that a caller asked for something that cannot be done.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in what a person wrote, and what to do about it."""

    file: str
    line: int
    field: str
    message: str
    remedy: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        where = f" {self.field}" if self.field else ""
        remedy = f" — {self.remedy}" if self.remedy else ""
        return f"{place}{where}: {self.message}{remedy}"

    def as_dict(self) -> dict[str, object]:
        """The problem as plain data, for JSON."""
        return asdict(self)


class TriageError(Exception):
    """Base of the exceptions of this project."""


class BadInput(TriageError):  # noqa: N818  what it carries are problems, not an error
    """Input that cannot be used; carries every problem found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = sorted(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class RuleEngineError(TriageError):
    """The rule engine refused or failed; the assessment is not to be trusted."""


class NotAQuantity(TriageError, ValueError):  # noqa: N818  names the fault
    """A text that is no usable quantity, with the remedy to show."""

    def __init__(self, message: str, remedy: str = "") -> None:
        self.message = message
        self.remedy = remedy
        super().__init__(f"{message} — {remedy}" if remedy else message)
