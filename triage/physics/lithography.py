"""Writing, spinning, aligning and lifting off: times, sizes and limits of the lithography steps."""

from __future__ import annotations

from math import nan

import numpy as np

from triage.physics.kind import Numbers, within

PARTICLE_SIZES = (0.1e-6, 0.2e-6, 0.3e-6, 0.5e-6, 1e-6, 5e-6)  # m, those tabulated in ISO 14644-1
LIFT_OFF_LEAST = 3.0  # resist over metal with undercut (common practice 2 to 3)
LIFT_OFF_COMFORTABLE = 5.0  # without a bilayer (common practice 5 to 10)


def exposure_time(area: Numbers, dose: Numbers, current: Numbers) -> Numbers:
    """Beam-on time of an exposure.

    t = D A/I.

    Parameters
    ----------
    area : float or array
        Exposed area, not the area of the field [m^2].
    dose : float or array
        Area dose [C/m^2]; 1 uC/cm^2 is 0.01 C/m^2.
    current : float or array
        Beam current [A].

    Returns
    -------
    float or array
        Time [s].

    Source: Elementary.

    Examples
    --------
    >>> round(float(exposure_time((100e-6) ** 2, 2.6, 1e-9)))
    26
    """
    return dose * area / current


def shot_count(area: Numbers, step: Numbers) -> Numbers:
    """Number of shots of an exposure on a square grid.

    N = A/s^2.

    Parameters
    ----------
    area : float or array
        Exposed area [m^2].
    step : float or array
        Step between shots [m].

    Returns
    -------
    float or array
        Number of shots [1].

    Source: Elementary.

    Examples
    --------
    >>> round(float(shot_count((100e-6) ** 2, 10e-9)) / 1e6)
    100
    """
    return area / np.asarray(step, dtype=np.float64)[()] ** 2


def shot_rate(dose: Numbers, current: Numbers, step: Numbers) -> Numbers:
    """Rate of shots that a dose asks of the pattern generator.

    f = I/(D s^2).

    Parameters
    ----------
    dose : float or array
        Area dose [C/m^2].
    current : float or array
        Beam current [A].
    step : float or array
        Step between shots [m].

    Returns
    -------
    float or array
        Rate [Hz].

    Notes
    -----
    Above the clock of the tool the current must fall or the step grow.

    Source: Elementary.

    Examples
    --------
    >>> round(float(shot_rate(3.0, 10e-9, 10e-9)) / 1e6)
    33
    """
    return current / (dose * np.asarray(step, dtype=np.float64)[()] ** 2)


def field_count(length: Numbers, width: Numbers, field: Numbers) -> Numbers:
    """Number of write fields that cover a pattern.

    N = ceil(L/f) ceil(W/f).

    Parameters
    ----------
    length : float or array
        Length of the pattern [m].
    width : float or array
        Width of the pattern [m].
    field : float or array
        Side of the write field [m].

    Returns
    -------
    float or array
        Number of fields [1].

    Source: Elementary.

    Examples
    --------
    >>> int(field_count(1e-3, 0.25e-3, 100e-6))
    30
    """
    # A part in 1e9 of slack, so that 1 mm is ten fields of 100 um in binary arithmetic too.
    field_ = np.asarray(field, dtype=np.float64)
    return (np.ceil(length / field_ - 1e-9) * np.ceil(width / field_ - 1e-9))[()]


def stitch_count(length: Numbers, width: Numbers, field: Numbers) -> Numbers:
    """Number of borders between neighbouring write fields.

    N = (n - 1) m + n (m - 1).

    Parameters
    ----------
    length : float or array
        Length of the pattern [m].
    width : float or array
        Width of the pattern [m].
    field : float or array
        Side of the write field [m].

    Returns
    -------
    float or array
        Number of borders [1].

    Notes
    -----
    Every line that crosses a border is a chance for a break; put borders where there are none.

    Source: Elementary.

    Examples
    --------
    >>> int(stitch_count(200e-6, 200e-6, 100e-6))
    4
    """
    field_ = np.asarray(field, dtype=np.float64)
    n, m = np.ceil(length / field_ - 1e-9), np.ceil(width / field_ - 1e-9)
    return ((n - 1.0) * m + n * (m - 1.0))[()]


