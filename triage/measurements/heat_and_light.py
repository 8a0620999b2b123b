"""Kinds that measure temperature, heat, light and motion."""

from __future__ import annotations

import numpy as np

from triage.measurements.criteria import between, fraction, given, photon, plain
from triage.measurements.kind import Criterion, Input, Inputs, Kind, at_most
from triage.models.tier import TIERS
from triage.physics.constants import boltzmann
from triage.physics.kind import Numbers

_ANY_QUANTA = 1e15  # so many that no temperature follows
_OCCUPATION_BELOW = 1.0  # K; warmer than this one asks for quality, not for quanta; common practice


def _mode_temperature(inputs: Inputs, number: float) -> Numbers:
    if number > _OCCUPATION_BELOW:
        return number
    if "quanta" not in inputs:
        return number
    quanta = np.maximum(given(inputs, "quanta", _ANY_QUANTA), 1e-12)
    return plain(np.minimum(photon(inputs) / (boltzmann * np.log1p(1 / quanta)), number))


KINDS: tuple[Kind, ...] = (
    Kind(
        key="electron-thermometry",
        code="M27",
        title="Calibration of the electron temperature of a loom",
        family="heat and light",
        asks="One wants electron against bath temperature; the stage must go below the saturation that is to be shown.",
        inputs=(
            Input(
                "expected_temperature",
                "K",
                "Where do you expect the electrons to stop cooling?",
                default="0.1 K",
                least=0.001,
                most=5,
            ),
        ),
        # Stage over expected saturation; common practice.
        criterion=fraction("expected_temperature", "expected electron temperature", (1.0, 0.67, 0.5)),
        follows="stage",
        window=between("expected_temperature", 0.5, 4.0),
        tiers={
            "see": "One temperature from one width.",
            "measure": "10 %, at four bath temperatures with the saturation in view.",
            "publish": "Two independent thermometers that agree.",
        },
        usual={
            "dc": 4,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "12 h",
            "tuning": "2 h",
            "read_as": "current",
            "band_low": 7,
            "band_high": 200,
            "smallest": "10 pA",
            "vibration": 1,
        },
        mistakes=(
            "Calibrating one loom and measuring through another.",
            "An array thermometer whose islands have lost their phonons.",
            "Doing it once and re-wiring afterwards.",
        ),
        check="A hundred junctions at 22 mK have a dip 1.03 mV wide.",
        references=("Pekola1994", "Meschke2011", "Spietz2003"),
    ),
    Kind(
        key="optical-spectroscopy",
        code="M33",
        title="Colour centres, quantum-dot luminescence, excitons of layers",
        family="heat and light",
        asks="One wants narrow lines; broadening by phonons decides, gone for most emitters below 10 K.",
        inputs=(),
        # Luminescence narrows at 10 K; 5 K for resonant lines is common practice.
        criterion=at_most(300, 10, 5),
        follows="stage",
        tiers={
            "see": "Emission, or spin resonance of colour centres at room temperature.",
            "measure": "Narrow luminescence.",
            "publish": "Resonant lines near their natural width.",
        },
        usual={
            "dc": 2,
            "coax": 1,
            "fibres": 1,
            "devices": 4,
            "per_device": "6 h",
            "tuning": "2 h",
            "read_as": "optical",
            "band_low": 1,
            "band_high": 1_000,
            "vibration": 4,
        },
        mistakes=(
            "Windows straight onto a millikelvin stage.",
            "A spot that drifts by more than its size during the night.",
            "Laser power that sets the temperature.",
        ),
        check="Spin resonance of single nitrogen-vacancy centres works at 300 K, their resonant lines below 10 K.",
        references=("Gruber1997", "Fu2009"),
    ),
    Kind(
        key="thermal-transport",
        code="M34",
        title="Thermal conductance, thermopower, electron-phonon coupling",
        family="heat and light",
        asks="One wants heat flow per kelvin; the temperature below which phonons run through without "
        "scattering decides.",
        inputs=(
            Input(
                "crossover_temperature",
                "K",
                "Below what temperature do phonons cross the structure freely?",
                default="0.7 K",
                least=0.005,
                most=50,
                basis="published",
            ),
        ),
        # Chosen so that 0.7 K asks for 4.5, 1.6 and 0.56 K; common practice.
        criterion=fraction("crossover_temperature", "crossover temperature", (6.5, 2.3, 0.8)),
        follows="stage",
        tiers={
            "see": "The conductance of the bulk.",
            "measure": "Its power law over the crossover.",
            "publish": "The ballistic plateau in quanta.",
        },
        usual={
            "dc": 12,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "60 h",
            "tuning": "5 h",
            "read_as": "voltage",
            "band_low": 1,
            "band_high": 100,
            "vibration": 3,
        },
        mistakes=(
            "Sweeping faster than the structure relaxes.",
            "Leads that carry more heat than the membrane.",
            "A hold too short for points that take minutes each.",
        ),
        check="Four wires carried sixteen quanta of conductance below about 0.6 K, 9.1 pW/K there.",
        references=("Schwab2000",),
    ),
    Kind(
        key="nanomechanics",
        code="M37",
        title="Nanomechanical and optomechanical resonators",
        family="heat and light",
        asks="One wants quality and occupation of a vibration; damping falls on cooling, and h f against "
        "k_B T sets the number of quanta.",
        inputs=(
            Input("frequency", "Hz", "At what frequency does it vibrate?", least=1.0, most=1e11),
            Input(
                "quanta",
                "",
                "Is a number of thermal quanta wanted at the end? 1 for the ground state; else leave out.",
                optional=True,
                least=1e-6,
                most=1e9,
            ),
        ),
        # 0.1 K as the warmest for work with few quanta; common practice.
        criterion=Criterion(
            _mode_temperature,
            dict(zip(TIERS, (300.0, 1.6, 0.1), strict=True)),
            "temperature in K",
            "T needed = number; below 1 K also hf/(k_B ln(1 + 1/quanta))",
            ("frequency", "quanta"),
            photon,
            "quantum of vibration",
        ),
        follows="stage",
        tiers={
            "see": "The mode and its quality in vacuum.",
            "measure": "Damping against temperature.",
            "publish": "Few thermal quanta, or a quality that no longer changes.",
        },
        usual={
            "dc": 4,
            "coax": 2,
            "fibres": 0,
            "devices": 2,
            "per_device": "10 h",
            "tuning": "4 h",
            "read_as": "voltage",
            "band_low": 1_000,
            "band_high": 100_000_000,
            "vibration": 5,
        },
        mistakes=(
            "A pulse tube without a suspension under a soft resonator.",
            "Readout light or drive that warms the mode.",
            "Cooling a megahertz mode to its ground state by the bath alone: it takes 70 µK.",
        ),
        check="A 6 GHz mode at 25 mK held less than 0.07 quanta.",
        references=("OConnell2010", "Maisonobe2018"),
    ),
)
