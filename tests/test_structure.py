"""The shape of the project: style, types, layers, docstrings, references, and words that must not be there."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

import triage
import triage.physics

ROOT = Path(__file__).parent.parent
PHYSICS = [f"triage.physics.{each.name}" for each in pkgutil.iter_modules(triage.physics.__path__)]
FUNCTIONS = [
    pytest.param(function, id=f"{module.rpartition('.')[2]}.{name}")
    for module in PHYSICS
    for name, function in inspect.getmembers(importlib.import_module(module), inspect.isfunction)
    if not name.startswith("_") and function.__module__ == module
]
REFERENCES = yaml.safe_load((ROOT / "rules" / "references.yaml").read_text(encoding="utf-8"))


def run(*command: str) -> None:
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-4000:]


def test_style() -> None:
    """Ruff finds nothing to say."""
    run("ruff", "check", "--no-cache", "triage", "tests", "ui")


def test_format() -> None:
    """Every file is formatted."""
    run("ruff", "format", "--check", "--no-cache", "triage", "tests", "ui")


def test_types() -> None:
    """Mypy, strict, on the package."""
    run("mypy", "--strict", "--cache-dir", ".mypy_cache", "triage")


def test_layers() -> None:
    """Imports run one way: the contract in pyproject.toml."""
    code = "from importlinter.cli import lint_imports; import sys; sys.exit(lint_imports(no_cache=True))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]


@pytest.mark.parametrize("function", FUNCTIONS)
def test_docstring_states_the_signature(function: object) -> None:
    """The parameters documented are those of the function, in order, and a source and an example are given."""
    text = inspect.getdoc(function) or ""
    section = re.search(r"Parameters\n-+\n(.*?)(?:\n\n(?:Returns|Raises)\n-+)", text, re.S)
    documented = re.findall(r"^\*{0,2}(\w+)(?:, \w+)* : ", section[1], re.M) if section else []
    names = [re.sub(r"^\*+", "", each) for each in inspect.signature(function).parameters]  # type: ignore[arg-type]

    assert documented == names
    assert "Returns" in text
    assert ">>>" in text


@pytest.mark.parametrize("function", FUNCTIONS)
def test_sources_in_docstrings_exist(function: object) -> None:
    """Every key of the form AuthorYear in a docstring is in the reference list."""
    keys = set(re.findall(r"\b[A-Z][A-Za-z]+(?:19|20)\d\d[a-z]?\b", inspect.getdoc(function) or ""))

    assert keys <= REFERENCES.keys(), keys - REFERENCES.keys()


def test_every_reference_has_a_text_and_a_basis() -> None:
    """References say what they are and whether their details were confirmed."""
    for key, entry in REFERENCES.items():
        assert entry["text"], key
        assert entry["basis"] in ("published", "from memory", "common practice"), key


def test_invented_data_says_so_first() -> None:
    """The first key of every demonstration and test facility file is `invented`."""
    files = [path for folder in ("scenarios", "tests/scenarios") for path in (ROOT / folder).rglob("*.yaml")]
    files = [path for path in files if path.name != "expected.yaml" and path.parent.name != "expected"]
    assert files
    for path in files:
        first = next(line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#"))
        assert first.startswith("invented:"), path


def test_no_machine_paths_or_registry_hosts() -> None:
    """Nothing committed speaks of a machine or of where packages come from."""
    forbidden = re.compile(r"/wor[k]/|/home/\w|/root/|pypi\.org|files\.pythonhosted|registry\.npmjs|deb\.debian\.org")
    names = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    for name in filter(None, names):
        path = ROOT / name
        if path.is_file() and path.suffix in (".py", ".yaml", ".md", ".toml", "") and path.name != "test_structure.py":
            assert not forbidden.search(path.read_text(encoding="utf-8", errors="ignore")), name