def write_time(
    area: Numbers,
    dose: Numbers,
    current: Numbers,
    fields: Numbers = 1,
    field_overhead: Numbers = 0.0,
    step: Numbers = 10e-9,
    shot_overhead: Numbers = 0.0,
    clock: Numbers = np.inf,
    fixed_overhead: Numbers = 0.0,
) -> Numbers:
    """Time of a beam exposure with its overheads.

    t = N_shots (max(D s^2/I, 1/f_clock) + t_shot) + N_fields t_field + t_0.

    Parameters
    ----------
    area : float or array
        Exposed area [m^2].
    dose : float or array
        Area dose [C/m^2].
    current : float or array
        Beam current [A].
    fields : float or array
        Number of write fields [1].
    field_overhead : float or array
        Stage move, settling and mark search per field [s].
    step : float or array
        Step between shots [m].
    shot_overhead : float or array
        Settling per shot [s].
    clock : float or array
        Highest rate of shots of the tool [Hz].
    fixed_overhead : float or array
        Load, pump, focus and alignment per run [s].

    Returns
    -------
    float or array
        Time [s].

    Notes
    -----
    A clock that limits overexposes as well as delays: lower the current. Overheads of 20 to 100 % of the
    beam-on time are usual.

    Source: CommonPractice.

    Examples
    --------
    >>> round(float(write_time(1e-6, 3.0, 10e-9, fields=100, field_overhead=0.5)))
    350
    """
    shots = shot_count(area, step)
    dwell = np.maximum(1.0 / shot_rate(dose, current, step), 1.0 / np.asarray(clock, dtype=np.float64))
    return shots * (dwell + shot_overhead) + fields * field_overhead + fixed_overhead


@within(speed=(104.7, 838.0, "rad/s"))
def spin_thickness(
    speed: Numbers, reference_thickness: Numbers, reference_speed: Numbers, exponent: Numbers = 0.5
) -> Numbers:
    """Thickness of a spun film from one calibrated point.

    t = t_0 (w_0/w)^p, p = 1/2 for a resist that dries as it thins, 2/3 for a constant rate of drying.

    Parameters
    ----------
    speed : float or array
        Spin speed [rad/s].
    reference_thickness : float or array
        Measured thickness [m].
    reference_speed : float or array
        Speed at which it was measured [rad/s].
    exponent : float or array
        Exponent p [1].

    Returns
    -------
    float or array
        Thickness [m].

    Notes
    -----
    1000 to 8000 turns a minute. The exponent of a resist comes from its own spin curve.

    Source: Meyerhofer1978.

    Examples
    --------
    >>> turns = 2 * np.pi / 60  # rad/s for one turn a minute
    >>> [round(float(spin_thickness(n * turns, 100e-9, 4000 * turns)) * 1e9) for n in (2000, 3000, 6000)]
    [141, 115, 82]
    """
    return reference_thickness * (reference_speed / np.asarray(speed, dtype=np.float64)[()]) ** exponent


def newtonian_thickness(time: Numbers, speed: Numbers, start: Numbers, viscosity: Numbers, density: Numbers) -> Numbers:
    """Thickness of a liquid that flows off a spinning disc without drying.

    h = h_0/sqrt(1 + 4 rho w^2 h_0^2 t/(3 eta)).

    Parameters
    ----------
    time : float or array
        Spin time [s].
    speed : float or array
        Spin speed [rad/s].
    start : float or array
        Thickness at the start [m].
    viscosity : float or array
        Dynamic viscosity [Pa s].
    density : float or array
        Density [kg/m^3].

    Returns
    -------
    float or array
        Thickness [m].

    Source: EmslieBonnerPeck1958.

    Examples
    --------
    >>> round(float(newtonian_thickness(60.0, 419.0, 100e-6, 0.05, 1000.0)) * 1e6, 2)
    1.89
    """
    return start / np.sqrt(1.0 + 4.0 * density * speed**2 * start**2 * time / (3.0 * viscosity))


@within(wavelength=(190e-9, 450e-9, "m"))
def proximity_feature(wavelength: Numbers, gap: Numbers, resist: Numbers) -> Numbers:
    """Smallest line or space printed through a mask in contact or proximity.

    b = (3/2) sqrt(lambda (s + d/2)).

    Parameters
    ----------
    wavelength : float or array
        Wavelength in vacuum [m].
    gap : float or array
        Gap between mask and resist; 0 in contact [m].
    resist : float or array
        Resist thickness [m].

    Returns
    -------
    float or array
        Half the smallest period [m].

    Notes
    -----
    Fresnel scaling with a customary prefactor; real contact is seldom perfect: 0.8 to 1 um is usual.

    Source: Thompson1983.

    Examples
    --------
    >>> [round(float(proximity_feature(365e-9, s, 1e-6)) * 1e6, 2) for s in (0.0, 10e-6)]
    [0.64, 2.94]
    """
    return 1.5 * np.sqrt(wavelength * (gap + np.asarray(resist, dtype=np.float64) / 2.0))


