"""What screening at ambient, nitrogen and helium temperature looks like.

All of it is illustrative: typical materials stand in for those of the proposal.
"""

from __future__ import annotations

from math import log

import numpy as np

from triage.measurements.curves.coulomb import number
from triage.measurements.curves.form import Array, Axis, Curve, Mark, column, law, span_of
from triage.measurements.kind import Inputs
from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.occupation import bose
from triage.physics.transport import subthreshold_swing

_OPTICAL_PHONON = 0.036 * elementary_charge  # J, GaAs
_RICHARDSON = 1.2e6  # A/(m² K²), free electrons
_TUNNELLING = 1e-9  # Ω m² that doping lets tunnel beside the barrier


def mobility(inputs: Inputs, temperatures: Array, points: int) -> Curve:  # noqa: ARG001  asks for nothing
    """Mobility of a good GaAs layer: impurities, acoustic phonons (∝ 1/T) and optical phonons, rates added.

    100 m²/Vs from impurities, 3300 m²/Vs over T from acoustic phonons, 0.33 m²/Vs per optical phonon.
    """
    axis = span_of(temperatures, 1.0, 300.0, points)

    def value(warm: Array) -> tuple[Array, ...]:
        acoustic, optical = 3e-4 * warm, 3 * np.asarray(bose(_OPTICAL_PHONON, warm))
        phonons = 1 / (acoustic + optical)
        return 1 / (0.01 + 1 / phonons), np.full_like(warm, 100.0), phonons

    lines, at = law(value, axis, temperatures)
    return Curve(
        title="Hall mobility",
        note="Look for the flat end: once impurities are left, colder tells nothing new. A good GaAs layer is drawn.",
        x=Axis("temperature", "K", axis, logarithmic=True),
        y=Axis("mobility", "m2/V/s", logarithmic=True, high=1e3),
        lines=lines,
        temperatures=temperatures,
        names=("layer", "impurities", "phonons"),
        points=at,
        illustrative=True,
        references=("AndoFowlerStern1982",),
    )


