"""Kinds that rest on the energy of one more electron on an island or dot."""

from __future__ import annotations

from triage.measurements.criteria import capped, given, modulation, optional_width, plain, resolved
from triage.measurements.kind import Input, Inputs, Kind, ratio
from triage.physics.broadening import level_factor, modulation_width
from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.kind import Numbers

_EV = elementary_charge
_MODULATION_FACTOR = plain(modulation_width(1.0, 1, True))  # full width over rms voltage
_SHIFT_SHARE = 0.08  # sensor shift over addition energy of the neighbouring dot; common practice
_FLANK_RATIO = 3.0  # addition energy over kT that leaves a sensor a usable flank; common practice


def _sensor_shift(inputs: Inputs) -> Numbers:
    return given(inputs, "sensor_shift", _SHIFT_SHARE * inputs["addition_energy"])


def _flank_temperature(inputs: Inputs) -> Numbers:
    return inputs["addition_energy"] / (_FLANK_RATIO * boltzmann)


_CHARGING = Input(
    "charging_energy",
    "J",
    "How big is the island? Give its total capacitance or the charging energy e²/2C.",
    reads="charging energy",
    least=1e-6 * _EV,
    most=1.0 * _EV,
)
_ADDITION = Input(
    "addition_energy",
    "J",
    "What does one more electron cost? Give the distance of two Coulomb peaks times the lever arm, in meV.",
    reads="energy",
    least=1e-5 * _EV,
    most=0.5 * _EV,
)
_LEVER_ARM = Input(
    "lever_arm",
    "",
    "How far does the level move per volt on the plunger gate, in eV per V? Diamonds show it.",
    optional=True,
    least=1e-4,
    most=1.0,
)
_BROADENING = Input(
    "level_broadening",
    "J",
    "How wide does tunnelling alone make the level (hΓ)?",
    reads="energy",
    optional=True,
    most=1e-2 * _EV,
)

