"""Kinds of quantum transport in layers, wires, rings and dots strongly coupled to leads."""

from __future__ import annotations

import numpy as np

from triage.measurements.criteria import (
    between_energies,
    oscillation_window,
    oscillations,
    plain,
    thouless,
)
from triage.measurements.kind import Criterion, Input, Inputs, Kind, ratio
from triage.models.tier import TIERS
from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.kind import Numbers

_EV = elementary_charge
_RING_REFERENCE = 0.1  # K; Thouless temperature at which a ring asks no more than a layer; common practice


def _interference_temperature(inputs: Inputs, number: float) -> Numbers:
    ring = thouless(inputs, "ring_length") / (boltzmann * _RING_REFERENCE)
    return plain(number * np.minimum(ring, 1.0))


_LOCK_IN: dict[str, str | int | bool] = {
    "fibres": 0,
    "coax": 0,
    "read_as": "voltage",
    "band_low": 7,
    "band_high": 200,
}

KINDS: tuple[Kind, ...] = (
    Kind(
        key="quantum-oscillations",
        code="M19",
        title="Shubnikov-de Haas oscillations: density, mass, quantum lifetime",
        family="quantum transport",
        asks="One wants oscillations against inverse field; the Landau level spacing at the lowest field "
        "against 2π² k_B T decides.",
        inputs=(
            Input(
                "effective_mass",
                "",
                "How heavy are the carriers, in free electron masses? GaAs 0.067, Si 0.19.",
                least=0.005,
                most=50,
            ),
            Input(
                "lowest_field",
                "T",
                "From which field on must oscillations show? Left out, the field of the proposal.",
                optional=True,
                least=0.01,
                most=100,
            ),
        ),
        # Measure and publish at the top of the mass fit, at 90 % of the amplitude; common practice.
        criterion=oscillations((0.05, 0.9, 0.9)),
        window=oscillation_window(0.9, 0.2),
        needs_field=True,
        tiers={
            "see": "Oscillations of some per cent of their full size.",
            "measure": "Density, and the mass from five temperatures between 90 and 20 % of the amplitude.",
            "publish": "Mass and quantum lifetime at several fillings.",
        },
        usual={**_LOCK_IN, "dc": 8, "devices": 2, "per_device": "10 h", "tuning": "1 h", "vibration": 2},
        mistakes=(
            "A mass from temperatures at which the amplitude hardly changes.",
            "Blaming temperature where disorder damps: exp(-π/µB) stays at any temperature.",
            "A current that heats the layer at the cold end of the fit.",
        ),
        check="Mass 0.067, 2 T and 4.2 K leave 53 % of the amplitude.",
        references=("Shoenberg1984", "PaqueletWuetz2020"),
    ),
    Kind(
        key="quantum-hall",
        code="M20",
        title="Integer quantum Hall effect",
        family="quantum transport",
        asks="One wants plateaus and vanishing resistance; the gap at the wanted filling against k_B T decides.",
        inputs=(
            Input(
                "gap",
                "J",
                (
                    "How large is the gap at the wanted filling and field? ħω_c/k_B = 1.34 K × B/m, "
                    "graphene 36 meV × √B."
                ),
                reads="energy",
                least=1e-5 * _EV,
                most=0.5 * _EV,
            ),
        ),
        # Graphene showed its plateau at a ratio of 7.6; 25 lies within the usual 20 to 30.
        criterion=ratio("gap", "gap", 7, 25, 50),
        needs_field=True,
        tiers={
            "see": "A plateau with resistance left along the layer.",
            "measure": "Resistance along the layer falls to zero within noise.",
            "publish": ("Quantisation to parts per million, with good contacts and below the critical current."),
        },
        usual={**_LOCK_IN, "dc": 8, "devices": 1, "per_device": "10 h", "tuning": "1 h", "vibration": 2},
        mistakes=(
            "Using the whole Landau gap where a spin or valley gap separates the levels.",
            "A current above breakdown.",
            "Blaming the temperature for contacts that do not couple to the edge.",
        ),
        check="Graphene at 29 T has a gap of 2267 K and showed the effect at 300 K, a ratio of 7.6.",
        references=("Novoselov2007", "vonKlitzing1980"),
    ),
    Kind(
        key="fractional-hall",
        code="M21",
        title="Fractional quantum Hall effect and other fragile states",
        family="quantum transport",
        asks="One wants a minimum and its activation; the gap of the state against k_B T of the electrons decides.",
        inputs=(
            Input(
                "activation_gap",
                "J",
                "How large is the gap of the state? 5/2 in the best layers: about 0.1 K.",
                reads="energy",
                least=1e-7 * _EV,
                most=0.05 * _EV,
            ),
        ),
        criterion=ratio("activation_gap", "activation gap", 2, 5, 10),
        window=between_energies("activation_gap", 0.1, 0.5),
        needs_field=True,
        tiers={
            "see": "A minimum.",
            "measure": "A gap from the upper half of the activated range.",
            "publish": "Activation over D/10 to D/2 with the electron temperature verified.",
        },
        usual={**_LOCK_IN, "dc": 8, "devices": 1, "per_device": "40 h", "tuning": "8 h", "vibration": 3},
        mistakes=(
            "Reading saturation of the electrons as the end of the gap.",
            "Ramping the field faster than the layer cools.",
            "Wires that reach the layer without being cooled themselves.",
        ),
        check="At 5/2 a gap of 0.11 K came with the Hall resistance exact to 2 ppm at about 4 mK.",
        references=("Pan1999",),
    ),
    Kind(
        key="weak-localisation",
        code="M22",
        title="Weak (anti-)localisation, conductance fluctuations, Aharonov-Bohm rings",
        family="quantum transport",
        asks="One wants interference of electron waves; the phase coherence length decides, in a ring "
        "√(E_Th/k_B T) too.",
        inputs=(
            Input(
                "ring_length",
                "m",
                "Is there a ring or a single short wire? Then its length around; else leave out.",
                optional=True,
                least=1e-8,
                most=1e-3,
            ),
            Input(
                "diffusion",
                "m2/s",
                "How fast do electrons diffuse? Evaporated gold and good layers 0.01 m2/s.",
                default="0.01 m2/s",
                least=1e-5,
                most=100,
            ),
        ),
        # A ring of 3 µm in gold then asks for 0.37, 0.14 and 0.03 K; common practice.
        criterion=Criterion(
            _interference_temperature,
            dict(zip(TIERS, (4.4, 1.6, 0.35), strict=True)),
            "temperature in K of a large layer",
            "T needed = number; in a ring number × E_Th/(k_B × 0.1 K), if less",
            ("ring_length", "diffusion"),
        ),
        needs_field=True,
        tiers={
            "see": "A cusp around zero field, or a trace of h/e.",
            "measure": "The phase coherence length from a fit.",
            "publish": "Its temperature law, or oscillations near e²/h.",
        },
        usual={**_LOCK_IN, "dc": 8, "devices": 2, "per_device": "12 h", "tuning": "1 h", "vibration": 2},
        mistakes=(
            "An excitation above the Thouless energy, which averages the interference away.",
            "A remanent field of the magnet as large as the cusp.",
            "One sweep: fluctuations must repeat to be believed.",
        ),
        check="In gold rings the h/e part fell as one over the root of temperature and neared e²/h in the "
        "coldest runs.",
        references=("Webb1985", "Washburn1986", "EdwardsThouless1972"),
    ),
    Kind(
        key="kondo",
        code="M23",
        title="Kondo effect of a dot or molecule",
        family="quantum transport",
        asks="One wants conductance that rises on cooling; the Kondo temperature against the electron "
        "temperature decides.",
        inputs=(
            Input(
                "kondo_temperature",
                "J",
                "What is the Kondo temperature? Dots 0.1-2 K, molecules and nanotubes 5-50 K.",
                reads="energy",
                least=1e-7 * _EV,
                most=0.05 * _EV,
            ),
        ),
        criterion=ratio("kondo_temperature", "Kondo energy", 1, 3, 10),
        window=between_energies("kondo_temperature", 1 / 3, 3.0),
        tiers={
            "see": "A peak at zero bias, half of its full height.",
            "measure": "A decade of temperature around the Kondo temperature.",
            "publish": "Saturation at a tenth of it, and the splitting with field.",
        },
        usual={**_LOCK_IN, "dc": 10, "devices": 1, "per_device": "20 h", "tuning": "10 h", "vibration": 2},
        mistakes=(
            "An excitation above k_B T.",
            "The spin-1/2 fit on a state with more symmetry.",
            "Two points on the logarithmic slope taken for universality.",
        ),
        check="The empirical spin-1/2 curve has 0.96 of its height at a tenth of the Kondo temperature.",
        references=("GoldhaberGordon1998", "Nygard2000", "Park2002"),
    ),
    Kind(
        key="point-contact",
        code="M24",
        title="Quantised conductance of a point contact",
        family="quantum transport",
        asks="One wants flat plateaus; the distance of one-dimensional subbands against k_B T decides.",
        inputs=(
            Input(
                "subband_spacing",
                "J",
                "How far apart are the subbands? GaAs split gates 1-3 meV, etched up to 10 meV.",
                reads="energy",
                least=1e-5 * _EV,
                most=0.1 * _EV,
            ),
        ),
        # 60 brings 2 meV to 0.4 K, where the structure near 0.7 is studied; common practice.
        criterion=ratio("subband_spacing", "subband spacing", 4, 10, 60),
        tiers={
            "see": "Steps in the conductance.",
            "measure": "Flat plateaus and the spacing from bias.",
            "publish": "Features below the first plateau and their field dependence.",
        },
        usual={
            **_LOCK_IN,
            "dc": 6,
            "devices": 4,
            "per_device": "4 h",
            "tuning": "1 h",
            "read_as": "current",
            "smallest": "100 pA",
            "vibration": 2,
        },
        mistakes=(
            "Subtracting whatever series resistance makes the plateaus fit.",
            "Cooling with light or gate bias different from the last run and comparing.",
            "Asking for millikelvin to sort split gates that helium sorts.",
        ),
        check="Sixteen plateaus were seen at 0.6 K in the first split gates.",
        references=("vanWees1988", "AlTaie2013"),
    ),
)
