"""Skeins for the tests of maps and pictures: bands of two plain colours, whose colour needs no dye model."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colourway.colourway import SkeinGeometry
from skeinwright.core.spread.ideal import begin, paint
from skeinwright.core.spread.skein_map import SkeinMap, blank_map

SOCK = SkeinGeometry(skein_g=100.0, length_mm=400_000.0, round_mm=1500.0)
PALE, DEEP = np.array([0.70, 0.66, 0.55]), np.array([0.03, 0.10, 0.22])


def banded_map(*bands_mm: tuple[float, float], geometry: SkeinGeometry = SOCK, edge_mm: float = 8.0, rows: int = 64) -> SkeinMap:
    """A skein with these bands painted in one dye, evenly through both faces, with straight edges; inside a band the dye is 1."""
    dyeing = paint(begin(blank_map(("Kelp",), geometry, rows=rows)), {"Kelp": 0.01}, bands_mm, edge_mm=edge_mm, through=1.0)
    return dyeing.skein


def two_colours(skein: SkeinMap) -> NDArray[np.float32]:
    """Linear sRGB (2, rows, cells, 3): from pale to deep with the dye."""
    share = skein.dye[0] / max(float(skein.dye.max()), 1e-9)
    colours: NDArray[np.float32] = (PALE + share[..., None] * (DEEP - PALE)).astype(np.float32)
    return colours
