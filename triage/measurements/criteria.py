"""Forms of criterion beyond the plain ratio: widths, fractions of a temperature, gaps, oscillations.

Every `needed` made here broadcasts over arrays, gives a float for floats, and gives 0 K where no
temperature is cold enough.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import sinh

import numpy as np

from triage.measurements.kind import Criterion, Inputs
from triage.models.tier import TIERS
from triage.physics.constants import boltzmann, elementary_charge, planck
from triage.physics.energy import cyclotron_energy, josephson_energy, thouless_energy, zeeman_energy
from triage.physics.kind import Numbers

Scale = Callable[[Inputs], Numbers]
Window = Callable[[Inputs], tuple[Numbers, Numbers]]
Three = tuple[float, float, float]

_lattice_argument = 2 * np.pi**2  # X of the Lifshitz-Kosevich factor over k T/ħω_c


def plain(value: Numbers) -> Numbers:
    """A float for anything that is one number, else the array."""
    return float(value) if np.ndim(value) == 0 else value


def given(inputs: Inputs, name: str, otherwise: Numbers = np.nan) -> Numbers:
    """An input, or the other value where it is absent or unknown."""
    value = inputs.get(name)
    if value is None:
        return otherwise
    if isinstance(value, float | int):
        return otherwise if value != value else value
    return np.where(np.isnan(value), otherwise, value)


def zeeman(inputs: Inputs) -> Numbers:
    """Zeeman energy [J] from `field` and `g_factor`."""
    return plain(zeeman_energy(given(inputs, "field"), given(inputs, "g_factor", 2.0)))


def josephson(inputs: Inputs) -> Numbers:
    """Josephson coupling energy [J] from `critical_current`."""
    return plain(josephson_energy(inputs["critical_current"]))


def photon(inputs: Inputs) -> Numbers:
    """Quantum of energy [J] from `frequency`."""
    return plain(planck * inputs["frequency"])


def thouless(inputs: Inputs, length: str) -> Numbers:
    """Thouless energy [J] from `diffusion` and the input that holds the length; infinite without a length."""
    size = inputs.get(length)
    if size is None:
        return np.inf
    energy = thouless_energy(inputs["diffusion"], size)
    return plain(np.where(np.isnan(size), np.inf, energy))


def fraction(
    name: str, shown: str, numbers: Three, *, says: str = "temperature over the scale", most: float = np.inf
) -> Criterion:
    """A criterion of the form T at most number × a temperature of the device [K]."""

    def needed(inputs: Inputs, number: float) -> Numbers:
        return plain(np.minimum(inputs[name] * number, most))

    return Criterion(
        needed,
        dict(zip(TIERS, numbers, strict=True)),
        says,
        f"T needed = number × {shown}",
        (name,),
        lambda inputs: boltzmann * inputs[name],
        shown,
    )


def resolved(
    feature: str | Scale,
    shown: str,
    numbers: Three,
    *,
    factor: float,
    others: tuple[Scale, ...] = (),
    inverse: bool = False,
    says: str = "feature over its thermal width",
    uses: tuple[str, ...] = (),
) -> Criterion:
    """A criterion on a width: feature over total width at least number, or width over it at most (`inverse`).

    The total width is factor × k_B T and `others` [J] in quadrature.
    """

    def energy(inputs: Inputs) -> Numbers:
        return feature(inputs) if callable(feature) else inputs[feature]

    def needed(inputs: Inputs, number: float) -> Numbers:
        allowed = energy(inputs) * number if inverse else energy(inputs) / number
        room = allowed**2 - sum(each(inputs) ** 2 for each in others)
        return plain(np.sqrt(np.maximum(room, 0.0)) / (factor * boltzmann))

    allowed = f"number × {shown}" if inverse else f"{shown} / number"
    rest = f"√(({allowed})² − other widths²)" if others else allowed
    return Criterion(
        needed,
        dict(zip(TIERS, numbers, strict=True)),
        says,
        f"T needed = {rest} / ({factor:.3g} k_B)",
        uses if uses or callable(feature) else (feature,),
        energy,
        shown,
    )


def modulation(name: str, factor: Numbers) -> Scale:
    """Width [J] that a lock-in excitation of that rms voltage adds; none where it is not stated."""
    return lambda inputs: factor * elementary_charge * given(inputs, name, 0.0)


def optional_width(name: str) -> Scale:
    """A further width [J] that may be stated."""
    return lambda inputs: given(inputs, name, 0.0)


def quiet_resonator(numbers: Three, *, photons: float, from_ratio: float, to_ratio: float) -> Criterion:
    """T at most T_c/number, and from a number on also few thermal photons: hf/kT rises to `photons`."""

    def needed(inputs: Inputs, number: float) -> Numbers:
        limit = inputs["critical_temperature"] / number
        share = min(max((number - from_ratio) / (to_ratio - from_ratio), 0.0), 1.0)
        if share > 0:
            limit = np.minimum(limit, photon(inputs) / (share * photons * boltzmann))
        return plain(limit)

    return Criterion(
        needed,
        dict(zip(TIERS, numbers, strict=True)),
        "T_c over T",
        f"T needed = T_c / number; from T_c/{to_ratio:g} on also hf / ({photons:g} k_B)",
        ("frequency", "critical_temperature"),
        photon,
        "photon energy",
    )


@lru_cache(maxsize=64)
def damping_argument(reduction: float) -> float:
    """X at which X/sinh X has fallen to a given value, by bisection; 0 for 1 and above."""
    if reduction >= 1:
        return 0.0
    low, high = 0.0, 60.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if middle > reduction * sinh(middle) else (low, middle)
    return (low + high) / 2


def _oscillation_temperature(inputs: Inputs, reduction: float) -> Numbers:
    field = given(inputs, "lowest_field", given(inputs, "field"))
    spacing = cyclotron_energy(field, inputs["effective_mass"])
    return plain(damping_argument(reduction) * spacing / (_lattice_argument * boltzmann))


def oscillations(numbers: Three) -> Criterion:
    """Thermal damping X/sinh X of quantum oscillations at the lowest field wanted, at least number."""
    return Criterion(
        _oscillation_temperature,
        dict(zip(TIERS, numbers, strict=True)),
        "thermal damping factor X/sinh X",
        "T needed = X ħω_c / (2π² k_B) with X/sinh X = number",
        ("effective_mass", "field", "lowest_field"),
        lambda inputs: plain(
            cyclotron_energy(given(inputs, "lowest_field", given(inputs, "field")), inputs["effective_mass"])
        ),
        "Landau level spacing",
    )


def oscillation_window(coldest: float, warmest: float) -> Window:
    """Temperatures between two damping factors, for the fit of the mass."""
    return lambda inputs: (
        _oscillation_temperature(inputs, coldest),
        _oscillation_temperature(inputs, warmest),
    )


def between(name: str, low: float, high: float) -> Window:
    """A window from low to high times a temperature of the device [K]."""
    return lambda inputs: (low * inputs[name], high * inputs[name])


def between_energies(name: str, low: float, high: float) -> Window:
    """A window of temperature from low to high times an energy over k_B."""
    return lambda inputs: (low * inputs[name] / boltzmann, high * inputs[name] / boltzmann)


def working(numbers: Three) -> Criterion:
    """T at most the tier's number [K], but never colder than the temperature the device will work at."""

    def needed(inputs: Inputs, number: float) -> Numbers:
        return plain(np.maximum(inputs["working_temperature"], number))

    return Criterion(
        needed,
        dict(zip(TIERS, numbers, strict=True)),
        "temperature in K; 0 means the working temperature",
        "T needed = the warmer of number and the working temperature",
        ("working_temperature",),
    )


