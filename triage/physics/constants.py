"""Constants of nature in SI units, each once.

The first block is exact by definition since 2019 (BIPM SI Brochure, 9th edition). The second follows
from it exactly. The third is measured (CODATA 2022; relative uncertainty in brackets).
"""

from __future__ import annotations

from math import pi

# Exact by definition.
boltzmann = 1.380649e-23  # J/K
planck = 6.62607015e-34  # J s
elementary_charge = 1.602176634e-19  # C
avogadro = 6.02214076e23  # 1/mol
speed_of_light = 299792458.0  # m/s
standard_atmosphere = 101325.0  # Pa
zero_celsius = 273.15  # K

# Exact, derived.
reduced_planck = planck / (2 * pi)  # J s
gas_constant = boltzmann * avogadro  # J/(mol K)
resistance_quantum = planck / elementary_charge**2  # ohm, h/e^2
flux_quantum = planck / (2 * elementary_charge)  # Wb
lorenz_number = pi**2 / 3 * (boltzmann / elementary_charge) ** 2  # W ohm/K^2
stefan_boltzmann = 2 * pi**5 * boltzmann**4 / (15 * planck**3 * speed_of_light**2)  # W/(m^2 K^4)

# Measured.
bohr_magneton = 9.2740100657e-24  # J/T (3.1e-10)
electron_mass = 9.1093837139e-31  # kg (3.1e-10)
helium4_mass = 6.6464791e-27  # kg; atomic mass 4.002603 u
helium3_mass = 5.0082345e-27  # kg; atomic mass 3.016029 u
helium4_molar_mass = 4.002602e-3  # kg/mol
helium3_molar_mass = 3.016029e-3  # kg/mol
nitrogen_molar_mass = 28.0134e-3  # kg/mol
