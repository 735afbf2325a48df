"""How far ions count for less than they are: Davies' equation."""

from __future__ import annotations

from math import sqrt

from skeinwright.core.bath.constants import ZERO_C_K
from skeinwright.core.bath.water_ions import permittivity

DAVIES_UP_TO_MOL_L = 0.5
"""Above this ionic strength the equation is held at its value there, and the result says so."""

NEUTRAL_SALTING = 0.1


def debye_huckel_a(temp_c: float) -> float:
    """The Debye-Hückel slope A (base 10, (L/mol)^0.5) of water: A = 1.8246e6 (eps T)^-1.5. 0.511 at 25 C. From memory."""
    return float(1.8246e6 * (permittivity(temp_c) * (temp_c + ZERO_C_K)) ** -1.5)


def activity_coefficient(charge: int, ionic_strength_mol_l: float, temp_c: float) -> float:
    """The activity coefficient of a dissolved form of a whole charge z.

        log10 g = -A(T) z^2 (sqrt(I)/(1 + sqrt(I)) - 0.3 I)    ions,  I <= 0.5 mol/L
        log10 g = 0.1 I                                        what carries no charge: salt drives it out

    Sources: davies-1962 (from memory); phreeqc-3 for the second (from memory; the program does so). A singly charged ion at 0.1 mol/L, 25 C: 0.78.
    """
    strength = min(ionic_strength_mol_l, DAVIES_UP_TO_MOL_L)
    if charge == 0:
        return float(10 ** (NEUTRAL_SALTING * strength))
    root = sqrt(strength)
    return float(10 ** (-debye_huckel_a(temp_c) * charge**2 * (root / (1 + root) - 0.3 * strength)))
