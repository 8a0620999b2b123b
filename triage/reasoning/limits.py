"""How large a rule may be: a rule file can come from anybody, and none may slow the program down or mislead.

The limits lie far above what a person writes. What exceeds them is a problem, and the rule is left out.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from triage.errors import Problem
    from triage.reasoning.rule import Rule

MOST_RULES = 300  # files of a facility
MOST_LISTED = 60  # conditions, values of one condition, examples or texts of one rule
MOST_WAYS = 64  # to satisfy the `one of` conditions of a rule; the rule engine keeps one rule for each
LONGEST_TEXT = 2000
LONGEST_ID = 80
LONGEST_VALUE = 80
_ID = re.compile(r"[a-z][a-z0-9_]*(?:[.-][a-z0-9_]+)*")
_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn")  # control and direction signs, which can make a text look like another


def usable_id(name: str) -> bool:
    """Whether a name may be the id of a rule: plain letters, so that no two ids look alike."""
    return len(name) <= LONGEST_ID and bool(_ID.fullmatch(name))


def beyond(rule: Rule) -> Iterator[Problem]:
    """What is too long, too much or unreadable in a rule."""
    if not usable_id(rule.id):
        message = f"{shortened(rule.id)} is not a usable id"
        yield rule.problem(("id",), message, f"use a-z, 0-9, _, - and dots, at most {LONGEST_ID} characters")
    for key, text in _texts(rule):
        if len(text) > LONGEST_TEXT:
            yield rule.problem((key,), f"is longer than {LONGEST_TEXT} characters", "say it shorter")
        elif misleading(text):
            yield rule.problem((key,), "has signs that cannot be seen", "type the text again")
    ways = math.prod(len(condition.values) for condition in rule.when if condition.relation == "one of")
    if ways > MOST_WAYS:
        remedy = "write `not equal`, or split the rule"
        yield rule.problem(("when",), f"can be satisfied in {ways} ways, at most {MOST_WAYS}", remedy)


def misleading(text: str) -> bool:
    """Whether a text holds signs that cannot be seen and can make it read as another."""
    return not text.isprintable() and any(unicodedata.category(sign) in _UNSEEN for sign in text)


def _texts(rule: Rule) -> Iterator[tuple[str, str]]:
    for key in ("title", "because", "trade_off", "since"):
        yield key, getattr(rule, key)
    for key in ("wrong_when", "references"):
        for text in getattr(rule, key):
            yield key, text
    for name, why in rule.goes_with:
        yield "goes_with", name
        yield "goes_with", why


def shortened(text: str) -> str:
    """A text for a message, with every sign that could mislead spelled out."""
    return ascii(text if len(text) <= LONGEST_ID else text[: LONGEST_ID - 1] + "…")
