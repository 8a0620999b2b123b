"""Kinds that resolve energies by tunnelling, and those that follow one switching defect."""

from __future__ import annotations

from triage.measurements.criteria import activated, activation_window, given, modulation, plain, resolved
from triage.measurements.kind import Input, Inputs, Kind
from triage.physics.broadening import inelastic_factor, level_factor, modulation_width
from triage.physics.constants import elementary_charge
from triage.physics.kind import Numbers

_EV = elementary_charge
# Full width over rms modulation voltage.
_SECOND_HARMONIC = plain(modulation_width(1.0, 2, True))
_FIRST_HARMONIC = plain(modulation_width(1.0, 1, True))
_RESOLUTION_SHARE = 0.1  # resolution wanted over mode energy where none is stated; common practice


def _resolution(inputs: Inputs) -> Numbers:
    return given(inputs, "resolution", _RESOLUTION_SHARE * inputs["mode_energy"])


_MODULATION = Input("modulation", "V", "How large is the lock-in modulation (rms)?", optional=True, most=0.1)

KINDS: tuple[Kind, ...] = (
    Kind(
        key="inelastic-tunnelling",
        code="M25",
        title="Inelastic tunnelling spectroscopy of molecules, phonons, magnons",
        family="spectroscopy",
        asks="One wants peaks of the second derivative at mode energies; their thermal width 5.44 k_B T "
        "against the resolution wanted decides.",
        inputs=(
            Input(
                "mode_energy",
                "J",
                "At what energy is the lowest mode? Vibrations 20-400 meV, magnons a few meV.",
                reads="energy",
                least=1e-4 * _EV,
                most=1.0 * _EV,
            ),
            Input(
                "resolution",
                "J",
                "How sharp must a peak be? Left out, a tenth of the mode energy.",
                reads="energy",
                optional=True,
                least=1e-6 * _EV,
                most=0.1 * _EV,
            ),
            _MODULATION,
        ),
        criterion=resolved(
            _resolution,
            "resolution",
            (1.0, 0.5, 0.25),
            factor=inelastic_factor,
            inverse=True,
            others=(modulation("modulation", _SECOND_HARMONIC),),
            says="line width over the resolution wanted",
            uses=("mode_energy", "resolution", "modulation"),
        ),
        tiers={
            "see": "Peaks as sharp as the resolution wanted.",
            "measure": "Mode energies to a fraction of the resolution.",
            "publish": "Natural line widths.",
        },
        usual={
            "dc": 4,
            "coax": 0,
            "fibres": 0,
            "devices": 2,
            "per_device": "6 h",
            "tuning": "1 h",
            "read_as": "current",
            "band_low": 10,
            "band_high": 1_000,
            "smallest": "1 pA",
            "vibration": 3,
        },
        mistakes=(
            "A modulation wider than the thermal width.",
            "Peaks at one polarity only taken for a vibration.",
            "Colder than the modulation can use.",
        ),
        check="5.4 k_B T is about half a millivolt per kelvin: 2.0 mV at 4.2 K.",
        references=("LambeJaklevic1968", "Klein1973"),
    ),
    Kind(
        key="scanning-tunnelling",
        code="M26",
        title="Scanning tunnelling and scanning gate spectroscopy",
        family="spectroscopy",
        asks="One wants maps of a feature in the density of states; its width against 3.53 k_B T of the "
        "tip decides, and picometres of motion.",
        inputs=(
            Input(
                "feature_energy",
                "J",
                "How wide is the narrowest feature to be mapped (gap, splitting, peak)?",
                reads="energy",
                least=1e-6 * _EV,
                most=1.0 * _EV,
            ),
            _MODULATION,
        ),
        # 1 meV then asks for 3.3, 1.6 and 0.8 K, the customary 1 to 4 K; common practice.
        criterion=resolved(
            "feature_energy",
            "feature width",
            (1.0, 2.0, 4.0),
            factor=level_factor,
            others=(modulation("modulation", _FIRST_HARMONIC),),
            uses=("feature_energy", "modulation"),
        ),
        tiers={
            "see": "The feature in a point spectrum.",
            "measure": "Its energy to 10-20 %, in maps.",
            "publish": "Its shape, with the temperature of the junction measured.",
        },
        usual={
            "dc": 8,
            "coax": 0,
            "fibres": 0,
            "devices": 1,
            "per_device": "100 h",
            "tuning": "24 h",
            "read_as": "current",
            "band_low": 0,
            "band_high": 2_000,
            "smallest": "1 pA",
            "vibration": 5,
        },
        mistakes=(
            "Quoting the stage where the junction sits at twice its temperature.",
            "A map longer than the hold of the cryostat.",
            "Refusing every machine by its mechanism instead of its measured motion.",
        ),
        check="On a stage at 30 mK a junction was found at 77 mK.",
        references=("Esat2022", "Klein1973"),
    ),
    Kind(
        key="telegraph-noise",
        code="M36",
        title="Random telegraph noise and activation of single traps",
        family="spectroscopy",
        asks="One wants one defect switching inside the band of the amplifier; its activation energy sets "
        "a window of temperature, not a lowest one.",
        inputs=(
            Input(
                "activation_energy",
                "J",
                "How large is the barrier of the defect? Oxide traps 10-500 meV.",
                reads="energy",
                least=1e-4 * _EV,
                most=2.0 * _EV,
            ),
            Input(
                "attempt_time",
                "s",
                "How fast does it try? A tenth of a picosecond is a phonon period.",
                default="0.1 ps",
                least=1e-16,
                most=1e-6,
                basis="from memory",
            ),
        ),
        # Corner frequencies; the top of the band to see one, further down for a law (common practice).
        criterion=activated((1e4, 1e3, 1e2)),
        follows="stage",
        window=activation_window(0.1, 1e4),
        tiers={
            "see": "Switching slow enough for the amplifier.",
            "measure": "Capture and emission times over a decade.",
            "publish": "Activation energy and attempt time from the whole window.",
        },
        usual={
            "dc": 6,
            "coax": 0,
            "fibres": 0,
            "devices": 4,
            "per_device": "6 h",
            "tuning": "1 h",
            "read_as": "current",
            "band_low": "0.1",
            "band_high": 10_000,
            "smallest": "10 pA",
            "vibration": 3,
        },
        mistakes=(
            "Looking at base temperature for a defect that froze at 60 K.",
            "An activation law where the defect tunnels.",
            "Temperature steps wider than the window of one defect.",
        ),
        check="Between 0.1 Hz and 10 kHz the corner moves within a quarter of a middle temperature either way.",
        references=("Ralls1984", "KirtonUren1989"),
    ),
)
