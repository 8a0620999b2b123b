"""The rule files as read, kept between runs: parsing a hundred YAML files is most of a cold start.

The store is plain JSON in the user's cache folder, keyed by name, size and time of change of every file.
It is an aid only: without it, or where it cannot be read or written, the files are parsed.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from triage.errors import Problem
from triage.source import Source, read

FORMAT = 1
FOLDER_VARIABLE = "COLD_TRIAGE_CACHE"  # a folder of one's own, or empty for no store at all


def read_all(paths: Iterable[Path], above: Path) -> tuple[dict[Path, Source], list[Problem]]:
    """Every file that can be read, by path, and the problems of the others; names are shown below `above`."""
    files = list(paths)
    kept = _place(files)
    if kept is not None and (found := _load(kept, files)) is not None:
        return found, []
    sources: dict[Path, Source] = {}
    problems: list[Problem] = []
    for path in files:
        source, trouble = read(path, path.relative_to(above).as_posix())
        problems += trouble
        if source is not None:
            sources[path] = source
    if kept is not None and not problems:
        _save(kept, files, sources)
    return sources, problems


def _place(files: list[Path]) -> Path | None:
    """The store's file for just these files in just this state."""
    folder = os.environ.get(FOLDER_VARIABLE)
    if folder == "":
        return None
    home = Path(folder) if folder else _cache_folder()
    digest = hashlib.sha256(f"{FORMAT} {sys.version_info[:2]}".encode())
    try:
        for path in files:
            state = path.stat()
            digest.update(f"{path} {state.st_size} {state.st_mtime_ns}\n".encode())
    except OSError:
        return None
    return home / f"rules-{digest.hexdigest()[:24]}.json"


def _cache_folder() -> Path:
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home()) / "cold-triage"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "cold-triage"


def _load(kept: Path, files: list[Path]) -> dict[Path, Source] | None:
    try:
        rows: list[Any] = json.loads(kept.read_text(encoding="utf-8"))
        return {
            path: Source(name, data, {tuple(where): line for where, line in lines})
            for path, (name, data, lines) in zip(files, rows, strict=True)
        }
    except (OSError, ValueError, TypeError):
        return None


def _save(kept: Path, files: list[Path], sources: dict[Path, Source]) -> None:
    """Write the store whole or not at all, and drop its predecessors."""
    rows = [
        [s.file, s.data, [[list(where), line] for where, line in s.lines.items()]] for s in map(sources.get, files) if s
    ]
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(
            "w", dir=kept.parent, suffix=".partial", delete=False, encoding="utf-8"
        ) as new:
            json.dump(rows, new, separators=(",", ":"))
        os.replace(new.name, kept)
        stale = sorted(kept.parent.glob("rules-*.json"), key=lambda path: path.stat().st_mtime_ns)[:-8]
        for path in stale:
            path.unlink(missing_ok=True)
    except OSError:
        return
