"""The compiled loops of `kernels` behind the names and shapes of the plain ones."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from skeinwright.core.bath import charge_balance_many as plain
from skeinwright.core.bath import kernels
from skeinwright.core.bath.activity import DAVIES_UP_TO_MOL_L, NEUTRAL_SALTING, debye_huckel_a
from skeinwright.core.bath.charge_balance import HELD_FAMILIES, HIGHEST_PH, LOWEST_PH
from skeinwright.core.bath.charge_balance_many import SolvedMany, SpongeMany, Totals
from skeinwright.core.bath.constants import AMMONIUM_SULPHATE_PAIR_LOG_K
from skeinwright.core.bath.fibre import SITES_LEFT
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.kinetics import OFF_RATE, ON_RATE, Going, Rates
from skeinwright.core.bath.species import FAMILIES
from skeinwright.core.bath.water_ions import pkw

ROUNDS = 4
_NAMES = tuple(FAMILIES)
_STEPS = np.array([len(one.steps) for one in FAMILIES.values()])
_CHARGES = np.array([[*one.charges, *(0,) * (4 - len(one.charges))] for one in FAMILIES.values()])
_HOLDS = np.array([name in HELD_FAMILIES for name in _NAMES])
_LIMITS = np.array([LOWEST_PH, HIGHEST_PH, plain.FURTHEST_STEP])
_PAIR_K = 10.0**AMMONIUM_SULPHATE_PAIR_LOG_K


def go_on(going: Going, rates: Rates, mass_kg: Array, volume_l: Array, step_s: float, steps: int) -> None:
    """`steps` times `kinetics.advance`."""
    shape = going.fibre_g_kg.shape

    def full(array: Array | float) -> Array:
        return np.ascontiguousarray(np.broadcast_to(array, shape), dtype=np.float64)

    q, face, bath = (np.ascontiguousarray(one).copy() for one in (going.fibre_g_kg, going.face_g_l, going.bath_g_l))
    kernels.go_on(
        q, bath, face, mass_kg, volume_l, full(rates.kp_l_kg), full(rates.saturation_g_kg), full(rates.on_per_s), full(rates.supply_l_kg_s),
        full(rates.partition_share), full(0.0 if rates.skin_s is None else rates.skin_s), OFF_RATE / ON_RATE, step_s, steps, ROUNDS,
    )  # fmt: skip
    going.fibre_g_kg, going.face_g_l, going.bath_g_l = q, face, bath


def filled_sites(h_mol_l: Array, anions_eq_l: Array, sites: Array, inside_k: Array, water_l_kg: Array, ln_ratio: Array) -> tuple[Array, Array]:
    """`charge_balance_many.filled_sites`."""
    filled, found = np.empty_like(h_mol_l), np.empty_like(h_mol_l)
    kernels.filled_sites(h_mol_l, anions_eq_l, sites, inside_k, np.ascontiguousarray(water_l_kg), ln_ratio, filled, found)
    return filled, found


def solve_ph_many(
    totals: Totals,
    temp_c: float,
    sponges: Sequence[SpongeMany],
    start_ph: Array,
    start_strength: Array | None = None,
    *,
    settled: float = plain.SETTLED_STRENGTH,
) -> SolvedMany:
    """`charge_balance_many.solve_ph_many`; draws that do not settle by Newton's rule are left to it."""
    n = start_ph.size
    amounts = np.array([totals.families[name] for name in _NAMES]).reshape(len(_NAMES), n)
    there = amounts.max(axis=1) > 0
    pk, half, kw, davies = _at(temp_c)
    k = 10.0 ** -(pk[:, :, None] + half[:, :, None] * np.broadcast_to(totals.pk_lean, n))
    sponge = np.array([[one.kg_l, one.sites, one.inside_k, one.water_l_kg, one.dye_acid] for one in sponges]).reshape(len(sponges), 5, n)
    ratio = np.array([one.ln_ratio for one in sponges]).reshape(len(sponges), n)
    ph, strength = start_ph.copy(), np.zeros(n) if start_strength is None else start_strength.copy()
    charge, anions, bound, first = np.empty(n), np.empty(n), np.empty(n), np.zeros((len(_NAMES), n))
    strong = np.array([totals.strong_cation, totals.strong_anion])
    held = np.ascontiguousarray(np.broadcast_to(totals.held, n))
    done = kernels.balance(
        amounts, there, k, _CHARGES, _STEPS, _HOLDS, strong, held, kw, davies, DAVIES_UP_TO_MOL_L, NEUTRAL_SALTING, _PAIR_K, sponge, SITES_LEFT,
        ph, strength, ratio, _LIMITS, settled, plain.SETTLED_CHARGE, plain.MOST_ROUNDS, charge, anions, bound, first,
    )  # fmt: skip
    if not done:
        return plain.solve_ph_many(totals, temp_c, sponges, start_ph, start_strength, settled=settled)
    for one, x in zip(sponges, ratio, strict=True):
        one.ln_ratio = x
    shares = dict(zip(_NAMES, first, strict=True))
    carbonic = shares["carbonate"] * totals.families["carbonate"]
    return SolvedMany(
        ph, anions, charge, strength, carbonic, bound, {name: shares[name] for place, name in enumerate(_NAMES) if _HOLDS[place] and there[place]}
    )


@lru_cache(maxsize=512)
def _at(temp_c: float) -> tuple[Array, Array, float, float]:
    """pK and half widths by family and step, Kw, and the Debye-Hückel slope at a temperature."""
    pk, half = np.zeros((len(_NAMES), 3)), np.zeros((len(_NAMES), 3))
    for place, family in enumerate(FAMILIES.values()):
        for number, step in enumerate(family.steps):
            pk[place, number], half[place, number] = step.pk(temp_c), step.half_width(temp_c)
    return pk, half, 10.0 ** -pkw(temp_c), debye_huckel_a(temp_c)


def run_once() -> None:
    """Runs each loop once, tiny, so that it is compiled or read from its cache."""
    one = np.ones(1)
    totals = Totals(dict.fromkeys(_NAMES, 0.01 * one), 0.002 * one, 0.0 * one, 0.0 * one, 0.0 * one)
    sponge = SpongeMany(0.03 * one, 0.82 * one, 5e-5 * one, 0.4 * one, 0.0 * one, one)
    solve_ph_many(totals, 60.0, [sponge], 5.0 * one)
    filled_sites(1e-5 * one, 0.02 * one, 0.82 * one, 5e-5 * one, 0.4 * one, one)
    going = Going(np.ones((1, 1)), np.zeros((1, 1, 1)), np.zeros((1, 1, 1)))
    rate = np.ones((1, 1, 1))
    go_on(going, Rates(1000 * rate, 100 * rate, 1e-4 * rate, 0.05 * rate, 0.1 * rate), np.array([0.1]), 3.0 * one, 10.0, 2)
