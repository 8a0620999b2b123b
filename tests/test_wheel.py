"""The built wheel, unpacked into a folder of its own, answers from an empty folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "-w", str(folder)]
    # Built from a copy, so that no left-over of an earlier build gets in and none stays behind.
    copy = folder / "project"
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".*", "build", "*.egg-info", "__pycache__"))
    done = subprocess.run([*command, str(copy)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-3000:]
    return next(folder.glob("*.whl"))


def test_wheel_holds_every_module_rule_and_scenario(wheel: Path) -> None:
    """Nothing that the checkout has is forgotten, and no generic name lands in site-packages."""
    names = set(zipfile.ZipFile(wheel).namelist())
    modules = {path.relative_to(ROOT).as_posix() for path in (ROOT / "triage").rglob("*.py")}
    rules = {f"triage/_shipped/{path.relative_to(ROOT).as_posix()}" for path in (ROOT / "rules").rglob("*.yaml")}
    shown = (ROOT / "scenarios").rglob("*.yaml")
    scenarios = {f"triage/_shipped/{path.relative_to(ROOT).as_posix()}" for path in shown}
    screens = {
        f"triage_ui/{path.relative_to(ROOT / 'ui').as_posix()}"
        for path in (ROOT / "ui").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }

    assert modules | rules | scenarios | screens <= names, sorted((modules | rules | scenarios | screens) - names)[:10]
    assert {name.split("/")[0] for name in names if not name.split("/")[0].endswith(".dist-info")} <= {
        "triage",
        "triage_ui",
    }


def test_wheel_answers_from_an_empty_folder(wheel: Path, tmp_path: Path) -> None:
    """The demonstration facility and the rules come from within the wheel."""
    place, empty = tmp_path / "place", tmp_path / "empty folder"
    zipfile.ZipFile(wheel).extractall(place)
    empty.mkdir()
    environment = {**os.environ, "PYTHONPATH": str(place), "COLD_TRIAGE_CACHE": ""}
    code = "import triage, sys; print(triage.__file__); from triage.cli import main; main(['assess', 'electrometer'])"
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, cwd=empty, env=environment, capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stderr
    assert str(place) in done.stdout.splitlines()[0]
    assert "Measure on helium-3 insert" in done.stdout
    assert list(empty.iterdir()) == []
