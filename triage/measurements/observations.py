"""Published observations a person can start from: what was seen, on what device, how cold.

Loaded only on demand. Inputs and temperatures are text, as in a proposal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from triage.models.tier import Tier

Provenance = Literal["published", "from memory"]


@dataclass(frozen=True)
class Observation:
    """One observation: kind, what was seen, the device, and the temperature at which it was seen.

    `tier` is the quality reached, as judged here. `assumed` names inputs that the report does not give and
    that stand here as usual for such a device (common practice). `against` says why it contradicts the
    criterion of its kind where it does; such an observation bounds the rule and is shown with it.
    """

    kind: str
    seen: str
    device: Mapping[str, str]
    temperature: str
    tier: Tier
    reference: str
    provenance: Provenance
    field: str | None = None
    against: str = ""
    assumed: tuple[str, ...] = ()


OBSERVATIONS: tuple[Observation, ...] = (
    Observation(
        "coulomb-oscillations", "charging of single electrons seen in small aluminium junctions",
        {"charging_energy": "0.2 fF"}, "1.1 K", "see", "FultonDolan1987", "from memory",
        assumed=("charging_energy",),
    ),
    Observation(
        "coulomb-peaks", "peaks of a gallium arsenide dot as thermometer in an immersion cell",
        {"addition_energy": "0.5 meV"}, "6.7 mK", "publish", "Nicoli2019", "published",
        assumed=("addition_energy",),
    ),
    Observation(
        "coulomb-peaks", "electron temperature of a silicon dot behind metal powder filters",
        {"addition_energy": "3 meV"}, "22 mK", "publish", "Mueller2013", "published",
        assumed=("addition_energy",),
    ),
    Observation(
        "coulomb-diamonds", "single-electron transitions mapped across whole wafers in a cold prober",
        {"charging_energy": "5 meV"}, "1.6 K", "measure", "Neyens2024", "published",
        assumed=("charging_energy",),
    ),
    Observation(
        "excited-state-spectroscopy", "valley-orbit splitting of 0.10 meV in a silicon dot",
        {"excitation_energy": "0.10 meV"}, "0.1 K", "measure", "Lim2011", "from memory",
    ),
    Observation(
        "charge-sensing", "1 024 silicon dots read through one radio-frequency line within ten minutes",
        {"addition_energy": "5 meV"}, "1 K", "measure", "Thomas2025", "published",
        assumed=("addition_energy",),
    ),
    Observation(
        "charge-sensing", "electron temperature from a sensed dot, warm end of 40 to 800 mK",
        {"addition_energy": "1.5 meV"}, "0.8 K", "see", "Mavalankar2013", "published",
        assumed=("addition_energy",),
    ),
    Observation(
        "charge-noise", "charge noise linear in temperature above a threshold, flat below by self-heating",
        {"addition_energy": "0.4 meV"}, "0.1 K", "measure", "Gustafsson2013", "published",
        assumed=("addition_energy",),
    ),
    Observation(
        "electron-pump", "150 pA equal to e f within about one part per million",
        {"addition_energy": "10 meV"}, "0.3 K", "publish", "Giblin2012", "from memory", field="14 T",
        assumed=("addition_energy",),
    ),
    Observation(
        "spin-readout", "single-shot readout of a donor electron above 90 % in silicon",
        {"g_factor": "2"}, "0.2 K", "measure", "Morello2010", "published", field="1.5 T",
    ),
    Observation(
        "spin-readout", "single-shot readout in a gallium arsenide dot, visibility 65 %",
        {"g_factor": "-0.44"}, "0.3 K", "see", "Elzerman2004", "from memory", field="8 T",
    ),
    Observation(
        "spin-readout", "readout by the difference of tunnel rates, visibility above 80 %",
        {"g_factor": "-0.44"}, "0.2 K", "see", "Hanson2005", "published", field="0.02 T",
        against="tunnel rates differ, so the splitting may be smaller than k_B T",
        assumed=("field",),
    ),
    Observation(
        "spin-blockade", "two-qubit cell in silicon at about 1.5 K, single-qubit fidelity 98.6 %",
        {"singlet_triplet_splitting": "0.5 meV"}, "1.5 K", "see", "Yang2020", "published",
        assumed=("singlet_triplet_splitting",),
    ),
    Observation(
        "spin-blockade", "two-qubit logic in silicon above one kelvin, single-qubit fidelity 99.3 %",
        {"singlet_triplet_splitting": "0.5 meV"}, "1.1 K", "measure", "Petit2020", "published",
        assumed=("singlet_triplet_splitting",),
    ),
    Observation(
        "spin-coherence", "hole spin in a fin transistor driven above 4 K",
        {"readout_energy": "1.0 meV"}, "4.2 K", "see", "Camenzind2022", "published", field="0.5 T",
        assumed=("readout_energy", "field"),
    ),
    Observation(
        "valley-splitting", "0.3 to 0.8 meV, tuned by the gate of a MOS dot",
        {"valley_splitting": "0.3 meV"}, "0.15 K", "measure", "Yang2013", "published",
    ),
    Observation(
        "valley-splitting", "0.12 meV in a Si/SiGe dot",
        {"valley_splitting": "0.12 meV"}, "0.13 K", "measure", "Borselli2011", "published",
    ),
    Observation(
        "superconducting-qubit", "thermal excitation follows Boltzmann down to 35 mK and 0.1 %",
        {"frequency": "5 GHz"}, "35 mK", "measure", "Jin2015", "published", assumed=("frequency",),
    ),
    Observation(
        "photon-detector", "tungsten silicide wire near saturation",
        {"critical_temperature": "3.4 K"}, "2.5 K", "see", "Marsili2013", "from memory",
    ),
    Observation(
        "photon-detector", "niobium titanium nitride wire above 92 % in a closed-cycle cooler",
        {"critical_temperature": "9 K"}, "2.5 K", "publish", "EsmaeilZadeh2017", "published",
        assumed=("critical_temperature",),
    ),
    Observation(
        "quantum-oscillations", "oscillations of Si/SiGe layers through a cold multiplexer",
        {"effective_mass": "0.19"}, "0.05 K", "measure", "PaqueletWuetz2020", "published", field="1 T",
        assumed=("field",),
    ),
    Observation(
        "quantum-hall", "plateau of graphene at room temperature",
        {"gap": "2267 K"}, "300 K", "see", "Novoselov2007", "published", field="29 T",
    ),
    Observation(
        "quantum-hall", "discovery in a silicon transistor",
        {"gap": "127 K"}, "1.5 K", "publish", "vonKlitzing1980", "from memory", field="18 T",
    ),
    Observation(
        "fractional-hall", "gap of 0.11 K at 5/2, Hall resistance to 2 ppm",
        {"activation_gap": "0.11 K"}, "4 mK", "publish", "Pan1999", "published", field="4 T",
        assumed=("field",),
    ),
    Observation(
        "weak-localisation", "h/e oscillations of a gold ring",
        {"ring_length": "2.6 um"}, "40 mK", "measure", "Webb1985", "from memory", field="1 T",
        assumed=("diffusion", "field"),
    ),
    Observation(
        "kondo", "Kondo effect of a carbon nanotube near 1 K",
        {"kondo_temperature": "1.6 K"}, "0.08 K", "publish", "Nygard2000", "from memory",
    ),
    Observation(
        "kondo", "Kondo peak of a single-atom transistor",
        {"kondo_temperature": "10 K"}, "1.5 K", "measure", "Park2002", "from memory",
    ),
    Observation(
        "point-contact", "sixteen plateaus of a split gate",
        {"subband_spacing": "2 meV"}, "0.6 K", "measure", "vanWees1988", "published",
        assumed=("subband_spacing",),
    ),
    Observation(
        "inelastic-tunnelling", "vibrations of molecules in a tunnel junction",
        {"mode_energy": "100 meV"}, "4.2 K", "publish", "LambeJaklevic1968", "from memory",
        assumed=("mode_energy",),
    ),
    Observation(
        "scanning-tunnelling", "gap of aluminium with the junction at 77 mK",
        {"feature_energy": "0.18 meV"}, "77 mK", "publish", "Esat2022", "published",
    ),
    Observation(
        "electron-thermometry", "shot-noise thermometer to 0.1 % near 1 K",
        {"expected_temperature": "1 K"}, "0.5 K", "publish", "Spietz2003", "published",
        assumed=("expected_temperature",),
    ),
    Observation(
        "transistor-screening", "subthreshold swing stops falling; band tail of 3 meV",
        {"band_tail": "3 meV"}, "4.2 K", "measure", "Bohuslavskyi2019", "published",
    ),
    Observation(
        "optical-spectroscopy", "spin resonance of single colour centres at room temperature",
        {}, "295 K", "see", "Gruber1997", "from memory",
    ),
    Observation(
        "magnetoresistance", "tunnel magnetoresistance of 12 % at room temperature",
        {}, "295 K", "see", "Moodera1995", "from memory", field="0.1 T", assumed=("field",),
    ),
    Observation(
        "thermal-transport", "sixteen quanta of thermal conductance",
        {"crossover_temperature": "0.7 K"}, "0.5 K", "publish", "Schwab2000", "published",
    ),
    Observation(
        "nanomechanics", "mechanical ground state of a 6 GHz resonator, below 0.07 quanta",
        {"frequency": "6 GHz", "quanta": "0.07"}, "25 mK", "publish", "OConnell2010", "from memory",
    ),
    Observation(
        "cold-electronics", "multiplexers beside gallium arsenide devices in one dilution cooldown",
        {"working_temperature": "0.1 K"}, "0.1 K", "publish", "Pauka2020", "published",
        assumed=("working_temperature",),
    ),
)  # fmt: skip


def of(kind: str) -> tuple[Observation, ...]:
    """The observations of one kind."""
    return tuple(each for each in OBSERVATIONS if each.kind == kind)
