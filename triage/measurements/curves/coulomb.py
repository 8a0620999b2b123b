"""What single electrons look like: oscillations, peaks, excited states, a sensor, its noise, a pump."""

from __future__ import annotations

import numpy as np

from triage.measurements.criteria import given
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
from triage.measurements.kind import Inputs
from triage.physics.blockade import transistor_conductance
from triage.physics.broadening import (
    broadened_level,
    level_factor,
    level_peak,
    level_width,
    lifetime_width,
    metallic_factor,
)
from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.kind import Numbers
from triage.physics.occupation import fermi
from triage.physics.vibration import comb

_SENSOR_SHARE = 0.08  # sensor shift over addition energy where none is stated, as in the catalogue
_STEEPEST = 1.3170  # detuning over kT at which cosh⁻²(δ/2kT) is steepest: 2 artanh(1/√3)
HARMONICS = 20  # of a machine's rhythm that are commonly seen


def number(inputs: Inputs, name: str, otherwise: float = 0.0) -> float:
    """One input as a plain number."""
    return float(given(inputs, name, otherwise))


def oscillations(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Conductance of a metallic transistor against gate charge, the orthodox charge sum."""
    charging = number(inputs, "charging_energy")
    resistance = number(inputs, "tunnel_resistance", np.nan)
    ratio = thermal(temperatures) / charging
    gate = crowded(0.0, 3.0, points, (0.5, 1.5, 2.5), float(ratio.min()))
    # Warm lines need many charge states and cold ones few, hence one line at a time.
    lines = np.stack([np.asarray(transistor_conductance(gate, each)) for each in ratio])
    conductance = np.isfinite(resistance)
    width = metallic_factor * ratio / 2
    return Curve(
        title="Coulomb-blockade oscillations",
        note="Look at the valleys: cold they close, warm they fill until the swing is gone.",
        x=Axis("gate charge in electrons", "", gate),
        y=Axis("conductance", "S") if conductance else Axis("conductance over its warm value", ""),
        lines=lines / (2 * resistance) if conductance else lines,
        temperatures=temperatures,
        widths=np.where(ratio < 0.15, width, np.nan),
        references=("AverinLikharev1991", "Beenakker1991"),
    )


def peaks(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Coulomb peaks of a dot: thermally smeared levels one addition energy apart, each over its own top."""
    addition = number(inputs, "addition_energy")
    lever = number(inputs, "lever_arm", np.nan)
    lifetime = float(lifetime_width(number(inputs, "tunnel_rate")))
    finest = float(thermal(temperatures).min())
    energy = crowded(-1.5 * addition, 1.5 * addition, points, (-addition, 0.0, addition), finest)
    lines = np.stack([_ladder(energy, each, addition, lifetime) for each in temperatures])
    on_gate = np.isfinite(lever)
    scale = 1 / (lever * elementary_charge) if on_gate else 1.0
    return Curve(
        title="Coulomb peaks of a dot",
        note="Look at the width of a peak, 3.53 k_B T over the lever arm: it is the electron temperature. "
        "Each line is drawn over its own top; in truth the height grows as one over temperature.",
        x=Axis("plunger gate", "V", energy * scale) if on_gate else Axis("level", "J", energy),
        y=Axis("conductance over its top", ""),
        lines=normalised(lines),
        temperatures=temperatures,
        widths=np.asarray(level_width(temperatures, lifetime)) * scale if lifetime > 0 else
        level_factor * thermal(temperatures) * scale,
        references=("Beenakker1991",),
    )  # fmt: skip


def _ladder(energy: Array, temperature: float, addition: float, lifetime: float) -> Array:
    """Sum of equal levels one addition energy apart, as far as they reach into the picture."""
    reach = 15 * boltzmann * temperature + 20 * lifetime
    if reach > 40 * addition:
        return np.ones_like(energy)  # ripple below 1e-6
    last = int(np.ceil(1.5 + reach / addition))
    levels = addition * np.arange(-last, last + 1)[:, np.newaxis]
    if lifetime > 0:
        each = np.asarray(broadened_level(energy - levels, temperature, lifetime))
    else:
        each = np.asarray(level_peak(energy - levels, temperature))
    return np.asarray(each.sum(axis=0))


def excited_states(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Two levels in the differential conductance against bias, smeared by lead, lifetime and lock-in."""
    distance = number(inputs, "excitation_energy")
    lifetime = number(inputs, "level_broadening")
    lock_in = elementary_charge * number(inputs, "modulation") * 2**0.5
    return pair(
        distance, lifetime, lock_in, temperatures, points,
        title="Ground and excited state in bias spectroscopy",
        note="Look for the dip between the two lines. Equal couplings are assumed; each line is drawn over its "
        "own top.",
        label="level below the bias window",
    )  # fmt: skip


def pair(
    distance: float,
    lifetime: float,
    lock_in: float,
    temperatures: Array,
    points: int,
    *,
    title: str,
    note: str,
    label: str,
) -> Curve:
    """Two equal lines a distance [J] apart."""
    finest = float(max(thermal(temperatures).min(), lifetime / 4))
    energy = crowded(-1.5 * distance, 2.5 * distance, points, (0.0, distance), finest)
    warm = seen_by_lock_in(temperatures, lock_in)

    def both(at: Array) -> Numbers:
        if lifetime > 0:
            return broadened_level(at, warm, lifetime) + broadened_level(at - distance, warm, lifetime)
        return level_peak(at, warm) + level_peak(at - distance, warm)

    width = np.asarray(level_width(temperatures, lifetime)) if lifetime > 0 else level_factor * thermal(temperatures)
    return Curve(
        title=title,
        note=note,
        x=Axis(label, "J", energy),
        y=Axis("dI/dV over its top", ""),
        lines=normalised(modulated(both, energy, lock_in, 1)),
        temperatures=temperatures,
        widths=np.sqrt(width**2 + (3**0.5 * lock_in) ** 2),
        marks=(Mark("ground", 0.0), Mark("excited", distance)),
        references=("Beenakker1991", "Klein1973"),
    )


def sensing(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Signal of a sensor, parked on the flank of its peak, while a neighbouring dot takes one electron."""
    addition = number(inputs, "addition_energy")
    shift = number(inputs, "sensor_shift", _SENSOR_SHARE * addition)
    warm = column(temperatures)
    level = crowded(-addition / 2, addition / 2, points, (0.0,), float(thermal(temperatures).min()))
    electrons = np.asarray(fermi(-level, warm))
    return Curve(
        title="Charge sensor while a dot takes one electron",
        note="Look at the step: its height is the shift over the width of the sensor line, its slope the "
        "temperature of the leads. The sensor is assumed on the steepest place of its flank; a strong shift "
        "takes it off its peak.",
        x=Axis("level of the dot", "J", level),
        y=Axis("sensor signal over its top", "", low=0.0, high=1.0),
        lines=np.asarray(level_peak(_STEEPEST * boltzmann * warm + shift * electrons, warm)),
        temperatures=temperatures,
        widths=level_factor * thermal(temperatures),
        illustrative=not np.isfinite(number(inputs, "sensor_shift", np.nan)),
        references=("Mavalankar2013",),
    )


def charge_noise(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Noise of a level against frequency: 1/f growing with temperature, amplifier floor, and a machine's comb.

    Typical numbers: 0.5 µeV/√Hz at 1 Hz in the cold, power linear in temperature above 0.3 K; 0.1 nA through
    the sensor, read with 10 fA/√Hz; lines of the comb ten times the noise at 1.4 Hz, falling as 1/n.
    """
    micro = 1e-6 * elementary_charge
    frequency = np.geomspace(0.01, 1e4, points)
    warm = column(temperatures)
    power = (0.5 * micro) ** 2 * (1 + warm / 0.3) / frequency
    slope = 0.385 * 0.1e-9 / thermal(warm)  # A/J on the steepest flank
    lines = np.sqrt(power + (1e-14 / slope) ** 2) + machine_lines(inputs, temperatures, frequency, 10 * micro)
    return Curve(
        title="Charge noise of a dot",
        note="Look at the slope and at 1 Hz; spikes at a regular distance belong to the cooler, not to the "
        "device. Typical amplitudes stand in for yours.",
        x=Axis("frequency", "Hz", frequency, logarithmic=True),
        y=Axis("noise of the level per √Hz", "J", logarithmic=True),
        lines=lines,
        temperatures=temperatures,
        marks=(Mark("1 Hz", 1.0),),
        illustrative=True,
        references=("Connors2019", "Gustafsson2013", "Kalra2016"),
    )


def machine_lines(inputs: Inputs, temperatures: Array, frequency: Array, height: float) -> Array:
    """Lines of each platform's machine, `comb` [Hz] being its rhythm and nan where it has none."""
    rhythms = np.broadcast_to(np.asarray(inputs.get("comb", np.nan), dtype=float), temperatures.shape)
    lines = np.zeros((len(temperatures), len(frequency)))
    for row, rhythm in enumerate(rhythms):
        if rhythm > 0:
            for order, line in enumerate(comb(float(rhythm), HARMONICS), start=1):
                if frequency[0] <= line <= frequency[-1]:
                    lines[row, np.abs(np.log(frequency / line)).argmin()] += height / order
    return lines


def pump(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Pumped current over e f: plateaus of the back-tunnelling cascade, their risers widened by temperature.

    Riser k is exp(-exp(-(E - k E_add)/w)), w² = (E_add/25)² + (kT)²: 25 is a good pump's exponent, and adding
    temperature in quadrature is an illustration.
    """
    addition = number(inputs, "addition_energy")
    energy = np.linspace(-0.6 * addition, 2.4 * addition, points)
    wide = np.sqrt((addition / 25) ** 2 + thermal(column(temperatures)) ** 2)
    risers = [np.exp(-np.exp(np.clip(-(energy - k * addition) / wide, -700, 700))) for k in range(6)]
    lines = np.asarray(sum(risers))
    return Curve(
        title="Plateaus of an electron pump",
        note="Look at how flat the plateau at one electron per cycle stays. The exponent of 25 is that of a "
        "good pump, and the way temperature enters is an illustration.",
        x=Axis("depth of the dot", "J", energy),
        y=Axis("current over e f", ""),
        lines=lines,
        temperatures=temperatures,
        marks=(Mark("1 e f", 1.0, "y"), Mark("2 e f", 2.0, "y")),
        illustrative=True,
        references=("KaestnerKashcheyevs2015", "Giblin2012"),
    )


CURVES = {
    "coulomb-oscillations": oscillations,
    "coulomb-peaks": peaks,
    "excited-state-spectroscopy": excited_states,
    "charge-sensing": sensing,
    "charge-noise": charge_noise,
    "electron-pump": pump,
}
