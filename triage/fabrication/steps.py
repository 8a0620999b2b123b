"""What surrounds each step: the air and the light it needs, and what to mind; local rules decide."""

from __future__ import annotations

from triage.models.cleanroom import AnyTool
from triage.models.route import Step
from triage.physics.lithography import particle_limit

LOCAL_RULES = "Local cleanroom rules, the tool's keeper and the responsible safety officer decide."
# Class of air for features down to a size [m]; common practice.
_AIR = ((1e-6, 5), (3e-6, 6), (10e-6, 7))
_MIND: dict[str, tuple[str, ...]] = {
    "electron-beam writer": ("High voltage and X-rays behind interlocks: never defeat them.",),
    "mask aligner": ("Ultraviolet lamp: do not look into it; hot and under pressure.",),
    "laser writer": ("Laser behind interlocks: never defeat them.",),
    "stepper": ("Ultraviolet laser and its gases behind interlocks.",),
    "spinner": (
        "Resist and developer solvents: fume hood, gloves, no flame; alkaline developers go through the skin.",
    ),
    "evaporator": (
        "High voltage, X-rays and bright light at an electron-beam source; let it cool and vent with dry gas.",
    ),
    "sputter": ("High voltage at the target.",),
    "etcher": ("Acids or toxic etch gases: trained users only; hydrofluoric acid never alone and with gel at hand.",),
    "furnace": ("Hot tube; hydrogen and dopant gases only with their detectors on.",),
    "implanter": ("High voltage, X-rays and toxic dopant gases: operator's tool.",),
    "atomic-layer reactor": ("Precursors that burn in air: keep purges running.",),
    "bonder": ("Discharge kills gates: strap, shorted leads, ground bonded first.",),
}


def air_wanted(feature: float | None) -> int:
    """ISO 14644-1 class of the air in which a feature [m] should be exposed."""
    if feature is None:
        return 8
    return next((iso for size, iso in _AIR if feature <= size * (1 + 1e-9)), 7)


def step(what: str, tool: AnyTool, where: str, feature: float | None, sensitive_to: str) -> Step:
    """One visit to one tool with its surroundings."""
    open_resist = tool.kind in ("spinner", "mask aligner", "laser writer", "stepper", "electron-beam writer")
    wanted = air_wanted(feature) if open_resist else 8
    particles = float(particle_limit(wanted, 0.5e-6))
    return Step(what, tool.name, where, tool.iso_class, wanted, particles, open_resist and sensitive_to == "light",
                _MIND.get(tool.kind, ()))  # fmt: skip