def lift_off_ratio(resist: Numbers, metal: Numbers) -> Numbers:
    """Ratio of resist to metal thickness in a lift-off.

    r = t_resist/t_metal; at least ``LIFT_OFF_LEAST``, better ``LIFT_OFF_COMFORTABLE``.

    Parameters
    ----------
    resist : float or array
        Resist thickness; in a bilayer that of the undercut layer [m].
    metal : float or array
        Metal thickness, adhesion layer included [m].

    Returns
    -------
    float or array
        Ratio [1].

    Source: CommonPractice.

    Examples
    --------
    >>> round(float(lift_off_ratio(150e-9, 30e-9)), 3)
    5.0
    """
    return resist / np.asarray(metal, dtype=np.float64)[()]


def overlay_error(*contributions: Numbers) -> Numbers:
    """Overlay of two layers from independent contributions.

    sigma = sqrt(sum sigma_i^2).

    Parameters
    ----------
    *contributions : float or array
        Alignment, stage, stitching, distortion, mask [m].

    Returns
    -------
    float or array
        Overlay, in the measure of its parts (all one sigma or all three) [m].

    Source: CommonPractice.

    Examples
    --------
    >>> round(float(overlay_error(30e-9, 40e-9)) * 1e9, 1)
    50.0
    """
    return np.sqrt(sum((np.square(part) for part in contributions), np.float64(0.0)))


def overlay_margin(gap: Numbers, *contributions: Numbers) -> Numbers:
    """Margin of a gap between features of two layers over their overlay.

    m = (g/3)/sigma; enough from 1.

    Parameters
    ----------
    gap : float or array
        Smallest gap or overlap that must survive [m].
    *contributions : float or array
        Independent overlay contributions, one sigma [m].

    Returns
    -------
    float or array
        Margin; infinite without contributions [1].

    Source: CommonPractice.

    Examples
    --------
    >>> round(float(overlay_margin(300e-9, 30e-9, 40e-9)), 2)
    2.0
    """
    with np.errstate(divide="ignore"):
        return np.asarray(gap, dtype=np.float64) / 3.0 / overlay_error(*contributions)


def layer_yield(yield_per_layer: Numbers, layers: Numbers, handling_loss: Numbers = 0.0) -> Numbers:
    """Yield of a device of several layers.

    Y = y^n (1 - h).

    Parameters
    ----------
    yield_per_layer : float or array
        Yield of each layer [1].
    layers : float or array
        Number of layers [1].
    handling_loss : float or array
        Part lost to discharge, bonding and handling [1].

    Returns
    -------
    float or array
        Yield [1].

    Source: CommonPractice.

    Examples
    --------
    >>> round(float(layer_yield(0.9, 5)), 2)
    0.59
    """
    return yield_per_layer**layers * (1.0 - handling_loss)


@within(size=(0.1e-6, 5e-6, "m"), iso_class=(1.0, 9.0, ""))
def particle_limit(iso_class: Numbers, size: Numbers) -> Numbers:
    """Particles per volume of air that a clean-room class allows.

    C = 10^N (0.1 um/D)^2.08 per m^3, at most three significant figures.

    Parameters
    ----------
    iso_class : float or array
        Class number N [1].
    size : float or array
        Particle size D; the limit counts particles of this size and larger [m].

    Returns
    -------
    float or array
        Limit [1/m^3]; nan outside 0.1 to 5 um and classes 1 to 9.

    Notes
    -----
    The table of the standard leaves out cells with very many or very few particles; the edition of 2015
    no longer lists 29 for class 5 at 5 um.

    Source: ISO14644.

    Examples
    --------
    >>> [round(float(particle_limit(5, size))) for size in PARTICLE_SIZES]
    [100000, 23700, 10200, 3520, 832, 29]
    """
    n, d = np.asarray(iso_class, dtype=np.float64), np.asarray(size, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        limit = 10.0**n * (0.1e-6 / d) ** 2.08
        # Whole particles below 100, three figures above.
        unit = 10.0 ** np.maximum(np.floor(np.log10(limit)) - 2.0, 0.0)
        rounded = np.rint(limit / unit) * unit
    inside = (d >= 0.1e-6 * (1 - 1e-9)) & (d <= 5e-6 * (1 + 1e-9)) & (n >= 1.0) & (n <= 9.0)
    return np.where(inside, rounded, nan)[()]
