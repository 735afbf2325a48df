"""How sure the colour of one dye is, before it is weighed and before there is a pot."""

from __future__ import annotations

import numpy as np

from skeinwright.core.colour.ladder import DyeModel
from skeinwright.core.colour.tables import Array
from skeinwright.core.forecast.dyeing import Scatter, forecast_dyeing
from skeinwright.core.forecast.ground import ground_of_spectrum
from skeinwright.core.shelf.items import Dye

AT = 0.01
"""The spread is told at a depth of 1 % of the fibre's weight."""
EXACT_POT = Scatter(weighing_fraction=0.0, weighing_g=0.0, uptake_fraction=0.0)


def dye_spread(dye: Dye, model: DyeModel, base: Array, *, rng: np.random.Generator, depth: float = AT) -> float:
    """The CIEDE2000 within which nine in ten lie of what `dye` may look like at `depth`, on undyed yarn of reflectance `base` (31,).

    It is the spread of `forecast_dyeing` for a pot that strays in nothing, on yarn that is known: what the readings of the swatches leave open, and what the
    depth curve and the mixing law may miss. A forecast of the same dye can only be less sure. 0.5 is added where a swatch was read for 2 degrees.
    """
    found = forecast_dyeing({dye.name: depth}, [dye], ground_of_spectrum(base, sd=0.0), rng=rng, models={dye.name: model}, scatter=EXACT_POT)
    assert found.spread_de00 is not None
    return found.spread_de00
