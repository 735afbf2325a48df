"""The charge balance of `charge_balance` for many draws at once, with fibre, from a start that is near: what a run asks for at every step.

Same equations, same constants; `tests/unit` holds the two together. Totals are in mol per litre of liquor, arrays of one number per draw.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import log

import numpy as np

from skeinwright.core.bath.activity import DAVIES_UP_TO_MOL_L, NEUTRAL_SALTING, debye_huckel_a
from skeinwright.core.bath.charge_balance import HELD_FAMILIES, HIGHEST_PH, LOWEST_PH
from skeinwright.core.bath.constants import AMMONIUM_SULPHATE_PAIR_LOG_K, ZERO_C_K
from skeinwright.core.bath.fibre import SITES_LEFT
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.species import FAMILIES
from skeinwright.core.bath.water_ions import pkw

LN10 = log(10)
SETTLED_CHARGE = 1e-10
"""The charge is in line when what is left over is less than this share of the ionic strength."""
SETTLED_STRENGTH = 1e-4
"""The ionic strength is in line when it moves by less than this, relatively: 0.00002 pH. The charges add up to nothing all the same."""
MOST_ROUNDS = 30
HALVINGS, REPEATS = 60, 4
FURTHEST_STEP = 0.5


@dataclass(slots=True)
class SpongeMany:
    """One fibre for all draws: kilograms to a litre of liquor, sites and dye's acid (mol/kg), 10^-pK inside, water inside (L/kg); ln r is kept as
    the next start."""

    kg_l: Array
    sites: Array
    inside_k: Array
    water_l_kg: Array
    dye_acid: Array
    ln_ratio: Array


@dataclass(slots=True)
class SolvedMany:
    """pH, anions (eq/L), the charge that was left over (eq/L), ionic strength, dissolved carbonic acid, acid on the fibre
    (eq/L) and, for each acid that fibre holds, the share of it that is dissolved and undissociated; by draw."""

    ph: Array
    anions_eq_l: Array
    left_over: Array
    ionic_strength_mol_l: Array
    carbonic_mol_l: Array
    bound_eq_l: Array
    undissociated_share: dict[str, Array]


@dataclass(slots=True)
class Totals:
    """mol per litre by family, strong ions (eq/L), and what fibre holds of undissociated acid over the bath."""

    families: dict[str, Array]
    strong_cation: Array
    strong_anion: Array
    held: Array
    pk_lean: Array = field(default_factory=lambda: np.zeros(1))


def solve_ph_many(
    totals: Totals, temp_c: float, sponges: Sequence[SpongeMany], start_ph: Array, start_strength: Array | None = None, *, settled: float = SETTLED_STRENGTH
) -> SolvedMany:
    """The pH of every draw, by Newton's rule with the buffer's own slope, each step held to half a unit; ionic strength and Donnan's ratio come along.

    A start that leads nowhere is given up for halving the whole range, which always ends: the charge falls all the way.
    """
    bath = _Bath(totals, temp_c, settled)
    if start_strength is not None:
        bath.strength = start_strength
    ph = start_ph
    for _ in range(MOST_ROUNDS):
        charge, slope, anions, fibre, moved = _charge(bath, sponges, ph)
        if moved < settled and _settled(charge, bath.strength):
            break
        ph = np.clip(ph + np.clip(-charge / slope, -FURTHEST_STEP, FURTHEST_STEP), LOWEST_PH, HIGHEST_PH)
    else:
        ph = _halved(bath, sponges)
        charge, _, anions, fibre, _ = _charge(bath, sponges, ph)
    carbonic = bath.undissociated("carbonate", ph) * totals.families["carbonate"] if "carbonate" in bath.families else np.zeros_like(ph)
    held = {name: bath.undissociated(name, ph) for name in HELD_FAMILIES if name in bath.families}
    return SolvedMany(ph, anions, charge, bath.strength, carbonic, fibre, held)


def _charge(bath: _Bath, sponges: Sequence[SpongeMany], ph: Array) -> tuple[Array, Array, Array, Array, float]:
    """(charge, slope, anions, acid on the fibre, how far ionic strength still moves)."""
    charge, slope, anions, hydrogen, moved = bath.charge(ph)
    anion_slope, fibre = -slope, np.zeros_like(ph)
    for one in sponges:
        bound, bound_slope = _bound(one, hydrogen, anions, anion_slope)
        fibre, slope = fibre + bound, slope + bound_slope
    return charge + fibre, slope, anions, fibre, moved


def _settled(charge: Array, strength: Array) -> bool:
    return float((np.abs(charge) / (strength + 1e-9)).max()) < SETTLED_CHARGE


def _halved(bath: _Bath, sponges: Sequence[SpongeMany]) -> Array:
    """The root by halving, the ionic strength brought into line between the halvings."""
    ph = np.full_like(bath.totals.strong_cation, 7.0)
    bath.strength = np.zeros_like(ph)
    for _ in range(REPEATS):
        low, high = np.full_like(ph, LOWEST_PH), np.full_like(ph, HIGHEST_PH)
        held, bath.settled = bath.settled, np.inf
        for _ in range(HALVINGS):
            ph = 0.5 * (low + high)
            charge = _charge(bath, sponges, ph)[0]
            low, high = np.where(charge > 0, ph, low), np.where(charge > 0, high, ph)
        bath.settled = held
        if bath.charge(ph)[4] < held:
            break
    return ph


def filled_sites(h_mol_l: Array, anions_eq_l: Array, sites: Array, inside_k: Array, water_l_kg: Array, ln_ratio: Array) -> tuple[Array, Array]:
    """`fibre.donnan` for many: the share of sites that hold a proton, and ln r (also the start that is given). Newton on ln r; the law rises throughout."""
    x = ln_ratio
    away = anions_eq_l * water_l_kg
    inner = h_mol_l * water_l_kg
    k = inside_k / h_mol_l
    for _ in range(40):
        r = np.exp(x)
        filled = 1 / (1 + r * k)
        bound, out, within = sites * filled, r * away, inner / r
        step = (bound + within - out) / (out + bound * (1 - filled) + within)
        x = x + np.clip(step, -1.0, 1.0)
        if float(np.abs(step).max()) < 1e-7:
            break
    return 1 / (1 + np.exp(x) * k), x


def _bound(one: SpongeMany, hydrogen: Array, anions: Array, anion_slope: Array) -> tuple[Array, Array]:
    """Acid on one fibre, eq per litre of liquor (dye's own included), and its slope with pH.

    With G = r A V + N f (1 - f) + h V/r:  d ln r/d ln h = (N f (1 - f) + h V/r)/G,  d ln r/d ln A = -r A V/G.
    """
    free = np.maximum(one.sites - one.dye_acid, SITES_LEFT * one.sites)
    anions = np.maximum(anions, 1e-9)
    filled, x = filled_sites(hydrogen, anions, free, one.inside_k, one.water_l_kg, one.ln_ratio)
    one.ln_ratio = x
    r = np.exp(x)
    buffer, out, within = free * filled * (1 - filled), r * anions * one.water_l_kg, hydrogen * one.water_l_kg / r
    all_of_it = out + buffer + within
    ratio_slope = -LN10 * (buffer + within) / all_of_it - out / all_of_it * anion_slope / anions
    return one.kg_l * (free * filled + one.dye_acid), one.kg_l * buffer * (-LN10 - ratio_slope)


class _Bath:
    """The dissolved part; keeps the activity coefficients between rounds."""

    def __init__(self, totals: Totals, temp_c: float, settled: float) -> None:
        self.totals, self.settled = totals, settled
        self.davies = debye_huckel_a(temp_c)
        self.kw = 10.0 ** -pkw(temp_c)
        self.families = {name: total for name, total in totals.families.items() if float(np.max(total)) > 0}
        self.constants = {name: [_k(step.pk(temp_c), step.half_width(temp_c), totals.pk_lean) for step in FAMILIES[name].steps] for name in self.families}
        self.strength = np.zeros_like(totals.strong_cation)
        self.kelvin = temp_c + ZERO_C_K

    def charge(self, ph: Array) -> tuple[Array, Array, Array, Array, float]:
        """(charge, slope with pH, anions, H+, how far ionic strength still moves)."""
        gammas = self._gammas()
        active = 10.0**-ph
        hydrogen, hydroxide = active / gammas[1], self.kw / active / gammas[1]
        charge = hydrogen - hydroxide + self.totals.strong_cation - self.totals.strong_anion
        slope = -LN10 * (hydrogen + hydroxide)
        anions = self.totals.strong_anion
        plain = hydrogen + hydroxide + np.abs(self.totals.strong_cation) + self.totals.strong_anion
        shares = {name: self._shares(name, active, gammas) for name in self.families}
        pair = self._pair(shares, gammas)
        if pair is not None:
            charge, anions, plain = charge - pair, anions + pair, plain + pair
        for name, total in self.families.items():
            if pair is not None and name in ("ammonium", "sulphate"):
                total = total - pair
            mean, square, negative = shares[name][:3]
            charge = charge + total * mean
            slope = slope - LN10 * total * (square - mean * mean)
            anions = anions + total * negative
            plain = plain + total * square
        found = 0.5 * plain
        moved = float((np.abs(found - self.strength) / (found + 1e-6)).max())
        if moved >= self.settled:  # once in line it stays, so that the charge can settle to the last digit
            self.strength = found
        return charge, slope, anions, hydrogen, moved

    def _gammas(self) -> tuple[Array, Array, Array, Array]:
        strength = np.minimum(self.strength, DAVIES_UP_TO_MOL_L)
        root = np.sqrt(strength)
        one = 10.0 ** (-self.davies * (root / (1 + root) - 0.3 * strength))
        return 10.0 ** (NEUTRAL_SALTING * strength), one, one**4, one**9

    def _shares(self, name: str, active: Array, gammas: tuple[Array, Array, Array, Array]) -> tuple[Array, Array, Array, Array, Array]:
        """(mean charge, mean square, mean negative charge, share of the first form, share of the second)."""
        charges = FAMILIES[name].charges
        first = 1 / gammas[abs(charges[0])]
        weight, weights = 1.0 / active * self.constants[name][0], [first]
        for place, z in enumerate(charges[1:]):
            weight = weight if place == 0 else weight * self.constants[name][place] / active
            weights.append(weight / gammas[abs(z)])
        whole = first * (1 + self.totals.held) if name in HELD_FAMILIES else first
        mean = square = negative = 0.0 * first
        for w, z in zip(weights, charges, strict=True):
            if w is not first:
                whole = whole + w
            if z:
                mean, square = mean + w * z, square + w * (z * z)
                negative = negative - w * z if z < 0 else negative
        return mean / whole, square / whole, negative / whole, first / whole, weights[1] / whole

    def _pair(self, shares: Mapping[str, tuple[Array, ...]], gammas: tuple[Array, ...]) -> Array | None:
        """NH4SO4-; the closed form of `charge_balance.paired_mol_l`."""
        if "ammonium" not in shares or "sulphate" not in shares:
            return None
        n, s = self.families["ammonium"], self.families["sulphate"]
        k = 10**AMMONIUM_SULPHATE_PAIR_LOG_K * gammas[2] * shares["ammonium"][3] * shares["sulphate"][4]
        b = n + s + 1 / np.maximum(k, 1e-300)
        return np.asarray(2 * n * s / (b + np.sqrt(np.maximum(b * b - 4 * n * s, 0.0))))

    def undissociated(self, name: str, ph: Array) -> Array:
        """The share of an acid that is dissolved with all its protons."""
        return self._shares(name, 10.0**-ph, self._gammas())[3]


def _k(pk: float, half_width: float, lean: Array) -> Array:
    return np.asarray(10.0 ** -(pk + half_width * lean))
