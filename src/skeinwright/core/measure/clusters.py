"""How many colours a crowd of pixels has: many clusters, of which those are merged that lie no further apart than their own scatter explains.

Pixels of one colour lie in a long cloud: shadow and the strand's roundness draw it out along the colour's shading ray, noise alone makes it wide across
it (about four times less). So clusters are told apart in q = (0.35 L, 0.55 a/L, 0.55 b/L), in which shading is short, and by their own scatter:

    r = sqrt(d' (S1 + S2 + s0^2 I)^-1 d),    d the way between two centres in q, S their covariances, s0 = 0.002

The nearest two become one until for all r >= 3 and |d| >= 0.018. Two halves of one even cloud have r = 2.4 at most, of one normal cloud 1.9, however
finely they are cut; 3 is a gap of 4.2 standard deviations between two clouds of one width. [assumed, from trials]
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

MOST_PIXELS = 20_000
CLUSTERS = 14
LEAST_PIXELS = 3
LIGHTNESS, HUE = 0.35, 0.55
APART, ALIKE = 3.0, 0.018
NOISE = 0.002


@dataclass(frozen=True, slots=True)
class Cluster:
    """Some pixels: how many, their mean in Oklab and in q, and the sum of squares about that."""

    weight: float
    centre: Array
    q: Array
    squares: Array

    def with_(self, other: Cluster) -> Cluster:
        """Both as one."""
        weight = self.weight + other.weight
        way = self.q - other.q
        return Cluster(
            weight,
            (self.weight * self.centre + other.weight * other.centre) / weight,
            (self.weight * self.q + other.weight * other.q) / weight,
            self.squares + other.squares + np.outer(way, way) * self.weight * other.weight / weight,
        )


def colour_clusters(lab: NDArray[Any], rng: np.random.Generator) -> list[Cluster]:
    """The clusters of pixels (n, 3) in Oklab that stand apart."""
    pixels = lab[:: max(1, len(lab) // MOST_PIXELS)].astype(float)
    q = np.concatenate([LIGHTNESS * pixels[:, :1], HUE * pixels[:, 1:] / np.maximum(pixels[:, :1], 0.05)], axis=1)
    labels = k_means(q, CLUSTERS, rng)[1]
    members = [labels == number for number in range(int(labels.max()) + 1)]
    found = [_cluster(pixels[here], q[here]) for here in members if int(here.sum()) >= LEAST_PIXELS]
    while len(found) > 1:
        nearest, i, j = min((_gap(found[i], found[j]), i, j) for i in range(len(found)) for j in range(i))
        if nearest >= 1:
            break
        found = [one for place, one in enumerate(found) if place not in (i, j)] + [found[i].with_(found[j])]
    return found


def k_means(values: NDArray[Any], count: int, rng: np.random.Generator) -> tuple[Array, NDArray[np.int32]]:
    """Centres, and the number of the nearest for each of the values; fewer than `count` where there are few values."""
    from scipy.cluster.vq import kmeans2

    return kmeans2(values.astype(float), max(1, min(count, len(values) // 6)), minit="++", iter=25, rng=rng)  # type: ignore[no-any-return]


def _cluster(pixels: Array, q: Array) -> Cluster:
    off = q - q.mean(axis=0)
    return Cluster(float(len(q)), pixels.mean(axis=0), q.mean(axis=0), off.T @ off)


def _gap(one: Cluster, other: Cluster) -> float:
    """Under 1 where the two are one colour: the less of r and of the way, each over its limit."""
    way = one.q - other.q
    spread = one.squares / max(one.weight - 1, 1) + other.squares / max(other.weight - 1, 1) + NOISE**2 * np.eye(3)
    return min(float(np.sqrt(way @ np.linalg.solve(spread, way))) / APART, float(np.linalg.norm(way)) / ALIKE)