KINDS: tuple[Kind, ...] = (
    Kind(
        key="coulomb-oscillations",
        code="M01",
        title="Coulomb-blockade oscillations of a metallic single-electron transistor",
        family="single electrons",
        asks="One wants the conductance to swing with the gate; the charging energy e²/2C of the island "
        "against k_B T of its electrons decides.",
        inputs=(
            _CHARGING,
            Input(
                "tunnel_resistance",
                "ohm",
                "What resistance does one junction have? It must be well above 26 kΩ.",
                optional=True,
                least=1e3,
                most=1e12,
            ),
        ),
        criterion=ratio("charging_energy", "charging energy", 2.5, 10, 20),
        tiers={
            "see": "A gate modulation of some 15 %: the device is alive and has one island.",
            "measure": "Blockade closes between the peaks; capacitances and resistances to about 10 %.",
            "publish": "Deep blockade, fit for an electrometer figure or a comparison with theory.",
        },
        usual={
            "dc": 6,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "3 h",
            "tuning": "1 h",
            "read_as": "current",
            "band_low": 0,
            "band_high": 100,
            "smallest": "1 pA",
            "vibration": 2,
        },
        mistakes=(
            "Blaming the cryostat for junctions below 50 kΩ: cotunnelling fills the gap at any temperature.",
            ("Leaving aluminium superconducting and reading its gap as charging energy; a small field removes it."),
            "Going to a dilution unit where an island of half the size would have done at 0.3 K.",
        ),
        check="e/C is 1.6 mV at 0.1 fF; the first devices, that size or smaller, shifted by millivolts.",
        references=("FultonDolan1987", "Likharev1999", "Beenakker1991"),
    ),
    Kind(
        key="coulomb-peaks",
        code="M02",
        title="Coulomb peaks of a semiconductor dot and the electron temperature they show",
        family="single electrons",
        asks="One wants sharp peaks whose width is 3.53 k_B T over the lever arm; addition energy against "
        "k_B T decides.",
        inputs=(
            _ADDITION,
            _LEVER_ARM,
            Input(
                "tunnel_rate",
                "1/s",
                "How fast do electrons tunnel through the barriers, in events per second?",
                optional=True,
                least=1.0,
                most=1e13,
            ),
        ),
        criterion=ratio("addition_energy", "addition energy", 3, 10, 20),
        tiers={
            "see": "Peaks stand out of their background and can be counted.",
            "measure": "At least ten points across each peak; spacing and lever arm to 10 %.",
            "publish": "The electron temperature itself: barriers below 0.2 k_B T, several baths.",
        },
        usual={
            "dc": 10,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "4 h",
            "tuning": "4 h",
            "read_as": "current",
            "band_low": 0,
            "band_high": 100,
            "smallest": "0.1 pA",
            "vibration": 3,
        },
        mistakes=(
            "Fitting a temperature to a peak that its barriers have widened.",
            "Bias above k_B T/e, which becomes the width.",
            "Taking the lever arm from another gate setting: it enters the temperature in full.",
        ),
        check="Lever arm 0.1 and 100 mK give a peak 0.30 mV wide on the gate.",
        references=("Beenakker1991", "Nicoli2019", "Mueller2013"),
    ),
    Kind(
        key="coulomb-diamonds",
        code="M03",
        title="Coulomb diamonds: charging energy, lever arm and capacitances",
        family="single electrons",
        asks="One wants straight diamond edges in bias and gate; their blur, some 4 k_B T, against the "
        "charging energy decides.",
        inputs=(_CHARGING,),
        criterion=ratio("charging_energy", "charging energy", 3, 10, 20),
        tiers={
            "see": "Diamonds can be recognised and the island counted.",
            "measure": "Charging energy and lever arm to 10 %.",
            "publish": "Sharp edges, cotunnelling inside told apart, no charge jump in the map.",
        },
        usual={
            "dc": 8,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "2 h",
            "tuning": "1 h",
            "read_as": "current",
            "band_low": 0,
            "band_high": 100,
            "smallest": "1 pA",
            "vibration": 2,
        },
        mistakes=(
            "Calling e²/C the charging energy and asking for half the temperature.",
            "One slow map through an offset-charge jump instead of several fast ones.",
            "Reading overlapping diamonds of two islands as one.",
        ),
        check="Whole wafers of spin-qubit devices were mapped to the last electron at electron "
        "temperatures near 1.6 K.",
        references=("Neyens2024", "Kouwenhoven1997", "Beenakker1991"),
    ),
    Kind(
        key="excited-state-spectroscopy",
        code="M04",
        title="Excited-state (bias) spectroscopy of a dot",
        family="single electrons",
        asks="One wants lines of excited states resolved beside the ground state; their distance against "
        "3.53 k_B T decides.",
        inputs=(
            Input(
                "excitation_energy",
                "J",
                "What is the smallest distance of two levels that must be resolved?",
                reads="energy",
                least=1e-6 * _EV,
                most=0.1 * _EV,
            ),
            _BROADENING,
            Input(
                "modulation",
                "V",
                "How large is the lock-in excitation across the dot (rms)?",
                optional=True,
                most=0.01,
            ),
        ),
        criterion=resolved(
            "excitation_energy",
            "level distance",
            (1.0, 1.5, 4.0),
            factor=level_factor,
            others=(optional_width("level_broadening"), modulation("modulation", _MODULATION_FACTOR)),
            uses=("excitation_energy", "level_broadening", "modulation"),
        ),
        tiers={
            "see": "A shoulder where the second level should be.",
            "measure": "Two lines with a dip between them; the distance to 10-20 %.",
            "publish": "Separate lines whose field dependence can be followed.",
        },
        usual={
            "dc": 10,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "10 h",
            "tuning": "4 h",
            "read_as": "current",
            "band_low": 0,
            "band_high": 100,
            "smallest": "0.1 pA",
            "vibration": 3,
        },
        mistakes=(
            "Counting steps of the density of states in the leads as levels of the dot.",
            "A lock-in excitation that is wider than the lines.",
            "Trusting the bath thermometer where the width must come from the electrons.",
        ),
        check="0.10 meV, as found for a valley-orbit splitting in a silicon dot, needs electrons at 0.22 K or colder.",
        references=("Lim2011", "Beenakker1991", "Klein1973"),
    ),
    Kind(
        key="charge-sensing",
        code="M05",
        title="Charge sensing and charge-stability maps",
        family="single electrons",
        asks="One wants steps of a sensor when a neighbouring dot gains an electron; the shift of the "
        "sensor level against its width 3.53 k_B T decides.",
        inputs=(
            _ADDITION,
            Input(
                "sensor_shift",
                "J",
                "How far does one electron on the dot move the level of the sensor? Left out, 8 % of the "
                "addition energy is assumed.",
                reads="energy",
                optional=True,
                least=1e-7 * _EV,
                most=0.1 * _EV,
            ),
        ),
        # 0.3 is the step that can just be seen; 0.6 and 1.5 are common practice.
        criterion=resolved(
            _sensor_shift,
            "sensor shift",
            (0.3, 0.6, 1.5),
            factor=level_factor,
            says="sensor shift over sensor line width",
            uses=("addition_energy", "sensor_shift"),
        ),
        tiers={
            "see": "Steps show in the derivative of the sensor current.",
            "measure": "Clean stability maps for tuning down to the last electron.",
            "publish": "One electron moves the sensor by more than its line width: fast single-shot reading.",
        },
        usual={
            "dc": 20,
            "coax": 1,
            "fibres": 0,
            "devices": 1,
            "per_device": "8 h",
            "tuning": "8 h",
            "read_as": "rf reflectometry",
            "band_low": 100_000_000,
            "band_high": 300_000_000,
            "smallest": "5 pA",
            "vibration": 4,
        },
        mistakes=(
            "Judging a sensor by its contrast on a wide line: the slope per electron counts.",
            "Heating the dot by the sensor's own bias.",
            "Asking for millikelvin to draw tuning maps that a pumped insert draws overnight.",
        ),
        check="1 024 dots were read through one radio-frequency line below 1 K within ten minutes.",
        references=("Thomas2025", "Mavalankar2013"),
    ),
    Kind(
        key="charge-noise",
        code="M10",
        title="Charge-noise spectrum of a dot or transistor",
        family="single electrons",
        asks="One wants the noise of the electrostatic surroundings from mHz to kHz; a sensor with a steep "
        "flank at the temperature of interest decides, and silence.",
        inputs=(_ADDITION,),
        # 1.6 and 0.35 K stand for the next two platforms down; common practice.
        criterion=capped(
            (4.4, 1.6, 0.35),
            _flank_temperature,
            "the colder of number and addition energy / (3 k_B)",
            ("addition_energy",),
        ),
        tiers={
            "see": "One spectrum above the noise of the amplifier.",
            "measure": "Spectra at two or more temperatures, in µeV/√Hz at 1 Hz.",
            "publish": "Eight or more dots, 0.01 Hz to 10 kHz, with the temperature law.",
        },
        usual={
            "dc": 10,
            "coax": 0,
            "fibres": 0,
            "devices": 8,
            "per_device": "10 h",
            "tuning": "3 h",
            "read_as": "current",
            "band_low": "0.01",
            "band_high": 10_000,
            "smallest": "0.1 pA",
            "vibration": 5,
        },
        mistakes=(
            "Publishing the comb of a pulse tube as two-level fluctuators.",
            "Going colder than the point where the noise is set by self-heating.",
            "Quoting one dot: neighbours on a chip differ by ten.",
        ),
        check="Industrial Si/SiGe dots stay below 2 µeV/√Hz at 1 Hz.",
        references=("Connors2019", "Gustafsson2013"),
    ),
    Kind(
        key="electron-pump",
        code="M35",
        title="Single-electron pump and quantised current",
        family="single electrons",
        asks="One wants plateaus at whole multiples of e f; the addition energy against k_B T and the "
        "back-tunnelling ladder decide.",
        inputs=(_ADDITION,),
        # Chosen so that 10 meV gives helium temperature to see and 0.39 K to publish; common practice.
        criterion=ratio("addition_energy", "addition energy", 20, 60, 300),
        tiers={
            "see": "A plateau with a visible slope.",
            "measure": "A flat plateau at e f within 1 %.",
            "publish": "Parts per million against a current standard, usually in a field.",
        },
        usual={
            "dc": 8,
            "coax": 1,
            "fibres": 0,
            "devices": 1,
            "per_device": "50 h",
            "tuning": "10 h",
            "read_as": "current",
            "band_low": 0,
            "band_high": 10,
            "smallest": "0.1 pA",
            "vibration": 4,
        },
        mistakes=(
            "Averaging for days against a picoamperemeter that was not compared with a standard.",
            "Heat of the gate drive, which warms the dot above its stage.",
            "Vibration of a stiff cable at the rhythm of the machine, picoamperes in itself.",
        ),
        check="150 pA agreed with e f to about one part per million at 0.3 K and 14 T.",
        references=("Giblin2012",),
    ),
)
