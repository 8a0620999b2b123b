"""YAML files as people write them: plain data plus the line of every entry, or problems.

Only plain data is built (no tags, no code), duplicate keys are found, and size, depth and the number
of entries are limited before anything grows.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from triage.errors import Problem

LARGEST_FILE = 2_000_000  # bytes; the largest demonstration file is about 20 kB
DEEPEST = 40
MOST_ENTRIES = 100_000

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_PLAIN_TAGS = {f"tag:yaml.org,2002:{name}" for name in ("str", "int", "float", "bool", "null", "map", "seq")}
_DATE_TAG = "tag:yaml.org,2002:timestamp"

Path_ = tuple[str | int, ...]


@dataclass(frozen=True)
class Source:
    """One parsed file: its data, and the line on which each entry begins."""

    file: str
    data: Any
    lines: dict[Path_, int] = field(default_factory=dict)

    def line(self, path: Path_) -> int:
        """The line of an entry, or of the nearest entry that contains it."""
        for end in range(len(path), -1, -1):
            if path[:end] in self.lines:
                return self.lines[path[:end]]
        return 1

    def problem(self, path: Path_, message: str, remedy: str = "") -> Problem:
        """A problem at an entry of this file."""
        return Problem(self.file, self.line(path), dotted(path), message, remedy)


def dotted(path: Path_) -> str:
    """A path as people read it: ``platforms[2].bore``."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else str(part)
    return text


class _Refused(Exception):  # noqa: N818  control flow, never shown
    def __init__(self, line: int, field: str, message: str, remedy: str) -> None:
        self.where = (line, field, message, remedy)
        super().__init__(message)


def read(path: Path, shown_as: str | None = None) -> tuple[Source | None, list[Problem]]:
    """Read a YAML file into plain data with line numbers.

    Returns the source, or None with the problems that prevented it. Duplicate keys are problems
    although the rest of the file is still read.
    """
    name = shown_as or str(path)
    try:
        if path.stat().st_size > LARGEST_FILE:
            return None, [Problem(name, 0, "", f"file is larger than {LARGEST_FILE:,} bytes", "split it")]
        raw = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        return None, [Problem(name, 0, "", reason, "check the path and that you may read it")]
    return read_text(raw, name)


def read_text(raw: bytes | str, name: str) -> tuple[Source | None, list[Problem]]:
    """Read YAML text into plain data with line numbers; see `read`."""
    text, trouble = _decode(raw, name)
    if trouble:
        return None, [trouble]
    problems: list[Problem] = []
    lines: dict[Path_, int] = {}
    try:
        node = _compose(text)
        if node is None:
            return None, [Problem(name, 0, "", "file is empty", "see `cold-triage schema` for what goes in it")]
        counter = iter(range(MOST_ENTRIES))
        data = _plain(node, (), name, lines, problems, counter, depth=0)
    except _Refused as refused:
        return None, [Problem(name, *refused.where)]
    except RecursionError:
        return None, [Problem(name, 0, "", "entries are nested too deeply", f"at most {DEEPEST} levels")]
    return Source(name, data, lines), problems


def _decode(raw: bytes | str, name: str) -> tuple[str, Problem | None]:
    if isinstance(raw, bytes):
        if len(raw) > LARGEST_FILE:
            return "", Problem(name, 0, "", f"file is larger than {LARGEST_FILE:,} bytes", "split it")
        if raw[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\x00" in raw:
            return "", Problem(name, 1, "", "file is not UTF-8 text", "save it as UTF-8 without NUL bytes")
        try:
            raw = raw.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = raw[: error.start].count(b"\n") + 1  # type: ignore[arg-type]
            return "", Problem(name, line, "", "file is not UTF-8 text", "save it as UTF-8")
    return raw, None


def _compose(text: str) -> yaml.Node | None:
    _refuse_depth(text)
    try:
        loader = _Loader(text)
        try:
            node: yaml.Node | None = loader.get_single_node()
            return node
        finally:
            loader.dispose()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 0
        remedy = "indent with spaces, not tabs" if "\t" in text else "check indentation, quotes and colons"
        raise _Refused(line, "", f"not readable as YAML: {error.problem or error.context}", remedy) from None
    except yaml.YAMLError as error:
        message = " ".join(str(error).split())[:160]
        raise _Refused(0, "", f"not readable as YAML: {message}", "save it as plain UTF-8 text") from None


def _refuse_depth(text: str) -> None:
    """Refuse depth before the parser recurses: brackets and indentation bound it from above."""
    brackets = deepest = 0
    for character in text:
        if character in "[{":
            brackets += 1
            deepest = max(deepest, brackets)
        elif character in "]}":
            brackets = max(0, brackets - 1)
    indents: list[int] = []
    nested = 0
    for line in text.splitlines():
        stripped = line.lstrip(" ")
        if not stripped or stripped.startswith("#"):
            continue
        dashes = 0
        while stripped.startswith("- "):
            stripped, dashes = stripped[2:].lstrip(" "), dashes + 1
        indent = len(line) - len(line.lstrip(" "))
        while indents and indents[-1] >= indent:
            indents.pop()
        indents.append(indent)
        nested = max(nested, len(indents) + dashes)
    if max(deepest, nested) > 2 * DEEPEST:
        raise _Refused(0, "", "entries are nested too deeply", f"at most {DEEPEST} levels")


def _plain(
    node: yaml.Node,
    path: Path_,
    name: str,
    lines: dict[Path_, int],
    problems: list[Problem],
    counter: Iterator[int],
    depth: int,
) -> Any:
    line = node.start_mark.line + 1
    if next(counter, None) is None:
        raise _Refused(line, dotted(path), f"more than {MOST_ENTRIES:,} entries", "split the file")
    if depth > DEEPEST:
        raise _Refused(line, dotted(path), "entries are nested too deeply", f"at most {DEEPEST} levels")
    lines.setdefault(path, line)
    if isinstance(node, yaml.MappingNode) and node.tag in _PLAIN_TAGS:
        result: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key = key_node.value if isinstance(key_node, yaml.ScalarNode) else None
            key_line = key_node.start_mark.line + 1
            if key is None:
                raise _Refused(key_line, dotted(path), "a key must be a plain word", "see the schema")
            here = (*path, key)
            if key in result:
                first = lines[here]
                problems.append(
                    Problem(name, key_line, dotted(here), f"given twice, first on line {first}", "keep one")
                )
                continue
            lines[here] = key_line
            result[key] = _plain(value_node, here, name, lines, problems, counter, depth + 1)
        return result
    if isinstance(node, yaml.SequenceNode) and node.tag in _PLAIN_TAGS:
        return [
            _plain(item, (*path, index), name, lines, problems, counter, depth + 1)
            for index, item in enumerate(node.value)
        ]
    if isinstance(node, yaml.ScalarNode) and (node.tag in _PLAIN_TAGS or node.tag == _DATE_TAG):
        return _scalar(node)
    raise _Refused(line, dotted(path), f"tag {node.tag} is not accepted", "write plain text and numbers")


def _scalar(node: yaml.ScalarNode) -> str | bool | None:
    """Scalars stay the text a person wrote; the models turn them into numbers."""
    if node.tag.endswith(":null"):
        return None
    if node.tag.endswith(":bool") and node.value.lower() in ("true", "yes", "on", "false", "no", "off"):
        return node.value.lower() in ("true", "yes", "on")
    return str(node.value)
