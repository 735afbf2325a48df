"""The colour of every cell of a skein map: dyes' K/S added to the base's, seen in D65 by the 2 degree observer, as linear sRGB.

Cells that carry nearly the same dyes are worked out once: amounts are grouped on a square-root scale until at most 4096 groups are left, and each group is
coloured at its own mean.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.ladder import DyeModel
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_linear_rgb
from skeinwright.core.colour.tables import Array
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.spread.skein_map import SkeinMap

Colours = NDArray[np.float32]
_ODD = np.random.default_rng(20).integers(1, 2**62, 64, dtype=np.uint64) * np.uint64(2) + np.uint64(1)
Lookup = Callable[[NDArray[np.float64]], NDArray[np.float64]]
"""Amounts (n, dyes), g/g -> linear sRGB (n, 3), 0-1."""
MOST_GROUPS = 4096
_LEVELS = tuple(dict.fromkeys(max(3, round(1024 / 1.12**k)) for k in range(52)))
_SAMPLE = 12_000


def colour_lookup(names: Sequence[str], models: Mapping[str, DyeModel], base_spectrum: Array) -> Lookup:
    """The colour of amounts of the dyes `names`, in their order, on a base. Raises BadInput where a dye has no model."""
    if len(names) > len(_ODD):
        raise BadInput(f"At most {len(_ODD)} dyes are drawn on one skein.", where="dye")
    for name in names:
        if name not in models:
            raise BadInput(f"{name} has no swatch: its colour is not known. Give it a colour and a depth, or a table of swatches.", where="dye", text=name)

    def look_up(amounts: NDArray[np.float64]) -> NDArray[np.float64]:
        if not names:
            spectra = np.broadcast_to(base_spectrum, (len(amounts), len(base_spectrum)))
        else:
            spectra = mix(base_spectrum, np.array([models[name].ks_at(amounts[:, k]) for k, name in enumerate(names)]))
        linear: NDArray[np.float64] = np.clip(xyz_to_linear_rgb(spectrum_to_xyz(spectra, "D65", 2)), 0.0, 1.0)
        return linear

    return look_up


def cell_colours(skein: SkeinMap, look_up: Lookup) -> Colours:
    """Linear sRGB (2, rows, cells, 3) of a map, float32."""
    shape = skein.dye.shape[1:]
    if not skein.names:
        only = look_up(np.zeros((1, 0)))
        return np.broadcast_to(only.astype(np.float32), (*shape, 3)).copy()
    amounts = np.ascontiguousarray(skein.dye.reshape(len(skein.names), -1).T, dtype=np.float64)
    group, means = _grouped(amounts)
    found: Colours = look_up(means).astype(np.float32)[group].reshape(*shape, 3)
    return found


def _grouped(amounts: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Group of each row (n,), and the mean amounts of each group: no more than `MOST_GROUPS`, as finely as that allows."""
    top = np.maximum(amounts.max(axis=0), 1e-12)
    held = np.flatnonzero(amounts.max(axis=0) > 0.0)
    root = np.sqrt(amounts[:, held] / top[held])
    few = root[:: max(1, len(root) // _SAMPLE)]
    level = next((k for k, levels in enumerate(_LEVELS) if _codes(few, levels).max() < 0.6 * MOST_GROUPS or len(few) == len(root)), len(_LEVELS) - 1)
    while level and _codes(root, _LEVELS[level - 1]).max() < MOST_GROUPS:
        level -= 1
    group = _codes(root, _LEVELS[level])
    while group.max() >= MOST_GROUPS and level + 1 < len(_LEVELS):
        level += 1
        group = _codes(root, _LEVELS[level])
    size = np.bincount(group)
    means = np.stack([np.bincount(group, weights=amounts[:, k]) / size for k in range(amounts.shape[1])], axis=1)
    return group, means


def _codes(root: NDArray[np.float64], levels: int) -> NDArray[np.int64]:
    """Number of the group of each row when each dye is told apart in `levels` steps; rows are told apart by a 64-bit sum of their steps times odd numbers."""
    steps = np.round(root * levels).astype(np.uint64)
    mixed = (steps * _ODD[: root.shape[1]]).sum(axis=1, dtype=np.uint64)
    return np.unique(mixed, return_inverse=True)[1]


def mean_linear(colours: Colours) -> tuple[float, float, float]:
    """Mean linear sRGB of a map's cells: the colour that the yarn has from far away."""
    red, green, blue = (float(value) for value in colours.reshape(-1, 3).mean(axis=0, dtype=np.float64))
    return red, green, blue


def sharpest_place(colours: Colours) -> float:
    """Where along the loop (share, 0-1) the upper face changes colour most: the place to look at close up."""
    line = np.sqrt(colours[0].mean(axis=0))
    change = np.abs(np.roll(line, -2, axis=0) - np.roll(line, 2, axis=0)).sum(axis=1)
    return (int(np.argmax(change)) + 0.5) / len(change)
