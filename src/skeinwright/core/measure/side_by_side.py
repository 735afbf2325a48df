"""Pieces of yarn in one photograph, held against each other: how far apart they look, and which can stand side by side in one set."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.eye import difference_in_words
from skeinwright.core.measure.reading import PhotoReading
from skeinwright.core.measure.stated import same_photo_spread


@dataclass(frozen=True, slots=True)
class Pair:
    """Two pieces by number (0 the first), the CIEDE2000 of their area means, the radius that holds nine in ten of it, and who would see it."""

    one: int
    other: int
    de00: float
    spread_de00: float
    seen_by: str

    @property
    def is_told_apart(self) -> bool:
        """Whether the photo can tell the two apart at all."""
        return self.de00 > self.spread_de00


def pairs_of(reading: PhotoReading) -> tuple[Pair, ...]:
    """All pairs of pieces, the nearest first. What the camera errs it errs alike, so this is surer than a colour (`stated`)."""
    spread = reading.correction.spread_de00 if reading.correction is not None else 0.0
    means = [np.array(piece.mean_lab) for piece in reading.pieces]
    found = []
    for one, other in combinations(range(len(means)), 2):
        de00 = float(ciede2000(means[one], means[other]))
        found.append(Pair(one, other, de00, same_photo_spread(de00, spread), difference_in_words(de00)))
    return tuple(sorted(found, key=lambda pair: pair.de00))


def matching_sets(reading: PhotoReading, within_de00: float = 2.0) -> tuple[tuple[int, ...], ...]:
    """The pieces grouped so that within a group every two lie within `within_de00` (complete linkage: the nearest groups join first), largest group first."""
    groups: list[tuple[int, ...]] = [(number,) for number in range(len(reading.pieces))]
    apart = {frozenset((pair.one, pair.other)): pair.de00 for pair in pairs_of(reading)}
    while len(groups) > 1:
        widest, one, other = min((max(apart[frozenset((i, j))] for i in groups[a] for j in groups[b]), a, b) for a, b in combinations(range(len(groups)), 2))
        if widest > within_de00:
            break
        joined = tuple(sorted(groups[one] + groups[other]))
        groups = [group for place, group in enumerate(groups) if place not in (one, other)] + [joined]
    return tuple(sorted(groups, key=lambda group: (-len(group), group)))
