"""Recipes for a target: every combination of a shelf's dyes, solved, and ranked by what matters to a dyer."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.eye import NOBODY_BELOW
from skeinwright.core.colour.lights import LAMPS, inconstancy, metamerism
from skeinwright.core.colour.solve import TIGHT, Combos, Indices, Solved, Solver
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import Array
from skeinwright.core.shelf.swatch import Lab

DEEPEST = 0.04
"""The deepest that a recipe goes with any one dye unless the asker says otherwise: 4 % of the fibre [assumed]."""
LEAST = 5e-5
"""Below 0.005 % of the fibre a dye is left out: nobody can dose it."""
POOL = 400
_POLISHED, _RESTARTED = 60, 24
_AS_NEAR = 0.5
_DRAWS = 32
_STARTS = (0.002, 0.005, 0.01, 0.02)
_AMOUNT_OFF, _BATH_OFF = 0.05, 0.10


@dataclass(frozen=True, kw_only=True, slots=True)
class Wanted:
    """What a recipe is looked for: a target's `lab`, its `spectrum` (31,) where it is known, and limits.

    `deepest` is the most of any one dye (fraction of the fibre), `limits` {name: fraction} go before it; `must` have to be in every recipe.
    """

    lab: Lab
    spectrum: Array | None = field(default=None, compare=False)
    max_dyes: int = 4
    deepest: float = DEEPEST
    limits: Mapping[str, float] = field(default_factory=dict)
    must: Collection[str] = ()


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Match:
    """A recipe {dye: depth} and what it gives. `lab` and `de00` are under the target's own light and observer.

    `robustness` is the median CIEDE2000 that it moves when every amount is off by up to 5 % and the whole bath by up to 10 %; `cost_minor` is for 100 g of
    fibre.
    """

    doses: Mapping[str, float]
    lab: Lab
    de00: float
    spectrum: Array
    inconstancy: Mapping[str, float]
    metamerism: Mapping[str, float] | None
    robustness: float
    cost_minor: float | None = None

    @property
    def dyes(self) -> int:
        """How many dyes it takes."""
        return len(self.doses)

    @property
    def light(self) -> float:
        """The worst of the lamps: metamerism where the target's spectrum is known, else inconstancy."""
        return max((self.metamerism or self.inconstancy).values())


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Matches:
    """Recipes, the nearest first; `reachable` says that the best lies where nobody sees a difference. Never empty: no dye at all is a recipe."""

    matches: tuple[Match, ...]
    reachable: bool
    notes: tuple[str, ...]

    @property
    def nearest(self) -> Match:
        """The nearest; of those within a tenth of it, the one that suffers least under other lamps."""
        best = self.matches[0].de00
        return min((match for match in self.matches if match.de00 <= best + 0.1), key=lambda match: (match.light, match.dyes))

    @property
    def most_repeatable(self) -> Match:
        """Of those that are as near as an eye can tell, the one that weighing and the pot disturb least."""
        return min(self._as_near(), key=lambda match: (match.robustness, match.de00))

    @property
    def cheapest(self) -> Match | None:
        """Of the same, the one whose dye costs least; None where a price is missing from all of them."""
        priced = [match for match in self._as_near() if match.cost_minor is not None]
        return min(priced, key=lambda match: (match.cost_minor or 0.0, match.de00), default=None)

    def _as_near(self) -> list[Match]:
        limit = max(NOBODY_BELOW, self.matches[0].de00 + _AS_NEAR)
        return [match for match in self.matches if match.de00 <= limit]


def find_matches(dyes: DyeSet, wanted: Wanted, *, prices: Mapping[str, float] | None = None, rng: np.random.Generator | None = None) -> Matches:
    """All combinations of 1-3 dyes, and of 4 where none of 3 comes within 1 of the target, each solved and the best ranked.

    `prices` {name: minor units a gram of dye at full strength}. Order: CIEDE2000 to two decimals, then number of dyes, then light, then robustness.
    """
    depths = _candidates(dyes, wanted)
    return rank(dyes, wanted, depths, prices=prices, rng=rng)


