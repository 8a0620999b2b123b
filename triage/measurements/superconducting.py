"""Kinds that rest on a superconducting gap, a Josephson energy or a microwave photon."""

from __future__ import annotations

from math import inf

import numpy as np

from triage.measurements.criteria import (
    between,
    fraction,
    given,
    josephson,
    photon,
    plain,
    quiet_resonator,
    resolved,
)
from triage.measurements.kind import Input, Inputs, Kind, ratio
from triage.physics.broadening import level_factor
from triage.physics.constants import elementary_charge
from triage.physics.kind import Numbers

_EV = elementary_charge
_THOULESS_SHARE = 3.0  # a long link carries current up to about 3 E_Th/k; Dubos2001


def _link_energy(inputs: Inputs) -> Numbers:
    """The smaller of the Josephson energy and, in a long link, three times the Thouless energy [J]."""
    return plain(np.minimum(josephson(inputs), _THOULESS_SHARE * given(inputs, "thouless_energy", inf)))


_CRITICAL_TEMPERATURE = Input(
    "critical_temperature",
    "K",
    "At what temperature does the film become superconducting? Al 1.2 K, Nb 9.2 K.",
    least=0.01,
    most=150,
)
_CRITICAL_CURRENT = Input(
    "critical_current",
    "A",
    "How large is the critical current? For a tunnel junction π Δ / (2 e R) at 300 K.",
    least=1e-12,
    most=1.0,
)
_FREQUENCY = Input("frequency", "Hz", "At what frequency does it resonate?", least=1e7, most=1e12)

