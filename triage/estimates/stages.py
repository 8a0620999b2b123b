"""The heat ladder: what reaches each thermal stage, where each stage settles, and which load is the largest.

A platform's stated base temperature and power already contain the heat of its own loom at the sample stage;
there the ladder shows it, and only what the proposal brings is added to the load.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np

from triage.estimates.case import Case, ratio
from triage.models.stages import ROOM, SAMPLE, LineGroup, Loom
from triage.physics.conduction import american_wire_diameter, coaxial_heat, conduction_heat, wire_area
from triage.physics.radiation import (
    attenuator_heat,
    eddy_heat_plate,
    lead_heat,
    multilayer_heat_flux,
    radiation_heat,
    vapour_cooled_lead_heat,
    window_heat,
)

WARM = 300.0  # K, the room as the fits of the materials end
# Outside diameter, diameter over the dielectric, centre conductor [m] of the usual semi-rigid lines.
COAX = {
    "2.2 mm": (2.197e-3, 1.676e-3, 0.511e-3),
    "1.2 mm": (1.194e-3, 0.940e-3, 0.287e-3),
    "0.86 mm": (0.860e-3, 0.660e-3, 0.203e-3),
}
EXTRA_SPAN = 0.2  # m per span of a line that a proposal brings where the loom has none to copy; common practice
EMISSIVITY = 0.03  # effective, clean metal on clean metal; common practice
COLD_RESISTIVITY = 1.6e-10  # ohm m, copper of residual resistance ratio 100
# Attenuation above the sample stage where no loom is described [dB]; common practice.
USUAL_ATTENUATION = {"dilution": 40.0, "demagnetisation": 20.0, "helium-3 charge": 20.0}
COAX_LOAD = 4e-9  # W at a mixing chamber per attenuated stainless coax, order of magnitude (Krinner 2019)


def _remembered(function: Callable[..., Any]) -> Callable[..., Any]:
    """The function, with its answers to plain numbers kept: one ladder after another asks for the same spans."""
    known = lru_cache(maxsize=4096)(function)

    def ask(*given: Any) -> Any:
        return known(*given) if all(isinstance(each, str | float | int) for each in given) else function(*given)

    return ask


_coaxial_heat, _conduction_heat = _remembered(coaxial_heat), _remembered(conduction_heat)


@dataclass
class Part:
    """One contribution to the heat of a stage."""

    value: Any
    uses: tuple[str, ...]
    references: tuple[str, ...] = ()


@dataclass
class Ladder:
    """The contributions by stage and by name; `brought` are those at the sample that the proposal adds."""

    stages: dict[str, dict[str, Part]] = field(default_factory=dict)
    brought: dict[str, Part] = field(default_factory=dict)

    def add(self, stage: str, name: str, part: Part) -> None:
        """Add to what a stage already gets under that name."""
        standing = self.stages.setdefault(stage, {}).get(name)
        if standing is not None:
            uses = dict.fromkeys((*standing.uses, *part.uses))
            part = Part(standing.value + part.value, tuple(uses), part.references)
        self.stages[stage][name] = part


def estimate(case: Case) -> Ladder:
    """Write the ladder of a platform that has one, and return what the proposal brings to the sample stage."""
    loom, ladder = case.platform.loom, Ladder()
    _radio_frequency(case, loom, ladder)
    if loom is None:
        _extra_without_loom(case, ladder)
        return ladder
    _ramp(case, loom, ladder)
    _amplifier(case, loom, ladder)
    warm: dict[str, Any] = {ROOM: WARM}
    for index, stage in enumerate(loom.order):
        cold = _cold_end(case, stage)
        for group in loom.lines:
            _conduct(case, loom, ladder, group, stage, warm, cold, None)
        _extra(case, loom, ladder, stage, warm, cold)
        _surroundings(case, loom, ladder, stage, warm, cold, ROOM if index == 0 else loom.order[index - 1])
        warm[stage] = _settle(case, ladder, stage, cold) if stage != SAMPLE else cold
    return ladder


def _cold_end(case: Case, stage: str) -> Any:
    if stage == SAMPLE:
        return case.got("base_temperature")
    return case.number(f"platform.loom.stages.{stage}.base_temperature")


def _coax_group(loom: Loom | None) -> LineGroup | None:
    """The coaxial lines that are driven: the first group with attenuators, else the first."""
    groups = [group for group in loom.lines if group.coax is not None] if loom else []
    return next((group for group in groups if group.attenuation), groups[0] if groups else None)


def _radio_frequency(case: Case, loom: Loom | None, ladder: Ladder) -> None:
    """Power put in at the top of the driven lines, left in the attenuators and at the sample."""
    power = case.number("lines.rf_power")
    if power is None:
        return
    usual = float(case.kind.usual.get("coax", 0.0))
    driven = np.maximum(case.numeral("lines.coax", usual, "common practice"), 1.0)
    total = power * case.numeral("lines.duty", 1.0) * driven
    uses = ("lines.rf_power", "lines.duty", "lines.coax")
    group = _coax_group(loom)
    if loom is None or group is None:
        above = USUAL_ATTENUATION.get(case.platform.cooling.mechanism, 0.0)
        case.put("attenuation_above_sample", above, "", "decibels, usual for the kind of cooling",
                 basis="common practice")  # fmt: skip
        heat = total * 10.0 ** (-above / 10.0)
        ladder.brought["attenuators"] = Part(heat, (*uses, "attenuation_above_sample"), ("Krinner2019",))
        return
    seats = [stage for stage in loom.order if stage in group.attenuation]
    paths = [f"platform.loom.lines.{group.id}.attenuation.{stage}" for stage in seats]
    losses = [np.asarray(case.number(path)) for path in paths]
    parts = attenuator_heat(total, np.stack(np.broadcast_arrays(*losses), axis=-1) if losses else np.zeros(0))
    heats = [parts[..., place][()] for place in range(len(seats) + 1)]
    for stage, heat in zip([*seats, SAMPLE], heats, strict=True):
        ladder.add(stage, "attenuators", Part(heat, (*uses, *paths), ("Krinner2019",)))
    ladder.brought["attenuators"] = ladder.stages[SAMPLE]["attenuators"]


def _extra_without_loom(case: Case, ladder: Ladder) -> None:
    extra = case.number("lines.extra_coax")
    if extra is not None and case.platform.cooling.mechanism == "dilution":
        ladder.brought["more lines"] = Part(extra * COAX_LOAD, ("lines.extra_coax",), ("Krinner2019",))


def _ramp(case: Case, loom: Loom, ladder: Ladder) -> None:
    rate = case.number("field.ramp_rate")
    if rate is None or loom.plate is None:
        return
    paths = tuple(f"platform.loom.plate.{name}" for name in ("length", "width", "thickness"))
    length, width, thickness = (case.numeral(path, 0.0) for path in paths)
    resistivity = case.numeral("platform.loom.plate.resistivity", COLD_RESISTIVITY, "common practice")
    heat = eddy_heat_plate(length, width, thickness, resistivity, rate)
    part = Part(heat, ("field.ramp_rate", *paths, "platform.loom.plate.resistivity"), ("YoungBudynas2002",))
    ladder.add(SAMPLE, "field ramp", part)
    ladder.brought["field ramp"] = part


def _amplifier(case: Case, loom: Loom, ladder: Ladder) -> None:
    """An amplifier at 4 K heats the coldest stage that is not below 2 K."""
    power = case.number("heat.amplifier")
    if power is None or case.proposal.heat.amplifier_at == SAMPLE:
        return
    seats = [stage.id for stage in loom.stages if stage.base_temperature.nominal >= 2.0]
    part = Part(power * case.numeral("heat.duty", 1.0), ("heat.amplifier", "heat.duty"))
    if seats:
        ladder.add(seats[-1], "amplifier", part)
    else:
        ladder.add(SAMPLE, "amplifier", part)
        ladder.brought["amplifier"] = part


def _conduct(
    case: Case, loom: Loom, ladder: Ladder, group: LineGroup, stage: str, warm: dict[str, Any], cold: Any, count: Any
) -> None:
    """The heat of one span of a group, from its last anchor above; `count` stands for lines that are brought."""
    if stage not in group.length:
        return
    root = f"platform.loom.lines.{group.id}"
    anchored = [name for name in loom.order[: loom.order.index(stage)] if name in group.length]
    hot = warm[anchored[-1] if anchored else ROOM]
    length = case.number(f"{root}.length.{stage}")
    material = group.material
    for name in loom.order[: loom.order.index(stage) + 1]:
        material = group.below.get(name, material)
    one, shape = _one_line(case, group, root, material, length, cold, hot)
    uses = ("lines.extra_coax",) if count is not None else (f"{root}.count",)
    lines = case.number(f"{root}.count") if count is None else count
    name = "conduction" if count is None else "more lines"
    ladder.add(stage, name, Part(lines * one, (*uses, f"{root}.length.{stage}", *shape), ("Marquardt2002",)))


def _one_line(
    case: Case, group: LineGroup, root: str, material: str, length: Any, cold: Any, hot: Any
) -> tuple[Any, tuple[str, ...]]:
    """The heat of one line of a group and the inputs that gave its cross-section."""
    if group.coax is not None:
        return _coaxial_heat(material, "ptfe", material, *COAX[group.coax], length, cold, hot), ()
    name = next(each for each in ("gauge", "diameter", "area") if getattr(group, each) is not None)
    number = case.numeral(f"{root}.{name}", 0.0)
    area = number if name == "area" else wire_area(american_wire_diameter(number) if name == "gauge" else number)
    return _conduction_heat(material, area, length, cold, hot), (f"{root}.{name}",)


def _extra(case: Case, loom: Loom, ladder: Ladder, stage: str, warm: dict[str, Any], cold: Any) -> None:
    """Lines that the proposal brings are like the platform's coaxial lines, or of a usual kind where it has none."""
    extra = case.number("lines.extra_coax")
    if extra is None:
        return
    group = _coax_group(loom)
    if group is not None:
        _conduct(case, loom, ladder, group, stage, warm, cold, extra)
    else:
        above = loom.order.index(stage) - 1
        hot = warm[loom.order[above] if above >= 0 else ROOM]
        steel = "stainless_steel"
        heat = extra * _coaxial_heat(steel, "ptfe", steel, *COAX["2.2 mm"], EXTRA_SPAN, cold, hot)
        ladder.add(stage, "more lines", Part(heat, ("lines.extra_coax",), ("Marquardt2002", "Krinner2019")))
    if stage == SAMPLE and "more lines" in ladder.stages.get(SAMPLE, {}):
        ladder.brought["more lines"] = ladder.stages[SAMPLE]["more lines"]


