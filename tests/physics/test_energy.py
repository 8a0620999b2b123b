"""Energy scales against the CODATA tables, identities, and the exact solution for a disc."""

from __future__ import annotations

import inspect
import warnings
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants
from scipy.special import roots_legendre

from triage.physics import (
    blockade,
    broadening,
    electrons,
    energy,
    occupation,
    superconductivity,
    transport,
)

MODULES = (blockade, broadening, electrons, energy, occupation, superconductivity, transport)
FUNCTIONS = [
    pytest.param(function, id=f"{module.__name__}:{name}")
    for module in MODULES
    for name, function in sorted(vars(module).items())
    if inspect.isfunction(function) and function.__module__ == module.__name__ and not name.startswith("_")
]

positive = st.floats(1e-6, 1e6)


def test_constants_agree_with_codata() -> None:
    """Permittivity and the magneton over k are those of the CODATA set in scipy."""
    np.testing.assert_allclose(energy.vacuum_permittivity, constants.epsilon_0, rtol=1e-9)
    ratio = energy.temperature_of_energy(energy.zeeman_energy(1.0, 1.0))
    np.testing.assert_allclose(ratio, constants.value("Bohr magneton in K/T"), rtol=1e-8)


@given(positive)
def test_conversions_return(value: float) -> None:
    """Each conversion and its inverse give back what went in."""
    thermal = energy.temperature_of_energy(energy.thermal_energy(value))
    np.testing.assert_allclose(thermal, value, rtol=1e-12)
    np.testing.assert_allclose(energy.frequency_of_energy(energy.energy_of_frequency(value)), value, rtol=1e-12)
    np.testing.assert_allclose(energy.zeeman_field(energy.zeeman_energy(value, -0.44), 0.44), value, rtol=1e-12)
    small = value * 1e-18
    np.testing.assert_allclose(energy.capacitance_of_charging_energy(energy.charging_energy(small)), small, rtol=1e-12)


def test_graphene_and_massive_levels_scale_with_field() -> None:
    """Square root for graphene with holes negative, linear for massive carriers."""
    fields = np.array([1.0, 4.0])
    np.testing.assert_allclose(np.divide(*energy.graphene_landau_energy(fields)[::-1]), 2.0)
    assert energy.graphene_landau_energy(1.0, -1.0) == -energy.graphene_landau_energy(1.0, 1.0)
    assert energy.graphene_landau_energy(5.0, 0.0) == 0.0
    np.testing.assert_allclose(np.divide(*energy.cyclotron_energy(fields, 0.2)[::-1]), 4.0)


def disc_above_plane(ratio: float) -> float:
    """Exact C/εa of a disc at depth = ratio × radius below a plane, from Love's integral equation."""
    nodes, weights = roots_legendre(400)
    separation = 2 * ratio
    kernel = separation / np.pi / (separation**2 + (nodes[:, None] - nodes[None, :]) ** 2)
    # The image disc carries the opposite charge: f(x) - ∫K f = 1, C of the pair = ε a 4∫f /2.
    solution = np.linalg.solve(np.eye(400) - kernel * weights, np.ones(400))
    return 4 * float(weights @ solution)


@pytest.mark.parametrize("ratio", [0.05, 0.1, 0.3, 0.5, 1.0, 2.0, 5.0, 20.0])
def test_dot_capacitance_against_loves_equation(ratio: float) -> None:
    """Disc plus plate stays within the stated 10 % of the exact disc below a plane (Love1949)."""
    found = energy.dot_capacitance(1e-7, ratio * 1e-7) / (energy.vacuum_permittivity * 1e-7)
    np.testing.assert_allclose(found, disc_above_plane(ratio), rtol=0.10)


def test_meaningless_arguments_give_nan() -> None:
    """A negative temperature, size or mass has no energy."""
    assert np.isnan(energy.thermal_energy(-1.0))
    for value in (
        energy.charging_energy(0.0),
        energy.energy_of_wavelength(-1.0),
        energy.cyclotron_energy(1.0, 0.0),
        energy.thouless_energy(0.01, 0.0),
        energy.zeeman_field(1e-23, 0.0),
        energy.plate_capacitance(1.0, 0.0),
    ):
        assert np.isnan(value)


def test_arrays_broadcast() -> None:
    """A column of fields and a row of g factors give a table."""
    table = energy.zeeman_energy(np.ones((3, 1)), np.ones(4))
    assert np.shape(table) == (3, 4)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_nothing_raises_or_warns(function: Callable[..., object]) -> None:
    """Zero, negative, huge, infinite and missing numbers give a number or nan, in scalars and in arrays."""
    odd = [0.0, -1.0, 1.0, 1e-23, 1e9, np.nan, np.inf]
    count = len(inspect.signature(function).parameters)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for first in odd:
            for second in odd:
                values = [first if n % 2 == 0 else second for n in range(count)]
                assert not isinstance(function(*values), np.ndarray)
                if "rms" not in inspect.signature(function).parameters:
                    assert isinstance(function(*(np.array([value, 0.3]) for value in values)), np.ndarray | np.float64)