def capped(numbers: Three, others: Scale, formula: str, uses: tuple[str, ...]) -> Criterion:
    """T at most the tier's number [K] and at most a temperature that the device sets."""

    def needed(inputs: Inputs, number: float) -> Numbers:
        return plain(np.minimum(others(inputs), number))

    return Criterion(needed, dict(zip(TIERS, numbers, strict=True)), "temperature in K", f"T needed = {formula}", uses)


def _activated_temperature(inputs: Inputs, frequency: Numbers) -> Numbers:
    attempts = -np.log(2 * np.pi * frequency * inputs["attempt_time"])
    return plain(inputs["activation_energy"] / (boltzmann * np.maximum(attempts, 1.0)))


def activated(corners: Three) -> Criterion:
    """T at most that at which an activated switcher has its corner at the tier's frequency [Hz]."""
    return Criterion(
        _activated_temperature,
        dict(zip(TIERS, corners, strict=True)),
        "corner frequency in Hz",
        "T needed = E_a / (k_B ln(1/(2π × number × attempt time)))",
        ("activation_energy", "attempt_time"),
        lambda inputs: inputs["activation_energy"],
        "activation energy",
    )


def activation_window(low: float, high: float) -> Window:
    """Temperatures at which the corner of an activated switcher lies between two frequencies [Hz]."""
    return lambda inputs: (_activated_temperature(inputs, low), _activated_temperature(inputs, high))
