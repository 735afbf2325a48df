"""How much acid brings this bath, in this water, to a pH."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.bath.acids import AcidAsBought
from skeinwright.core.bath.charge_balance import SETTLED, Composition, charge_eq_l, ionic_strength_mol_l, solve_ph
from skeinwright.core.bath.ph import Bath, Guess, best_guess, composition, guesses, spread_over
from skeinwright.core.bath.root import bracketed_root
from skeinwright.core.bath.species import Conditions, Fibre
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin

MOST_CRYSTALS_G_L = 100.0
"""No dyebath holds more citric acid or ammonium sulphate than this; a target that asks for it is out of reach."""


@dataclass(frozen=True, slots=True)
class AcidForPh:
    """The acid to add (ml of vinegar, g of crystals) and the pH that the best figure brings."""

    acid: AcidAsBought
    amount: Estimate
    target_ph: float


def acid_for_ph(bath: Bath, acid: AcidAsBought, target_ph: float, *, fibre: Fibre | None = None) -> AcidForPh:
    """The amount of `acid` to add to `bath` for `target_ph`, with its 90 % interval.

    At a given pH and ionic strength the charge that is left over is a straight line in the amount (the fibre's term aside), so

        amount: f(target pH; bath + amount) = 0

    with the ionic strength brought into line by repetition. An end of the interval is 0 where the water might need no acid at all.
    Raises BadInput where the bath is already at or below the target, or where this acid cannot bring it there.
    """
    amount = amount_for(bath, acid, target_ph, best_guess(bath), fibre)
    if amount is None:
        raise _out_of_reach(bath, acid, target_ph, fibre)
    if amount <= 0:
        raise _no_need(bath, target_ph, fibre)

    def outcome(guess: Guess) -> float:
        found = amount_for(bath, acid, target_ph - guess.ph_shift, guess, fibre)
        return _most(bath, acid) if found is None else found

    kinds = frozenset(dose.acid.kind for dose in bath.doses) | {acid.kind}
    low, high = spread_over(amount, guesses(bath, kinds), outcome)
    origin = Origin.ASSUMED if bath.alkalinity.origin is Origin.ASSUMED else Origin.COMPUTED
    return AcidForPh(acid, Estimate(amount, max(0.0, low), high, acid.unit, origin), target_ph)


def amount_for(bath: Bath, acid: AcidAsBought, target_ph: float, guess: Guess, fibre: Fibre | None) -> float | None:
    """The amount under one guess: 0 where none is needed, None where no amount will do."""
    base = composition(bath, guess)
    unit = acid.in_bath(guess.label.get(acid.kind, 1.0), bath.volume_ml)
    conditions = Conditions.at(bath.temp_c, 0.0, guess.pk_lean)
    amount, strength = 0.0, -1.0
    for _ in range(80):
        found = ionic_strength_mol_l(base.plus(unit.times(amount)), conditions, target_ph)
        if abs(found - strength) <= SETTLED * (found + 1e-6):
            break
        strength = found
        conditions = conditions.with_ionic_strength(strength)
        step = _amount_at(base, unit, conditions, target_ph, fibre, _most(bath, acid))
        if step is None:
            return None
        amount = step
    return amount


def _amount_at(base: Composition, unit: Composition, conditions: Conditions, target_ph: float, fibre: Fibre | None, most: float) -> float | None:
    def left_over(amount: float) -> float:
        return charge_eq_l(base.plus(unit.times(amount)), conditions, target_ph, fibre)

    if left_over(0.0) <= 0:
        return 0.0
    if left_over(most) > 0:
        return None
    return bracketed_root(left_over, 0.0, most)


def _most(bath: Bath, acid: AcidAsBought) -> float:
    """The most that is looked at: a bath that is all vinegar, or 100 g of crystals in a litre."""
    return bath.volume_ml if acid.kind == "vinegar" else MOST_CRYSTALS_G_L * bath.volume_ml / 1000


def _out_of_reach(bath: Bath, acid: AcidAsBought, target_ph: float, fibre: Fibre | None) -> BadInput:
    furthest = solve_ph(composition(bath).plus(acid.in_bath(_most(bath, acid), bath.volume_ml)), bath.temp_c, fibre=fibre).ph
    instead = "ask for a higher pH" if acid.kind == "citric" else "take citric acid, or ask for a higher pH"
    lowest = f"{acid.kind.capitalize()} alone brings this bath to about pH {furthest:.1f} at the lowest"
    return BadInput(f"{lowest}, not to {target_ph:g}; {instead}.", where="target pH")


def _no_need(bath: Bath, target_ph: float, fibre: Fibre | None) -> BadInput:
    stands = solve_ph(composition(bath), bath.temp_c, fibre=fibre).ph
    return BadInput(f"This bath already stands at about pH {stands:.1f}; no acid brings it up to {target_ph:g}, ask for a lower pH.", where="target pH")
