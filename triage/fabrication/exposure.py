"""Exposing a layer with one tool: what it resolves there, in which resist, and how long it takes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from triage.fabrication.figures import figure
from triage.models.cleanroom import Beam, ElectronBeam, Exposing, LaserWriter, MaskAligner, Resist, Stepper
from triage.models.estimate import Estimate
from triage.models.fabrication import Layer
from triage.models.quantity import Value
from triage.physics.lithography import (
    LIFT_OFF_COMFORTABLE,
    LIFT_OFF_LEAST,
    field_count,
    proximity_feature,
    shot_rate,
    spin_thickness,
    write_time,
)

SPOTS_PER_FEATURE = 4.0  # a line is a few spots wide; common practice
STEEPEST = 5.0  # single-layer resist thickness over line width; common practice
RESIST_OVER_ETCHED = 1.5  # resist lost at the rate of the film, with a reserve; common practice
EXPOSURE_WORDS = {
    "electron-beam writer": "electron beam", "mask aligner": "mask", "laser writer": "laser", "stepper": "stepper",
}  # fmt: skip


@dataclass(frozen=True)
class Region:
    """A part of a layer that is written with one setting."""

    name: str
    feature: Value
    area: float
    extent: Value


@dataclass(frozen=True)
class Coat:
    """A resist as spun for a layer."""

    resist: Resist
    speed: float
    thickness: float
    ratio: float
    needed: float
    enough: bool
    resolves: float


@dataclass(frozen=True)
class Print:
    """Regions of a layer exposed by one tool."""

    tool: Exposing
    regions: tuple[Region, ...]
    coat: Coat
    resolves: Estimate
    limit: str
    per_chip: float
    per_piece: float
    per_run: float
    pieces_per_run: float
    beam_time: float = 0.0
    beam_area: float = 0.0
    beam_current: float = 0.0
    fields: float = 1.0
    stitch_margin: float = math.inf

    @property
    def word(self) -> str:
        """The way of exposing, as rules name it."""
        return EXPOSURE_WORDS[self.tool.kind]

    @property
    def margin(self) -> float:
        """Feature over what is resolved, in the tightest region."""
        return min(region.feature.nominal for region in self.regions) / float(self.resolves.value)


def regions(layer: Layer) -> tuple[Region, ...]:
    """The fine core and the coarse rest of a layer, or the whole where they are not told apart."""
    feature, fine = layer.smallest_feature, layer.fine_area
    if feature is None:
        return ()
    total = layer.exposed_area.nominal
    if fine is None or fine.nominal >= total:
        return (Region("whole", feature, total, layer.extent),)
    core = Region("fine", feature, fine.nominal, layer.fine_extent or feature)
    coarse = layer.coarse_feature if layer.coarse_feature.nominal > feature.nominal else feature
    return (core, Region("coarse", coarse, total - fine.nominal, layer.extent))


def expose(tool: Exposing, layer: Layer, parts: Sequence[Region], resists: Sequence[Resist]) -> Print | None:
    """Expose some regions of a layer with a tool; None where there is no resist for it."""
    coat = _coat(tool, layer, min(part.feature.nominal for part in parts), resists)
    if coat is None:
        return None
    if isinstance(tool, ElectronBeam):
        return _by_beam(tool, layer, tuple(parts), coat)
    resolves, limit = _optical_limit(tool, coat)
    if isinstance(tool, LaserWriter):
        sweep = max(part.extent.nominal for part in parts) ** 2 / tool.speed.nominal
        times = (sweep, 0.0, tool.load_time.nominal, tool.pieces_per_run.nominal)
    else:
        times = (0.0, tool.run_time.nominal, 0.0, 1.0)
    return Print(tool, tuple(parts), coat, resolves, limit, *times)


def _optical_limit(tool: Exposing, coat: Coat) -> tuple[Estimate, str]:
    assert not isinstance(tool, ElectronBeam)
    uses: dict[str, Value | Estimate] = {f"{tool.id}.smallest": tool.smallest}
    resolves, limit = tool.smallest.nominal, "the tool's smallest feature"
    if isinstance(tool, MaskAligner):
        printed = float(proximity_feature(tool.wavelength.nominal, tool.gap.nominal, coat.thickness))
        uses |= {f"{tool.id}.wavelength": tool.wavelength, f"{tool.id}.gap": tool.gap}
        if printed > resolves:
            resolves, limit = printed, "diffraction in the gap and the resist"
    # A reduction lens comes with a resist that follows it; contact and laser use what the room spins.
    if not isinstance(tool, Stepper) and coat.resist.finest.nominal > resolves:
        resolves, limit = coat.resist.finest.nominal, f"the resist ({coat.resist.name})"
    formula = "largest of tool limit, (3/2) sqrt(lambda (s + d/2)) for a mask aligner, and resist limit"
    return figure("feature_resolved", resolves, "m", formula, uses, "Thompson1983"), limit


def _by_beam(tool: ElectronBeam, layer: Layer, parts: tuple[Region, ...], coat: Coat) -> Print:
    dose = dose_at(coat.resist, tool)
    finest = min(beam.spot.nominal for beam in tool.beams)
    limits = {
        "the spot": SPOTS_PER_FEATURE * finest,
        f"the resist ({coat.resist.name})": coat.resolves,
    }
    limit = max(limits, key=limits.__getitem__)
    uses = {f"{tool.id}.beams.spot": min((b.spot for b in tool.beams), key=lambda v: v.nominal),
            f"{coat.resist.name}.finest": coat.resist.finest}  # fmt: skip
    resolves = figure("feature_resolved", limits[limit], "m",
                      "largest of 4 spots, resist limit, and resist thickness/5 without undercut", uses)  # fmt: skip
    written = [_write(tool, part, dose) for part in parts]
    times = [time for time, _, _ in written]
    longest = max(range(len(parts)), key=times.__getitem__)
    align = tool.align_time.nominal if layer.overlay_to else 0.0
    return Print(
        tool, parts, coat, resolves, limit, sum(times) + align, 0.0, tool.load_time.nominal,
        tool.pieces_per_run.nominal, sum(times), parts[longest].area, written[longest][1].current.nominal,
        max(fields for _, _, fields in written),
        min((part.feature.nominal / 3 / tool.stitching.nominal
             for part, (_, _, fields) in zip(parts, written, strict=True) if fields > 1), default=math.inf),
    )  # fmt: skip


def _write(tool: ElectronBeam, part: Region, dose: float) -> tuple[float, Beam, float]:
    beam = choose_beam(tool, part.feature.nominal, dose)
    side = max(part.extent.nominal, math.sqrt(part.area))
    fields = float(field_count(side, side, tool.write_field.nominal))
    time = write_time(part.area, dose, beam.current.nominal, fields, tool.field_time.nominal,
                      step=beam.spot.nominal, clock=tool.clock.nominal)  # fmt: skip
    return float(time), beam, fields


def choose_beam(tool: ElectronBeam, feature: float, dose: float) -> Beam:
    """The largest current whose spot is fine enough and whose shots the clock can follow; else the finest spot."""
    usable = [
        beam for beam in tool.beams
        if SPOTS_PER_FEATURE * beam.spot.nominal <= feature * (1 + 1e-9)
        and float(shot_rate(dose, beam.current.nominal, beam.spot.nominal)) <= tool.clock.nominal
    ]  # fmt: skip
    if usable:
        return max(usable, key=lambda beam: beam.current.nominal)
    return min(tool.beams, key=lambda beam: beam.spot.nominal)


def dose_at(resist: Resist, tool: ElectronBeam) -> float:
    """Area dose at the tool's voltage [C/m^2]: in proportion to the voltage, as faster electrons lose less."""
    return resist.dose.nominal * tool.voltage.nominal / resist.dose_at.nominal


