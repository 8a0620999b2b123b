"""The shipped rules: the engine against an independent evaluation, in a process that may crash."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from triage.reasoning import engine

HERE = Path(__file__).parent


@pytest.mark.skipif("plain" in engine.name(), reason="durable-rules is not importable here")
def test_the_engine_agrees_with_the_plain_evaluator() -> None:
    """10 000 random fact sets and every threshold; a negative status is a crash of the library."""
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", str(HERE / "oracle_isolated.py")],
        cwd=HERE.parents[1], capture_output=True, text=True, timeout=180, check=False,
    )  # fmt: skip

    assert done.returncode == 0, f"status {done.returncode}\n{done.stdout[-6000:]}\n{done.stderr[-2000:]}"
