"""Maps: Coulomb diamonds in gate and bias, and the bend of a charge transition in field."""

from __future__ import annotations

import numpy as np

from triage.measurements.curves.coulomb import number
from triage.measurements.curves.form import Array, Axis, Curve, Mark, column, thermal
from triage.measurements.kind import Inputs
from triage.physics.broadening import level_factor, level_peak
from triage.physics.constants import boltzmann, elementary_charge
from triage.physics.energy import zeeman_energy, zeeman_field
from triage.physics.tunnelling import dot_current

EXCITATIONS = (0.5, 0.9)  # excited states over the charging energy: a typical small dot
SOURCE_SHARE = 0.4  # of the capacitance; makes the two edges differ, as they do in practice
LIFETIME = 0.01  # hΓ over the charging energy
RATES = (1e9, 3e9)  # 1/s through source and drain
_HOTTEST = 30.0  # kT over the charging energy above which every map is blank


def diamonds(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Differential conductance of a dot in gate and bias, by the sequential master equation.

    A typical dot: two excited states, barriers one to three, source with 0.4 of the capacitance. Lines are never
    drawn sharper than about two places of the grid.
    """
    charging = number(inputs, "charging_energy")
    side = max(points // 2, 31)
    gate = np.linspace(-0.25, 2.25, side)
    bias = np.linspace(-2.6, 2.6, side) * charging / elementary_charge
    maps = []
    for each in temperatures:
        # Lines sharper than the grid would break up into dots.
        ratio = min(max(float(thermal(each)) / charging, 0.4 * 5.2 / side), _HOTTEST)
        current = np.asarray(
            dot_current(
                gate, bias[:, np.newaxis], ratio * charging / boltzmann, charging, *RATES,
                tuple(share * charging for share in EXCITATIONS), SOURCE_SHARE, LIFETIME * charging,
                states=int(min(64, 8 + 2 * np.ceil(3 * np.sqrt(ratio)) * (ratio > 0.5))),
            )
        )  # fmt: skip
        maps.append(np.gradient(current, bias, axis=0))
    lines = np.stack(maps)
    return Curve(
        title="Coulomb diamonds",
        note="Look for dark diamonds with straight edges and for lines of excited states outside them. A "
        "typical dot is drawn: two excited states, barriers of one to three.",
        x=Axis("gate charge in electrons", "", gate),
        second=Axis("bias", "V", bias),
        y=Axis("dI/dV", "S"),
        lines=lines,
        temperatures=temperatures,
        widths=level_factor * thermal(temperatures) / elementary_charge,
        illustrative=True,
        references=("AverinKorotkovLikharev1991", "Beenakker1991", "Kouwenhoven1997"),
    )


def valley(inputs: Inputs, temperatures: Array, points: int) -> Curve:
    """Second electron of a silicon dot in field: its transition bends where Zeeman and valley splitting meet.

    The line rises by half the Zeeman energy as a singlet and falls by it as a triplet, E_v above.
    """
    splitting = number(inputs, "valley_splitting")
    bend = float(zeeman_field(splitting))
    side = max(points // 2, 31)
    field = np.linspace(0.0, 2 * bend, side)
    half = np.asarray(zeeman_energy(field)) / 2
    place = np.minimum(half, splitting - half)
    level = np.linspace(-0.75 * splitting, 1.25 * splitting, side)
    maps = np.asarray(level_peak((level[:, np.newaxis] - place)[np.newaxis], column(temperatures)[..., np.newaxis]))
    return Curve(
        title="Valley splitting from the bend of a charge transition",
        note="Look for the bend: there the Zeeman energy equals the valley splitting. Warm, the line is wider "
        "than the bend is high.",
        x=Axis("field in the plane", "T", field),
        second=Axis("level of the dot", "J", level),
        y=Axis("sensor derivative", ""),
        lines=maps,
        temperatures=temperatures,
        widths=level_factor * thermal(temperatures),
        marks=(Mark("bend", bend),),
        references=("Yang2013", "Borselli2011"),
    )


CURVES = {"coulomb-diamonds": diamonds, "valley-splitting": valley}
