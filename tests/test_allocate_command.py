"""The command `allocate`: what it prints and writes, what its exit status says, and an interrupt."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from triage.allocate_commands import INTERRUPTED, allocate
from triage.errors import BadInput
from triage.services.workspace import shipped

QUARTER = str(shipped("scenarios") / "quarter")
ALONE = "import sys; from triage.allocate_commands import allocate; sys.exit(allocate.main(standalone_mode=False))"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(allocate, ["--facility", QUARTER, "--brief", *arguments], standalone_mode=False)


def test_same_command_gives_the_same_bytes_and_all_files(tmp_path: Path) -> None:
    files = [str(tmp_path / f"plan.{kind}") for kind in ("csv", "ics", "svg")]
    options = ["--effort", "quick", "--json", "--csv", files[0], "--ics", files[1], "--svg", files[2]]

    one = run(*options)
    first = [Path(file).read_bytes() for file in files]
    two = run(*options)

    assert one.return_value == 1  # somebody is not served
    assert one.stdout == two.stdout
    assert first == [Path(file).read_bytes() for file in files]
    data = json.loads(one.stdout)
    assert {"value", "bound", "bound_source", "gap", "proved", "seed", "iterations", "versions"} <= set(data)
    assert "iterated greedy" in one.stderr


def test_a_file_that_cannot_be_written_is_a_problem_with_its_name(tmp_path: Path) -> None:
    result = run("--seconds", "0.5", "--csv", str(tmp_path / "none" / "plan.csv"))
    assert isinstance(result.exception, BadInput)
    assert "plan.csv" in str(result.exception)


@pytest.mark.skipif(sys.platform == "win32", reason="interrupts are sent otherwise there")
def test_an_interrupt_prints_the_best_plan_so_far_and_says_so_in_the_status() -> None:
    command = [sys.executable, "-c", ALONE, "--facility", QUARTER, "--brief", "--effort", "thorough", "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stderr is not None
        for line in process.stderr:
            if line.startswith("iterated greedy"):
                break
        process.send_signal(signal.SIGINT)
        out, _ = process.communicate(timeout=30)

    data = json.loads(out)
    assert process.returncode == INTERRUPTED
    assert data["stopped"] == "interrupted"
    assert data["plan"]
    assert data["value"] >= max(data["greedy"].values())
