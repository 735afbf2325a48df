"""An amount of acid in the dyer's own spoons and cups, for a kitchen where nothing is weighed."""

from __future__ import annotations

from fractions import Fraction

from skeinwright.core.foundations.quantities import Habits
from skeinwright.core.foundations.units import find_unit

CRYSTALS_G_ML = {"citric": 0.85, "ammonium sulphate": 0.9}
"""Heaped weight of crystals, +-30 % [assumed]; only for amounts in spoons."""
LEAST_TSP = Fraction(1, 8)
MOST_CUPS = 8
_QUARTERS = ("", "¼", "½", "¾")


def in_spoons(amount: float, unit: str, kind: str, habits: Habits) -> str:
    """So much ("ml" of vinegar, "g" of crystals of `kind`) as "about 1½ tbsp"; "" where it is less than an eighth of a teaspoon or more than 8 cups.

    To the nearest quarter of the largest measure that is filled once (an eighth of a teaspoon below a quarter), in the spoons that `habits` say. A spoon of
    crystals may be off by 30 %, and that is said. 23.4 ml: 1½ tbsp (US), 1¼ tbsp (Australian).
    """
    ml = amount if unit == "ml" else amount / CRYSTALS_G_ML.get(kind, 0.85)
    sizes = {name: found.size for name in ("tsp", "tbsp", "cup") if (found := find_unit("volume", name, habits)) is not None}
    exact = Fraction(ml)
    if exact < LEAST_TSP * sizes["tsp"] or exact > MOST_CUPS * sizes["cup"]:
        return ""
    name = next((one for one in ("cup", "tbsp") if round(4 * exact / sizes[one]) >= 4), "tsp")
    many = exact / sizes[name]
    quarters = round(4 * many)
    said = "⅛" if quarters == 0 or many < Fraction(3, 16) else f"{quarters // 4 or ''}{_QUARTERS[quarters % 4]}"
    unit_said = "cups" if name == "cup" and quarters > 4 else name
    return f"about {said} {unit_said}{'' if unit == 'ml' else ', within 30 %'}"
