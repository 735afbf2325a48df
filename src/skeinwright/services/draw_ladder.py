"""A dye as itself: a strip painted from pale to deep."""

from __future__ import annotations

from functools import lru_cache

from skeinwright.core.forecast.dye_facts import fitted, spectrum_of
from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab, Swatch
from skeinwright.services.model_dye import undyed_under
from skeinwright.services.studio import Studio

PALEST, DEEPEST = 0.001, 0.04
"""Every ladder runs from 0.1 to 4 % of the fibre's weight, on a logarithmic scale, so that the strips of two dyes can be compared."""
WIDTH_PX, HEIGHT_PX = 640, 8


def draw_ladder(studio: Studio, dye_id: int) -> bytes:
    """The strip as PNG, one pixel column a depth. Raises NotFound where there is no such dye or it has no swatch to paint from."""
    with studio.store.reading() as reading:
        dye = reading.item("dye", dye_id).thing
    assert isinstance(dye, Dye)
    if not any(swatch.depth > 0 for swatch in dye.swatches):
        raise NotFound(f"{dye.name} has no swatch yet, so there is nothing to paint.")
    return _painted(dye.swatches, tuple(undyed_under(studio, swatch.base) for swatch in dye.swatches))


def place_on_ladder(depth: float) -> float:
    """Where a depth (fraction) stands along the strip, 0-1; depths outside it stand at its ends."""
    import math

    place = math.log(max(depth, 1e-9) / PALEST) / math.log(DEEPEST / PALEST)
    return min(max(place, 0.0), 1.0)


@lru_cache(maxsize=256)
def _painted(swatches: tuple[Swatch, ...], undyed: tuple[Lab, ...]) -> bytes:
    import numpy as np

    from skeinwright.core.colour.mixing import mix
    from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_srgb
    from skeinwright.services.encode_png import encode_png

    model = fitted(swatches, undyed)
    base = spectrum_of(undyed[0] if undyed else ASSUMED_UNDYED)
    depths = np.geomspace(PALEST, DEEPEST, WIDTH_PX)
    spectra = np.array([mix(base, model.ks(float(depth))[None]) for depth in depths])
    colours, _ = xyz_to_srgb(spectrum_to_xyz(spectra, "D65", 2))
    return encode_png(np.repeat(colours[None].astype(np.uint8), HEIGHT_PX, axis=0))
