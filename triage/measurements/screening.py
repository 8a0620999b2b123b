"""Kinds that sort devices and materials at ambient, nitrogen and helium temperature."""

from __future__ import annotations

from math import inf

import numpy as np

from triage.measurements.criteria import capped, given, plain, working
from triage.measurements.kind import Criterion, Input, Inputs, Kind, at_most
from triage.models.tier import TIERS
from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.kind import Numbers

_EV = elementary_charge
_AMBIENT = 300.0


def _tail_temperature(inputs: Inputs, number: float) -> Numbers:
    if number <= 0:
        return _AMBIENT
    return plain(np.minimum(inputs["band_tail"] / (number * boltzmann), _AMBIENT))


def _half_order(inputs: Inputs) -> Numbers:
    return given(inputs, "ordering_temperature", inf) / 2


_DC: dict[str, str | int | bool] = {"coax": 0, "fibres": 0, "tuning": "0 h", "band_low": 0, "band_high": 100}
_WORKING = Input(
    "working_temperature",
    "K",
    "At what temperature is it meant to work?",
    default="4.4 K",
    least=0.005,
    most=400,
)

KINDS: tuple[Kind, ...] = (
    Kind(
        key="hall-mobility",
        code="M28",
        title="Hall density and mobility at 300, 77 and 4.2 K",
        family="screening",
        asks="One wants density and mobility; phonons leave by 77 K, impurities are left at 4.2 K, colder "
        "gains little.",
        inputs=(),
        criterion=at_most(300, 80, 4.4),
        follows="stage",
        needs_field=True,
        tiers={
            "see": "Carrier type and density.",
            "measure": "Mobility without the phonons of the lattice.",
            "publish": ("The mobility that impurities and interfaces leave, with oscillations as a second witness."),
        },
        usual={**_DC, "dc": 8, "devices": 8, "per_device": "15 min", "read_as": "voltage", "vibration": 0},
        mistakes=(
            "Comparing wafers at 300 K, where all are limited by phonons.",
            "Two channels in parallel taken for one.",
            "Light on a sample with persistent photoconductivity.",
        ),
        check="From 4.2 to 1.5 K the mobility of a good layer changes by less than 10 %.",
        references=("AndoFowlerStern1982",),
    ),
    Kind(
        key="transistor-screening",
        code="M29",
        title="Threshold voltage, subthreshold swing and leakage of transistors",
        family="screening",
        asks="One wants many transistors sorted; the band tail sets where the swing stops improving, "
        "statistics the rest.",
        inputs=(
            Input(
                "band_tail",
                "J",
                "How deep are the band-tail states? 3 meV is usual for silicon.",
                reads="energy",
                default="3 meV",
                least=1e-4 * _EV,
                most=0.1 * _EV,
                basis="published",
            ),
        ),
        criterion=Criterion(
            _tail_temperature,
            dict(zip(TIERS, (0.0, 3.0, 3.0), strict=True)),
            "band tail over k_B T; 0 means ambient will do",
            "T needed = band tail / (number × k_B), at most 300 K",
            ("band_tail",),
            lambda inputs: inputs["band_tail"],
            "band tail",
        ),
        follows="stage",
        tiers={
            "see": "Shorts, opens and gross leakage.",
            "measure": "Threshold, swing and leakage as they will be at any lower temperature.",
            "publish": "The same temperature with 30 to 100 devices per split.",
        },
        usual={
            **_DC,
            "dc": 3,
            "devices": 30,
            "per_device": "5 min",
            "read_as": "current",
            "smallest": "1 pA",
            "vibration": 1,
        },
        mistakes=(
            "Millikelvin for a swing that has stopped falling above 10 K.",
            "Ten devices for a yield that takes a hundred.",
            "Leakage below what the cables leak.",
        ),
        check="The swing would be 0.83 mV per decade at 4.2 K and stops near 7 with a tail of 3 meV.",
        references=("Bohuslavskyi2019", "Neyens2024"),
    ),
    Kind(
        key="dielectric-breakdown",
        code="M30",
        title="Leakage and breakdown statistics of gate dielectrics",
        family="screening",
        asks="One wants a distribution of breakdown fields; the number of devices decides, temperature hardly.",
        inputs=(),
        criterion=at_most(300, 300, 4.4),
        follows="stage",
        tiers={
            "see": "Leakage and breakdown of a few.",
            "measure": "Weibull slope to 15 % from 30 devices of three areas.",
            "publish": "The same with a cold subset of about twenty.",
        },
        usual={
            **_DC,
            "dc": 2,
            "devices": 90,
            "per_device": "3 min",
            "read_as": "current",
            "smallest": "0.01 pA",
            "vibration": 2,
        },
        mistakes=(
            "Breaking the chips that carry the qubits.",
            "Unguarded cables, which leak more than the oxide.",
            "One area only: intrinsic and defect breakdown cannot be told apart.",
        ),
        check="Thirty devices per area at three areas fix a Weibull slope to about 15 %.",
        references=("Degraeve1998",),
    ),
    Kind(
        key="contact-resistance",
        code="M31",
        title="Contact resistance and barrier height",
        family="screening",
        asks="One wants contacts that stay ohmic; barrier and freeze-out at the working temperature decide.",
        inputs=(_WORKING,),
        # Freeze-out is complete at 4.4 K; a colder check tells nothing new (common practice).
        criterion=working((300, 80, 0)),
        follows="stage",
        tiers={
            "see": "Ohmic at room temperature.",
            "measure": "Ohmic at nitrogen temperature, resistance to 20 %.",
            "publish": "Four-terminal at the temperature of work, five spacings on three structures.",
        },
        usual={**_DC, "dc": 8, "devices": 6, "per_device": "20 min", "read_as": "voltage", "vibration": 0},
        mistakes=(
            "Accepting a contact at 300 K that freezes out at 4 K.",
            "Two-terminal numbers with the loom in them.",
            "Too few spacings for the intercept.",
        ),
        check="Fifteen structures fix the contact resistance to about 20 %.",
        references=("Schroder2006",),
    ),
    Kind(
        key="magnetoresistance",
        code="M32",
        title="Magnetoresistance, spin valves, anomalous Hall effect",
        family="screening",
        asks="One wants loops against field and angle; the ordering temperature of the magnet decides, "
        "else any cryostat.",
        inputs=(
            Input(
                "ordering_temperature",
                "K",
                "At what temperature does the weakest magnet order? Leave out for Co, Fe.",
                optional=True,
                least=0.01,
                most=2000,
            ),
        ),
        # Nitrogen to measure and helium to publish are common practice.
        criterion=capped(
            (300, 80, 4.4),
            _half_order,
            "the colder of number and half the ordering temperature",
            ("ordering_temperature",),
        ),
        follows="stage",
        needs_field=True,
        tiers={
            "see": "A loop.",
            "measure": "Size and switching fields at nitrogen temperature.",
            "publish": "The temperature law to 4 K, with the anomaly at zero bias.",
        },
        usual={**_DC, "dc": 6, "devices": 2, "per_device": "8 h", "read_as": "voltage", "vibration": 1},
        mistakes=(
            "A rotator whose friction warms the sample.",
            "Geometry of the current read as spin signal.",
            "A quantum anomalous Hall film planned like a spin valve: it needs 0.1-0.3 K.",
        ),
        check="Co/Al2O3/CoFe junctions showed 12 % at room temperature and about twice that at 4.2 K.",
        references=("Moodera1995", "Julliere1975"),
    ),
    Kind(
        key="cold-electronics",
        code="M38",
        title="Cold electronics: multiplexers, amplifiers, attenuators, switches",
        family="screening",
        asks="One wants circuits to work cold; freeze-out and the power they leave at the stage decide.",
        inputs=(_WORKING,),
        criterion=working((80, 4.4, 0)),
        follows="stage",
        tiers={
            "see": "The circuit works at nitrogen temperature.",
            "measure": "It works at helium temperature under load, with its power known.",
            "publish": "It works at its own place beside the device it serves.",
        },
        usual={**_DC, "dc": 16, "devices": 1, "per_device": "8 h", "read_as": "voltage", "vibration": 0},
        mistakes=(
            "A milliwatt on a stage that lifts microwatts.",
            "Kinks and hysteresis after freeze-out found only at the end.",
            "Testing the switch without the device whose electrons it heats.",
        ),
        check="Cold multiplexers served batches of devices within one dilution cooldown.",
        references=("Pauka2020", "PaqueletWuetz2020"),
    ),
)
