"""From a fresh checkout to a first answer, or to passing tests: `python3 triage/first_run.py demo | tests`.

Uses the standard library only. Makes `.venv` beside the project, installs into it, and says in plain
words what is missing where that cannot work.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import sysconfig
import tempfile
import venv
from pathlib import Path

OLDEST, NEWEST = (3, 11), (3, 13)
ENGINE_BUILDS_BELOW = (3, 13)
HERE = Path(__file__).resolve().parent.parent
ENVIRONMENT = HERE / ".venv"


def stop(message: str, remedy: str) -> None:
    """Say what is missing and what to do, and leave."""
    sys.exit(f"cold-triage cannot be set up: {message}\n  {remedy}")


def check_python() -> None:
    """The Python version, and whether environments can be made."""
    if not OLDEST <= sys.version_info[:2] <= NEWEST:
        stop(
            f"this is Python {sys.version_info.major}.{sys.version_info.minor}",
            f"use Python {OLDEST[0]}.{OLDEST[1]} to {NEWEST[0]}.{NEWEST[1]}, e.g. python3.11 triage/first_run.py",
        )


def check_compiler() -> None:
    """The rule engine is built from source where its release still supports the Python version."""
    if sys.version_info[:2] >= ENGINE_BUILDS_BELOW:
        return
    compiler = (sysconfig.get_config_var("CC") or "cc").split()[0]
    if not any(shutil.which(each) for each in (compiler, "cc", "gcc", "clang")):
        stop("no C compiler was found; the rule engine is built from source",
             "install one (Debian: apt-get install gcc; macOS: xcode-select --install) or use Python 3.13")  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        header = Path(folder, "header.c")
        header.write_text("#include <Python.h>\nint main(void) { return 0; }\n")
        include = sysconfig.get_path("include")
        command = [shutil.which(compiler) or "cc", "-fsyntax-only", f"-I{include}", str(header)]
        if subprocess.run(command, capture_output=True, check=False).returncode:
            stop("the Python headers were not found; the rule engine is built from source",
                 "install them (Debian: apt-get install python3-dev), or use Python 3.13")  # fmt: skip


def install(extra: str) -> Path:
    """Make the environment and install the project into it; returns the environment's Python."""
    scripts = ENVIRONMENT / ("Scripts" if sys.platform == "win32" else "bin")
    python = scripts / ("python.exe" if sys.platform == "win32" else "python")
    if not python.is_file():
        print(f"Making {ENVIRONMENT.name} ...", flush=True)
        try:
            venv.create(ENVIRONMENT, with_pip=True)
        except Exception:
            stop("the environment could not be made", "install the venv module (Debian: apt-get install python3-venv)")
    print("Installing (a minute or two) ...", flush=True)
    command = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--editable", f".{extra}"]
    done = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    if done.returncode:
        print(done.stderr[-4000:], file=sys.stderr)
        stop("a package could not be installed", "see the lines above; is the network reachable?")
    return python


def main() -> None:
    """Set up, then run the demonstration or the tests."""
    what = sys.argv[1] if len(sys.argv) > 1 else ""
    if what not in ("demo", "tests"):
        sys.exit("usage: python3 triage/first_run.py demo | tests")
    check_python()
    check_compiler()
    python = install("" if what == "demo" else "[test]")
    run = {"demo": ["-m", "triage", "assess", "electrometer"], "tests": ["-m", "pytest", *sys.argv[2:]]}[what]
    sys.exit(subprocess.run([str(python), *run], cwd=HERE, check=False).returncode)


if __name__ == "__main__":
    main()
