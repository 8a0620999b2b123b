"""What tunnelling spectra and single switching defects look like."""

from __future__ import annotations

import numpy as np

from triage.display import show
from triage.measurements.criteria import activation_window
from triage.measurements.curves.coulomb import machine_lines, number
from triage.measurements.curves.form import (
    Array,
    Axis,
    Curve,
    Mark,
    column,
    crowded,
    modulated,
    normalised,
    seen_by_lock_in,
    thermal,
)
from triage.measurements.curves.superconducting import smeared_spectrum
from triage.measurements.kind import Inputs
from triage.physics.broadening import inelastic_factor, inelastic_kernel, level_factor
from triage.physics.constants import elementary_charge
from triage.physics.kind import Numbers

_FLOOR = 1e-8  # 1/Hz, noise of a good amplifier over the square of the step


def inelastic(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Second derivative of the current at two modes, one resolution apart, smeared by temperature and lock-in."""
    mode = number(inputs, "mode_energy")
    apart = number(inputs, "resolution", 0.1 * mode)
    lock_in = elementary_charge * number(inputs, "modulation") * 2**0.5
    finest = float(thermal(temperatures).min())
    energy = crowded(max(mode - 4 * apart, 0.0), mode + 5 * apart, points, (mode, mode + apart), finest)
    warm = seen_by_lock_in(temperatures, lock_in)

    def modes(at: Array) -> Numbers:
        # Odd in bias: the mirror image counts against it once temperature reaches zero bias.
        upper = np.asarray(inelastic_kernel(at - mode, warm)) + inelastic_kernel(at - mode - apart, warm)
        return upper - inelastic_kernel(at + mode, warm) - inelastic_kernel(at + mode + apart, warm)

    lines = modulated(modes, energy, lock_in, 2)
    width = np.sqrt((inelastic_factor * thermal(temperatures)) ** 2 + (1.2166 * lock_in) ** 2)
    return Curve(
        title="Inelastic tunnelling spectrum",
        note="Look whether two modes as far apart as the resolution wanted are told apart; each is 5.44 k_B T "
        "wide. Equal modes without natural width are drawn, each line over its own top.",
        x=Axis("bias", "V", energy / elementary_charge),
        y=Axis("d²I/dV² over its top", ""),
        lines=normalised(lines),
        temperatures=temperatures,
        widths=width / elementary_charge,
        marks=(Mark("mode", mode / elementary_charge), Mark("next mode", (mode + apart) / elementary_charge)),
        illustrative=True,
        references=("LambeJaklevic1968", "Klein1973"),
    )


def scanning(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Tip spectrum of a gap as wide as the feature named, smeared by the tip's electrons and the lock-in.

    A gap that does not depend on temperature, with a broadening of a twentieth.
    """
    feature = number(inputs, "feature_energy")
    half = feature / 2
    lock_in = elementary_charge * number(inputs, "modulation") * 2**0.5
    energy = crowded(-2.5 * feature, 2.5 * feature, points, (-half, half), 0.02 * feature)
    warm = seen_by_lock_in(temperatures, lock_in)
    lines = modulated(
        lambda at: smeared_spectrum(at / elementary_charge, warm, np.asarray(half), 0.05 * half), energy, lock_in, 1
    )
    width = level_factor * thermal(temperatures)
    return Curve(
        title="Point spectrum of a scanning tunnelling microscope",
        note="Look at the floor between the two edges, which are as far apart as the feature named. A gap with "
        "a broadening of a twentieth stands for it.",
        x=Axis("bias", "V", energy / elementary_charge),
        y=Axis("dI/dV over the value far away", ""),
        lines=lines,
        temperatures=temperatures,
        widths=np.sqrt(width**2 + (3**0.5 * lock_in) ** 2) / elementary_charge,
        marks=(Mark("edge", -half / elementary_charge), Mark("edge", half / elementary_charge)),
        illustrative=True,
        references=("Esat2022", "Dynes1978", "Klein1973"),
    )


def telegraph(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Spectrum of one defect, S/ΔI² = τ/(1 + (2πfτ)²) with τ = τ0 exp(E_a/kT)/2, over the amplifier's floor.

    Equal times in both states; a machine's comb where the platform has one.
    """
    barrier, attempt = number(inputs, "activation_energy"), number(inputs, "attempt_time", 1e-13)
    frequency = np.geomspace(0.01, 1e5, points)
    dwell = np.exp(np.minimum(barrier / thermal(column(temperatures)), 230.0)) * attempt / 2
    lines = dwell / (1 + (2 * np.pi * frequency * dwell) ** 2) + _FLOOR
    coldest, warmest = (float(each) for each in activation_window(0.1, 1e4)({**inputs, "attempt_time": attempt}))
    lines = lines + machine_lines(inputs, temperatures, frequency, 1e-6)
    return Curve(
        title="Telegraph noise of one defect",
        note="Look for a corner inside the band: too warm it switches faster than the amplifier, too cold it "
        f"never switches. This one is in the band of 0.1 Hz to 10 kHz from {show(coldest, 'K')} to "
        f"{show(warmest, 'K')}. Equal times in both states and a typical floor are assumed.",
        x=Axis("frequency", "Hz", frequency, logarithmic=True),
        y=Axis("noise power over the step squared", "1/Hz", logarithmic=True),
        lines=lines,
        temperatures=temperatures,
        illustrative=True,
        references=("Machlup1954", "KirtonUren1989"),
    )


CURVES = {"inelastic-tunnelling": inelastic, "scanning-tunnelling": scanning, "telegraph-noise": telegraph}
