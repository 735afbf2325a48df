"""The colours of a yarn: its ground first, then what lies on it.

Distance from the ground is measured to the ground's own shading ray (`ray`), so that shadow is no colour. Only the inner pixels of other colours are
clustered (`spots`), never the whole picture.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.oklab import Floats, oklab
from skeinwright.core.measure.ray import ray_distance
from skeinwright.core.measure.spots import other_colours
from skeinwright.core.measure.yarn import Mask, inner

Array = NDArray[np.float64]

DRIFT_MM = 8.0
LEAST_CORE = 60
CREST = (0.98, 0.998)
"""Which pixels show the fibre itself: between these shares of the brightest, on the crests of the strands and below any glint. [assumed]"""
SPOT_RIM_MM = 0.25
AMBIGUOUS = 0.45


@dataclass(frozen=True, slots=True)
class Colours:
    """The ground and the other colours as linear RGB relative to paper, crest and mean apart.

    `distance` is D at each pixel of the window (nought outside), `threshold` from where on a pixel is not ground. Shares are of the yarn's inner area.
    """

    ground: Array
    others: tuple[Array, ...]
    ground_share: float
    shares: tuple[float, ...]
    mean: Array
    threshold: float
    distance: Floats
    contrasts: tuple[float, ...]
    """The ray distance of each other colour from the ground."""

    @property
    def is_ambiguous(self) -> bool:
        """True where so much is covered that what the ground is cannot be told."""
        return 1 - self.ground_share > AMBIGUOUS


def colours_of(window: Floats, mask: Mask, px_per_mm: float, rng: np.random.Generator, tell: Callable[[float], None] = lambda share: None) -> Colours:
    """The colours of one piece of yarn in the evened window. `tell` is called between the stages with how far it is, 0-1."""
    rows, columns = _bounds(mask)
    picture = window[rows, columns]
    inside = inner(mask[rows, columns], px_per_mm)
    if int(inside.sum()) < 200:
        inside = mask[rows, columns]
    lab = oklab(_softened(picture, px_per_mm))
    tell(0.25)
    base = _base_of(lab[inside])
    tell(0.4)
    lab -= _drift(lab, inside, base, px_per_mm)
    away = ray_distance(lab, base) * inside
    threshold = max(0.04, 5 * float(np.quantile(away[inside], 0.25)))
    centres = other_colours(lab, away, threshold, inside, base, px_per_mm, rng)
    tell(0.7)
    contrasts = ray_distance(centres, base)
    which = _nearest(lab, centres, inside & (away > threshold))
    which[(which >= 0) & (away < 0.5 * np.append(contrasts, 0.0)[which])] = -1  # nearer to the ground than to the colour: its edge
    total = float(inside.sum())
    ground = inside & (away < 0.6 * threshold)
    crest = _crest(picture, lab, ground)
    lift = 1.0 if crest is None else float(crest.sum() / picture[ground].mean(axis=0, dtype=np.float64).sum())
    crests = [_spot(picture, (which == number), _core(away, threshold, px_per_mm), lift, px_per_mm) for number in range(len(centres))]
    spots = [(which == number).sum() / total for number in range(len(centres))]
    kept = [number for number, crest in enumerate(crests) if crest is not None]
    whole = np.zeros(mask.shape, np.float32)
    whole[rows, columns] = away
    return Colours(
        ground=crest if crest is not None else picture[inside].mean(axis=0).astype(float),
        others=tuple(one for one in crests if one is not None),
        ground_share=1.0 - float(sum(spots[number] for number in kept)),
        shares=tuple(float(spots[number]) for number in kept),
        mean=picture[mask[rows, columns]].mean(axis=0, dtype=np.float64),
        threshold=threshold,
        distance=whole,
        contrasts=tuple(float(contrasts[number]) for number in kept),
    )


def _bounds(mask: Mask) -> tuple[slice, slice]:
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def _softened(picture: Floats, px_per_mm: float) -> Floats:
    """Over 0.15 mm, so that the sensor's noise is not taken for colour."""
    import cv2

    return np.asarray(cv2.GaussianBlur(picture, (0, 0), 0.15 * px_per_mm), dtype=np.float32)