def transistor(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Drain current against gate: one expression from weak to strong inversion, with the swing's band tail.

    I ∝ ln²(1 + exp((V - V_T)/2u)), u the swing over ln 10; V_T rises by 0.1 V on cooling, floor 0.1 pA.
    """
    tail = number(inputs, "band_tail", 0.003 * elementary_charge)
    warm = column(temperatures)
    gate = np.linspace(0.0, 1.0, points)
    unit = np.asarray(subthreshold_swing(warm, tail)) / log(10)
    threshold = 0.45 + 0.1 * (1 - np.minimum(warm, 300.0) / 300.0)
    lines = 4e-5 * (2 * 0.05 * np.logaddexp(0.0, (gate - threshold) / (2 * unit)) * unit / 0.05) ** 2 + 1e-13
    return Curve(
        title="Transfer curve of a transistor",
        note="Look at the steep part: its slope follows temperature only down to the band tail. Threshold and "
        "drive are typical.",
        x=Axis("gate voltage", "V", gate),
        y=Axis("drain current", "A", logarithmic=True),
        lines=lines,
        temperatures=temperatures,
        illustrative=True,
        references=("Beckers2020", "Bohuslavskyi2019", "Enz1995"),
    )


def breakdown(inputs: Inputs, temperatures: Array, points: int) -> Curve:  # noqa: ARG001  asks for nothing
    """Weibull plot of breakdown fields, shape 12, 63 % at 12 MV/cm and 6 % more in the cold."""
    strength = np.linspace(7e8, 15e8, points)
    scale = 12e8 * (1 + 0.06 * (1 - np.minimum(column(temperatures), 300.0) / 300.0))
    return Curve(
        title="Weibull plot of breakdown fields",
        note="Look at slope and scatter, which devices decide; temperature hardly moves the line. A good oxide "
        "is drawn.",
        x=Axis("field in the dielectric", "V/m", strength, logarithmic=True),
        y=Axis("ln(-ln(1 - share broken))", ""),
        lines=12 * np.log(strength / scale),
        temperatures=temperatures,
        marks=(Mark("63 %", 0.0, "y"),),
        illustrative=True,
        references=("Degraeve1998",),
    )


def contact(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Specific resistance of a contact: over the barrier, (k/eA T) exp(φ/kT), beside tunnelling through it."""
    working = number(inputs, "working_temperature", 4.4)
    axis = span_of(temperatures, 1.0, 300.0, points)

    def value(warm: Array) -> tuple[Array, ...]:
        lines = []
        for barrier in (0.05, 0.01, 0.2):
            reduced = np.minimum(barrier * elementary_charge / (boltzmann * warm), 200.0)
            over = elementary_charge * _RICHARDSON * warm / boltzmann * np.exp(-reduced)
            lines.append(1 / (over + 1 / _TUNNELLING))
        return tuple(lines)

    lines, at = law(value, axis, temperatures)
    return Curve(
        title="Resistance of a contact",
        note="Look at the working temperature: a contact that is ohmic at 300 K may be closed there. Three "
        "barriers with the same doping are drawn.",
        x=Axis("temperature", "K", axis, logarithmic=True),
        y=Axis("specific contact resistance", "ohm*m2", logarithmic=True),
        lines=lines,
        temperatures=temperatures,
        names=("barrier 50 meV", "barrier 10 meV", "barrier 200 meV"),
        points=at,
        marks=(Mark("working temperature", working),),
        illustrative=True,
        references=("Schroder2006",),
    )


def spin_valve(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Resistance of a tunnel junction between two magnets while the field goes up, 2P²/(1 - P²) high.

    P = 0.327 (1 - (T/T_s)^1.5), with T_s 690 K (CoFe) or the ordering temperature; coercive fields 10 and 40 mT.
    """
    vanishing = number(inputs, "ordering_temperature", 690.0)
    polarised = 0.327 * np.maximum(1 - (column(temperatures) / vanishing) ** 1.5, 0.0)
    contrast = 2 * polarised**2 / (1 - polarised**2)
    field = np.linspace(-0.1, 0.1, points)
    opposite = 0.5 * (np.tanh((field - 0.010) / 0.0015) - np.tanh((field - 0.040) / 0.0015))
    return Curve(
        title="Loop of a spin valve, field going up",
        note="Look at the height between the two switching fields; the way down is the mirror image. Fields and "
        "polarisation are typical.",
        x=Axis("field", "T", field),
        y=Axis("change of resistance", ""),
        lines=contrast * opposite,
        temperatures=temperatures,
        marks=(Mark("first magnet", 0.010), Mark("second magnet", 0.040)),
        illustrative=True,
        references=("Moodera1995", "Julliere1975", "Shang1998"),
    )


def cold_transistor(inputs: Inputs, temperatures: Array, points: int) -> Curve:  # noqa: ARG001
    """Output curve of a cold transistor: more current in the cold, and below freeze-out a kink.

    Drive ∝ T^-0.7 down to 60 K, kink of 25 % at 1.1 V below 20 K: typical of bulk silicon.
    """
    warm = column(temperatures)
    drain = np.linspace(0.0, 1.8, points)
    drive = 1e-3 * (300.0 / np.clip(warm, 60.0, 300.0)) ** 0.7
    frozen = 1 / (1 + np.exp(np.clip((warm - 20.0) / 4.0, -60.0, 60.0)))
    kink = 1 + 0.25 * frozen / (1 + np.exp(-(drain - 1.1) / 0.05))
    return Curve(
        title="Output curve of a cold transistor",
        note="Look for the kink at high drain voltage once the substrate is frozen out. Drive and kink are "
        "typical of bulk silicon.",
        x=Axis("drain voltage", "V", drain),
        y=Axis("drain current", "A"),
        lines=drive * np.tanh(drain / 0.3) * (1 + 0.05 * drain) * kink,
        temperatures=temperatures,
        illustrative=True,
        references=("CommonPractice",),
    )


CURVES = {
    "hall-mobility": mobility,
    "transistor-screening": transistor,
    "dielectric-breakdown": breakdown,
    "contact-resistance": contact,
    "magnetoresistance": spin_valve,
    "cold-electronics": cold_transistor,
}
