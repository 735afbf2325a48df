"""Tap water as a bath sees it: its alkalinity."""

from __future__ import annotations

from skeinwright.core.bath.charge_balance import Composition
from skeinwright.core.foundations.estimate import Estimate, Origin

MG_L_PER_EQ_L = 50043.0
"""Alkalinity of 1 eq/L, in mg/L as calcium carbonate: half of 100.087 g/mol."""

CARBON_PER_ALKALINITY = 1.02
"""Total inorganic carbon over alkalinity of tap water near pH 8 [assumed]."""
LEAST_CARBON, MOST_CARBON = 0.99, 1.22
"""The same of tap water at pH 8.5 and at pH 7.0 (1 + 10^(6.35 - pH), less carbonate): where most of it lies, 90 % [assumed]."""

ASSUMED_ALKALINITY = Estimate(120.0, 20.0, 300.0, "mg/L", Origin.ASSUMED, "alkalinity of the water: 120 mg/L as calcium carbonate (20-300)")
GIVEN_SPREAD = 0.10
"""90 % half width of an alkalinity that was read off a report or a strip, relative [assumed]."""


def stated_alkalinity(alkalinity_mg_l: float, origin: Origin = Origin.MEASURED) -> Estimate:
    """An alkalinity (mg/L as CaCO3, 0 or more) that the dyer gave, with +-10 % [assumed]."""
    half = GIVEN_SPREAD * alkalinity_mg_l
    return Estimate(alkalinity_mg_l, alkalinity_mg_l - half, alkalinity_mg_l + half, "mg/L", origin)


def tap_water(alkalinity_mg_l: float, *, open_to_air: bool = False, carbon: float = CARBON_PER_ALKALINITY) -> Composition:
    """What water of an alkalinity (mg/L as CaCO3, 0 or more) brings.

        strong cations = alkalinity / 50043 eq/L
        carbonate      = carbon x strong cations (closed; 1.02), or at rest with air (open)

    Closed is a bath just mixed; a simmering pot loses its carbon dioxide and comes near open. 120 mg/L brings 2.40 meq/L.
    """
    equivalents = alkalinity_mg_l / MG_L_PER_EQ_L
    carbonate = 0.0 if open_to_air else carbon * equivalents
    return Composition(strong_cation=equivalents, carbonate=carbonate, open_to_air=open_to_air)
