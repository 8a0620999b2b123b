"""Vibration: criterion curves, sine conversions and what motion does to a signal."""

from __future__ import annotations

from math import nan, pi

import numpy as np
from numpy.typing import NDArray

from triage.physics.constants import electron_mass, reduced_planck
from triage.physics.kind import Numbers, within

PEAK_TO_PEAK_PER_RMS = 2.0 * 2.0**0.5  # of a sine

# Velocity, rms per one-third octave above 8 Hz, m/s; lenient to strict (Gordon1991, Amick2005).
CRITERIA: dict[str, float] = {
    "workshop": 800e-6,
    "office": 400e-6,
    "residential": 200e-6,
    "operating theatre": 100e-6,
    "VC-A": 50e-6,
    "VC-B": 25e-6,
    "VC-C": 12.5e-6,
    "VC-D": 6.25e-6,
    "VC-E": 3.12e-6,
    "VC-F": 1.56e-6,
    "VC-G": 0.78e-6,
}
# These hold from 4 Hz only and allow constant acceleration between 4 and 8 Hz.
RELAXED_BELOW_8_HZ = frozenset({"workshop", "office", "residential", "operating theatre", "VC-A", "VC-B"})


@within(frequency=(1.0, 80.0, "Hz"))
def criterion_velocity(criterion: str, frequency: Numbers) -> Numbers:
    """Velocity that a generic vibration criterion allows.

    v = v_0 from 8 to 80 Hz; v_0 (8 Hz/f) from 4 to 8 Hz down to VC-B; v_0 from 1 Hz for VC-C and below.

    Parameters
    ----------
    criterion : str
        Name in ``CRITERIA`` [-].
    frequency : float or array
        Centre of the one-third octave [Hz].

    Returns
    -------
    float or array
        Velocity, rms in the one-third octave [m/s]; nan where the curve is not defined.

    Raises
    ------
    KeyError
        The name is not in ``CRITERIA``.

    Notes
    -----
    A curve is for floors. A line in a narrower band is compared as it is, not scaled to the band.

    Source: Gordon1991, Amick2005.

    Examples
    --------
    >>> round(float(criterion_velocity("VC-A", 4.0)) * 1e6, 1)
    100.0
    """
    f = np.asarray(frequency, dtype=np.float64)
    relaxed = criterion in RELAXED_BELOW_8_HZ
    with np.errstate(divide="ignore"):
        allowed = CRITERIA[criterion] * (np.maximum(8.0 / f, 1.0) if relaxed else np.ones_like(f))
    return np.where((f >= (4.0 if relaxed else 1.0)) & (f <= 80.0), allowed, nan)[()]


def strictest_criterion(velocity: float, frequency: float) -> str | None:
    """Strictest criterion that a measured vibration meets.

    The last curve, lenient to strict, with v at or below its value.

    Parameters
    ----------
    velocity : float
        Velocity, rms in the one-third octave [m/s].
    frequency : float
        Centre of the one-third octave [Hz].

    Returns
    -------
    str or None
        Name in ``CRITERIA``; None if no curve defined at this frequency is met [-].

    Source: Amick2005.

    Examples
    --------
    >>> strictest_criterion(31e-6, 10.0)
    'VC-A'
    """
    met = [name for name in CRITERIA if velocity <= criterion_velocity(name, frequency)]
    return met[-1] if met else None


def sine_velocity(displacement: Numbers, frequency: Numbers) -> Numbers:
    """Velocity of a sinusoidal motion.

    v = 2 pi f x.

    Parameters
    ----------
    displacement : float or array
        Displacement: rms, amplitude or peak to peak [m].
    frequency : float or array
        Frequency [Hz].

    Returns
    -------
    float or array
        Velocity, in the same measure (rms for rms) [m/s].

    Notes
    -----
    Peak to peak is 2.83 times rms (``PEAK_TO_PEAK_PER_RMS``).

    Source: Elementary.

    Examples
    --------
    >>> round(float(sine_velocity(10e-6 / PEAK_TO_PEAK_PER_RMS, 1.4)) * 1e6)
    31
    """
    return 2.0 * pi * frequency * displacement


