"""The rule engine, run in a process of its own so that a crash of its library is a failed test."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from reasoning.writing import loaded

from triage.reasoning import engine, plain
from triage.reasoning.firing import FactSet

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
WARM = FactSet("wet", "platform", {"thermal_margin": 0.5, "electron_temperature_basis": "stale"})


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )


@pytest.mark.skipif("plain" in engine.name(), reason="durable-rules is not importable here")
def test_the_engine_in_a_process_of_its_own() -> None:
    """Every test of engine_isolated.py passes; a negative status is a crash."""
    done = run("-m", "pytest", "-q", "-p", "no:cacheprovider", str(HERE / "engine_isolated.py"))

    assert done.returncode == 0, f"status {done.returncode}\n{done.stdout[-6000:]}\n{done.stderr[-2000:]}"


def test_without_the_library_the_plain_evaluator_answers_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same firings, and a name that gives the reason."""
    rulebase = loaded(tmp_path)
    monkeypatch.setattr(engine, "_missing", "ImportError: no compiler")

    assert engine.fire(rulebase, [WARM]) == plain.fire(rulebase, [WARM])
    assert engine.name() == "plain evaluator (durable-rules is not importable: ImportError: no compiler)"


def test_a_failing_import_is_noticed() -> None:
    """The module loads where the extension cannot be imported."""
    code = "import sys; sys.modules['durable_rules_engine'] = None; from triage.reasoning import engine"

    done = run("-c", f"{code}; print(engine.name())")

    assert done.stdout.startswith("plain evaluator (durable-rules is not importable: ModuleNotFoundError"), done.stderr
