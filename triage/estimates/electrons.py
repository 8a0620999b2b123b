"""From the stage to the electrons: the chip above its stage, the loom, the island's own heat, and their range."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.estimates.cooling.measured import columns
from triage.models.archetypes import SATURATION_SPAN
from triage.models.loom import Electrons
from triage.models.measured import ElectronCurve
from triage.physics.boundary import BOUNDARY_RESISTIVITY, boundary_temperature
from triage.physics.electrons import electron_temperature, island_temperature, saturation_from_measurement
from triage.physics.kind import outside

JOINTS = {"glued": "glued chip", "soldered": "soldered chip", "in liquid": "helium"}
# Electron-phonon coupling [W/(m3 K5)], within a factor of 2; Giazotto2006, from memory.
COUPLING = {"copper": 2e9, "gold": 2.4e9, "silver": 0.5e9, "aluminium": 0.25e9, "titanium": 1.3e9}
STALE = 1.5  # how much warmer a loom may keep the electrons once it was changed; common practice
CURVE = "platform.measured.electron_curve"


@dataclass(frozen=True)
class Chip:
    """The joint between a dissipating chip and its stage."""

    heat: Any
    area: Any
    resistivity: float


@dataclass(frozen=True)
class Island:
    """A metal island heated by the current through it: heat over coupling and volume, a fifth power [K5]."""

    fifth: Any


def estimate(case: Case, stage: Any) -> tuple[Any, Any]:
    """Write the temperatures of the chip and of its electrons down, and return both."""
    lattice = _sample(case, stage)
    bare = _on_the_loom(case, lattice)
    island = _island(case)
    value = bare if island is None else _heated(bare, island)
    if island is not None:
        case.put("electron_temperature_unheated", bare, "K", *_loom_words(case), references=("Pobell2007",))
        case.put("electron_temperature", value, "K", "(T^5 + P / Σ Ω)^(1/5)", "electron_temperature_unheated",
                 *_island_paths(case), references=("Wellstood1994", "Giazotto2006"))  # fmt: skip
        case.fact("self_heating", ratio(value, bare))
    else:
        case.put("electron_temperature", value, "K", *_loom_words(case), references=("Pobell2007",))
    _range(case, lattice, value, island)
    return lattice, value


def _sample(case: Case, stage: Any) -> Any:
    """The lattice of the chip: warmer than its stage by what its heat needs to cross the joint."""
    chip = _chip(case)
    if chip is None:
        return stage
    value = boundary_temperature(chip.heat, chip.area, stage, chip.resistivity)
    value = value if np.ndim(value) else float(value)
    case.put("sample_temperature", value, "K", f"(T_stage⁴ + 4 r Q / A)^(1/4), {case.proposal.heat.joint}",
             "stage_temperature", *_chip_paths(case), references=("SwartzPohl1989",),
             problems=outside(boundary_temperature, {"stage": stage}))  # fmt: skip
    case.fact("sample_over_stage", ratio(value, stage))
    return value


def _chip(case: Case) -> Chip | None:
    area, heat = case.number("heat.chip_area"), case.number("heat.device")
    if area is None or heat is None:
        return None
    duty = case.number("heat.duty")
    return Chip(heat if duty is None else heat * duty, area, BOUNDARY_RESISTIVITY[JOINTS[case.proposal.heat.joint]])


def _chip_paths(case: Case) -> tuple[str, ...]:
    return ("heat.device", *(("heat.duty",) if case.proposal.heat.duty else ()), "heat.chip_area")


def _island(case: Case) -> Island | None:
    volume = case.number("heat.island_volume")
    power = case.number("heat.island_power")
    if power is None and (power := case.number("heat.device")) is not None:
        duty = case.number("heat.duty")
        power = power if duty is None else power * duty
    if volume is None or power is None or not np.all(np.greater(volume, 0.0)):
        return None
    return Island(power / (volume * COUPLING[case.proposal.heat.island_material]))


def _island_paths(case: Case) -> tuple[str, ...]:
    heat = case.proposal.heat
    if heat.island_power is not None:
        return ("heat.island_power", "heat.island_volume")
    return ("heat.device", *(("heat.duty",) if heat.duty else ()), "heat.island_volume")


def _heated(electrons: Any, island: Island) -> Any:
    """The loom's electrons take the place of the lattice, which is exact for a cold loom and on the warm side else."""
    value = island_temperature(island.fifth, electrons, 1.0, 1.0)
    return value if np.ndim(value) else float(value)


def _curve(case: Case) -> ElectronCurve | None:
    return None if case.platform.measured is None else case.platform.measured.electron_curve


def _loom_words(case: Case) -> tuple[str, ...]:
    """The formula of the loom and what it uses."""
    lattice = "sample_temperature" if "sample_temperature" in case.estimates else "stage_temperature"
    curve = _curve(case)
    if curve is not None:
        return (f"measured curve of {curve.date}", lattice, CURVE)
    words = "(T_stage^n + T_sat^n)^(1/n)" if lattice == "stage_temperature" else "(T_sample^n + T_sat^n)^(1/n)"
    return (words, lattice, "electron_saturation", "platform.electrons.exponent")


def _on_the_loom(case: Case, lattice: Any) -> Any:
    """Electrons that only the loom heats, by the measured curve or by the loom's saturation."""
    exponent = case.numeral("platform.electrons.exponent", 2.0)
    saturation = _saturation(case, exponent)
    curve = _curve(case)
    if curve is None:
        value = electron_temperature(lattice, saturation, exponent)
    else:
        bath, electrons = columns(curve.points)
        last = _saturates(electrons[-1], bath[-1], exponent)
        value = np.where(np.asarray(lattice) > bath[-1], electron_temperature(lattice, last, exponent),
                         np.interp(lattice, bath, electrons))  # fmt: skip
    return value if np.ndim(value) else float(value)


