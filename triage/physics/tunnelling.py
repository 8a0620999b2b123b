"""Single electrons through an island or dot at finite bias: rates and the stationary current.

Sequential tunnelling. An electron gains e V from source to drain, the drain being at zero; the island takes
up the share C_source/C_total of the bias. Positive current flows for positive bias.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import floor, pi

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.energy import meaningful
from triage.physics.kind import Numbers, within

_Array = NDArray[np.float64]
_Pair = tuple[_Array, _Array]
_never = 1e-290  # rate below which two charge states count as unconnected


@np.errstate(all="ignore")
def orthodox_rate(gain: Numbers, temperature: Numbers, conductance: Numbers) -> Numbers:
    """Rate of tunnelling between two metals, (G/e²) ΔE/(1 - exp(-ΔE/kT)).

    Parameters
    ----------
    gain : float or array
        Energy ΔE that the electron sets free [J]; negative where it must be supplied.
    temperature : float or array
        Electron temperature [K].
    conductance : float or array
        Tunnel conductance G of the junction [S].

    Returns
    -------
    float or array
        Rate [1/s]; nan below zero temperature.

    Source: AverinLikharev1991.

    Examples
    --------
    >>> print(f"{orthodox_rate(0.0, 1.0, 1e-6):.3e}")
    5.379e+08
    """
    temperature, gain = np.asarray(temperature, dtype=float), np.asarray(gain, dtype=float)
    heat = boltzmann * temperature
    size = np.minimum(np.abs(gain) / np.where(heat > 0, heat, 1.0), 690.0)
    waiting = np.where(size > 0, size / np.expm1(size), 1.0)
    energy = np.maximum(gain, 0.0) + heat * waiting
    return meaningful(np.asarray(conductance) / elementary_charge**2 * energy, temperature >= 0)


@np.errstate(all="ignore")
def broadened_occupation(energy: Numbers, temperature: Numbers, width: Numbers) -> Numbers:
    """Occupation of a lead as a level of finite width meets it, 1/2 - Im ψ(1/2 + (w/2 + iE)/2πkT)/π.

    Parameters
    ----------
    energy : float or array
        Energy of the level from the Fermi level of the lead [J].
    temperature : float or array
        Electron temperature [K].
    width : float or array
        Full width w = hΓ of the level [J]; 0 gives the Fermi function.

    Returns
    -------
    float or array
        Occupation, 0 to 1 [1]; nan unless the temperature is positive.

    Notes
    -----
    Fermi function convolved with the Lorentzian of the level; its slope is `broadened_level`.

    Source: Beenakker1991.

    Examples
    --------
    >>> print(round(float(broadened_occupation(1.380649e-23, 1.0, 0.0)), 4))
    0.2689
    """
    heat = 2 * pi * boltzmann * np.asarray(temperature, dtype=float)
    point = 0.5 + (np.asarray(width) / 2 + 1j * np.asarray(energy)) / heat
    value = np.zeros_like(point)
    # Eight steps up bring the asymptotic series of ψ below 1e-12.
    for _ in range(8):
        value, point = value - 1 / point, point + 1
    square = point**-2
    value = value + np.log(point) - 0.5 / point
    value = value - square * (1 / 12 - square * (1 / 120 - square * (1 / 252 - square / 240)))
    return meaningful(0.5 - value.imag / pi, (heat > 0) & (np.asarray(width) >= 0))


def _chain(rates: list[tuple[_Pair, _Pair]]) -> _Array:
    """Stationary flow through the source for charge states in a row; each entry (in, out) per lead."""
    into = np.stack([source[0] + drain[0] for source, drain in rates])
    out = np.stack([source[1] + drain[1] for source, drain in rates])
    climb = np.cumsum(np.log(np.maximum(into, _never)) - np.log(np.maximum(out, _never)), axis=0)
    climb = np.concatenate([np.zeros_like(climb[:1]), climb])
    weight = np.exp(climb - climb.max(axis=0))
    weight /= weight.sum(axis=0)
    flow: _Array = np.zeros_like(into[0])
    for step, (source, _) in enumerate(rates):
        flow = flow + weight[step] * source[0] - weight[step + 1] * source[1]
    return flow


def _levels(
    gate: _Array, bias: _Array, charging_energy: float, share: float, states: int
) -> tuple[list[_Array], _Array]:
    """Energies that one more electron costs [J], lowest charge first, and the energy e V of the source."""
    base = np.floor(gate) - (floor(states / 2) - 1)
    lift = elementary_charge * bias
    costs = [2 * charging_energy * (base + step + 0.5 - gate) + share * lift for step in range(states - 1)]
    return costs, lift


@within(states=(4, 64, ""))
@np.errstate(all="ignore")
def island_current(
    gate_charge: Numbers,
    bias: Numbers,
    temperature: Numbers,
    charging_energy: float,
    conductance_source: float,
    conductance_drain: float,
    source_share: float = 0.5,
    states: int = 8,
) -> Numbers:
    """Current through a metallic island, from the orthodox master equation.

    P(n + 1)/P(n) = Σ rates in/Σ rates out, I = e Σ [P(n) in_source - P(n + 1) out_source]

    Parameters
    ----------
    gate_charge : float or array
        Charge induced by the gate, in electrons [1].
    bias : float or array
        Bias voltage [V].
    temperature : float or array
        Electron temperature [K].
    charging_energy : float
        Charging energy e²/2C of the island [J].
    conductance_source : float
        Tunnel conductance of the source junction [S].
    conductance_drain : float
        Tunnel conductance of the drain junction [S].
    source_share : float
        Source over total capacitance [1].
    states : int
        Charge states kept around the neutral one [1].

    Returns
    -------
    float or array
        Current [A], in the broadcast shape; nan unless the temperature is positive.

    Notes
    -----
    Junctions well above h/e², no cotunnelling, no level spacing. Diamond edges have the slopes
    -C_gate/C_source and C_gate/(C_total - C_source).

    Source: AverinLikharev1991.

    Examples
    --------
    >>> print(f"{island_current(0.5, 1e-6, 0.1, 1.6e-22, 1e-6, 1e-6):.3e}")
    2.500e-13
    """
    gate, volts, warm = np.broadcast_arrays(
        *(np.asarray(each, dtype=float) for each in (gate_charge, bias, temperature))
    )
    costs, lift = _levels(gate, volts, charging_energy, source_share, states)
    rates = []
    for cost in costs:
        source, drain = lift - cost, -cost
        rates.append(
            (
                (_rate(source, warm, conductance_source), _rate(-source, warm, conductance_source)),
                (_rate(drain, warm, conductance_drain), _rate(-drain, warm, conductance_drain)),
            )
        )
    return meaningful(elementary_charge * _chain(rates), warm > 0)


def _rate(gain: _Array, temperature: _Array, conductance: float) -> _Array:
    return np.asarray(orthodox_rate(gain, temperature, conductance))


@within(states=(4, 64, ""))
@np.errstate(all="ignore")
def dot_current(
    gate_charge: Numbers,
    bias: Numbers,
    temperature: float,
    charging_energy: float,
    rate_source: float,
    rate_drain: float,
    excitations: Sequence[float] = (),
    source_share: float = 0.5,
    width: float = 0.0,
    states: int = 8,
) -> Numbers:
    """Current through a quantum dot with excited states, from the sequential master equation.

    in = Γ Σ_ij w_i f(μ + x_j - x_i), out = Γ Σ_ij w_j [1 - f(μ + x_j - x_i)], w ∝ exp(-x/kT)

    Parameters
    ----------
    gate_charge : float or array
        Charge induced by the gate, in electrons [1].
    bias : float or array
        Bias voltage [V].
    temperature : float
        Electron temperature, one number [K].
    charging_energy : float
        Half the addition energy, e²/2C where the level spacing is small [J].
    rate_source : float
        Tunnel rate through the source barrier [1/s].
    rate_drain : float
        Tunnel rate through the drain barrier [1/s].
    excitations : sequence of float
        Energies x of the excited states above the ground state, the same for every charge [J].
    source_share : float
        Source over total capacitance [1].
    width : float
        Lifetime width hΓ of the levels [J].
    states : int
        Charge states kept around the neutral one [1].

    Returns
    -------
    float or array
        Current [A], in the broadcast shape; nan unless the temperature is positive.

    Notes
    -----
    The dot relaxes inside one charge state faster than electrons tunnel; equal coupling of all states; no
    spin, no cotunnelling. A width blurs the leads' occupation and fills the blockade with its tails.

    Source: AverinKorotkovLikharev1991, Beenakker1991.

    Examples
    --------
    >>> print(f"{dot_current(0.5, 1e-3, 0.1, 1.6e-22, 1e9, 1e9):.3e}")  # e Γ Γ/(Γ + Γ)
    8.011e-11
    """
    gate, volts = np.broadcast_arrays(np.asarray(gate_charge, dtype=float), np.asarray(bias, dtype=float))
    if not temperature > 0:
        return meaningful(np.full(gate.shape, np.nan), False)
    heat = boltzmann * temperature
    differences = _differences(np.array([0.0, *excitations]) / heat)
    occupation = _occupation(width / heat)
    costs, lift = _levels(gate, volts, charging_energy, source_share, states)
    rates = []
    for cost in costs:
        leads = []
        for lead, rate in ((lift, rate_source), (np.zeros(()), rate_drain)):
            into, out = np.zeros(gate.shape), np.zeros(gate.shape)
            reduced = (cost - lead) / heat
            for shift, weight_in, weight_out in differences:
                filled, empty = occupation(reduced + shift)
                into += weight_in * rate * filled
                out += weight_out * rate * empty
            leads.append((into, out))
        rates.append((leads[0], leads[1]))
    current: Numbers = (elementary_charge * _chain(rates))[()]
    return current


def _differences(levels: _Array) -> list[tuple[float, float, float]]:
    """Distinct level differences over kT with the thermal weight of starting states, in and out."""
    weight = np.exp(-levels)
    weight = weight / weight.sum()
    found: dict[float, tuple[float, float]] = {}
    for i, below in enumerate(levels):
        for j, above in enumerate(levels):
            shift = float(above - below)
            old = found.get(shift, (0.0, 0.0))
            found[shift] = (old[0] + float(weight[i]), old[1] + float(weight[j]))
    return [(shift, *pair) for shift, pair in found.items() if max(pair) > 1e-12]


def _occupation(width: float) -> Callable[[_Array], _Pair]:
    """Filled and empty share of a lead against energy over kT, for a level of that width over kT."""
    if width <= 0:

        def sharp(energy: _Array) -> _Pair:
            rise = np.exp(np.clip(energy, -690.0, 690.0))
            filled = 1 / (1 + rise)
            return filled, rise * filled

        return sharp
    # A map asks millions of times for one function of one variable: tabulated to 1e-5.
    places = np.sinh(np.linspace(-14.0, 14.0, 4001))
    values = np.asarray(broadened_occupation(places * boltzmann, 1.0, width * boltzmann))

    def blurred(energy: _Array) -> _Pair:
        filled = np.interp(energy, places, values)
        return filled, 1 - filled

    return blurred
