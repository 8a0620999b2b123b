"""What thermometers, light, heat flow and vibrating beams look like."""

from __future__ import annotations

import numpy as np

from triage.measurements.curves.coulomb import number
from triage.measurements.curves.form import Array, Axis, Curve, Mark, column, law, span_of
from triage.measurements.kind import Inputs
from triage.physics.blockade import thermometer_conductance, thermometer_width
from triage.physics.constants import boltzmann, elementary_charge, planck
from triage.physics.occupation import bose, thermal_photons
from triage.physics.transport import thermal_conductance_quantum

JUNCTIONS = 100  # of a typical array thermometer
_STRENGTH = 0.3  # charging strength at the coldest line: a dip of some 5 %
_OPTICAL_PHONON = 0.036 * elementary_charge  # J, GaAs


def thermometry(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Conductance dip of an array of a hundred junctions around zero bias, first order in the charging energy.

    The capacitance is such that the coldest line dips by some 5 %; warmer ones dip less, as 1/T.
    """
    expected = number(inputs, "expected_temperature", 0.1)
    reach = 2 * float(thermometer_width(expected, JUNCTIONS))
    voltage = np.linspace(-reach, reach, points)
    coldest = min(float(temperatures.min()), expected)
    warm = column(temperatures)
    lines = np.asarray(thermometer_conductance(voltage, warm, JUNCTIONS, _STRENGTH * coldest / warm))
    return Curve(
        title="Dip of a Coulomb thermometer",
        note="Look at the full width at half depth, 5.44 k_B T per junction: it is the temperature, without "
        "calibration. A hundred junctions of a typical capacitance are drawn.",
        x=Axis("bias across the array", "V", voltage),
        y=Axis("conductance over that at high bias", ""),
        lines=lines,
        temperatures=temperatures,
        widths=np.asarray(thermometer_width(temperatures, JUNCTIONS)),
        illustrative=True,
        references=("Pekola1994", "Farhangfar1997"),
    )


def optical(inputs: Inputs, temperatures: Array, points: int) -> Curve:  # noqa: ARG001  asks for nothing
    """Line width against temperature: a colour centre (T⁵) and the exciton of a quantum dot (phonons).

    Colour centre 13 MHz + 0.92 Hz (T/K)⁵; exciton 1 µeV + 0.5 µeV/K + 20 meV per optical phonon (from memory).
    """
    micro = 1e-6 * elementary_charge
    axis = span_of(temperatures, 1.0, 300.0, points)

    def value(warm: Array) -> tuple[Array, ...]:
        centre = planck * (13e6 + 0.92 * warm**5)
        exciton = micro * (1 + 0.5 * warm) + 0.02 * elementary_charge * np.asarray(bose(_OPTICAL_PHONON, warm))
        return centre, exciton

    lines, at = law(value, axis, temperatures)
    return Curve(
        title="Optical line width",
        note="Look for the bend: below it cooling gains nothing. Two typical emitters; yours may differ by ten.",
        x=Axis("temperature", "K", axis, logarithmic=True),
        y=Axis("line width", "J", logarithmic=True),
        lines=lines,
        temperatures=temperatures,
        names=("colour centre", "quantum-dot exciton"),
        points=at,
        illustrative=True,
        references=("Fu2009", "Rudin1990"),
    )


def heat_flow(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Thermal conductance of a four-beam bridge: sixteen quanta when cold, rising as T³ above the crossover."""
    crossover = number(inputs, "crossover_temperature", 0.7)
    axis = np.geomspace(min(crossover / 10, float(temperatures.min())), 10 * crossover, points)

    def value(warm: Array) -> tuple[Array, ...]:
        quanta = 16 * np.asarray(thermal_conductance_quantum(warm))
        return np.where(warm <= 10.001 * crossover, quanta * (1 + (warm / crossover) ** 2), np.nan), quanta

    lines, at = law(value, axis, temperatures)
    return Curve(
        title="Thermal conductance of a suspended bridge",
        note="Look where the line meets the sixteen quanta. The rise as T³ above the crossover is an illustration.",
        x=Axis("temperature", "K", axis, logarithmic=True),
        y=Axis("thermal conductance", "W/K", logarithmic=True),
        lines=lines,
        temperatures=temperatures,
        names=("bridge", "sixteen quanta"),
        points=at,
        marks=(Mark("crossover", crossover),),
        illustrative=True,
        references=("Schwab2000",),
    )


def mechanics(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Thermal quanta in a vibration against temperature."""
    frequency = number(inputs, "frequency")
    wanted = number(inputs, "quanta", 1.0)
    middle = planck * frequency / boltzmann
    axis = span_of(temperatures, middle / 8, 30 * middle, points)
    lines, at = law(
        lambda warm: (np.maximum(np.asarray(thermal_photons(frequency, warm)), 1e-300),), axis, temperatures
    )
    return Curve(
        title="Thermal quanta of a vibration",
        note="Look where the line crosses the number wanted; below h f/k_B it falls steeply.",
        x=Axis("temperature of the mode", "K", axis, logarithmic=True),
        y=Axis("mean number of quanta", "", logarithmic=True, low=1e-4),
        lines=lines,
        temperatures=temperatures,
        names=("in equilibrium",),
        points=at,
        marks=(Mark("wanted", wanted, "y"), Mark("hf/k_B", middle)),
        references=("OConnell2010",),
    )


CURVES = {
    "electron-thermometry": thermometry,
    "optical-spectroscopy": optical,
    "thermal-transport": heat_flow,
    "nanomechanics": mechanics,
}