def _saturates(measured: Any, at: Any, exponent: Any) -> Any:
    """The saturation that a measurement implies; none where the electrons read no warmer than the stage."""
    found = saturation_from_measurement(measured, at, exponent)
    if isinstance(found, float):
        return found if measured > at else 0.0
    with np.errstate(invalid="ignore"):
        found = np.where(np.asarray(measured) > np.asarray(at), found, 0.0)
    return found if np.ndim(found) else float(found)


def _saturation(case: Case, exponent: Any) -> Any:
    """Where the loom keeps the electrons on a cold stage, from what is known of it."""
    known, curve = case.platform.electrons, _curve(case)
    measured = case.number("platform.electrons.measured")
    if curve is not None:
        case.number(CURVE)
        bath, electrons = columns(curve.points)
        case.fact("electron_temperature_basis", _freshness(known, curve.date))
        return case.put("electron_saturation", _saturates(electrons[0], bath[0], exponent), "K",
                        f"(T_measured^n − T_stage^n)^(1/n) at the coldest point of {curve.date}", CURVE)  # fmt: skip
    if measured is not None:
        at = case.number("platform.electrons.at_stage")
        at_path = "base_temperature" if at is None else "platform.electrons.at_stage"
        at = case.got("base_temperature") if at is None else at
        case.fact("electron_temperature_basis", _freshness(known, known.date))
        return case.put("electron_saturation", _saturates(measured, at, exponent), "K",
                        "(T_measured^n − T_stage^n)^(1/n)", "platform.electrons.measured", at_path)  # fmt: skip
    stated = case.value("platform.electrons.saturation")
    own = stated is not None and stated.basis in ("stated", "measured")
    case.fact("electron_temperature_basis", "stated" if own else "default")
    words = "as stated for the loom" if own else f"usual for a loom with filters '{case.platform.wiring.filtering}'"
    return case.put("electron_saturation", case.numeral("platform.electrons.saturation", 0.1), "K", words,
                    "platform.electrons.saturation")  # fmt: skip


def _freshness(known: Electrons, date: Any) -> str:
    changed = known.loom_changed
    return "stale" if changed is not None and (date is None or changed > date) else "measured"


def _range(case: Case, lattice: Any, value: Any, island: Island | None) -> None:
    """The range of the electrons: the uncertainty of the measurement, its age, or a default's span."""
    exponent = case.numeral("platform.electrons.exponent", 2.0)
    low, high, words = _span(case, exponent)
    ends: tuple[Any, Any] = (value, value)
    if low is not high:
        edges = [electron_temperature(lattice, end, exponent) for end in (low, high)]
        if island is not None:
            edges = [_heated(edge, island) for edge in edges]
        ends = (np.minimum(edges[0], value), np.maximum(edges[1], value))
    for name, edge in zip(("low", "high"), ends, strict=True):
        edge = edge if np.ndim(edge) else float(edge)
        case.put(f"electron_temperature_{name}", edge, "K", words, "electron_temperature", "electron_saturation")


def _span(case: Case, exponent: Any) -> tuple[Any, Any, str]:
    """The ends of the saturation's range, and on what they rest; twice the same where nothing is known of it."""
    basis, saturation = case.facts["electron_temperature_basis"], case.got("electron_saturation")
    if basis == "default":
        filters = case.platform.wiring.filtering
        return (*SATURATION_SPAN[filters], f"span that looms with filters '{filters}' commonly show")
    low, high, words = saturation, saturation, "range of the measurement"
    measured, stated = case.platform.electrons.measured, case.value("platform.electrons.saturation")
    if _curve(case) is None and measured is not None and measured.spread > 0:
        at = case.number("platform.electrons.at_stage")
        at = case.got("base_temperature") if at is None else at
        now = case.numeral("platform.electrons.measured", measured.nominal) / measured.nominal
        low, high = (_saturates(now * end, at, exponent) for end in (measured.low, measured.high))
    elif basis == "stated" and stated is not None and stated.spread > 0:
        low, high = (saturation * end / stated.nominal for end in (stated.low, stated.high))
    if basis == "stale":
        high, words = high * STALE, "range of the measurement, half as warm again since the loom was changed"
    return low, high, words


def stage_for(case: Case, needed: Any) -> tuple[Any, tuple[str, ...]]:
    """The warmest stage whose device is as cold as needed, and what it was found from: the chain backwards."""
    uses: tuple[str, ...] = ()
    wanted = np.asarray(needed, dtype=float)
    if case.kind.follows == "electrons":
        exponent = case.numeral("platform.electrons.exponent", 2.0)
        island, curve = _island(case), _curve(case)
        if island is not None:
            wanted = np.maximum(wanted**5 - island.fifth, 0.0) ** 0.2
            uses += _island_paths(case)
        bare = np.maximum(wanted**exponent - np.asarray(case.got("electron_saturation")) ** exponent, 0.0)
        stage = bare ** (1 / exponent)
        uses += ("electron_saturation",)
        if curve is not None:
            bath, electrons = columns(curve.points)
            last = _saturates(electrons[-1], bath[-1], exponent)
            beyond = np.maximum(wanted**exponent - last**exponent, 0.0) ** (1 / exponent)
            inside = np.where(wanted < electrons[0], 0.0, np.interp(wanted, electrons, bath))
            stage, uses = np.where(wanted > electrons[-1], beyond, inside), (*uses, CURVE)
        wanted = stage
    chip = _chip(case)
    if chip is not None:
        wanted = np.maximum(wanted**4 - 4.0 * chip.resistivity * chip.heat / chip.area, 0.0) ** 0.25
        uses += _chip_paths(case)
    return wanted, uses