def _surroundings(
    case: Case, loom: Loom, ladder: Ladder, stage: str, warm: dict[str, Any], cold: Any, above: str
) -> None:
    """Radiation, windows and current leads onto a stage."""
    for index, seen in enumerate(loom.radiation):
        if seen.onto == stage:
            root = f"platform.loom.radiation.{index}"
            area, hot = case.numeral(f"{root}.area", 0.0), warm[seen.seen]
            if seen.layers is not None:
                heat = area * multilayer_heat_flux(cold, hot, case.numeral(f"{root}.layers", 1.0))
                ladder.add(stage, "radiation", Part(heat, (f"{root}.area", f"{root}.layers"), ("Parma2014",)))
            else:
                emissivity = case.numeral(f"{root}.emissivity", EMISSIVITY, "common practice")
                heat = radiation_heat(area, cold, hot, emissivity)
                ladder.add(stage, "radiation", Part(heat, (f"{root}.area", f"{root}.emissivity"), ("Ekin2006",)))
    for index, window in enumerate(loom.windows):
        if window.onto == stage:
            root = f"platform.loom.windows.{index}"
            heat = window_heat(case.numeral(f"{root}.area", 0.0), WARM, case.numeral(f"{root}.transmission", 1.0))
            ladder.add(stage, "window", Part(heat, (f"{root}.area", f"{root}.transmission"), ("Ekin2006",)))
    for index, leads in enumerate(loom.leads):
        if leads.onto == stage:
            root = f"platform.loom.leads.{index}"
            current, count = case.numeral(f"{root}.current", 0.0), case.numeral(f"{root}.count", 0.0)
            vapour = leads.cooled_by == "vapour"
            heat = count * (current * _vapour_lead() if vapour else lead_heat(current, cold, warm[above]))
            source = "Wilson1983" if vapour else "McFee1959"
            ladder.add(stage, "current leads", Part(heat, (f"{root}.count", f"{root}.current"), (source,)))


