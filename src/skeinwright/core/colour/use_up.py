"""What can be dyed today from what is nearly gone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.tables import Array

PALEST, DEEPEST = 0.0005, 0.03
_APART = 4.0
_MOST_ENDS = 8


@dataclass(frozen=True, slots=True, eq=False)
class UsedUp:
    """A dyeing {dye: depth} of `fibre_g` that takes everything that is left of those dyes."""

    doses: Mapping[str, float]
    fibre_g: float
    lab: Array


def use_up(dyes: DyeSet, left_g: Mapping[str, float], fibre_g: tuple[float, ...]) -> tuple[UsedUp, ...]:
    """Dyeings that empty one or more of `left_g` {dye: grams at full strength}, on each weight of fibre that somebody might dye.

    Every set of up to eight ends; a total depth of 0.05-3 % of the fibre; colours within 4 of one another (CIEDE2000) are told once. Most dyes emptied first.
    """
    ends = sorted((name for name, grams in left_g.items() if grams > 0 and name in dyes.names), key=lambda name: left_g[name])[:_MOST_ENDS]
    rows, fibres = [], []
    for size in range(len(ends), 0, -1):
        for chosen in combinations(ends, size):
            for weight_g in fibre_g:
                doses = {name: left_g[name] / weight_g for name in chosen}
                if PALEST <= sum(doses.values()) <= DEEPEST:
                    rows.append(dyes.depths_of(doses))
                    fibres.append(weight_g)
    if not rows:
        return ()
    depths = np.array(rows)
    labs = dyes.labs(depths)
    kept: list[int] = []
    for index in range(len(rows)):
        if not kept or float(ciede2000(labs[index], labs[kept]).min()) > _APART:
            kept.append(index)
    return tuple(UsedUp(dyes.doses_of(depths[index]), fibres[index], labs[index]) for index in kept)
