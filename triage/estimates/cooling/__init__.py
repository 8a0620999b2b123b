"""How each kind of cooling answers a heat load: its temperature, its power at a temperature, its hold.

Loads are what the proposal adds at the sample stage; the platform's own static load is counted inside.
What a facility has measured stands in place of the model.
"""

from __future__ import annotations

from triage.estimates.case import Case
from triage.estimates.cooling.answer import Answer, Cooling, site_pressure
from triage.estimates.cooling.charges import Demagnetisation, Helium3Charge
from triage.estimates.cooling.liquids import Ambient, Bath, NitrogenBath, PumpedHelium
from triage.estimates.cooling.machines import Cooler, Dilution, Flow
from triage.estimates.cooling.measured import MeasuredCooling

__all__ = ["MECHANISMS", "Answer", "Cooling", "cooling_of", "site_pressure"]

MECHANISMS: dict[str, type[Cooling]] = {
    "ambient": Ambient,
    "nitrogen bath": NitrogenBath,
    "helium bath": Bath,
    "pumped helium": PumpedHelium,
    "helium-3 charge": Helium3Charge,
    "dilution": Dilution,
    "cooler": Cooler,
    "flow": Flow,
    "demagnetisation": Demagnetisation,
}


def cooling_of(case: Case) -> Cooling:
    """The cooling of the platform of a case, by its measured curves where it has any."""
    modelled = MECHANISMS[case.platform.cooling.mechanism](case)
    measured = case.platform.measured
    if measured is None or (measured.load_curve is None and measured.hold_log is None):
        return modelled
    return MeasuredCooling(case, modelled, measured)
