"""Reading one mapping of a YAML file key by key; what is wrong is collected, never raised."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from triage.errors import Problem
from triage.source import Path_, Source

_MOST_STRANGE = 20  # unknown keys that are named one by one


def did_you_mean(word: object, known: Iterable[str], otherwise: str = "") -> str:
    """The remedy for a word that is not known: the nearest one, or the list of all."""
    from difflib import get_close_matches

    choices = sorted(known)
    near = get_close_matches(str(word), choices, n=1, cutoff=0.6)
    if near:
        return f"did you mean '{near[0]}'?"
    return otherwise or "use one of " + ", ".join(choices)


class Entries:
    """The entries of one mapping, each asked for by its key."""

    def __init__(
        self,
        source: Source,
        data: Any,
        path: Path_,
        problems: list[Problem],
        known: Iterable[str] | None = None,
    ) -> None:
        self.source, self.path, self.problems = source, path, problems
        self.data: dict[str, Any] = data if isinstance(data, dict) else {}
        if not isinstance(data, dict):
            self.wrong(None, "is not a list of `key: value` entries", "write one `key: value` a line")
        elif known is not None:
            known = tuple(known)
            strange = [key for key in data if key not in known]
            for key in strange[:_MOST_STRANGE]:
                self.wrong(key, f"'{key[:60]}' is not a known key", did_you_mean(key, known))
            if len(strange) > _MOST_STRANGE:
                self.wrong(None, f"has {len(strange)} keys that are not known", "use one of " + ", ".join(known))

    def wrong(self, key: str | None, message: str, remedy: str = "") -> None:
        """Collect a problem at a key, or at the whole mapping."""
        path = self.path if key is None else (*self.path, key)
        self.problems.append(self.source.problem(path, message, remedy))

    def below(self, key: str | int, data: Any, known: Iterable[str] | None = None) -> Entries:
        """The mapping under a key."""
        return Entries(self.source, data, (*self.path, key), self.problems, known)

    def text(self, key: str, required: bool = True) -> str:
        """A text on one line; folded lines are joined."""
        value = self.data.get(key)
        if isinstance(value, str) and value.strip():
            return " ".join(value.split())
        if value is not None:
            self.wrong(key, "is not a text", "write it as text, in quotes where it reads as yes or no")
        elif required:
            self.wrong(key if key in self.data else None, f"`{key}` is missing", f"add `{key}:`")
        return ""

    def choice(self, key: str, words: Iterable[str], required: bool = True) -> str:
        """One word of a given set."""
        word, words = self.text(key, required), tuple(words)
        if word and word not in words:
            self.wrong(key, f"`{key}` cannot be '{word}' here", did_you_mean(word, words))
            return ""
        return word

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; none when the key is absent."""
        value = self.data.get(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(item, str) and item.strip() for item in value):
            self.wrong(key, "is not a list of texts", "write one `- text` a line, in quotes where it has a colon")
            return ()
        return tuple(" ".join(item.split()) for item in value)

    def flag(self, key: str) -> bool:
        """True or false; false when the key is absent."""
        value = self.data.get(key)
        if value is not None and not isinstance(value, bool):
            self.wrong(key, "is neither true nor false", "write true, or leave it out")
        return value is True