def sine_displacement(velocity: Numbers, frequency: Numbers) -> Numbers:
    """Displacement of a sinusoidal motion.

    x = v/(2 pi f).

    Parameters
    ----------
    velocity : float or array
        Velocity: rms, amplitude or peak to peak [m/s].
    frequency : float or array
        Frequency [Hz].

    Returns
    -------
    float or array
        Displacement, in the same measure [m].

    Source: Elementary.

    Examples
    --------
    >>> round(float(sine_displacement(50e-6, 10.0)) * PEAK_TO_PEAK_PER_RMS * 1e6, 1)
    2.3
    """
    return velocity / (2.0 * pi * np.asarray(frequency, dtype=np.float64))[()]


def sine_acceleration(velocity: Numbers, frequency: Numbers) -> Numbers:
    """Acceleration of a sinusoidal motion.

    a = 2 pi f v.

    Parameters
    ----------
    velocity : float or array
        Velocity: rms, amplitude or peak to peak [m/s].
    frequency : float or array
        Frequency [Hz].

    Returns
    -------
    float or array
        Acceleration, in the same measure [m/s^2].

    Source: Elementary.

    Examples
    --------
    >>> round(float(sine_acceleration(50e-6, 8.0)) / 9.80665 * 1e6)
    256
    """
    return 2.0 * pi * frequency * velocity


def microphonic_current(voltage: Numbers, frequency: Numbers, capacitance_change: Numbers) -> Numbers:
    """Current that a moving capacitance drives at a bias.

    I = V 2 pi f dC.

    Parameters
    ----------
    voltage : float or array
        Voltage across the capacitance [V].
    frequency : float or array
        Frequency of the motion [Hz].
    capacitance_change : float or array
        Change of capacitance, rms, amplitude or peak to peak [F].

    Returns
    -------
    float or array
        Current, in the same measure [A].

    Notes
    -----
    Charge trapped on the dielectric acts as a voltage of its own; no bias does not mean no current.

    Source: Elementary.

    Examples
    --------
    >>> round(float(microphonic_current(0.1, 1e3, 1e-15)) * 1e12, 2)
    0.63
    """
    return voltage * 2.0 * pi * frequency * capacitance_change


def tilting_loop_voltage(field: Numbers, area: Numbers, angle: Numbers, frequency: Numbers) -> Numbers:
    """Voltage induced in a loop that tilts in a field, at its most sensitive orientation.

    U = B A theta 2 pi f.

    Parameters
    ----------
    field : float or array
        Magnetic field [T].
    area : float or array
        Area of the loop [m^2].
    angle : float or array
        Tilt, rms or amplitude [rad].
    frequency : float or array
        Frequency [Hz].

    Returns
    -------
    float or array
        Voltage, in the same measure [V].

    Notes
    -----
    Field in the plane of the loop; a loop normal to the field gives only the second order in the tilt.

    Source: Elementary.

    Examples
    --------
    >>> round(float(tilting_loop_voltage(9.0, 1e-4, 1e-6, 50.0)) * 1e9)
    283
    """
    return field * area * angle * 2.0 * pi * frequency


def moving_wire_voltage(field: Numbers, length: Numbers, displacement: Numbers, frequency: Numbers) -> Numbers:
    """Voltage induced along a wire that moves across a field.

    U = B l x 2 pi f.

    Parameters
    ----------
    field : float or array
        Magnetic field [T].
    length : float or array
        Length of wire across field and motion [m].
    displacement : float or array
        Displacement, rms or amplitude [m].
    frequency : float or array
        Frequency [Hz].

    Returns
    -------
    float or array
        Voltage, in the same measure [V].

    Notes
    -----
    For one wire of a pair; twisting cancels most of it.

    Source: Elementary.

    Examples
    --------
    >>> round(float(moving_wire_voltage(5.0, 0.1, 1e-6, 1.4)) * 1e6, 1)
    4.4
    """
    return field * length * displacement * 2.0 * pi * frequency