@lru_cache(maxsize=1)
def _vapour_lead() -> float:
    """The heat of one vapour-cooled lead per ampere; the equation scales with the current."""
    return float(vapour_cooled_lead_heat(1.0))


def total(case: Case, ladder: Ladder, stage: str) -> Any:
    """Write the parts and the sum of a stage's heat down, and return the sum."""
    parts = ladder.stages.get(stage, {})
    names = []
    for name, part in parts.items():
        names.append(f"stage_load.{stage}.{name.replace(' ', '-')}")
        fine = bool(np.all(np.isfinite(part.value)))
        problems = [] if fine else ["a conductor is outside the temperatures its data cover"]
        case.put(names[-1], _plain(part.value), "W", _FORMULAS[name], *part.uses, references=part.references,
                 problems=problems)  # fmt: skip
    heat = sum((part.value for part in parts.values()), 0.0)
    words = " + ".join(parts) or "nothing is described"
    return case.put(f"stage_load.{stage}", _plain(heat), "W", words, *names, basis=None if names else "stated")


_FORMULAS = {
    "conduction": "Σ lines × (A / length) ∫ k dT",
    "more lines": "lines brought × (A / length) ∫ k dT",
    "attenuators": "power in − power out of the attenuator, what reaches the end counted at the sample",
    "radiation": "σ ε A (T_hot⁴ − T_cold⁴), or the flux through the insulation × area",
    "window": "transmission × σ A T_room⁴",
    "current leads": "leads × the least heat of a lead of that current",
    "amplifier": "amplifier × duty",
    "device": "device × duty",
    "stated lines": "as stated",
    "field ramp": "t (dB/dt)² J / (4 ρ)",
}


