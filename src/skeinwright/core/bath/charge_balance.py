"""One solver for the pH of every bath: the charges of all that is dissolved must add up to nothing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

from skeinwright.core.bath.activity import DAVIES_UP_TO_MOL_L
from skeinwright.core.bath.constants import AMMONIUM_SULPHATE_PAIR_LOG_K, FITTED_UP_TO_C, co2_dissolved_mol_l
from skeinwright.core.bath.root import bracketed_root
from skeinwright.core.bath.species import FAMILIES, Conditions, Fibre
from skeinwright.core.foundations.errors import BadInput

LOWEST_PH, HIGHEST_PH = -1.0, 14.0
HELD_FAMILIES = ("acetate", "citrate")
"""Acids that enter fibre undissociated."""
COLDEST_C, HOTTEST_C = 0.0, 100.0
NEAR_PH = 0.15
SETTLED = 1e-10
"""The ionic strength is in line when it moves by less than this, relatively."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Composition:
    """What is dissolved in a bath, as totals in mol per litre of the bath as it is filled, cold.

    `strong_cation` and `strong_anion` (eq/L) are ions that neither take nor give a proton: sodium, calcium, chloride.
    `open_to_air` lets carbonate come to rest with the air instead of keeping its total. `held` is fibre as a solvent: undissociated acetic and citric acid
    that it holds, over what is dissolved in the same litre (0 without fibre); the totals count both.
    """

    acetate: float = 0.0
    citrate: float = 0.0
    ammonium: float = 0.0
    sulphate: float = 0.0
    carbonate: float = 0.0
    strong_cation: float = 0.0
    strong_anion: float = 0.0
    open_to_air: bool = False
    held: float = 0.0

    def plus(self, other: Composition) -> Composition:
        """Both together, in the same volume; open to air if this one is."""
        return Composition(
            acetate=self.acetate + other.acetate,
            citrate=self.citrate + other.citrate,
            ammonium=self.ammonium + other.ammonium,
            sulphate=self.sulphate + other.sulphate,
            carbonate=self.carbonate + other.carbonate,
            strong_cation=self.strong_cation + other.strong_cation,
            strong_anion=self.strong_anion + other.strong_anion,
            open_to_air=self.open_to_air,
            held=max(self.held, other.held),
        )

    def times(self, factor: float) -> Composition:
        """Every total times `factor`."""
        totals = {name: getattr(self, name) * factor for name in (*FAMILIES, "strong_cation", "strong_anion")}
        return replace(self, **totals)


@dataclass(frozen=True, slots=True)
class Solved:
    """The pH of a bath, its ionic strength, and `notes` where a model was used outside its range (`status` is then "outside range")."""

    ph: float
    ionic_strength_mol_l: float
    anions_eq_l: float
    status: str
    notes: tuple[str, ...]


def solve_ph(composition: Composition, temp_c: float, *, fibre: Fibre | None = None, pk_lean: float = 0.0) -> Solved:
    """The pH at which the charges of the bath add up to nothing.

        f(pH) = [H+] - [OH-] + strong cations - strong anions + sum_i z_i c_i + fibre(h, anions) = 0

    Each total is shared out by its cumulative constants, concentration = activity / g (Davies). At fixed ionic strength f falls with pH all the way,
    so the root is the only one; the ionic strength is then brought into line with it by repetition. Concentrations are per kilogram of water,
    taken as a litre measured cold, so that heating a bath does not dilute it. pH is -log10 of the activity of H+, as a meter reads it.

    `temp_c` 0-100 C. Vinegar of 5 % (0.833 mol/L of acetate, nothing else) at 25 C: 2.42. Raises BadInput where no pH in -1..14 balances.
    Source: the equations of stumm-morgan-1996 (from memory).
    """
    if not COLDEST_C <= temp_c <= HOTTEST_C:
        raise BadInput(f"The bath is liquid water between 0 and 100 C; {temp_c:g} C is outside.", where="temperature")
    conditions = Conditions.at(temp_c, 0.0, pk_lean)
    strength = 0.0
    ph = _root(composition, conditions, fibre, LOWEST_PH, HIGHEST_PH)
    for _ in range(60):
        found = ionic_strength_mol_l(composition, conditions, ph)
        if abs(found - strength) <= SETTLED * (found + 1e-6):
            break
        strength = found
        conditions = conditions.with_ionic_strength(strength)
        ph = _root_near(composition, conditions, fibre, ph)
    return Solved(ph, found, anions_eq_l(composition, conditions, ph), *_standing(found, temp_c))


