"""What spins look like: errors of reading them against temperature, and driven oscillations."""

from __future__ import annotations

import numpy as np

from triage.measurements.curves.coulomb import number
from triage.measurements.curves.form import Array, Axis, Curve, Mark, column, law, span_of
from triage.measurements.kind import Inputs
from triage.physics.constants import boltzmann
from triage.physics.energy import zeeman_energy
from triage.physics.kind import Numbers
from triage.physics.occupation import excited_population, readout_tail_error

_FIELD = 1.5  # T where the proposal names none
_ERROR = Axis("error by temperature", "", logarithmic=True, low=1e-6)  # others are larger than a millionth
_ONE_PER_CENT = Mark("1 %", 0.01, "y")


def _floored(value: Numbers) -> Array:
    return np.asarray(np.maximum(value, 1e-300))


def readout(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Thermal error of energy-selective readout against electron temperature, at three fields."""
    field = number(inputs, "field", _FIELD)
    factor = number(inputs, "g_factor", 2.0)
    splitting = float(zeeman_energy(field, factor)) or float(zeeman_energy(_FIELD, 2.0))
    middle = splitting / (9.19 * boltzmann)
    axis = span_of(temperatures, middle / 4, middle * 10, points)
    lines, at = law(
        lambda warm: tuple(_floored(readout_tail_error(share * splitting, warm)) for share in (1.0, 0.5, 2.0)),
        axis,
        temperatures,
    )
    return Curve(
        title="Error of energy-selective spin readout",
        note="Look where your field crosses the 1 % line: there the Zeeman energy is 9.2 k_B T. Relaxation and "
        "bandwidth add to it.",
        x=Axis("electron temperature", "K", axis, logarithmic=True),
        y=_ERROR,
        lines=lines,
        temperatures=temperatures,
        names=(f"{field:g} T", f"{field / 2:g} T", f"{2 * field:g} T"),
        points=at,
        marks=(_ONE_PER_CENT,),
        references=("Elzerman2004",),
    )


def blockade(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Thermal error of spin-blockade readout, the occupation of the upper of two levels, and the visibility."""
    splitting = number(inputs, "singlet_triplet_splitting")
    middle = splitting / (4.6 * boltzmann)
    axis = span_of(temperatures, middle / 4, middle * 10, points)
    lines, at = law(lambda warm: (_floored(excited_population(splitting, warm)),), axis, temperatures)
    return Curve(
        title="Error of spin-blockade readout",
        note="Look at the 1 % line; the visibility is one less twice the error. Two levels a splitting apart are "
        "assumed; the sensor adds its own noise.",
        x=Axis("electron temperature", "K", axis, logarithmic=True),
        y=_ERROR,
        lines=lines,
        temperatures=temperatures,
        names=("triplet occupied",),
        points=at,
        marks=(_ONE_PER_CENT,),
        references=("Huang2024", "Camenzind2022"),
    )


def coherence(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Driven oscillation of a spin, its contrast set by thermal errors of setting and reading.

    1 MHz and a decay in 5 µs stand for a typical device; the decay is left independent of temperature.
    """
    energy = number(inputs, "readout_energy")
    time = np.linspace(0.0, 6e-6, points)
    contrast = (1 - 2 * np.asarray(excited_population(energy, column(temperatures)))) ** 2
    lines = 0.5 - 0.5 * contrast * np.exp(-time / 5e-6) * np.cos(2 * np.pi * 1e6 * time)
    return Curve(
        title="Driven oscillation of a spin",
        note="Look at the swing: temperature enters twice, in setting and in reading. Frequency and decay are "
        "those of a typical device.",
        x=Axis("length of the drive", "s", time),
        y=Axis("share of flipped spins", ""),
        lines=lines,
        temperatures=temperatures,
        illustrative=True,
        references=("Petit2020", "Yang2020"),
    )


CURVES = {"spin-readout": readout, "spin-blockade": blockade, "spin-coherence": coherence}