def _settle(case: Case, ladder: Ladder, stage: str, cold: Any) -> Any:
    """Where a stage comes to rest: a straight line between base and quoted power, in T² below 1.5 K."""
    heat = total(case, ladder, stage)
    root = f"platform.loom.stages.{stage}"
    power = case.number(f"{root}.cooling_power")
    if power is None:
        return case.put(f"stage_temperature.{stage}", cold, "K", "as stated", f"{root}.base_temperature")
    at = case.numeral(f"{root}.power_at", 1.0)
    exponent = np.where(np.asarray(at) < 1.5, 2.0, 1.0)
    margin = ratio(power, heat)
    problems = ["the stage gets more than its quoted power"] if np.any(np.less(margin, 1.0)) else []
    with np.errstate(invalid="ignore"):
        settled = (cold**exponent + (at**exponent - cold**exponent) * (heat / power)) ** (1 / exponent)
    case.put(f"stage_margin.{stage}", margin, "", "quoted power / load", f"{root}.cooling_power", f"stage_load.{stage}")
    standing = case.facts.get("stage_margin")
    if standing is None or np.any(np.less(margin, standing)):
        case.put("tightest_stage", stage, "", "the stage with the smallest margin", f"stage_margin.{stage}")
    case.fact("stage_margin", margin if standing is None else _plain(np.fmin(standing, margin)))
    case.gate("heat", heat, power, "W", margin, f"stage {stage}")
    return case.put(f"stage_temperature.{stage}", _plain(np.minimum(settled, WARM)), "K",
                    "base + (quoted − base) × load / quoted power, in T² below 1.5 K", f"stage_load.{stage}",
                    f"{root}.cooling_power", f"{root}.power_at", f"{root}.base_temperature",
                    problems=problems)  # fmt: skip


def dominant(case: Case, ladder: Ladder, sample_margin: Any) -> None:
    """Name the largest load: at the tightest stage, or at the sample where that is tighter."""
    stage_margin = case.facts.get("stage_margin")
    upper = stage_margin is not None and bool(np.all(np.less(stage_margin, sample_margin)))
    stage = str(case.got("tightest_stage")) if upper else SAMPLE
    parts = ladder.stages.get(stage, {}) if upper else ladder.brought
    known = {name: _middle(part.value) for name, part in parts.items()}
    if not known or not 0 < sum(known.values()) < np.inf:
        return
    name = max(known, key=lambda each: known[each])
    case.put("dominant_stage", stage, "", "the tighter of sample and stages", basis="stated")
    case.put("dominant_load", name, "", f"largest part of the heat at '{stage}'", *parts[name].uses)
    case.fact("dominant_load", name)
    case.fact("dominant_share", float(known[name] / sum(known.values())))


def _middle(value: Any) -> float:
    """A number that stands for a value where a word must be chosen."""
    return float(value) if np.ndim(value) == 0 else float(np.median(value))


def _plain(value: Any) -> Any:
    return value if np.ndim(value) else float(value)
