"""How thick a yarn is: the core that geometry uses, and the visual diameter that the eye sees.

    d[mm] = sqrt(4e-3 T / (pi phi rho)) = 0.0356825 sqrt(T / (phi rho)),   T in tex, rho in g/cm3, phi the share of the yarn's volume that is fibre
The same form as Peirce (source: peirce-1937), who held the specific volume v = 1/(phi rho) at 1.1 cm3/g for cotton.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import pi, sqrt

from skeinwright.core.foundations.errors import BadInput

DENSITY_G_CM3 = {"wool": 1.31, "nylon": 1.14, "silk": 1.34, "cotton": 1.52, "alpaca": 1.31, "mohair": 1.31, "cashmere": 1.31}
"""Fibre densities, from memory of Morton and Hearle's handbook; hair fibres are taken as wool. Assumed 1.31 for any other fibre."""
OTHER_DENSITY_G_CM3 = 1.31
CORE_PACKING = 0.55
"""Share of fibre in the core under light tension: 0.5-0.65, from memory."""
VISUAL_PACKING = 0.17
"""Share of fibre in the visual outline of a hand-knitting yarn: derived from 20 wraps per inch at 250 tex, assumed."""

VISUAL_PACKINGS = 0.217, 0.074
"""The same for 24 and for 14 wraps per inch at 250 tex: charts of thicknesses give that yarn anything between them."""


def blend_density_g_cm3(fibres: Iterable[tuple[str, float]]) -> float:
    """1/rho = sum(w/rho_i) / sum(w): the density of a blend by mass. Without fibres: 1.31 (wool)."""
    mass = volume = 0.0
    for name, share in fibres:
        mass += share
        volume += share / DENSITY_G_CM3.get(name.strip().casefold(), OTHER_DENSITY_G_CM3)
    return mass / volume if volume > 0.0 else OTHER_DENSITY_G_CM3


def diameter_mm(tex: float, packing: float, density_g_cm3: float) -> float:
    """d = sqrt(4e-3 T/(pi phi rho)) in mm; tex > 0, 0 < packing <= 1, density > 0."""
    if not (tex > 0.0 and 0.0 < packing <= 1.0 and density_g_cm3 > 0.0):
        raise BadInput("A diameter needs a count above zero, a packing between 0 and 1 and a density above zero.", where="yarn")
    return sqrt(4e-3 * tex / (pi * packing * density_g_cm3))


def packing_from_diameter(tex: float, diameter_mm: float, density_g_cm3: float) -> float:
    """The inverse: phi = 4e-3 T/(pi rho d^2)."""
    return 4e-3 * tex / (pi * density_g_cm3 * diameter_mm**2)


def core_diameter_mm(tex: float, fibres: Iterable[tuple[str, float]] = ()) -> float:
    """The core, for loop geometry: packing 0.55 (assumed)."""
    return diameter_mm(tex, CORE_PACKING, blend_density_g_cm3(fibres))


def visual_diameter_mm(tex: float, fibres: Iterable[tuple[str, float]] = ()) -> float:
    """What the eye sees, hairs and air included, for marks and pictures: packing 0.17 (assumed)."""
    return diameter_mm(tex, VISUAL_PACKING, blend_density_g_cm3(fibres))


def visual_range_mm(tex: float, fibres: Iterable[tuple[str, float]] = ()) -> tuple[float, float]:
    """The least and the greatest visual diameter of a yarn whose wraps have not been counted: packing 0.217 and 0.074."""
    density = blend_density_g_cm3(fibres)
    least, most = (diameter_mm(tex, packing, density) for packing in VISUAL_PACKINGS)
    return least, most


def diameter_from_wraps_mm(wraps_per_inch: float) -> float:
    """The visual diameter from wraps per inch: 25.4/WPI."""
    if not wraps_per_inch > 0.0:
        raise BadInput("Wraps per inch must be above zero.", where="wraps per inch")
    return 25.4 / wraps_per_inch
