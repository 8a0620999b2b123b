"""The speed table: `python tests/benchmarks/run.py [--json]`. Medians of one run; the ratios are what counts.

Times on a shared machine vary; each row therefore compares two things measured side by side.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from triage.planning.thresholds import flips as flips_of
from triage.planning.uncertainty import odds
from triage.reasoning import engine
from triage.reasoning.firing import FactSet
from triage.services import assess as service
from triage.services.workspace import find_proposal, open_facility, read_request


def median(work: Callable[[], Any], repeats: int = 30) -> float:
    """The median time of one call [s]."""
    work()
    times = []
    for _ in range(repeats):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def row(name: str, value: float, unit: str, goal: str, ok: bool, note: str = "") -> dict[str, Any]:
    """One row of the table."""
    return {"work": name, "value": float(f"{value:.3g}"), "unit": unit, "goal": goal, "met": bool(ok), "note": note}


def assessing() -> list[dict[str, Any]]:
    """One proposal on eight platforms, against its kernels and the engine on the same facts, and against pint."""
    facility = open_facility()
    request = read_request(find_proposal(facility, "electrometer"))
    cases = service.cases_of(facility, request)
    facts = [FactSet(case.platform.id, "platform", case.facts) for case in cases]
    whole = median(lambda: service.assess(facility, request, thorough=False))
    kernels = median(lambda: service.cases_of(facility, request))
    rules = median(lambda: engine.fire(facility.rulebase, facts))
    results = service.results_of(facility, cases)
    flips = median(
        lambda: [flips_of(facility.rulebase, *pair, sink=False) for pair in zip(cases, results, strict=True)], 10
    )
    draws = median(lambda: odds(facility.rulebase, cases), 5)
    script = median(pint_script, 10)
    ratio = whole / (kernels + rules)
    return [
        row("assess one proposal, 8 platforms", whole * 1e3, "ms", "<= 10 ms", whole <= 10e-3),
        row("the same over its estimates + engine alone", ratio, "ratio", "<= 1.5", ratio <= 1.5),
        row("a plain pint script of five estimates over it", script / whole, "ratio", ">= 3", script / whole >= 3),
        row("thresholds of 8 platforms", flips * 1e3, "ms", "<= 100 ms", flips <= 0.1),
        row("10 000 draws on 8 platforms", draws * 1e3, "ms", "<= 100 ms", draws <= 0.1),
    ]


_REGISTRY: list[Any] = []


def pint_script() -> None:
    """Five estimates for eight platforms the way a notebook does them: quantities with units throughout."""
    import pint

    if not _REGISTRY:
        _REGISTRY.append(pint.UnitRegistry())
    ureg = _REGISTRY[0]
    for _ in range(8):
        capacitance = ureg("0.22 fF")
        energy = (ureg("elementary_charge") ** 2 / (2 * capacitance)).to("J")
        needed = (energy / (10 * ureg("boltzmann_constant"))).to("K")
        electrons = ((ureg("0.29 K") ** 2 + ureg("157 mK") ** 2) ** 0.5).to("K")
        margin = (needed / electrons).to("").magnitude
        amount = (ureg("101325 Pa") * ureg("4.5 L") / (ureg("8.314462618 J/mol/K") * ureg("273.15 K"))).to("mol")
        (amount * ureg("26.3 J/mol") * 0.78 / ureg("23 uW")).to("h")
        (ureg("9.5 days") + 3 * ureg("12 h")).to("days")
        assert margin > 0


def vapour() -> list[dict[str, Any]]:
    """Vapour pressure over arrays, against a general fluid-property library called per value."""
    from CoolProp.CoolProp import PropsSI

    from triage.physics.vapour_pressure import helium4_pressure, helium4_temperature

    temperatures = np.linspace(1.3, 4.9, 1_000_000)
    pressures = np.asarray(helium4_pressure(temperatures))
    forward = 1e6 / median(lambda: helium4_pressure(temperatures), 3)
    inverse = 1e6 / median(lambda: helium4_temperature(pressures), 3)
    few = np.linspace(2.2, 4.9, 300)
    library = 300 / median(lambda: [PropsSI("P", "T", each, "Q", 0, "Helium") for each in few], 3)
    return [
        row("vapour pressure from temperature", forward / 1e6, "M values/s", ">= 5", forward >= 5e6),
        row("temperature from vapour pressure", inverse / 1e6, "M values/s", ">= 1", inverse >= 1e6),
        row("the former over a fluid library per value", forward / library, "ratio", ">= 50", forward / library >= 50),
    ]


def cold_start() -> list[dict[str, Any]]:
    """`assess` from a cold process against importing numpy, yaml and pydantic."""

    def once(*command: str) -> float:
        began = time.perf_counter()
        subprocess.run([sys.executable, *command], stdout=subprocess.DEVNULL, check=True)
        return time.perf_counter() - began

    once("-m", "triage", "assess", "electrometer")
    pairs = [
        (once("-m", "triage", "assess", "electrometer"), once("-c", "import numpy, yaml, pydantic")) for _ in range(9)
    ]
    ratio = statistics.median(ours / theirs for ours, theirs in pairs)
    ours = statistics.median(pair[0] for pair in pairs)
    return [row("command line assess from cold", ratio, "ratio", "<= 2", ratio <= 2, f"{ours:.2f} s")]


def main() -> None:
    """Run every row and print the table, or JSON."""
    rows = [*assessing(), *vapour(), *cold_start()]
    if "--json" in sys.argv:
        print(json.dumps(rows, indent=1))
        return
    for each in rows:
        mark = "met" if each["met"] else "SHORT"
        print(f"{each['work']:<52}{each['value']:>10g} {each['unit']:<11}{each['goal']:<10}{mark} {each['note']}")


if __name__ == "__main__":
    main()