def rank(dyes: DyeSet, wanted: Wanted, depths: Array, *, prices: Mapping[str, float] | None = None, rng: np.random.Generator | None = None) -> Matches:
    """Recipes of depths (n, D) judged against the target and put in order."""
    light = wanted.lab.illuminant, wanted.lab.observer
    target = np.array(wanted.lab.values)
    spectra = dyes.spectra(depths)
    labs = spectrum_to_lab(spectra, *light)
    de00 = ciede2000(target, labs)
    robust = robustness(dyes, depths, rng or np.random.default_rng(32))
    drift = {lamp: inconstancy(spectra, lamp, light[1]) for lamp in LAMPS}
    index = None if wanted.spectrum is None else {lamp: metamerism(wanted.spectrum, spectra, lamp, light[1]) for lamp in LAMPS}
    found = []
    for number, row in enumerate(depths):
        doses = dyes.doses_of(row)
        L, a, b = (float(value) for value in labs[number])
        found.append(
            Match(
                doses=doses,
                lab=Lab(L, a, b, *light),
                de00=float(de00[number]),
                spectrum=spectra[number],
                inconstancy={lamp: float(values[number]) for lamp, values in drift.items()},
                metamerism=None if index is None else {lamp: float(values[number]) for lamp, values in index.items()},
                robustness=float(robust[number]),
                cost_minor=cost_minor(doses, prices or {}),
            )
        )
    found.sort(key=lambda match: (round(match.de00, 2), match.dyes, round(match.light, 1), match.robustness))
    reachable = found[0].de00 <= NOBODY_BELOW
    return Matches(matches=tuple(found), reachable=reachable, notes=() if reachable else (_unreachable(dyes, wanted, found[0]),))


def robustness(dyes: DyeSet, depths: Array, rng: np.random.Generator) -> Array:
    """For recipes (n, D): the median over 32 draws of CIEDE2000 to the recipe itself, each amount off by up to 5 % and all together by up to 10 %, evenly."""
    one = 1 + _AMOUNT_OFF * rng.uniform(-1, 1, (_DRAWS, 1, len(dyes.names)))
    moved = depths * one * (1 + _BATH_OFF * rng.uniform(-1, 1, (_DRAWS, 1, 1)))
    median: Array = np.median(ciede2000(dyes.labs(depths)[None], dyes.labs(moved)), axis=0)
    return median


def cost_minor(doses: Mapping[str, float], prices: Mapping[str, float]) -> float | None:
    """Minor units of money for the dye in 100 g of fibre; None where a price is not known."""
    if any(name not in prices for name in doses):
        return None
    return sum(100 * depth * prices[name] for name, depth in doses.items())


def combos_of(dyes: DyeSet, size: int, must: Collection[str] = ()) -> Combos:
    """All combinations (N, size) of the set's dyes that have those called `must` among them."""
    need = sorted(dyes.names.index(name) for name in set(must))
    rest = [index for index in range(len(dyes.names)) if index not in need]
    if not len(need) <= size <= len(dyes.names):
        return np.empty((0, max(size, 1)), dtype=np.intp)
    if not need:
        return np.array(list(combinations(rest, size)), dtype=np.intp).reshape(-1, size)
    return np.array([sorted((*need, *more)) for more in combinations(rest, size - len(need))], dtype=np.intp).reshape(-1, size)