def _coat(tool: Exposing, layer: Layer, feature: float, resists: Sequence[Resist]) -> Coat | None:
    wanted = "electrons" if isinstance(tool, ElectronBeam) else "light"
    fitting = [resist for resist in resists if resist.sensitive_to == wanted]
    # An undercut serves lift-off and spoils an etch; a bridge for two angles cannot do without.
    with_undercut = layer.deposition == "angle evaporated"
    coats = [spin(resist, layer) for resist in fitting if resist.undercut or not with_undercut]
    if layer.made_by != "lift-off":
        coats = [coat for coat in coats if not coat.resist.undercut] or coats
    if not coats:
        return None
    return min(coats, key=lambda coat: (not coat.enough, coat.resolves > feature, _shortfall(coat), coat.thickness))


def _shortfall(coat: Coat) -> float:
    return 0.0 if coat.enough else -coat.ratio


def spin(resist: Resist, layer: Layer) -> Coat:
    """A resist spun as thin as the layer allows, within the speeds it spins well at."""
    film = layer.thickness.nominal if layer.thickness else 0.0
    needed = _ratio_needed(resist, layer)
    target, calibrated = needed * film, resist.thickness.nominal
    speed = resist.fastest.nominal
    if target > 0:
        speed = resist.at_speed.nominal * (calibrated / target) ** (1 / resist.exponent.nominal)
        speed = min(max(speed, resist.slowest.nominal), resist.fastest.nominal)
    thickness = float(spin_thickness(speed, calibrated, resist.at_speed.nominal, resist.exponent.nominal))
    ratio = thickness / film if film else math.inf
    lines = 0.0 if resist.undercut else thickness / STEEPEST
    enough = ratio >= needed * (1 - 1e-9)
    resolves = resist.finest.nominal if resist.sensitive_to == "light" else max(resist.finest.nominal, lines)
    return Coat(resist, speed, thickness, ratio, needed, enough, resolves)


def _ratio_needed(resist: Resist, layer: Layer) -> float:
    if layer.made_by == "lift-off":
        return LIFT_OFF_LEAST if resist.undercut else LIFT_OFF_COMFORTABLE
    return RESIST_OVER_ETCHED if layer.made_by == "etch" else 0.0
