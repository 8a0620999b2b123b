"""What one would see: the expected curve of every kind of measurement at given electron temperatures."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from triage.measurements.catalogue import get
from triage.measurements.curves import (
    coulomb,
    diamonds,
    heat_and_light,
    screening,
    spectroscopy,
    spins,
    superconducting,
    transport,
)
from triage.measurements.curves.form import Array, Axis, Curve, Mark
from triage.measurements.kind import Inputs

__all__ = ["CURVES", "Axis", "Curve", "Mark", "expected"]

POINTS = 401
_LEAST, _MOST = 1e-4, 1e4  # K

CURVES: dict[str, Callable[[Inputs, Array, int], Curve]] = {
    key: function
    for family in (
        coulomb,
        diamonds,
        spins,
        superconducting,
        transport,
        spectroscopy,
        heat_and_light,
        screening,
    )
    for key, function in family.CURVES.items()
}


def expected(kind: str, inputs: Inputs, temperatures: Sequence[float] | Array, points: int = POINTS) -> Curve:
    """The curve of a kind of measurement at each temperature [K], in SI units.

    `inputs` are those of the kind (numbers in SI units, `field` [T] where it needs one); kinds about noise also
    take `comb` [Hz], the rhythm of each platform's machine, nan for none. Raises `UnknownKind` for a kind that is
    not in the catalogue and `ValueError` for temperatures that are not positive or an input that is missing.
    """
    asked = get(kind)
    warm = np.atleast_1d(np.asarray(temperatures, dtype=float))
    if warm.ndim != 1 or not warm.size or not np.all((warm >= _LEAST) & (warm <= _MOST)):
        raise ValueError("temperatures are one row of numbers from 0.1 mK to 10 000 K")
    lacking = [
        each.name
        for each in asked.inputs
        if each.default is None and not each.optional and not np.all(np.isfinite(inputs.get(each.name, np.nan)))
    ]
    if lacking:
        raise ValueError(f"'{kind}' cannot be drawn without " + ", ".join(lacking))
    with np.errstate(all="ignore"):
        return CURVES[kind](inputs, warm, points)
