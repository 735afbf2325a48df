"""Which of many recipes to show as overdyes of a skein that has several colours: near a target, or near what the skein is and dark enough to be one.

A recipe gives each of the skein's colours another one. With p_k the share of colour k, c_k its colour afterwards, m the colour of their mean spectrum:
    away   = sum_k p_k dE00(c_k, target)        how far all of it lies from what is wanted
    uneven = sum_k p_k dE00(c_k, m)             how much still parts the skein's colours
The shares and weights below are [assumed].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.spaces import spectrum_to_lab

Array = NDArray[np.float64]

MOST = 3
STEPS = 6
LEAST_DEPTH = 0.0025
EVENED = 0.4
LEAST_UNEVEN = 2.0
DEEPER = 8.0
"""A skein of one colour: its L* falls by this much at least, or it is hardly dyed."""
APART = (10.0, 6.0, 3.0, 0.0)
"""Overdyes that are shown together differ by this much, or by less where there is nothing else."""
AS_NEAR = 1.15, 1.0


@dataclass(frozen=True, slots=True)
class Choice:
    """A recipe by its depths (D,), why it is shown, and what it leaves."""

    why: str
    depths: Array
    away: float
    uneven: float


@dataclass(frozen=True, slots=True)
class Over:
    """The skein: a set of the same dyes over each of its colours, and their shares (k,), which make one."""

    sets: Sequence[DyeSet]
    shares: Array

    def spectra(self, depths: Array) -> Array:
        """Reflectance (k, n, 31) after recipes of depths (n, D)."""
        return np.stack([one.spectra(depths) for one in self.sets])

    def after(self, depths: Array) -> tuple[Array, Array]:
        """Lab (k, n, 3) of each colour and (n, 3) of their mean (D65, 2 degree)."""
        spectra = self.spectra(depths)
        return spectrum_to_lab(spectra, "D65", 2), spectrum_to_lab(np.einsum("k,knb->nb", self.shares, spectra), "D65", 2)

    def uneven(self, depths: Array) -> Array:
        """`uneven` (n,) of the formula above."""
        each, mean = self.after(depths)
        return np.asarray(self.shares @ ciede2000(each, mean[None]), dtype=float)

    def away(self, depths: Array, target: Array) -> Array:
        """`away` (n,) from a target Lab (3,)."""
        each, _ = self.after(depths)
        return np.asarray(self.shares @ ciede2000(each, target), dtype=float)


def nearest_to(over: Over, depths: Array, target: Array) -> tuple[Choice, ...]:
    """Of recipes (n, D): the nearest to the target; of those about as near, the most even and the one with the least dye; at most three, each once."""
    away, uneven = over.away(depths, target), over.uneven(depths)
    near = away <= AS_NEAR[0] * away.min() + AS_NEAR[1]
    dye = depths.sum(axis=1)
    order = np.argsort(away, kind="stable")
    first = int(order[0])
    wanted = [("Nearest", first)]
    for why, figure in (("Most even", uneven), ("Least dye", dye)):
        wanted.append((why, int(np.argmin(np.where(near, figure, np.inf)))))
    wanted += [("Also near", int(number)) for number in order[1:]]
    _, mean = over.after(depths)
    chosen: list[tuple[str, int]] = []
    for why, number in wanted:
        if len(chosen) < MOST and all(_are_two(depths[number], depths[other], mean[number], mean[other]) for _, other in chosen):
            chosen.append((why, number))
    return tuple(Choice(why, depths[number], float(away[number]), float(uneven[number])) for why, number in chosen)


def near_and_dark(over: Over, depths: Array) -> tuple[tuple[Choice, ...], bool]:
    """Of recipes (n, D), those that leave the skein as one colour and change it least, three that differ to the eye; and whether any was dark enough.

    Dark enough: `uneven` falls to 0.4 of what it was, or to 2; and L* of the mean by 8 where the skein has one colour only.
    """
    bare = np.zeros((1, depths.shape[1]))
    _, was = over.after(bare)
    each, mean = over.after(depths)
    uneven = np.asarray(over.shares @ ciede2000(each, mean[None]), dtype=float)
    limit = max(LEAST_UNEVEN, EVENED * float(over.uneven(bare)[0]))
    enough = (uneven <= limit) & ((len(over.sets) > 1) | (mean[:, 0] <= was[0, 0] - DEEPER))
    change = np.asarray(ciede2000(mean, was[0]), dtype=float)
    score = change if enough.any() else uneven
    allowed = enough if enough.any() else np.ones(len(depths), dtype=bool)
    order = [int(number) for number in np.argsort(score, kind="stable") if allowed[number]]
    chosen: list[int] = []
    for apart in APART:
        for number in order:
            if len(chosen) < MOST and number not in chosen and all(float(ciede2000(mean[number], mean[other])) >= apart for other in chosen):
                chosen.append(number)
    return tuple(Choice("", depths[number], float(change[number]), float(uneven[number])) for number in chosen), bool(enough.any())


def grid(dyes: DyeSet, limits: Array, most: int) -> Array:
    """Depths (n, D): each dye alone, and pairs where `most` is 2 or more, at six depths each from 0.25 % to its limit, evenly spaced in ratio."""
    count = len(dyes.names)
    steps = [np.geomspace(min(LEAST_DEPTH, limit), limit, STEPS) if limit > 0 else np.zeros(0) for limit in limits]
    rows = []
    for one in range(count):
        rows += [_row(count, {one: float(depth)}) for depth in steps[one]]
    if most > 1:
        for one, other in combinations(range(count), 2):
            rows += [_row(count, {one: float(a), other: float(b)}) for a in steps[one][::2] for b in steps[other][::2]]
    return np.array(rows).reshape(-1, count)


def _row(count: int, doses: dict[int, float]) -> Array:
    row = np.zeros(count)
    for place, depth in doses.items():
        row[place] = depth
    return row


def _are_two(one: Array, other: Array, lab: Array, other_lab: Array) -> bool:
    """True where two recipes take other dyes, or come out so that an eye sees it."""
    return bool(((one > 0) != (other > 0)).any()) or float(ciede2000(lab, other_lab)) >= 2.0