def gap_modulation(displacement: Numbers, frequency: Numbers, resonance: Numbers, quality: Numbers = 10.0) -> Numbers:
    """Change of a gap, such as tip to sample, when the frame around it is shaken.

    z = x r^2/sqrt((1 - r^2)^2 + (r/Q)^2), r = f/f_0; x r^2 far below resonance.

    Parameters
    ----------
    displacement : float or array
        Displacement of the frame [m].
    frequency : float or array
        Frequency [Hz].
    resonance : float or array
        Lowest resonance of the gap [Hz].
    quality : float or array
        Quality factor of that resonance [1].

    Returns
    -------
    float or array
        Change of the gap, in the same measure [m].

    Source: DenHartog1956.

    Examples
    --------
    >>> round(float(gap_modulation(10e-6, 1.4, 1e3)) * 1e12)
    20
    """
    r = np.asarray(frequency, dtype=np.float64) / resonance
    return displacement * r**2 / np.sqrt((1.0 - r**2) ** 2 + (r / quality) ** 2)


def tunnelling_sensitivity(gap_change: Numbers, barrier: Numbers = 7.21e-19) -> Numbers:
    """Relative change of a tunnelling current when its gap narrows.

    dI/I = exp(2 kappa dz) - 1, kappa = sqrt(2 m phi)/hbar.

    Parameters
    ----------
    gap_change : float or array
        Narrowing of the gap; negative when it opens [m].
    barrier : float or array
        Barrier height; 4.5 eV by default [J].

    Returns
    -------
    float or array
        Relative change of current [1].

    Source: BinnigRohrer1982.

    Examples
    --------
    >>> round(float(tunnelling_sensitivity(1e-12)), 3)
    0.022
    """
    return np.expm1(2.0 * np.sqrt(2.0 * electron_mass * barrier) / reduced_planck * gap_change)


def motion_field(gradient: Numbers, displacement: Numbers) -> Numbers:
    """Field noise seen by a sample that moves in a gradient.

    dB = (dB/dx) x.

    Parameters
    ----------
    gradient : float or array
        Field gradient along the motion [T/m].
    displacement : float or array
        Displacement relative to the source of the field [m].

    Returns
    -------
    float or array
        Field, in the same measure [T].

    Source: Elementary.

    Examples
    --------
    >>> round(float(motion_field(1e-3 / 1e-6, 10e-9)) * 1e6)
    10
    """
    return gradient * displacement


def comb(base: float, harmonics: int) -> NDArray[np.float64]:
    """Frequencies of a comb of harmonics, such as that of a pulse tube.

    f_n = n f_1, n = 1 to N.

    Parameters
    ----------
    base : float
        Base frequency, 1 to 2 Hz for a pulse tube [Hz].
    harmonics : int
        Number of lines N [1].

    Returns
    -------
    array
        Frequencies [Hz].

    Source: CommonPractice.

    Examples
    --------
    >>> [round(float(f), 1) for f in comb(1.4, 3)]
    [1.4, 2.8, 4.2]
    """
    return base * np.arange(1, harmonics + 1, dtype=np.float64)


def in_comb(low: float, high: float, base: float, harmonics: int, width: float = 0.0) -> bool:
    """Whether a frequency band meets a line of a comb.

    Some n, 1 to N: low - w <= n f_1 <= high + w.

    Parameters
    ----------
    low : float
        Lower edge of the band [Hz].
    high : float
        Upper edge of the band [Hz].
    base : float
        Base frequency [Hz].
    harmonics : int
        Number of lines N [1].
    width : float
        Half width of each line [Hz].

    Returns
    -------
    bool
        True if a line, widened, lies in the band [-].

    Source: CommonPractice.

    Examples
    --------
    >>> in_comb(17.2, 17.8, 1.4, 20, 0.1), in_comb(16.7, 16.9, 1.4, 20, 0.1)
    (False, True)
    """
    lines = comb(base, harmonics)
    return bool(np.any((lines >= low - width) & (lines <= high + width)))
