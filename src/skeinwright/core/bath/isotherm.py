"""How much of a dye belongs on the fibre when the bath is at rest."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.bath.classes import REFERENCE_ANIONS_EQ_L, REFERENCE_C
from skeinwright.core.bath.constants import GAS_CONSTANT, ZERO_C_K

Array = NDArray[np.float64]
Number = Any
"""A number or an array: all arguments of a function are broadcast against each other."""

PARTITION_SHARE = 0.10
"""Share of the partition that is plain solution in the fibre and never saturates (0.03-0.3) [assumed]; nylon's plain part is taken as great as wool's."""
SALTING_OUT = 0.3
"""Power of the anions by which salt drives uncharged dye into the fibre [assumed; the sign is broadbent2001's, seen]."""
SALT_IN_WAY = 0.5
"""How far other anions stand in a dye's way, in powers of its charge: full Donnan exclusion would be 1 [assumed; the sign is broadbent2001's, seen]."""
NYLON_SLOPE = 5.0
"""Nylon's partition over wool's for a trace of dye (2-15) [assumed]."""
HEAT_J_MOL = -20000.0
"""Heat of dyeing (-5 to -50 kJ/mol): hot baths hold dye back [assumed; the sign from several abstracts]."""


def counted_anions_eq_l(anions_eq_l: Number) -> Number:
    """Anions as the class values count them: never fewer than 0.02 eq/L."""
    return np.maximum(anions_eq_l, REFERENCE_ANIONS_EQ_L)


def partition(
    ionic: Number, neutral: Number, filled: Number, sulphonates: Number, anions_eq_l: Number, temp_c: Number, heat_j_mol: Number = HEAT_J_MOL
) -> Number:
    """Kp in L/kg for a trace of dye on wool.

        x  = max(A, 0.02)/0.02
        Kp = (Kh x^0.3 + Ke filled^n x^(-n/2)) exp(-(dH/R)(1/T - 1/368.15))

    `filled` is the share of acid sites that hold a proton at the anion level max(A, 0.02) (`fibre.donnan`), n the dye's sulphonates. More salt fills
    more sites but
    stands in the dye's way: below pH 4.5 it holds levelling dyes back, near pH 6 it drives milling dyes on (signs: broadbent2001, seen). All numbers assumed.
    """
    x = counted_anions_eq_l(anions_eq_l) / REFERENCE_ANIONS_EQ_L
    heat = np.exp(-heat_j_mol / GAS_CONSTANT * (1 / (np.asarray(temp_c) + ZERO_C_K) - 1 / (REFERENCE_C + ZERO_C_K)))
    return (neutral * x**SALTING_OUT + ionic * filled**sulphonates * x ** (-SALT_IN_WAY * sulphonates)) * heat


def dual_mode(c_g_l: Number, kp_l_kg: Number, saturation_g_kg: Number, partition_share: Number = PARTITION_SHARE, others: Number = 0.0) -> Number:
    """Dye on the fibre at rest, g/kg, over a bath of c g/L.

        q = S b c/(1 + b c + others) + Kn c,   Kn = share Kp,  S b = (1 - share) Kp

    `others` is the sum of b c over the other dyes: they share the sites. Langmuir is share 0, Nernst S without end. Sources: dual-mode-acid-nylon and
    cochineal-wool (seen as abstracts). S 60, Kp 600, c 0.1, share 0: 30 g/kg.
    """
    sites = (1 - partition_share) * kp_l_kg * c_g_l
    return sites / (1 + sites / saturation_g_kg + others) + partition_share * kp_l_kg * c_g_l


def crowding(c_g_l: Array, kp_l_kg: Array, saturation_g_kg: Array, partition_share: Number = PARTITION_SHARE, axis: int = 1) -> Array:
    """1 + sum of b c over all dyes (along `axis`, kept): what all of them divide by."""
    return np.asarray(1 + np.sum((1 - partition_share) * kp_l_kg * c_g_l / saturation_g_kg, axis=axis, keepdims=True))


def nernst_exhaustion(kp_l_kg: float, ratio_l_kg: float) -> float:
    """E = Kp/(Kp + L). Kp 200, L 20: 0.909."""
    return kp_l_kg / (kp_l_kg + ratio_l_kg)


def bath_at_rest_g_l(dose_g_kg: float, ratio_l_kg: float, kp_l_kg: float, saturation_g_kg: float, partition_share: float = PARTITION_SHARE) -> float:
    """The bath (g/L) at rest after a dose of q0 g/kg at liquor ratio L: the positive root of q(c) + L c = q0.

        b L' c^2 + (L' + S b - b q0) c - q0 = 0,   L' = L + Kn

    One dye, one fibre.
    """
    b = (1 - partition_share) * kp_l_kg / saturation_g_kg
    plain = ratio_l_kg + partition_share * kp_l_kg
    linear = plain + saturation_g_kg * b - b * dose_g_kg
    root = float((linear * linear + 4 * b * plain * dose_g_kg) ** 0.5)
    return 2 * dose_g_kg / (linear + root) if linear > 0 else (root - linear) / (2 * b * plain)


def exhaustion_at_rest(dose_g_kg: float, ratio_l_kg: float, kp_l_kg: float, saturation_g_kg: float, partition_share: float = PARTITION_SHARE) -> float:
    """The share of the dye that is on the fibre at rest. S 60 g/kg, b 10 L/g, L 30, q0 10 g/kg, no plain solution: 0.944."""
    return 1 - ratio_l_kg * bath_at_rest_g_l(dose_g_kg, ratio_l_kg, kp_l_kg, saturation_g_kg, partition_share) / dose_g_kg
