"""The parts of README.md that are produced: command outputs and example files.

`python tests/readme_blocks.py` writes them anew; the test in test_readme.py fails while they are out of date.
"""

from __future__ import annotations

import contextlib
import io
import re
import shlex
from pathlib import Path

from triage.cli import main

ROOT = Path(__file__).parent.parent
BLOCK = re.compile(r"(<!-- (output|file): (.*?) -->\n```\w*\n)(.*?)(```)", re.S)


def produced(kind: str, what: str) -> str:
    """The text of one block."""
    if kind == "file":
        return (ROOT / what).read_text(encoding="utf-8")
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.suppress(SystemExit):
        main(shlex.split(what)[1:])
    return out.getvalue()


def renewed(text: str) -> str:
    """A document with every produced block as it is today."""
    return BLOCK.sub(lambda match: match[1] + produced(match[2], match[3]) + match[5], text)


if __name__ == "__main__":
    for name in ("README.md", "DEVELOPERS.md"):
        path = ROOT / name
        path.write_text(renewed(path.read_text(encoding="utf-8")), encoding="utf-8")