def _base_of(colours: Floats) -> Floats:
    some = colours[:: max(1, len(colours) // 60_000)]
    base = np.median(some, axis=0)
    for _ in range(6):
        distance = np.linalg.norm(some - base, axis=1)
        base = some[distance < max(0.06, 2 * float(np.quantile(distance, 0.25)))].mean(axis=0)
    return np.asarray(base, dtype=np.float32)


def _drift(lab: Floats, inside: Mask, base: Floats, px_per_mm: float) -> Floats:
    """The slow change of the ground over the yarn (a semi-solid base), less its mean: a wide normalised blur of pixels near the ground."""
    import cv2

    near = (inside & (ray_distance(lab, base) < 0.09)).astype(np.float32)
    small = (max(2, round(lab.shape[1] / px_per_mm)), max(2, round(lab.shape[0] / px_per_mm)))
    weight = cv2.GaussianBlur(cv2.resize(near, small, interpolation=cv2.INTER_AREA), (0, 0), DRIFT_MM)
    summed = cv2.GaussianBlur(cv2.resize(lab * near[..., None], small, interpolation=cv2.INTER_AREA), (0, 0), DRIFT_MM)
    slow = summed / np.maximum(weight, 1e-4)[..., None] - base
    slow *= np.clip(weight / 0.05, 0, 1)[..., None]
    return np.asarray(cv2.resize(slow.astype(np.float32), (lab.shape[1], lab.shape[0]), interpolation=cv2.INTER_LINEAR), dtype=np.float32)


def _core(away: Floats, threshold: float, px_per_mm: float) -> Mask:
    """Pixels of another colour that lie inside it: above the threshold and near the highest distance within 1 mm."""
    import cv2

    side = 2 * round(px_per_mm * 0.5) + 1
    top = cv2.dilate(away, np.ones((side, side), np.uint8))
    core = ((away > threshold) & (away > 0.85 * top)).astype(np.uint8)
    found: Mask = cv2.morphologyEx(core, cv2.MORPH_OPEN, np.ones((2, 2), np.uint8)) > 0
    return found


def _nearest(lab: Floats, centres: Floats, spotted: Mask) -> NDArray[np.int8]:
    """The number of the nearest centre (by its shading ray) at spotted pixels, -1 elsewhere."""
    which = np.full(lab.shape[:2], -1, np.int8)
    if len(centres):
        pixels = lab[spotted]
        which[spotted] = np.argmin(np.stack([ray_distance(pixels, centre) for centre in centres]), axis=0)
    return which


def _spot(picture: Floats, here: Mask, core: Mask, lift: float, px_per_mm: float) -> Array | None:
    """The colour of spots on the crests: the mean of their innermost pixels, lifted as the ground's crests stand above the ground's mean.

    The brightest pixels of a spot would be those at its edge, where a lighter ground shines in.
    """
    inmost = inner(here, px_per_mm, SPOT_RIM_MM) & core
    chosen = inmost if int(inmost.sum()) >= LEAST_CORE else here & core
    if int(chosen.sum()) < 25:
        return None
    spot: Array = picture[chosen].mean(axis=0, dtype=np.float64) * lift
    return spot


def _crest(picture: Floats, lab: Floats, mask: Mask) -> Array | None:
    """The mean linear colour of the crests among these pixels, or None where there are too few."""
    values = picture[mask]
    if len(values) < 25:
        return None
    lightness = lab[..., 0][mask]
    low, high = np.quantile(lightness, CREST)
    held = values[(lightness >= low) & (lightness <= high)]
    crest: Array = held.mean(axis=0, dtype=np.float64)
    return crest
