"""What the documents show is what the program does."""

from __future__ import annotations

import re

import pytest
from readme_blocks import BLOCK, ROOT, produced

from triage.cli import cli
from triage.services.check import check

DOCUMENTS = ["README.md", "DEVELOPERS.md"]
BLOCKS = [
    pytest.param(match, id=f"{name}: {match[3]}")
    for name in DOCUMENTS
    for match in BLOCK.finditer((ROOT / name).read_text(encoding="utf-8"))
]


@pytest.mark.parametrize("match", BLOCKS)
def test_block_is_current(match: re.Match[str]) -> None:
    """Outputs and files shown are the real ones (`python tests/readme_blocks.py` renews them)."""
    assert match[4] == produced(match[2], match[3])


def test_every_command_is_in_the_readme() -> None:
    """A command that the README does not name does not exist for its readers."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for name in cli.commands:
        assert f"cold-triage {name}" in text, name


def test_example_facility_is_clean_and_opens_the_readme_with_the_job() -> None:
    """The example files have no problem, and the first paragraph says what the program is for."""
    assert check(ROOT / "tests" / "readme")[0] == []
    first = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")[1]

    assert "which of them it should use" in first
