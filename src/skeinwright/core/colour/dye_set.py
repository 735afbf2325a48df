"""Several dyes on one ground, ready for many forecasts at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from skeinwright.core.colour.ladder import SATURATION, DyeModel
from skeinwright.core.colour.mixing import SURFACE, inner_ks, outer_r
from skeinwright.core.colour.spaces import xyz_to_lab
from skeinwright.core.colour.tables import Array, weights, white_xyz

_BLOCK = 2048


@dataclass(frozen=True, slots=True, eq=False)
class DyeSet:
    """D dyes over a ground. A dye's *amount* is its K/S as a multiple of `ks` (D, 31), so that amounts add up: q = base_ks + amounts @ ks.

    Depths (fractions of the fibre's weight) and amounts go into one another by each dye's own depth curve.
    """

    names: tuple[str, ...]
    ground: Array
    base_ks: Array
    ks: Array
    palest: Array
    deepest: Array
    centre: Array
    exponent: Array

    @property
    def at_palest(self) -> Array:
        """Amounts (D,) at the palest rungs."""
        ratio: Array = (self.palest / self.centre) ** self.exponent
        return ratio

    @property
    def at_deepest(self) -> Array:
        """Amounts (D,) at the deepest rungs."""
        ratio: Array = (self.deepest / self.centre) ** self.exponent
        return ratio

    def amounts(self, depths: Array) -> Array:
        """Amounts (..., D) of depths (..., D): the curve of `DyeModel`."""
        depths = np.asarray(depths, dtype=float)
        inside = (np.clip(depths, self.palest, self.deepest) / self.centre) ** self.exponent
        below = np.minimum(depths, self.palest) / self.palest
        beyond = np.maximum(depths - self.deepest, 0)
        result: Array = inside * below * (1 + self.exponent * beyond / self.deepest / (1 + beyond / SATURATION))
        return result

    def depths(self, amounts: Array) -> Array:
        """The inverse of `amounts`; beyond what the curve ever reaches, infinite."""
        amounts = np.asarray(amounts, dtype=float)
        below = amounts / self.at_palest * self.palest
        inside = self.centre * np.maximum(amounts, 1e-300) ** (1 / self.exponent)
        part = (amounts / self.at_deepest - 1) * self.deepest / self.exponent
        beyond = self.deepest + np.where(part < SATURATION, part / np.maximum(1 - part / SATURATION, 1e-12), np.inf)
        result: Array = np.where(amounts <= self.at_palest, below, np.where(amounts <= self.at_deepest, inside, beyond))
        return result

    def spectra(self, depths: Array) -> Array:
        """Reflectance (..., 31) of the ground with these depths (..., D); without dye, the ground as it came."""
        added = self.amounts(depths) @ self.ks
        bare = added <= 0
        added += self.base_ks
        result: Array = np.minimum(outer_r(added), self.ground)
        return np.where(bare, self.ground, result) if bare.any() else result

    def labs(self, depths: Array, illuminant: str = "D65", observer: int = 10) -> Array:
        """Lab (..., 3) of the ground with these depths (..., D)."""
        depths = np.asarray(depths, dtype=float)
        rows = depths.reshape(-1, depths.shape[-1])
        xyz = np.empty((len(rows), 3))
        for start in range(0, len(rows), _BLOCK):  # a block stays in the processor's cache
            xyz[start : start + _BLOCK] = self.spectra(rows[start : start + _BLOCK]) @ weights(illuminant, observer)
        return xyz_to_lab(xyz, white_xyz(illuminant, observer)).reshape(*depths.shape[:-1], 3)

    def depths_of(self, doses: Mapping[str, float]) -> Array:
        """Depths (D,) of {name: depth}; a dye that is not named has none. Raises KeyError for a name that is not in the set."""
        depths = np.zeros(len(self.names))
        for name, depth in doses.items():
            depths[self.names.index(name) if name in self.names else _missing(name)] = depth
        return depths

    def doses_of(self, depths: Array) -> dict[str, float]:
        """{name: depth} of depths (D,), without those that are 0."""
        return {name: float(depth) for name, depth in zip(self.names, depths, strict=True) if depth > 0}


def _missing(name: str) -> int:
    raise KeyError(name)


def dye_set(models: Mapping[str, DyeModel], ground: Array, *, names: Sequence[str] | None = None, base: str = "") -> DyeSet:
    """The dyes called `names` (all by default, in the order of the names) over a ground's reflectance (31,), each as strong as on the base called `base`."""
    chosen = tuple(names) if names is not None else tuple(sorted(models))
    fitted = [models[name] for name in chosen]
    ground = np.asarray(ground, dtype=float)
    return DyeSet(
        names=chosen,
        ground=ground,
        base_ks=inner_ks(ground, SURFACE),
        ks=np.array([np.exp(model.log_ks) * model.strengths.get(base, 1.0) for model in fitted]).reshape(len(fitted), ground.shape[-1]),
        palest=np.array([model.palest for model in fitted]),
        deepest=np.array([model.deepest for model in fitted]),
        centre=np.array([model.centre for model in fitted]),
        exponent=np.array([model.exponent for model in fitted]),
    )
