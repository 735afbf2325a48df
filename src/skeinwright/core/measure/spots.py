"""Which colours lie on a yarn's ground: found on the crests of their innermost pixels, so that neither edges nor shadows between strands count as colours.

Pixels well inside other colours (D above the threshold and above 0.7 of the highest within 0.5 mm, less a rim of 0.3 mm) are parted by hue (a/L, b/L), which
shadow does not change; of each hue only those near the lightest within 0.85 mm are kept. What is left scatters so little that colours 0.02 apart
in Oklab can be told from one another where they differ in more than shade (`clusters`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.clusters import MOST_PIXELS, colour_clusters, k_means
from skeinwright.core.measure.oklab import Floats
from skeinwright.core.measure.ray import ray_distance
from skeinwright.core.measure.yarn import Mask, inner

Array = NDArray[np.float64]
Found = tuple[Array, float]
"""A centre in Oklab and how many pixels are its own."""

LEAST_INNER, LEAST_CREST = 60, 25
REACH_MM, NEAR_TOP = 0.5, 0.7
RIM_MM = 0.3
HUES = 8
STRAND_MM, NEAR_CREST = 0.85, 0.96
SHADE, OFF_RAY = 0.90, 0.015
DEEP_SHADE, FAR_OFF_RAY = 0.72, 0.03
SMALL_SHARE = 0.3
"""A cluster with less than this share of another's pixels may be that one's shadow or edge."""
LEAST_SHARE = 0.03
CLEAR = 1.1


def other_colours(lab: Floats, away: Floats, threshold: float, inside: Mask, base: Floats, px_per_mm: float, rng: np.random.Generator) -> Floats:
    """The centres (n, 3) in Oklab of the colours that lie on the ground `base`, the commonest first; `away` is D at each pixel."""
    inmost = _inmost(away, threshold, inside, px_per_mm)
    if int(inmost.sum()) < LEAST_INNER:
        return np.zeros((0, 3), np.float32)
    pixels = lab[_crests(lab, inmost, px_per_mm, rng)]
    if len(pixels) < LEAST_CREST:
        return np.zeros((0, 3), np.float32)
    found = _merged_in_shade([(one.centre, one.weight) for one in colour_clusters(pixels, rng)])
    least = LEAST_SHARE * sum(weight for _, weight in found)
    clear = CLEAR * threshold
    found = [(centre, weight) for centre, weight in found if weight >= least and float(ray_distance(centre[None].astype(np.float32), base)[0]) > clear]
    found = _without_mixtures(found, base.astype(float))
    return np.array([centre for centre, _ in sorted(found, key=lambda one: -one[1])], dtype=np.float32).reshape(-1, 3)


def _inmost(away: Floats, threshold: float, inside: Mask, px_per_mm: float) -> Mask:
    import cv2

    top = cv2.dilate(away, _square(REACH_MM, px_per_mm))
    return inner(inside & (away > threshold) & (away > NEAR_TOP * top), px_per_mm, RIM_MM)


def _crests(lab: Floats, inmost: Mask, px_per_mm: float, rng: np.random.Generator) -> Mask:
    """Of each hue among the inmost pixels, those whose L is near the highest of that hue round about."""
    import cv2

    pixels = lab[inmost]
    hues: Floats = (pixels[:, 1:] / np.maximum(pixels[:, :1], 0.05)).astype(np.float32)
    centres = k_means(hues[:: max(1, len(hues) // MOST_PIXELS)], HUES, rng)[0].astype(np.float32)
    off = np.stack([((hues - centre) ** 2).sum(axis=1) for centre in centres])
    which = np.full(inmost.shape, -1, np.int8)
    which[inmost] = np.argmin(off, axis=0)
    crest = np.zeros_like(inmost)
    for number in range(len(centres)):
        here = which == number
        lightness = np.where(here, lab[..., 0], np.float32(0))
        crest |= here & (lightness > NEAR_CREST * cv2.dilate(lightness, _square(STRAND_MM, px_per_mm)))
    return crest


def _square(reach_mm: float, px_per_mm: float) -> NDArray[np.uint8]:
    side = 2 * round(reach_mm * px_per_mm) + 1
    return np.ones((side, side), np.uint8)


def _merged_in_shade(found: list[Found]) -> list[Found]:
    """A centre that is another one in a little shadow joins it, and a small one also in deep shadow."""
    kept: list[Found] = []
    for centre, weight in sorted(found, key=lambda one: -float(one[0][0])):
        for place, (lit, other) in enumerate(kept):
            t = float(centre @ lit / (lit @ lit))
            darkest, furthest = (DEEP_SHADE, FAR_OFF_RAY) if weight < SMALL_SHARE * other else (SHADE, OFF_RAY)
            if darkest <= t <= 1.02 and float(np.linalg.norm(centre - t * lit)) < furthest:
                kept[place] = (lit if other >= weight else centre, other + weight)
                break
        else:
            kept.append((centre, weight))
    return kept


def _without_mixtures(found: list[Found], base: Array) -> list[Found]:
    """A small cluster that lies between the ground and a much heavier one, or between two of those, is an edge and no colour.

    Edges are thin, so few of the innermost pixels are theirs: a cluster of more than 0.3 of the other's pixels is a colour of its own.
    """

    def between(point: Array, start: Array, end: Array) -> bool:
        line = end - start
        length = float(np.linalg.norm(line))
        t = float((point - start) @ line / max(length**2, 1e-9))
        return 0.1 < t < 0.85 and float(np.linalg.norm(point - start - t * line)) < 0.15 * length + 0.01

    kept = []
    for place, (centre, weight) in enumerate(found):
        heavier = [other for number, (other, more) in enumerate(found) if number != place and SMALL_SHARE * more > weight]
        ends = [(base, other) for other in heavier] + [(one, other) for one in heavier for other in heavier if one is not other]
        if not any(between(centre, start, end) for start, end in ends):
            kept.append((centre, weight))
    return kept