def _root_near(composition: Composition, conditions: Conditions, fibre: Fibre | None, ph: float) -> float:
    """The root close to the last one; anywhere, where it has moved further."""
    try:
        return bracketed_root(lambda at: charge_eq_l(composition, conditions, at, fibre), ph - NEAR_PH, ph + NEAR_PH)
    except ValueError:
        return _root(composition, conditions, fibre, LOWEST_PH, HIGHEST_PH)


def _root(composition: Composition, conditions: Conditions, fibre: Fibre | None, low: float, high: float) -> float:
    try:
        return bracketed_root(lambda ph: charge_eq_l(composition, conditions, ph, fibre), low, high)
    except ValueError:
        raise BadInput("No pH between -1 and 14 balances this bath; look again at the amounts.", where="bath") from None


def _standing(strength: float, temp_c: float) -> tuple[str, tuple[str, ...]]:
    notes = []
    if strength > DAVIES_UP_TO_MOL_L:
        held = f"The bath holds more salt (ionic strength {strength:.2g} mol/L) than Davies' equation covers (0.5)"
        notes.append(f"{held}: the pH may be off by more than its spread.")
    if temp_c > FITTED_UP_TO_C:
        notes.append("Above 77 C the constants are carried on beyond their table; the spread is wider.")
    return ("outside range" if strength > DAVIES_UP_TO_MOL_L else "ok"), tuple(notes)


def charge_eq_l(composition: Composition, conditions: Conditions, ph: float, fibre: Fibre | None = None) -> float:
    """The charge that is left over at a pH (eq/L): f of `solve_ph`."""
    charge = conditions.hydrogen_mol_l(ph) - conditions.hydroxide_mol_l(ph) + composition.strong_cation - composition.strong_anion
    charge += sum(amount * z for amount, z in _ions(composition, conditions, ph))
    if fibre is not None:
        charge += fibre(conditions.hydrogen_mol_l(ph), anions_eq_l(composition, conditions, ph))
    return charge


def ionic_strength_mol_l(composition: Composition, conditions: Conditions, ph: float) -> float:
    """I = 1/2 sum c z^2; strong ions count as singly charged."""
    plain = conditions.hydrogen_mol_l(ph) + conditions.hydroxide_mol_l(ph) + composition.strong_cation + composition.strong_anion
    return 0.5 * (plain + sum(amount * z * z for amount, z in _ions(composition, conditions, ph)))


def anions_eq_l(composition: Composition, conditions: Conditions, ph: float) -> float:
    """Negative charge in the bath (eq/L), hydroxide left out."""
    return composition.strong_anion - sum(amount * z for amount, z in _ions(composition, conditions, ph) if z < 0)


def _ions(composition: Composition, conditions: Conditions, ph: float) -> list[tuple[float, int]]:
    """(mol/L, charge) of every form of every family that is present, and of the ammonium-sulphate pair."""
    pair = paired_mol_l(composition, conditions, ph)
    ions: list[tuple[float, int]] = [(pair, -1)] if pair else []
    for name, family in FAMILIES.items():
        if name == "carbonate" and composition.open_to_air:
            acid = co2_dissolved_mol_l(conditions.temp_c)
            ions += [(acid * weight, z) for weight, z in zip(conditions.weights(family, ph), family.charges, strict=True)]
            continue
        total: float = getattr(composition, name) - (pair if name in ("ammonium", "sulphate") else 0.0)
        if total:
            held = composition.held if name in HELD_FAMILIES else 0.0
            ions += [(total * share, z) for share, z in zip(conditions.shares(family, ph, held), family.charges, strict=True)]
    return ions


def paired_mol_l(composition: Composition, conditions: Conditions, ph: float) -> float:
    """Ammonium and sulphate that go about as one ion, NH4SO4- (mol/L).

    With N and S the totals, a and b the shares of NH4+ and SO4-2 in what is not paired, and k = K g(NH4+) g(SO4-2) / g(pair):

        x = k a b (N - x)(S - x)   (the smaller root)
    """
    n, s = composition.ammonium, composition.sulphate
    if not n or not s:
        return 0.0
    ammonium, sulphate = conditions.shares(FAMILIES["ammonium"], ph)[0], conditions.shares(FAMILIES["sulphate"], ph)[1]
    k = 10**AMMONIUM_SULPHATE_PAIR_LOG_K * conditions.gammas[2] * ammonium * sulphate
    b = n + s + 1 / k if k > 0 else 0.0
    return 2 * n * s / (b + sqrt(b * b - 4 * n * s)) if b else 0.0
