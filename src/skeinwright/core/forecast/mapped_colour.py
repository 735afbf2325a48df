"""A skein map in colour: dye on the fibre, read on the swatches' own scale.

A swatch is read by its depth *as applied*: of that, its bath laid a share u on the yarn. Dye that a session has left on the fibre is worth

    depth that counts = dye on fibre / u

once and never twice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from skeinwright.core.bath.pot_run import DyeInPot, FibreInPot
from skeinwright.core.colour.ladder import DyeModel
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.spaces import linear_rgb_to_xyz, spectrum_to_xyz, xyz_to_lab, xyz_to_linear_rgb
from skeinwright.core.colour.tables import Array
from skeinwright.core.forecast.skein_colour import Lookup
from skeinwright.core.forecast.uptake_scale import usual_share
from skeinwright.core.shelf.items import Base
from skeinwright.core.spread.derive import kinds_of
from skeinwright.core.spread.skein_map import SkeinMap

ASSUMED_KS = 12.0
"""K/S at 1 % of a dye without swatches, grey, for the picture [assumed]."""
SAMPLES = 600


def sampled_amounts(skein: SkeinMap) -> Array:
    """Dye (n, dyes) in g/g of some `SAMPLES` places taken evenly over the skein."""
    flat = skein.dye.reshape(len(skein.names), -1)
    return np.ascontiguousarray(flat[:, :: max(1, flat.shape[1] // SAMPLES)].T, dtype=np.float64)


def shares_on_yarn(depths: Mapping[str, float], classes: Mapping[str, str], base: Base) -> dict[str, float]:
    """u of each dye at its mean depth (fraction, as applied) on the base's fibres: what the swatches' usual bath lays on the yarn. Raises BadInput."""
    fibres = tuple(FibreInPot(base="", kind=kind, mass_g=100 * share) for kind, share in kinds_of(base))
    return {name: usual_share(fibres, DyeInPot(name="dye", dye_class=classes[name]), depth) for name, depth in depths.items()}


def look_up_of(names: Sequence[str], models: Mapping[str, DyeModel], shares: Mapping[str, float], ground: Array) -> Lookup:
    """The colour of amounts on the fibre (n, dyes), g/g, over `ground` (31,). A dye without a model is seen as a plain grey of middling strength."""

    def layer(name: str, depths: Array) -> Array:
        return models[name].ks_at(depths) if name in models else np.asarray(100 * ASSUMED_KS * depths[:, None] * np.ones(31))

    def look_up(amounts: Array) -> Array:
        layers = [layer(name, amounts[:, k] / shares.get(name, 1.0)) for k, name in enumerate(names)]
        spectra = mix(ground, np.array(layers)) if layers else np.broadcast_to(ground, (len(amounts), len(ground)))
        return np.asarray(np.clip(xyz_to_linear_rgb(spectrum_to_xyz(spectra, "D65", 2)), 0.0, 1.0))

    return look_up


def depths_where_coloured(skein: SkeinMap, shares: Mapping[str, float]) -> dict[str, float]:
    """The depth that counts of each dye, mean over those places that hold more dye than the skein's mean: what the eye takes for its colour."""
    whole = skein.dye.sum(axis=0)
    coloured = whole > whole.mean(dtype=np.float64) * (1 - 1e-6)
    found = {name: float(plane[coloured].mean(dtype=np.float64)) / shares.get(name, 1.0) for name, plane in zip(skein.names, skein.dye, strict=True)}
    return {name: depth for name, depth in found.items() if depth > 0}


def sampled_labs(colours: Array) -> list[tuple[float, float, float]]:
    """Lab (D65, 2 degree) of colours (..., 3) in linear sRGB, of some of them taken evenly, for words."""
    flat = colours.reshape(-1, 3)
    some = flat[:: max(1, len(flat) // SAMPLES)].astype(float)
    labs = xyz_to_lab(linear_rgb_to_xyz(some), spectrum_to_xyz(np.ones(31), "D65", 2))
    return [(float(L), float(a), float(b)) for L, a, b in labs]
