"""When the yarn is out: what the liquor still holds, what it could dye, and how it goes down the drain."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from skeinwright.core.bath.charge_balance import Composition, charge_eq_l, ionic_strength_mol_l
from skeinwright.core.bath.constants import SODIUM_BICARBONATE_G_MOL
from skeinwright.core.bath.course import PotCourse
from skeinwright.core.bath.species import Conditions
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.settings import DRAIN_HIGH_PH, DRAIN_LOW_PH

AIM_ABOVE = 1.0
"""Neutralise to so much over the limit, so that a strip (+-0.5) can tell."""
DOSE_SPREAD = 0.25
"""90 % half width of the dose, relative [assumed]: acid that was not counted, carbonic acid that has not left."""
NEUTRALISE = "Cool it first and put the powder in slowly, it foams. Your local code comes first; with a septic tank, ask. No storm drain."


@dataclass(frozen=True, slots=True)
class LeftoverLiquor:
    """Liquor that is left: ml, grams of each dye in it, and its pH."""

    volume_ml: float
    dyes_g: Mapping[str, float]
    ph: float

    def depth_on(self, fibre_g: float) -> dict[str, float]:
        """The depth (share of the fibre's weight) that all the dye in it makes on so much fibre: grams/fibre_g, if it all went on."""
        if not fibre_g > 0:
            raise BadInput("Say on how much fibre.", where="fibre")
        return {name: grams / fibre_g for name, grams in self.dyes_g.items()}

    def fibre_for_g(self, depth: float) -> float:
        """How much fibre it dyes to a depth, all dyes together: grams/depth."""
        if not depth > 0:
            raise BadInput("A depth is more than nothing.", where="depth")
        return sum(self.dyes_g.values()) / depth


def leftover_liquor(course: PotCourse, *, wet_yarn_ml: float = 0.0) -> LeftoverLiquor:
    """What the pot holds after the run, less what the lifted yarn carries away (`wet_yarn_ml`, with its share of the dye)."""
    volume = 1000 * float(course.water_l.centre[-1])
    stays = max(0.0, volume - wet_yarn_ml)
    share = stays / volume if volume > 0 else 0.0
    return LeftoverLiquor(stays, {name: grams * share for name, grams in course.bath_g.items()}, float(course.ph.centre[-1]))


@dataclass(frozen=True, slots=True)
class DrainDose:
    """Sodium bicarbonate for a liquor (g, with its interval), the pH that it aims at, and what to mind. 0 g where the liquor is within the limit."""

    bicarbonate_g: Estimate
    target_ph: float
    sentence: str


def neutralising_dose(liquor: Composition, volume_ml: float, *, ph: float, local_low: float = DRAIN_LOW_PH, local_high: float = DRAIN_HIGH_PH) -> DrainDose:
    """Baking soda that brings a cold liquor of pH `ph` a unit over the local limit, its carbon dioxide gone.

        g = 84.01 x (strong cations that bring the charge balance, open to air, to the target) x litres

    `local_low` and `local_high` are the dyer's own limits. Above pH 8.3 soda alone cannot bring it; the target is held there.
    """
    if not 0 < local_low < local_high <= 14:
        raise BadInput("The local limit is two pH figures, the lower one first.", where="local limit")
    if ph >= local_low:
        over = f" It is over {local_high:g}: neutralise with a little acid instead." if ph > local_high else ""
        return DrainDose(Estimate.exact(0.0, "g"), ph, f"The liquor is within the limit of pH {local_low:g} as it is.{over}")
    target = min(local_low + AIM_ABOVE, 8.0)
    grams = SODIUM_BICARBONATE_G_MOL * sodium_for_ph_mol_l(liquor, target) * volume_ml / 1000
    estimate = Estimate(grams, grams * (1 - DOSE_SPREAD), grams * (1 + DOSE_SPREAD), "g", Origin.ASSUMED)
    law = "law for businesses in the United States: 5.0, 40 CFR 403.5(b), not verified against today's text"
    limit = f"Below pH {local_low:g} it may not go to a public sewer (the limit in your settings; {law})."
    return DrainDose(estimate, target, f"{limit} {NEUTRALISE} Test the pH before you pour.")


def sodium_for_ph_mol_l(liquor: Composition, target_ph: float, temp_c: float = 25.0) -> float:
    """Sodium (mol/L) that brings a liquor, at rest with the air, to a pH: what its charge balance there has too little; never less than nothing."""
    opened = replace(liquor, open_to_air=True, carbonate=0.0, held=0.0)
    sodium = 0.0
    for _ in range(20):
        conditions = Conditions.at(temp_c, 0.0)
        with_sodium = replace(opened, strong_cation=opened.strong_cation + sodium)
        conditions = conditions.with_ionic_strength(ionic_strength_mol_l(with_sodium, conditions, target_ph))
        conditions = conditions.with_ionic_strength(ionic_strength_mol_l(with_sodium, conditions, target_ph))
        found = max(0.0, -charge_eq_l(opened, conditions, target_ph))
        if abs(found - sodium) <= 1e-12:
            return found
        sodium = found
    return sodium
