"""From what the camera saw, relative to the paper, to colour: by a reference of known values where there is one, else by the paper's white alone.

With a reference, two corrections are fitted and the one is kept whose error on patches that were left out is lower (leave one out, median CIEDE2000):
    tone + 3x3:        a monotone curve for each channel through the greys (PCHIP of log against log), then rgb = M rgb', weights 1/(0.03 + Y)
    root polynomial:   rgb = M (r, g, b, sqrt(rg), sqrt(gb), sqrt(rb))        source: finlayson2015
Where greys are few the curve is left out. The median and the 90 % of that error go with every colour; the 90 % is the ceil(0.9 (n + 1))th smallest of n,
so that a colour drawn from the same bag as the patches lies within it nine times in ten, however few they are.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.pick import WHITE_Y
from skeinwright.core.measure.reference import lab_of

Array = NDArray[np.float64]
Apply = Callable[[Array], Array]

GREY_CHROMA = 6.0
"""A patch counts as grey where its true chroma is below this."""
LEAST_GREYS, LEAST_PATCHES = 4, 8
WORST_MEDIAN = 5.0
"""A reference that misses its own patches by more than this (median) is not used."""
PAPER_DE00 = 6.0
"""Spread of a colour that rests on paper white alone where the light is not known: trials gave 4 in daylight, 9 under lamps. [assumed for real phones]"""


@dataclass(frozen=True, slots=True)
class Correction:
    """How relative colours become colours. `apply` takes linear RGB relative to paper (n, 3) to linear sRGB of a perfect white.

    `rests_on` is "paper white" or the reference and its way; `median_de00` and `high_de00` (90 %) are the errors on patches left out, None for paper.
    `tried` lists the ways that were compared, with their median errors.
    """

    apply: Apply
    rests_on: str
    patches: int = 0
    median_de00: float | None = None
    high_de00: float | None = None
    tried: tuple[tuple[str, float], ...] = ()
    assumed_de00: float = PAPER_DE00
    """The spread where nothing was left out to judge by. [assumed]"""

    @property
    def spread_de00(self) -> float:
        """The radius that is meant to hold 90 % of colours."""
        if self.high_de00 is None:
            return self.assumed_de00
        return max(self.high_de00, PAPER_DE00) if self.rests_on == "tone curve" else self.high_de00  # greys say nothing of how colours fare

    def lab(self, relative: Array) -> Array:
        """Lab (n, 3), D65, 2 degree."""
        return lab_of(self.apply(np.asarray(relative, dtype=float).reshape(-1, 3)))


def paper_only() -> Correction:
    """The paper taken as neutral with a Y of 0.9."""
    return Correction(lambda relative: np.asarray(relative, dtype=float) * WHITE_Y, "paper white")


def corrected_by(seen: Array, known: Array) -> Correction:
    """The better of the ways for patches seen (n, 3), relative to paper, whose true linear sRGB is `known` (n, 3). Needs four greys or eight patches."""
    ways = _ways(known)
    errors = {name: _left_out(way, seen, known) for name, way in ways.items()}
    best = min(errors, key=lambda name: float(np.median(errors[name])))
    tried = tuple((name, float(np.median(error))) for name, error in errors.items())
    error = errors[best]
    return Correction(ways[best](seen, known), best, len(seen), float(np.median(error)), _nine_in_ten(error), tried)


def _nine_in_ten(errors: Array) -> float:
    place = math.ceil(0.9 * (len(errors) + 1))
    return float(np.sort(errors)[min(place, len(errors)) - 1])


def is_enough(known: Array) -> bool:
    """True where these patches can correct anything."""
    return len(known) >= LEAST_PATCHES or int(_greys(known).sum()) >= LEAST_GREYS


def _greys(known: Array) -> NDArray[np.bool_]:
    lab = lab_of(known)
    grey: NDArray[np.bool_] = np.hypot(lab[..., 1], lab[..., 2]) < GREY_CHROMA
    return grey


Way = Callable[[Array, Array], Apply]


def _ways(known: Array) -> dict[str, Way]:
    if len(known) < LEAST_PATCHES:
        return {"tone curve": tone_curve}
    ways: dict[str, Way] = {"3x3": matrix, "root polynomial": root_polynomial}
    if int(_greys(known).sum()) > LEAST_GREYS:  # one may be left out
        ways = {"tone curve and 3x3": _tone_and_matrix, **ways}
    return ways


def _left_out(way: Way, seen: Array, known: Array) -> Array:
    """CIEDE2000 of each patch by the correction fitted to all the others."""
    error = np.empty(len(seen))
    for place in range(len(seen)):
        others = np.arange(len(seen)) != place
        found = way(seen[others], known[others])(seen[place : place + 1])
        error[place] = float(ciede2000(lab_of(found)[0], lab_of(known[place])))
    return error


def tone_curve(seen: Array, known: Array) -> Apply:
    """One monotone curve for each channel through the greys, log against log; beyond its ends it goes on straight, its slope held to 0.5-2."""
    grey = _greys(known)
    curves = [_Curve(seen[grey, channel], known[grey, channel]) for channel in range(3)]
    return lambda values: np.stack([curve(np.asarray(values, dtype=float)[..., channel]) for channel, curve in enumerate(curves)], axis=-1)


class _Curve:
    """y(x) through positive points, straight in log log beyond them; colours below nought stay below."""

    def __init__(self, x: Array, y: Array) -> None:
        from scipy.interpolate import PchipInterpolator

        order = np.argsort(x)
        log_x, log_y = np.log(np.maximum(x[order], 1e-4)), np.log(np.maximum(y[order], 1e-4))
        log_y = np.maximum.accumulate(log_y)
        keep = np.concatenate([[True], np.diff(log_x) > 1e-3])
        self.x, self.y = log_x[keep], log_y[keep]
        self.inside = PchipInterpolator(self.x, self.y) if len(self.x) > 1 else None
        slopes = np.diff(self.y) / np.diff(self.x) if len(self.x) > 1 else np.ones(1)
        self.low, self.high = (float(np.clip(value, 0.5, 2.0)) for value in (slopes[0], slopes[-1]))

    def __call__(self, values: Array) -> Array:
        at = np.log(np.maximum(np.abs(values), 1e-6))
        held = np.clip(at, self.x[0], self.x[-1])
        inside = self.inside(held) if self.inside is not None else np.full_like(held, self.y[0])
        curved = inside + np.where(at < self.x[0], self.low * (at - self.x[0]), 0) + np.where(at > self.x[-1], self.high * (at - self.x[-1]), 0)
        result: Array = np.sign(values) * np.exp(curved)
        return result


def matrix(seen: Array, known: Array) -> Apply:
    """rgb = M rgb', by least squares with relative weights 1/(0.03 + Y)."""
    solved = _solve(seen, known)
    return lambda values: np.asarray(values, dtype=float) @ solved


def root_polynomial(seen: Array, known: Array) -> Apply:
    """The root polynomial of degree 2: brightness scales through it unchanged."""
    solved = _solve(_roots(seen), known)
    return lambda values: _roots(np.asarray(values, dtype=float)) @ solved


def _tone_and_matrix(seen: Array, known: Array) -> Apply:
    tone = tone_curve(seen, known)
    then = matrix(tone(seen), known)
    return lambda values: then(tone(values))


def _roots(values: Array) -> Array:
    r, g, b = (np.maximum(values[..., channel], 0) for channel in range(3))
    return np.stack([values[..., 0], values[..., 1], values[..., 2], np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)], axis=-1)


def _solve(terms: Array, known: Array) -> Array:
    weight = 1 / (0.03 + np.maximum(known @ np.array([0.2126, 0.7152, 0.0722]), 0))
    solved: Array = np.linalg.lstsq(terms * weight[:, None], known * weight[:, None], rcond=None)[0]
    return solved


def names_of(tried: Sequence[tuple[str, float]]) -> str:
    """ "3x3 1.8, root polynomial 2.0": the ways that were compared."""
    return ", ".join(f"{name} {error:.1f}" for name, error in tried)
