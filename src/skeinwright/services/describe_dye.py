"""How sure a dye's colour is, in words, and what one more swatch would buy."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from skeinwright.core.forecast.dye_facts import fitted, spectrum_of
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab, Reading, Swatch
from skeinwright.services.model_dye import undyed_under
from skeinwright.services.studio import Studio

AT = 0.01
"""The spread is told at a depth of 1 %."""


@dataclass(frozen=True, slots=True)
class DyeSpread:
    """`spread_de00` holds 90 % of what the colour may be at `AT`, as a CIEDE2000 radius (`dye_spread`); None without a swatch.

    `more_at` is the depth where one more swatch by the same means helps most, `more_de00` the spread with it (None where that would help little).
    `flags` are sentences.
    """

    swatches: int
    spread_de00: float | None
    more_at: float | None = None
    more_de00: float | None = None
    flags: tuple[str, ...] = ()


def describe_dye(studio: Studio, dye: Dye, *, advise: bool = False) -> DyeSpread:
    """What a dye's ladder rests on and how far it may be off; with `advise`, what one more swatch would buy."""
    dyed = tuple(swatch for swatch in dye.swatches if swatch.depth > 0)
    if not dyed:
        return DyeSpread(0, None)
    undyed = tuple(undyed_under(studio, swatch.base) for swatch in dyed)
    here = _spread(dyed, undyed, studio.seed)
    flags = fitted(dyed, undyed).flags
    if not advise:
        return DyeSpread(len(dyed), here, flags=flags)
    depth, better = min(((at, _with_one_more(dyed, undyed, at, studio.seed)) for at in (0.005, 0.02)), key=lambda pair: pair[1])
    return DyeSpread(len(dyed), here, depth, better, flags) if better < 0.9 * here else DyeSpread(len(dyed), here, flags=flags)


@lru_cache(maxsize=512)
def _spread(swatches: tuple[Swatch, ...], undyed: tuple[Lab, ...], seed: int) -> float:
    import numpy as np

    from skeinwright.core.forecast.dye_spread import dye_spread

    base = spectrum_of(undyed[0] if undyed else ASSUMED_UNDYED)
    return dye_spread(Dye(name="this dye", swatches=swatches), fitted(swatches, undyed), base, rng=np.random.default_rng([seed, 11]), depth=AT)


def _with_one_more(swatches: tuple[Swatch, ...], undyed: tuple[Lab, ...], depth: float, seed: int) -> float:
    """The spread if a swatch at `depth`, read as the last one was, fell where the model expects it."""
    from skeinwright.core.colour.mixing import mix
    from skeinwright.core.colour.spaces import spectrum_to_lab

    expected = spectrum_to_lab(mix(spectrum_of(undyed[-1]), fitted(swatches, undyed).ks(depth)[None]))
    L, a, b = (round(float(value), 2) for value in expected)
    reading = swatches[-1].reading if swatches[-1].reading is not Reading.INSTRUMENT else Reading.TYPED
    extra = Swatch(depth=depth, lab=Lab(L, a, b), reading=reading, base=swatches[-1].base)
    return _spread((*swatches, extra), (*undyed, undyed[-1]), seed)