KINDS: tuple[Kind, ...] = (
    Kind(
        key="superconducting-transition",
        code="M11",
        title="Superconducting transition: critical temperature, width, upper critical field, critical current",
        family="superconductivity",
        asks="One wants the resistance through the transition; a platform whose range brackets T_c "
        "decides, not its base.",
        inputs=(_CRITICAL_TEMPERATURE,),
        criterion=fraction("critical_temperature", "T_c", (0.95, 0.8, 0.5)),
        follows="stage",
        window=between("critical_temperature", 0.5, 1.2),
        tiers={
            "see": "The film superconducts.",
            "measure": "The transition in steps below 5 mK, with its width.",
            "publish": "Critical field or current down to half of T_c, for several films.",
        },
        usual={
            "dc": 4,
            "coax": 0,
            "fibres": 0,
            "devices": 4,
            "per_device": "2 h",
            "tuning": "0 h",
            "read_as": "voltage",
            "band_low": 10,
            "band_high": 200,
            "vibration": 0,
        },
        mistakes=(
            "Booking millikelvin for a film that a storage vessel shows in an hour.",
            "A measuring current that shifts the transition it measures.",
            "A thermometer far from the film while the temperature runs.",
        ),
        check="Al 1.2 K and Nb 9.2 K bracket between 0.6 and 1.44 K, and 4.6 and 11 K.",
        references=("Tinkham1996",),
    ),
    Kind(
        key="tunnelling-gap",
        code="M12",
        title="Superconducting gap and subgap conductance by tunnelling",
        family="superconductivity",
        asks="One wants an empty gap between coherence peaks; the gap against k_B T of the probe electrons decides.",
        inputs=(
            Input(
                "gap",
                "J",
                "How large is the gap Δ as an energy? 1.764 k_B T_c: Al 0.18 meV, Nb 1.4 meV.",
                reads="energy",
                least=1e-6 * _EV,
                most=0.1 * _EV,
            ),
        ),
        criterion=ratio("gap", "gap", 3, 8, 20),
        tiers={
            "see": "A dip around zero bias.",
            "measure": "The gap to 10 % and coherence peaks.",
            "publish": "A hard gap with its subgap conductance and broadening parameter.",
        },
        usual={
            "dc": 6,
            "coax": 0,
            "fibres": 0,
            "devices": 2,
            "per_device": "6 h",
            "tuning": "1 h",
            "read_as": "current",
            "band_low": 10,
            "band_high": 200,
            "smallest": "1 pA",
            "vibration": 2,
        },
        mistakes=(
            "Writing T_c where the gap is asked: they differ by 1.76.",
            "Calling thermal smearing a soft gap.",
            "Filters left out: photons from warm lines fill the gap that the temperature would leave empty.",
        ),
        check="Al at 0.3 K leaves exp(-Δ/k_B T) = 9e-4 in the gap; what is seen above that is leakage or radiation.",
        references=("Tinkham1996", "Dynes1978", "BardeenCooperSchrieffer1957"),
    ),
    Kind(
        key="josephson-switching",
        code="M13",
        title="Josephson junction: current-voltage curve, switching current, I_c R_n",
        family="superconductivity",
        asks="One wants a supercurrent that temperature does not round; the Josephson energy against k_B T "
        "decides, that is the critical current against 42 nA per kelvin.",
        inputs=(_CRITICAL_CURRENT,),
        criterion=ratio(josephson, "Josephson energy", 1.5, 10, 50, uses=("critical_current",)),
        tiers={
            "see": "A rounded supercurrent branch.",
            "measure": "The critical current to 10-20 %.",
            "publish": "Switching statistics that a theory of escape describes.",
        },
        usual={
            "dc": 4,
            "coax": 0,
            "fibres": 0,
            "devices": 4,
            "per_device": "2 h",
            "tuning": "1 h",
            "read_as": "voltage",
            "band_low": 0,
            "band_high": 10_000,
            "vibration": 2,
        },
        mistakes=(
            "Taking the switching current for the critical current.",
            "No filters: noise from 300 K switches the junction long before the bath does.",
            "Cooling junctions whose resistance at 300 K already gives the answer.",
        ),
        check="An Al junction of 10 kΩ has 28.7 nA and is rounded away at 1.5 K, where 63 nA count as noise.",
        references=("AmbegaokarBaratoff1963", "AmbegaokarHalperin1969", "Tinkham1996"),
    ),
    Kind(
        key="resonator-loss",
        code="M14",
        title="Internal quality of a superconducting resonator",
        family="superconductivity",
        asks="One wants the loss of the circuit; thermal quasiparticles (T_c) and thermal saturation of "
        "two-level systems (h f) decide.",
        inputs=(_FREQUENCY, _CRITICAL_TEMPERATURE),
        criterion=quiet_resonator((2, 5, 10), photons=4.8, from_ratio=5, to_ratio=10),
        follows="stage",
        tiers={
            "see": "The resonance with its frequency and coupling.",
            "measure": "Loss at a fifth of T_c, for comparing films at high power.",
            "publish": "Single-photon loss of two-level systems, repeated over half a day.",
        },
        usual={
            "dc": 0,
            "coax": 2,
            "fibres": 0,
            "devices": 4,
            "per_device": "12 h",
            "tuning": "1 h",
            "read_as": "microwave",
            "band_low": 4_000_000_000,
            "band_high": 8_000_000_000,
            "vibration": 2,
        },
        mistakes=(
            "Quoting a low-power loss at 1.5 K, where the two-level systems are saturated.",
            "Less than 60 dB on the input line.",
            "One trace: the loss wanders by tens of per cent in hours.",
        ),
        check="At 5 GHz the polarisation tanh(hf/2k_B T) is 0.98 at 50 mK and 0.08 at 1.5 K.",
        references=("McRae2020", "Pappas2011"),
    ),
    Kind(
        key="superconducting-qubit",
        code="M15",
        title="Superconducting qubit (transmon, flux qubit): spectroscopy, relaxation, coherence",
        family="superconductivity",
        asks="One wants a qubit that starts in its ground state; h f against k_B T of its surroundings decides.",
        inputs=(_FREQUENCY,),
        criterion=ratio(photon, "qubit energy", 1.6, 4.8, 6.9, uses=("frequency",)),
        # The lines and shields at the stage decide, not the electrons of a bias loom.
        follows="stage",
        tiers={
            "see": "The transition in spectroscopy.",
            "measure": "Relaxation and coherence times, 1 % thermal excitation.",
            "publish": "Days of statistics at 0.1 % thermal excitation, shielded and filtered.",
        },
        usual={
            "dc": 2,
            "coax": 4,
            "fibres": 0,
            "devices": 1,
            "per_device": "100 h",
            "tuning": "20 h",
            "read_as": "microwave",
            "band_low": 4_000_000_000,
            "band_high": 8_000_000_000,
            "vibration": 3,
        },
        mistakes=(
            "One cooldown, one number: relaxation times wander by half over days.",
            "Reading the thermal excitation from the stage thermometer; it stops falling near 35 mK.",
            "Skipping room-temperature resistance and a resonator on the same film.",
        ),
        check="A three-dimensional transmon followed Boltzmann from 35 to 150 mK and stopped at 0.1 % excitation.",
        references=("Jin2015", "Burnett2019"),
    ),
    Kind(
        key="hybrid-andreev",
        code="M16",
        title="Semiconductor-superconductor hybrids: Andreev levels, zero-bias peaks, non-local conductance",
        family="superconductivity",
        asks="One wants states inside an induced gap; the width of the peak against 3.53 k_B T of the "
        "electrons decides.",
        inputs=(
            Input(
                "peak_width",
                "J",
                "How narrow is the narrowest peak that matters, full width?",
                reads="energy",
                default="10 ueV",
                least=1e-7 * _EV,
                most=1e-3 * _EV,
            ),
        ),
        # 10 µeV then asks for 100, 50 and 30 mK.
        criterion=resolved("peak_width", "peak width", (0.33, 0.67, 1.1), factor=level_factor),
        needs_field=True,
        tiers={
            "see": "A peak, three times as wide as it is.",
            "measure": "Position and splitting with field.",
            "publish": "Height and width with a measured electron temperature, from both ends.",
        },
        usual={
            "dc": 16,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "60 h",
            "tuning": "20 h",
            "read_as": "current",
            "band_low": 10,
            "band_high": 200,
            "smallest": "1 pA",
            "vibration": 3,
        },
        mistakes=(
            "A null result without a measured electron temperature.",
            "Field tilted by more than a degree out of the film.",
            "One cut out of a gate map, chosen for its looks.",
        ),
        check="10 µeV is the thermal width of electrons at 33 mK.",
        references=("Chang2015", "Prada2020"),
    ),
    Kind(
        key="weak-link",
        code="M17",
        title="Supercurrent of weak links, SQUIDs, phase-slip wires",
        family="superconductivity",
        asks="One wants the supercurrent against temperature or flux; the Josephson energy, and in a long "
        "diffusive link the Thouless energy, against k_B T decide.",
        inputs=(
            _CRITICAL_CURRENT,
            Input(
                "thouless_energy",
                "J",
                "Is the link long? Then its Thouless energy ħD/L²; leave out for a short one.",
                reads="energy",
                optional=True,
                least=1e-8 * _EV,
                most=0.1 * _EV,
            ),
        ),
        # A third of E_Th to see is published practice; 3 and 10 are common practice.
        criterion=ratio(
            _link_energy,
            "link energy (Josephson, at most 3 × Thouless)",
            1,
            3,
            10,
            uses=("critical_current", "thouless_energy"),
        ),
        tiers={
            "see": "A supercurrent, rounded.",
            "measure": "The critical current and its flux or gate dependence.",
            "publish": "The critical current over two decades with its temperature law.",
        },
        usual={
            "dc": 6,
            "coax": 0,
            "fibres": 0,
            "devices": 2,
            "per_device": "6 h",
            "tuning": "2 h",
            "read_as": "voltage",
            "band_low": 0,
            "band_high": 1_000,
            "vibration": 2,
        },
        mistakes=(
            "Cooling to fight a link that is too long.",
            "No magnetic shield around a loop.",
            "Hysteresis from heating read as phase slips.",
        ),
        check="1 µm at D = 0.01 m²/s has a Thouless energy of 76 mK.",
        references=("Dubos2001", "Tinkham1996"),
    ),
    Kind(
        key="photon-detector",
        code="M18",
        title="Superconducting nanowire photon detector: efficiency, dark counts, jitter",
        family="superconductivity",
        asks="One wants counts that saturate with bias; the temperature against T_c of the film decides.",
        inputs=(_CRITICAL_TEMPERATURE,),
        # WSi counted nearly saturated at 0.74 T_c; half and a third are common practice.
        criterion=fraction("critical_temperature", "T_c", (0.75, 0.5, 0.35)),
        follows="stage",
        tiers={
            "see": "Counts with light that stop without.",
            "measure": "Efficiency on a plateau.",
            "publish": "Efficiency, jitter and dark counts with cold filters.",
        },
        usual={
            "dc": 0,
            "coax": 1,
            "fibres": 1,
            "devices": 4,
            "per_device": "3 h",
            "tuning": "1 h",
            "read_as": "counts",
            "band_low": 1_000_000,
            "band_high": 1_000_000_000,
            "vibration": 3,
        },
        mistakes=(
            "Counting photons of the room that come down the fibre as dark counts.",
            "Latching of the wire by a readout that is too fast.",
            "Buying base temperature where a better film would do.",
        ),
        check="NbTiN wires passed 92 % in a two-stage cooler without liquid helium.",
        references=("EsmaeilZadeh2017", "Marsili2013"),
    ),
)
