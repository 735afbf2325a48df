"""A base as itself: a strand close up, at one scale for all bases, as it is wound or as washing leaves it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import spectrum_of
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.picture.look import StrandLook

PX_PER_MM = 40
LENGTH_MM = 34
ROOM_PX = 30
"""Mat above and below the strand."""


def draw_strand(studio: Studio, base_id: int, *, washed: bool = False) -> bytes:
    """The strand as PNG, `PX_PER_MM` pixels to the millimetre, undyed, on the neutral mat; `washed` as it is relaxed. Raises NotFound for no such base."""
    from skeinwright.core.picture.look import look_of
    from skeinwright.core.picture.of_map import relaxed_look
    from skeinwright.core.yarn.relaxation import relaxation_of

    with studio.store.reading() as reading:
        base = reading.item("base", base_id).thing
    assert isinstance(base, Base)
    look, _ = look_of(base)
    if washed:
        kept = relaxation_of(base)
        look = relaxed_look(look, kept.length.value, kept.width.value)
    return _drawn(look, base.undyed or ASSUMED_UNDYED, studio.seed)


@lru_cache(maxsize=128)
def _drawn(look: StrandLook, undyed: Lab, seed: int) -> bytes:
    from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_linear_rgb
    from skeinwright.core.picture.light import render
    from skeinwright.core.picture.strand import strand
    from skeinwright.services.encode_png import encode_png

    height = min(400, round(look.outline_mm * PX_PER_MM) + 2 * ROOM_PX)
    light = strand(look, width=LENGTH_MM * PX_PER_MM, height=height, px_per_mm=PX_PER_MM, seed=seed)
    colour = [float(value) for value in xyz_to_linear_rgb(spectrum_to_xyz(spectrum_of(undyed), "D65", 2))]
    return encode_png(render(light, [min(max(value, 0.0), 1.0) for value in colour]))
