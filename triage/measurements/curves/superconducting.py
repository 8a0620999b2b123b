"""What superconductors look like: transition, gap, supercurrent, resonator, qubit, detector."""

from __future__ import annotations

from math import pi

import numpy as np

from triage.measurements.curves.coulomb import number
from triage.measurements.curves.form import (
    Array,
    Axis,
    Curve,
    Mark,
    column,
    crowded,
    law,
    span_of,
    thermal,
)
from triage.measurements.kind import Inputs
from triage.physics.broadening import broadened_level, level_width
from triage.physics.constants import boltzmann, elementary_charge, planck, resistance_quantum
from triage.physics.energy import josephson_energy, weak_coupling_ratio
from triage.physics.kind import Numbers
from triage.physics.occupation import excited_population
from triage.physics.superconductivity import gap, quasiparticle_loss, two_level_loss

DYNES = 0.005  # broadening over gap of a good junction
_TERMS = 14  # Matsubara terms summed one by one; the rest is integrated
_QUIETEST = 3000.0  # Josephson energy over kT from which noise no longer shows


def transition(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Resistance through the transition at three fields.

    Half a per cent wide, with paraconductivity above; T_c in field from B = B_c2 (1 - t²)/(1 + t²).
    """
    critical = number(inputs, "critical_temperature")
    shares = (0.0, 0.2, 0.5)
    middles = [critical * ((1 - share) / (1 + share)) ** 0.5 for share in shares]
    warm_end = max(1.4 * critical, min(float(temperatures.max()), 2 * critical))
    axis = crowded(0.3 * critical, warm_end, points, tuple(middles), critical / 400)

    def value(warm: Array) -> tuple[Array, ...]:
        return tuple(
            _resistance(warm, middle, 0.0012 * critical * (1 + 8 * share))
            for middle, share in zip(middles, shares, strict=True)
        )

    lines, at = law(value, axis, temperatures)
    return Curve(
        title="Superconducting transition",
        note="Look at place and width of the step; a platform must sweep through it, not lie far below. Width "
        "and fields are those of a typical film.",
        x=Axis("temperature", "K", axis),
        y=Axis("resistance over the normal one", ""),
        lines=lines,
        temperatures=temperatures,
        names=("no field", "a fifth of B_c2", "half of B_c2"),
        points=at,
        marks=(Mark("T_c", critical),),
        illustrative=True,
        references=("Tinkham1996", "AslamazovLarkin1968"),
    )


def _resistance(warm: Array, middle: float, width: float) -> Array:
    """Step of a 10-90 % width of 4.4 × `width`, below it fluctuations above the transition."""
    step = 0.5 + 0.5 * np.tanh((warm - middle) / (2 * width))
    above = np.maximum(np.log(np.maximum(warm, 1e-12) / middle), 1e-9)
    return np.asarray(step / (1 + 2e-3 / (above + 5e-3)))


def smeared_spectrum(voltage: Array, temperature: Array, width: Array, broadening: float) -> Array:
    """Tunnelling dI/dV of a normal probe over its normal value: a sum over thermal poles, rest integrated.

    The same as `tunnel_conductance` to 1e-5 of the normal value at a fiftieth of its cost; deep in the gap
    only that function is exact. g(z) = z/√(z² - Δ²): Re g(z_N) + 2πkT Im Σ g'(eV + i(ω_n + Γ)).
    """
    step = 2 * pi * boltzmann * temperature
    z = elementary_charge * voltage + 1j * broadening
    squared = width**2
    total = np.zeros(np.broadcast_shapes(voltage.shape, temperature.shape), dtype=complex)
    for order in range(_TERMS):
        pole = z + 1j * step * (order + 0.5)
        inside = pole**2 - squared
        total -= squared / (inside * _root(inside))
    pole = z + 1j * step * _TERMS
    inside = pole**2 - squared
    root = _root(inside)
    # Midpoint rule for the tail, with its first correction.
    tail = pole / root + step**2 / 24 * 3 * squared * pole / (inside**2 * root)
    return np.asarray(np.maximum(tail.real + step * total.imag, 0.0))


def _root(squared: Array) -> Array:
    """Root in the upper half plane."""
    root = np.sqrt(squared)
    return np.asarray(np.where(root.imag < 0, -root, root))


def tunnelling(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Tunnelling dI/dV with a normal probe; the gap closes with temperature. Broadening 0.5 % of the gap."""
    width = number(inputs, "gap")
    broadening = DYNES * width
    scale = width / elementary_charge
    critical = width / (weak_coupling_ratio * boltzmann)
    half = crowded(0.0, 3 * scale, points - points // 2, (scale,), broadening / elementary_charge)
    one = smeared_spectrum(half, column(temperatures), np.asarray(gap(column(temperatures), critical)), broadening)
    return Curve(
        title="Tunnelling spectrum of a superconductor",
        note="Look for an empty floor and two tall edges; warm, the floor fills and the edges melt. The probe is "
        "a normal metal at the same temperature; the broadening, 0.5 % of the gap, is that of a good junction.",
        x=Axis("bias", "V", np.concatenate([-half[: -(points // 2) - 1 : -1], half])),
        y=Axis("dI/dV over the normal one", ""),
        lines=np.concatenate([one[:, : -(points // 2) - 1 : -1], one], axis=1),
        temperatures=temperatures,
        marks=(Mark("-Δ/e", -scale), Mark("Δ/e", scale)),
        illustrative=True,
        references=("Dynes1978", "Tinkham1996"),
    )


def noisy_voltage(bias: Array, strength: float) -> Array:
    """Voltage over I_c R of an overdamped junction at bias I/I_c, E_J/kT = `strength`: a continued fraction.

    As `rounded_voltage`, to 1e-9 of I_c R, in the time of a picture.
    """
    if strength > _QUIETEST:
        return np.asarray(np.sqrt(np.maximum(bias**2 - 1, 0.0)))
    last = int(30 + 2.5 * strength + 12 * strength**0.5)
    ratio = np.zeros(bias.shape, dtype=complex)
    for order in range(min(last, 4000), 0, -1):
        ratio = 1 / (2 * (order / strength - 1j * bias) + ratio)
    return np.asarray(bias - ratio.imag)


def switching(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Voltage against current of an overdamped junction with thermal noise."""
    critical = number(inputs, "critical_current")
    bias = np.linspace(0.0, 2.0, points)
    energy = float(josephson_energy(critical))
    lines = np.stack([noisy_voltage(bias, energy / float(each)) for each in thermal(temperatures)])
    return Curve(
        title="Current-voltage curve of a Josephson junction",
        note="Look below the critical current: cold there is no voltage, warm the supercurrent melts into a bent "
        "resistor. A damped junction is drawn; an undamped one jumps.",
        x=Axis("current", "A", bias * critical),
        y=Axis("voltage over I_c R", ""),
        lines=lines,
        temperatures=temperatures,
        marks=(Mark("I_c", critical),),
        references=("AmbegaokarHalperin1969",),
    )


def resonator(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Loss 1/Q against temperature: two-level systems, thermal quasiparticles, and their sum.

    A loss of 1e-6 at single photons and a kinetic share of 5 % stand for a good film.
    """
    frequency, critical = number(inputs, "frequency"), number(inputs, "critical_temperature")
    warmest = 0.6 * critical
    axis = np.geomspace(min(0.01, warmest / 30, float(temperatures.min())), warmest, points)

    def value(warm: Array) -> tuple[Array, ...]:
        systems = np.asarray(two_level_loss(frequency, warm, 1e-6))
        particles = np.asarray(quasiparticle_loss(frequency, warm, gap(warm, critical), 0.05))
        cold = warm <= warmest
        kept = np.where(cold, np.maximum(particles, 1e-300), np.nan)
        return systems + kept, systems, kept

    lines, at = law(value, axis, temperatures)
    return Curve(
        title="Loss of a superconducting resonator",
        note="Look at the turn: on cooling, quasiparticles leave first, then two-level systems wake and the loss "
        "rises again. Strengths are those of a good film.",
        x=Axis("temperature", "K", axis, logarithmic=True),
        y=Axis("loss 1/Q", "", logarithmic=True, low=1e-9),
        lines=lines,
        temperatures=temperatures,
        names=("sum", "two-level systems", "quasiparticles"),
        points=at,
        marks=(Mark("hf/k_B", planck * frequency / boltzmann), Mark("T_c/10", critical / 10)),
        illustrative=True,
        references=("MattisBardeen1958", "Phillips1987", "deVisser2011"),
    )


def qubit(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Thermal excitation of a qubit against temperature."""
    energy = planck * number(inputs, "frequency")
    middle = energy / boltzmann
    axis = span_of(temperatures, middle / 12, 4 * middle, points)
    # A qubit with its lines at 35 mK stops there, however cold its stage; the quadrature is common practice.
    lines, at = law(
        lambda warm: tuple(
            np.maximum(np.asarray(excited_population(energy, each)), 1e-300)
            for each in (warm, np.sqrt(warm**2 + 0.035**2))
        ),
        axis,
        temperatures,
    )
    return Curve(
        title="Thermal excitation of a qubit",
        note="Look at the 1 % and 0.1 % lines. A real qubit stops falling near 35 mK, where its lines and not "
        "its stage set the temperature.",
        x=Axis("temperature", "K", axis, logarithmic=True),
        y=Axis("share of excited qubits", "", logarithmic=True, low=1e-6),
        lines=lines,
        temperatures=temperatures,
        names=("in equilibrium", "lines left at 35 mK"),
        points=at,
        marks=(Mark("1 %", 0.01, "y"), Mark("0.1 %", 0.001, "y")),
        references=("Jin2015",),
    )


def andreev(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Zero-bias peak of full height 2e²/h inside an induced gap of six peak widths (typical)."""
    width = number(inputs, "peak_width")
    edge = 6 * width
    volts = crowded(-10 * width, 10 * width, points, (-edge, 0.0, edge), float(thermal(temperatures).min()))
    warm = column(temperatures)
    peak = pi * width / 2 * np.asarray(broadened_level(volts, warm, width))
    floor = smeared_spectrum(volts / elementary_charge, warm, np.asarray(edge), 0.05 * edge)
    return Curve(
        title="Zero-bias peak in an induced gap",
        note="Look at height and width of the peak at zero bias: temperature takes from one what it gives to "
        "the other. Gap and background are typical.",
        x=Axis("bias", "V", volts / elementary_charge),
        y=Axis("dI/dV", "S"),
        lines=2 / resistance_quantum * (peak + 0.1 * floor),
        temperatures=temperatures,
        widths=np.asarray(level_width(temperatures, width)) / elementary_charge,
        marks=(Mark("induced gap", edge / elementary_charge),),
        illustrative=True,
        references=("Prada2020", "Chang2015"),
    )


def weak_link(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Critical current against temperature, and the current at which heat makes the link switch.

    Long link: sum over thermal frequencies with the gap far above. Switching by heat at (3 kT ln/4√2 E_J)^(2/3)
    below, the logarithm 20 for a sweep of a second; a short link's own law is left flat.
    """
    critical = number(inputs, "critical_current")
    thouless = number(inputs, "thouless_energy", np.nan)
    scale = float(josephson_energy(critical)) / boltzmann
    if np.isfinite(thouless):
        scale = min(scale, 10 * thouless / boltzmann)
    axis = np.geomspace(min(scale / 300, float(temperatures.min())), 1.001 * scale, points)

    def value(warm: Array) -> tuple[Array, ...]:
        carried = critical * _long_link(warm, thouless)
        escape = 15 / 2**0.5 * boltzmann * warm / josephson_energy(np.maximum(carried, 1e-30))
        return carried, carried * np.maximum(1 - np.asarray(escape) ** (2 / 3), 0.0)

    lines, at = law(value, axis, temperatures, main=1)
    return Curve(
        title="Supercurrent of a weak link",
        note="Look at the gap between the two lines: heat makes the link switch before its critical current. The "
        "sweep of a second is assumed and the electrodes stay far below their transition.",
        x=Axis("temperature", "K", axis, logarithmic=True),
        y=Axis("current", "A"),
        lines=lines,
        temperatures=temperatures,
        names=("critical current", "switching current"),
        points=at,
        illustrative=True,
        references=("Dubos2001", "Tinkham1996", "Devoret1985"),
    )


def _long_link(warm: Array, thouless: float) -> Array:
    """Critical current of a long diffusive link over its value at zero; 1 for a short one."""
    if not np.isfinite(thouless):
        return np.ones_like(warm)
    order = np.arange(400)[:, np.newaxis]
    step = 2 * pi * boltzmann * np.maximum(warm, thouless / (15 * boltzmann)) / thouless
    root = np.sqrt(2 * step * (order + 0.5))
    # Made for kT above E_Th; below, it overshoots by 1.5 %.
    return np.asarray(np.minimum((step * root * np.exp(-root)).sum(axis=0) / 2, 1.0))


def detector(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Detection efficiency against bias, ending where the wire turns normal: I_c ∝ (1 - t²)^(3/2).

    The threshold at 0.4 (1 - t²) of the cold critical current and its width are typical of a good film.
    """
    critical = number(inputs, "critical_temperature")
    bias = np.linspace(0.0, 1.05, points)
    room = np.maximum(1 - (column(temperatures) / critical) ** 2, 0.0)
    threshold, width = 0.4 * room, 0.02 + 0.04 * np.sqrt(1 - room)
    efficiency: Numbers = 0.5 + 0.5 * np.tanh((bias - threshold) / (2 * width))
    return Curve(
        title="Photon detector against bias",
        note="Look for the plateau before the wire turns normal, where the line drops to zero; warm, the critical "
        "current is reached before it. Threshold and width are typical.",
        x=Axis("bias over the cold critical current", "", bias),
        y=Axis("efficiency inside the wire", ""),
        lines=np.where(bias < room**1.5, efficiency, 0.0),
        temperatures=temperatures,
        illustrative=True,
        references=("Natarajan2012", "Marsili2013"),
    )


CURVES = {
    "superconducting-transition": transition,
    "tunnelling-gap": tunnelling,
    "josephson-switching": switching,
    "resonator-loss": resonator,
    "superconducting-qubit": qubit,
    "hybrid-andreev": andreev,
    "weak-link": weak_link,
    "photon-detector": detector,
}
