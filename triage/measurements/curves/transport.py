"""What quantum transport looks like: oscillations, Hall plateaus, interference, Kondo, steps."""

from __future__ import annotations

import numpy as np

from triage.measurements.criteria import given
from triage.measurements.curves.coulomb import number
from triage.measurements.curves.form import Array, Axis, Curve, Mark, column, law, span_of, thermal
from triage.measurements.kind import Inputs
from triage.physics.constants import boltzmann, elementary_charge, flux_quantum, reduced_planck, resistance_quantum
from triage.physics.energy import thouless_energy
from triage.physics.kind import Numbers
from triage.physics.occupation import fermi
from triage.physics.transport import (
    activated_resistivity,
    coherence_length,
    dingle_factor,
    interference_amplitude,
    kondo_conductance,
    quantised_conductance,
    thermal_damping,
    weak_localisation,
)

_FIELD = 2.0  # T where neither device nor proposal names one
_SHEET = 1000.0  # ohm per square of a typical thin film or layer
_PHONONS = 1e8  # 1/(s K³), dephasing by phonons in a metal film, order of magnitude


def shubnikov(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Oscillating resistance, ΔR/R = 4 R_T R_D cos(2π B_F/B - π), first harmonic.

    A frequency of ten times and a quantum mobility of 0.8 over the lowest field stand for a typical layer.
    """
    mass = number(inputs, "effective_mass")
    lowest = number(inputs, "lowest_field", number(inputs, "field", _FIELD)) or _FIELD
    field = 1 / np.linspace(1 / (0.5 * lowest), 1 / (2.5 * lowest), points)
    heat = np.asarray(thermal_damping(column(temperatures), field, mass))
    disorder = np.asarray(dingle_factor(field, 0.8 / lowest))
    return Curve(
        title="Shubnikov-de Haas oscillations",
        note="Look at the amplitude at one field while the temperature changes: it gives the mass. Density and "
        "disorder are those of a typical layer.",
        x=Axis("field", "T", field),
        y=Axis("change of resistance over its mean", ""),
        lines=4 * heat * disorder * np.cos(2 * np.pi * 10 * lowest / field - np.pi),
        temperatures=temperatures,
        marks=(Mark("lowest field", lowest),),
        illustrative=True,
        references=("Shoenberg1984",),
    )


def quantum_hall(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Hall resistance against field: extended states at the middle of each level, the rest localised.

    σ_xy sums Fermi functions of the level centres, so that a plateau is off by exp(-Δ/2kT); σ_xx is left out.
    Gap proportional to field, filling 2 at the field named, steps of 2 % of the gap at zero temperature.
    """
    gap = number(inputs, "gap")
    named = number(inputs, "field", np.nan)
    share = np.linspace(0.35, 2.2, points)
    filling = 2 / share
    spacing = gap * share
    heat = np.sqrt(thermal(column(temperatures)) ** 2 + (0.02 * spacing) ** 2)
    heat = np.minimum(heat, 0.8 * spacing)  # steps below 1e-6 from there on
    across = np.zeros((len(temperatures), points))
    # Below filling zero a mirrored ladder keeps the sum of a hot layer classical.
    for level in range(-12, 18):
        across += np.asarray(fermi((level + 0.5 - filling) * spacing, heat / boltzmann)) - (level < 0)
    known = np.isfinite(named)
    return Curve(
        title="Plateaus of the Hall resistance",
        note="Look at how wide and flat the plateaus are; warm, they shrink to a straight line. A simple "
        "activated model is drawn, with filling two at the field named.",
        x=Axis("field", "T", share * named) if known else Axis("field over that named", "", share),
        y=Axis("Hall resistance", "ohm"),
        lines=resistance_quantum / across,
        temperatures=temperatures,
        marks=(Mark("h/2e²", resistance_quantum / 2, "y"), Mark("filling 2", named if known else 1.0)),
        illustrative=True,
        references=("PrangeGirvin1990", "vonKlitzing1980"),
    )


def fractional(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Resistivity in the minimum against inverse temperature, exp(-Δ/2kT) over its warm limit."""
    gap = number(inputs, "activation_gap")
    scale = boltzmann / gap
    inverse = np.linspace(0.2 * scale, 14 * scale, points)

    def value(warm: Array) -> tuple[Array, ...]:
        simple = np.maximum(np.asarray(activated_resistivity(warm, gap, 1.0)), 1e-300)
        # Hopping takes over in the cold; its strength is an illustration.
        hopping = 0.03 * np.exp(-np.sqrt(gap / (4 * boltzmann * warm)))
        return simple + hopping, simple

    lines, at = law(value, 1 / inverse, temperatures)
    return Curve(
        title="Activation of a fractional state",
        note="Look at the straight part, between a tenth and half of the gap; its slope is the gap. Hopping "
        "bends the cold end; how much is an illustration.",
        x=Axis("inverse temperature", "1/K", inverse),
        y=Axis("resistivity in the minimum over its warm limit", "", logarithmic=True),
        lines=lines,
        temperatures=temperatures,
        names=("with hopping", "activated"),
        points=np.stack([1 / at[:, 0], at[:, 1]], axis=-1),
        marks=(Mark("Δ/2", 2 * scale), Mark("Δ/10", 10 * scale)),
        illustrative=True,
        references=("PrangeGirvin1990", "Pan1999"),
    )


def dephasing_length(diffusion: float, warm: Array) -> Array:
    """Phase coherence length of a film of 1 kΩ: electron-electron and phonon dephasing [m]."""
    part = _SHEET / resistance_quantum
    electrons = boltzmann * warm / reduced_planck * part * np.log(1 / (2 * part))
    return np.asarray(coherence_length(diffusion, 1 / (electrons + _PHONONS * warm**3)))


def interference(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Magnetoconductance of a layer, or h/e oscillations of a ring where one is named.

    Dephasing as in a film of 1 kΩ per square (electron-electron) with typical phonons.
    """
    diffusion = number(inputs, "diffusion", 0.01)
    length = dephasing_length(diffusion, column(temperatures))
    around = float(given(inputs, "ring_length", np.nan))
    if np.isfinite(around):
        period = 2 * flux_quantum * 4 * np.pi / around**2
        field = np.linspace(0.0, 4 * period, points)
        energy = thouless_energy(diffusion, around / 2)
        swing = np.asarray(interference_amplitude(column(temperatures), energy, around / 2, length))
        lines, title = swing * np.cos(2 * np.pi * field / period), "Aharonov-Bohm oscillations of a ring"
        note = "Look at the swing: both the coherence length and the averaging over k_B T take from it."
    else:
        narrow = reduced_planck / (4 * elementary_charge * float(dephasing_length(diffusion, np.ones(1))[0]) ** 2)
        side = np.geomspace(0.02, 60.0, points - points // 2)
        field = narrow * np.concatenate([-side[: -(points // 2) - 1 : -1], side])
        lines = np.asarray(weak_localisation(field, length))
        title = "Weak localisation around zero field"
        note = "Look at the cusp: the sharper, the longer the coherence length."
    return Curve(
        title=title,
        note=note + " Dephasing is that of a typical film of 1 kΩ per square.",
        x=Axis("field", "T", field),
        y=Axis("change of conductance", "S"),
        lines=lines,
        temperatures=temperatures,
        illustrative=True,
        references=("HikamiLarkinNagaoka1980", "AltshulerAronovKhmelnitsky1982", "Washburn1986"),
    )


def kondo(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Conductance of a Kondo dot against temperature, the empirical curve of spin one half."""
    scale = number(inputs, "kondo_temperature") / boltzmann
    axis = span_of(temperatures, scale / 30, 30 * scale, points)
    lines, at = law(lambda warm: (kondo_conductance(warm, scale),), axis, temperatures)
    return Curve(
        title="Conductance of a Kondo dot",
        note="Look for half the height at the Kondo temperature and for the flat top at a tenth of it.",
        x=Axis("electron temperature", "K", axis, logarithmic=True),
        y=Axis("conductance over its cold limit", ""),
        lines=lines,
        temperatures=temperatures,
        names=("spin one half",),
        points=at,
        marks=(Mark("T_K", scale), Mark("T_K/10", scale / 10)),
        references=("GoldhaberGordon1998", "Costi1994"),
    )


def point_contact(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Conductance of a point contact against gate, in steps of 2e²/h rounded by the leads."""
    spacing = number(inputs, "subband_spacing")
    level = np.linspace(0.0, 5.0, points) * spacing
    last = int(min(200, 6 + 15 * float(thermal(temperatures).max()) / spacing))
    edges: Array = np.asarray(spacing * (np.arange(last) + 0.5), dtype=np.float64)
    lines: Numbers = np.stack(
        [
            # Cold lines stop at the subbands they can reach.
            np.asarray(quantised_conductance(level, float(each), edges[: int(7 + 15 * boltzmann * each / spacing)]))
            for each in temperatures
        ]
    )
    return Curve(
        title="Quantised conductance of a point contact",
        note="Look at how flat the plateaus are: from a spacing of 4 k_B T they show, from 10 k_B T they are "
        "flat. Steps sharp but for temperature are assumed.",
        x=Axis("energy of the leads above the lowest edge of the channel", "J", level),
        y=Axis("conductance over 2e²/h", "", low=0.0, high=6.0),
        lines=np.asarray(lines) * resistance_quantum / 2,
        temperatures=temperatures,
        marks=tuple(Mark(f"{n} × 2e²/h", float(n), "y") for n in (1, 2, 3)),
        references=("vanWees1988",),
    )


CURVES = {
    "quantum-oscillations": shubnikov,
    "quantum-hall": quantum_hall,
    "fractional-hall": fractional,
    "weak-localisation": interference,
    "kondo": kondo,
    "point-contact": point_contact,
}
