"""Acids as they are bought, and what they bring to a bath."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from skeinwright.core.bath.charge_balance import Composition
from skeinwright.core.bath.constants import ACETIC_G_MOL, AMMONIUM_SULPHATE_G_MOL, CITRIC_G_MOL, CITRIC_MONOHYDRATE_G_MOL

AcidKind = Literal["vinegar", "citric", "ammonium sulphate"]

LABEL_SPREAD: dict[str, float] = {"vinegar": 0.05, "citric": 0.02, "ammonium sulphate": 0.02}
"""90 % half width of the strength of an acid as bought, relative [assumed]. The label of a vinegar names its least strength, 4 % or more (fda-cpg-525825)."""

USUAL_VINEGAR = 0.05
"""Grams of acetic acid in a millilitre of a 5 % vinegar."""


@dataclass(frozen=True, slots=True)
class AcidAsBought:
    """A bottle or bag: its kind, its strength, and the water that crystals hold.

    For vinegar `strength` is grams of acetic acid in a millilitre (5 % = 0.05) and amounts are millilitres; for the crystals it is the pure share
    and amounts are grams. `monohydrate` is for citric acid alone.
    """

    kind: AcidKind
    strength: float = 1.0
    monohydrate: bool = False

    @property
    def unit(self) -> Literal["ml", "g"]:
        """In what it is measured out."""
        return "ml" if self.kind == "vinegar" else "g"

    @property
    def mol_per_unit(self) -> float:
        """Moles of acid (or of the salt) in a millilitre or a gram. 5 % vinegar: 0.000833."""
        if self.kind == "vinegar":
            return self.strength / ACETIC_G_MOL
        if self.kind == "citric":
            return self.strength / (CITRIC_MONOHYDRATE_G_MOL if self.monohydrate else CITRIC_G_MOL)
        return self.strength / AMMONIUM_SULPHATE_G_MOL

    def in_bath(self, amount: float, bath_ml: float) -> Composition:
        """What `amount` (ml of vinegar, g of crystals) brings to a bath of final volume `bath_ml`."""
        mol_l = amount * self.mol_per_unit * 1000 / bath_ml
        if self.kind == "vinegar":
            return Composition(acetate=mol_l)
        if self.kind == "citric":
            return Composition(citrate=mol_l)
        return Composition(ammonium=2 * mol_l, sulphate=mol_l)


VINEGAR = AcidAsBought("vinegar", USUAL_VINEGAR)
CITRIC = AcidAsBought("citric")
AMMONIUM_SULPHATE = AcidAsBought("ammonium sulphate")


@dataclass(frozen=True, slots=True)
class AcidDose:
    """So much of an acid: millilitres of vinegar or grams of crystals."""

    acid: AcidAsBought
    amount: float
    amount_spread: float = 0.0
    """90 % half width of the measuring, relative: 0.3 for a spoon of crystals."""
