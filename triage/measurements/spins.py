"""Kinds that read or drive spins in dots and donors, and the valley splitting they depend on."""

from __future__ import annotations

from triage.measurements.criteria import zeeman
from triage.measurements.kind import Input, Kind, ratio
from triage.physics.constants import elementary_charge

_EV = elementary_charge
_G_FACTOR = Input(
    "g_factor",
    "",
    "Which g-factor do the spins have? 2 for electrons in silicon, -0.44 in GaAs.",
    default="2",
    least=-80,
    most=80,
)
_RF: dict[str, str | int | bool] = {
    "fibres": 0,
    "devices": 1,
    "read_as": "rf reflectometry",
    "band_low": 100_000_000,
    "band_high": 300_000_000,
}

KINDS: tuple[Kind, ...] = (
    Kind(
        key="spin-readout",
        code="M06",
        title="Energy-selective (reservoir) single-shot spin readout",
        family="spins",
        asks="One wants spin up to leave for a reservoir and spin down to stay; the Zeeman energy against "
        "k_B T of the reservoir decides.",
        inputs=(_G_FACTOR,),
        criterion=ratio(zeeman, "Zeeman energy", 5, 8, 13, uses=("field", "g_factor")),
        needs_field=True,
        tiers={
            "see": "Single tunnel events that depend on spin; one in thirteen is wrong by temperature alone.",
            "measure": "Relaxation time and readout to a few per cent.",
            "publish": ("Thermal error near 0.1 %, with bandwidth ten times the tunnel rate and long relaxation."),
        },
        usual={
            **_RF,
            "dc": 18,
            "coax": 2,
            "per_device": "40 h",
            "tuning": "20 h",
            "smallest": "5 pA",
            "vibration": 4,
        },
        mistakes=(
            (
                "Buying ratio with field and forgetting that relaxation speeds up and resonance moves by "
                "28 GHz per tesla."
            ),
            "Planning with the bath temperature where the reservoir decides.",
            "Taking kHz noise of cables for tunnel events.",
        ),
        check="Donor readout above 90 % at 1.5 T and about 0.2 K of electrons is a ratio of 10.",
        references=("Elzerman2004", "Morello2010", "Hanson2005"),
    ),
    Kind(
        key="spin-blockade",
        code="M07",
        title="Pauli-spin-blockade (singlet-triplet) readout",
        family="spins",
        asks="One wants a triplet to stay where a singlet moves; the singlet-triplet splitting, not the "
        "Zeeman energy, against k_B T decides.",
        inputs=(
            Input(
                "singlet_triplet_splitting",
                "J",
                ("How far is the triplet above the singlet of the doubly filled dot (valley or orbital splitting)?"),
                reads="energy",
                least=1e-6 * _EV,
                most=0.05 * _EV,
            ),
        ),
        criterion=ratio("singlet_triplet_splitting", "singlet-triplet splitting", 2, 5, 10),
        tiers={
            "see": "A blocked region in the map of two dots.",
            "measure": "Single-shot readout with errors of some per cent.",
            "publish": "Readout limited by the sensor, with blockade that outlives the integration.",
        },
        usual={
            **_RF,
            "dc": 24,
            "coax": 2,
            "per_device": "40 h",
            "tuning": "30 h",
            "smallest": "5 pA",
            "vibration": 4,
        },
        mistakes=(
            "Refusing 1.5 K by the Zeeman energy, which does not enter here.",
            "Overlooking a valley splitting below the orbital one: the smaller decides.",
            "Zero field, where nuclear or spin-orbit mixing lifts the blockade.",
        ),
        check="Two-qubit cells in silicon worked near 1.5 K, in fields where h f was below k_B T.",
        references=("Yang2020", "Petit2020", "Huang2024", "Camenzind2022"),
    ),
    Kind(
        key="spin-coherence",
        code="M08",
        title="Spin resonance, relaxation and coherence, benchmarking of gates",
        family="spins",
        asks="One wants oscillations and decay of driven spins; the energy by which they are set and read "
        "against k_B T decides, after that noise and heating.",
        inputs=(
            Input(
                "readout_energy",
                "J",
                "On which energy does setting and reading rest: Zeeman energy for a reservoir, singlet- "
                "triplet splitting for spin blockade?",
                reads="energy",
                least=1e-6 * _EV,
                most=0.05 * _EV,
            ),
            _G_FACTOR,
        ),
        # The numbers of spin blockade; common practice for both ways of reading.
        criterion=ratio("readout_energy", "readout energy", 2, 5, 10),
        needs_field=True,
        tiers={
            "see": "Oscillations under drive, with reduced contrast.",
            "measure": "Relaxation and dephasing times to 10 %.",
            "publish": "Gate fidelities from days of benchmarking at constant tuning.",
        },
        usual={
            **_RF,
            "dc": 20,
            "coax": 4,
            "per_device": "100 h",
            "tuning": "40 h",
            "smallest": "5 pA",
            "vibration": 5,
        },
        mistakes=(
            "Counting charge noise and forgetting motion in the gradient of a micromagnet.",
            "Measuring at 20 mK a qubit that is meant to work at 1 K.",
            "Ignoring the shift of the resonance by the heat of the drive itself.",
        ),
        check="Lines at the rhythm of a pulse tube were found in the noise spectrum of an electron-spin qubit.",
        references=("Kalra2016", "Yang2020", "Petit2020"),
    ),
    Kind(
        key="valley-splitting",
        code="M09",
        title="Valley splitting of silicon dots (pulsed, magnetospectroscopy, relaxation hot spot)",
        family="spins",
        asks="One wants the two lowest valleys told apart; their splitting against k_B T decides, and for "
        "the hot spot a field whose Zeeman energy equals it.",
        inputs=(
            Input(
                "valley_splitting",
                "J",
                "How large do you expect the valley splitting? MOS dots 0.3-0.8 meV, Si/SiGe 0.05-0.3 meV.",
                reads="energy",
                least=1e-6 * _EV,
                most=5e-3 * _EV,
            ),
        ),
        criterion=ratio("valley_splitting", "valley splitting", 4, 10, 10),
        tiers={
            "see": "A second line or a bend of a transition with field.",
            "measure": "The splitting to 10-20 % at one gate setting.",
            "publish": "The same temperature, several gate settings and more than one way of measuring.",
        },
        usual={
            **_RF,
            "dc": 16,
            "coax": 1,
            "per_device": "20 h",
            "tuning": "20 h",
            "smallest": "1 pA",
            "vibration": 3,
        },
        mistakes=(
            "Taking an orbital state or a line of the lead for the valley.",
            "Too little field for the hot spot: 0.8 meV needs 6.9 T.",
            "Quoting one dot of a Si/SiGe wafer, where the splitting scatters by ten.",
        ),
        check="A MOS dot was tuned from 0.3 to 0.8 meV; Si/SiGe dots showed 0.12 and 0.27 meV.",
        references=("Yang2013", "Borselli2011"),
    ),
)
