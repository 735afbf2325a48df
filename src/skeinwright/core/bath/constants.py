"""Equilibrium constants and molar masses of what a dyebath holds.

Marks in the table: "seen" was read in the named source, "from memory" was not seen and is never held to be proof. All pK are on the
scale of activities at infinite dilution, 25 C.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

GAS_CONSTANT = 8.314462618
"""J/(mol K), exact since the 2019 SI."""

ZERO_C_K = 273.15
REFERENCE_K = 298.15

ACETIC_G_MOL = 60.052
CITRIC_G_MOL = 192.124
CITRIC_MONOHYDRATE_G_MOL = 210.14
AMMONIUM_SULPHATE_G_MOL = 132.14
CALCIUM_CARBONATE_G_MOL = 100.087
SODIUM_BICARBONATE_G_MOL = 84.01

PK_HALF_WIDTH = 0.02
"""90 % half width of a pK inside the fitted range [assumed]."""
PK_HALF_WIDTH_HOT = 0.05
"""90 % half width of a pK above 77 C [assumed]."""

FITTED_UP_TO_C = 77.0
"""The table behind the temperature equation covers 1-77 C (goldberg-2002); above it the equation is carried on."""


@dataclass(frozen=True, slots=True)
class Dissociation:
    """One step HA = H+ + A: pK at 25 C, enthalpy (J/mol), heat capacity change (J/(mol K)) and where they come from."""

    name: str
    pk25: float
    dh_j_mol: float
    dcp_j_mol_k: float
    source: str
    half_width_per_c: float = 0.0
    """How fast two compilations part as the temperature leaves 25 C."""

    def pk(self, temp_c: float) -> float:
        """pK at `temp_c` (0-100 C).

            ln K(T) = ln K25 + (dH/R)(1/298.15 - 1/T) + (dCp/R)(298.15/T - 1 + ln(T/298.15))

        Source: goldberg-2002 (form and range 274-350 K seen; above 77 C it is an extrapolation, +-0.05).
        Acetic acid at 60 C: 4.81.
        """
        kelvin = temp_c + ZERO_C_K
        enthalpy = self.dh_j_mol / GAS_CONSTANT * (1 / REFERENCE_K - 1 / kelvin)
        heat_capacity = self.dcp_j_mol_k / GAS_CONSTANT * (REFERENCE_K / kelvin - 1 + log(kelvin / REFERENCE_K))
        return self.pk25 - (enthalpy + heat_capacity) / log(10)

    def half_width(self, temp_c: float) -> float:
        """90 % half width of the pK: 0.02 within 77 C, 0.05 above, and where compilations part, more [assumed]."""
        usual = PK_HALF_WIDTH if temp_c <= FITTED_UP_TO_C else PK_HALF_WIDTH_HOT
        return max(usual, PK_HALF_WIDTH + self.half_width_per_c * abs(temp_c - 25))


_GOLDBERG = "goldberg-2002, from memory"
_GOLDBERG_PK = "goldberg-2002: pK seen as quoted, heats from memory"

ACETIC = (Dissociation("acetic", 4.756, -410.0, -142.0, _GOLDBERG),)
CITRIC = (
    Dissociation("citric 1", 3.128, 4070.0, -131.0, _GOLDBERG_PK),
    Dissociation("citric 2", 4.761, 2230.0, -178.0, _GOLDBERG_PK),
    Dissociation("citric 3", 6.396, -3380.0, -254.0, _GOLDBERG_PK),
)
AMMONIUM = (Dissociation("ammonium", 9.245, 51950.0, 8.0, f"{_GOLDBERG}; phreeqc.dat has 9.252 (seen)"),)
BISULPHATE = (Dissociation("bisulphate", 1.987, -22400.0, -258.0, f"{_GOLDBERG}; phreeqc.dat has 1.988 (seen), 0.2 lower at 90 C", 0.003),)
CARBONIC = (
    Dissociation("carbonic 1", 6.351, 9150.0, -371.0, f"{_GOLDBERG}; phreeqc.dat has 6.352 (seen)"),
    Dissociation("carbonic 2", 10.329, 14700.0, -249.0, f"{_GOLDBERG}; phreeqc.dat has 10.329 (seen)"),
)

AMMONIUM_SULPHATE_PAIR_LOG_K = 1.11
"""log10 of the constant of NH4+ + SO4-2 = NH4SO4- (phreeqc.dat, seen; it gives no heat, so it stands at every temperature)."""

CO2_LOG_KH_25 = -1.47
"""log10 of mol/(L atm) at 25 C, from memory; phreeqc.dat has -1.468 (seen)."""
CO2_DH_J_MOL = -19980.0
"""Heat of dissolving CO2: -4.776 kcal/mol in phreeqc.dat (seen)."""
CO2_IN_AIR_ATM = 420e-6
"""Carbon dioxide in outdoor air [from memory]."""


def co2_dissolved_mol_l(temp_c: float, pressure_atm: float = CO2_IN_AIR_ATM) -> float:
    """Carbonic acid (CO2 and H2CO3 together, mol/L) in water that stands open to air.

    K_H(T) = 10^-1.47 exp((dH/R)(1/298.15 - 1/T));   c = K_H p
    """
    kelvin = temp_c + ZERO_C_K
    return float(10**CO2_LOG_KH_25 * exp(CO2_DH_J_MOL / GAS_CONSTANT * (1 / REFERENCE_K - 1 / kelvin)) * pressure_atm)