def _candidates(dyes: DyeSet, wanted: Wanted) -> Array:
    """Depths (n, D) of up to 400 recipes, the nearest of them polished; the first is always no dye at all, where nothing must be in it."""
    names = dyes.names
    limits = np.array([min(wanted.deepest, wanted.limits.get(name, np.inf)) for name in names])
    target = np.array(wanted.lab.values)
    solver = Solver(dyes, target, limits, illuminant=wanted.lab.illuminant, observer=wanted.lab.observer)
    batches: list[tuple[Combos, Array, Array]] = []
    ground = np.inf if wanted.must else float(ciede2000(target, dyes.labs(np.zeros(len(names)), wanted.lab.illuminant, wanted.lab.observer)))
    for size in range(max(1, len(set(wanted.must))), min(wanted.max_dyes, len(names)) + 1):
        if size > 3 and min([ground, *(float(batch[2].min()) for batch in batches)]) < NOBODY_BELOW:
            break
        combos = combos_of(dyes, size, wanted.must)
        if not len(combos):
            continue
        solved = solver.solve(combos)
        kept = np.all(dyes.depths(_dense(dyes, combos, solved.amounts))[np.arange(len(combos))[:, None], combos] >= LEAST, axis=1)
        if kept.any():
            batches.append((combos[kept], solved.amounts[kept], ciede2000(target, solved.lab[kept])))
    found = _polish(dyes, solver, batches)
    bare = [] if wanted.must else [np.zeros(len(names))]
    depths: Array = np.array([*bare, *found]).reshape(-1, len(names))
    if not len(depths):
        depths = np.where([[name in wanted.must for name in names]], np.minimum(LEAST, limits), 0.0)
    return depths


def _polish(dyes: DyeSet, solver: Solver, batches: list[tuple[Combos, Array, Array]]) -> list[Array]:
    """The nearest 400 as depths; 60 of them solved again to the end, for CIEDE2000 itself, from where they are and from within smaller limits."""
    if not batches:
        return []
    order = np.sort(np.concatenate([batch[2] for batch in batches]))
    pool, polished = (order[min(most, len(order)) - 1] for most in (POOL, _POLISHED))
    found: list[Array] = []
    for combos, amounts, de00 in batches:
        near, best = de00 <= polished, de00 <= pool
        amounts = amounts.copy()
        if near.any():
            amounts[near] = _finish(solver, combos[near], amounts[near], de00[near])
        found.extend(dyes.depths(_dense(dyes, combos[best], amounts[best])))
    return [row for row in found if np.all((row == 0) | (row >= LEAST))]


def _finish(solver: Solver, combos: Combos, amounts: Array, de00: Array) -> Array:
    """Amounts (N, k) that are nearer by CIEDE2000, or as they were. Several starts, because far from a target there can be several nearest points."""
    thrift = 1e-7 if combos.shape[1] <= 3 else 1e-4
    held = [np.minimum(amounts, solver.dyes.amounts(np.full(len(solver.dyes.names), limit))[combos]) for limit in _STARTS]
    best, missed = amounts.copy(), de00.copy()
    again = solver.solve(combos, start=amounts, exact=True, enough=TIGHT, thrift=thrift)
    _keep_nearer(solver, again, np.arange(len(combos)), best, missed)
    if float(missed.min()) > NOBODY_BELOW:
        few = np.argsort(missed, kind="stable")[:_RESTARTED]
        starts = np.concatenate([start[few] for start in held])
        again = solver.solve(np.tile(combos[few], (len(held), 1)), start=starts, exact=True, enough=TIGHT, thrift=thrift)
        for number in range(len(held)):
            part = slice(number * len(few), (number + 1) * len(few))
            _keep_nearer(solver, Solved(again.amounts[part], again.lab[part]), few, best, missed)
    return best


def _keep_nearer(solver: Solver, again: Solved, rows: Indices, best: Array, missed: Array) -> None:
    """Put what is nearer into `best` and `missed`, in their `rows`."""
    now = ciede2000(solver.target, again.lab)
    nearer = now < missed[rows]
    best[rows[nearer]], missed[rows[nearer]] = again.amounts[nearer], now[nearer]


def _dense(dyes: DyeSet, combos: Combos, amounts: Array) -> Array:
    dense = np.zeros((len(combos), len(dyes.names)))
    dense[np.arange(len(combos))[:, None], combos] = amounts
    return dense


def _unreachable(dyes: DyeSet, wanted: Wanted, best: Match) -> str:
    ground = spectrum_to_lab(dyes.ground, wanted.lab.illuminant, wanted.lab.observer)
    why = " Dye can only make the ground deeper, and this target is lighter." if float(ground[0]) + 1 < wanted.lab.L else ""
    return f"These dyes do not reach the target on this ground: the nearest recipe stays {best.de00:.1f} away (CIEDE2000).{why}"
