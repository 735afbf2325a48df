"""An undyed skein as it lies in a pan, from above and to scale."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import spectrum_of
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab
from skeinwright.services.reach_in_pan import ReachRequest, reach_in_pan
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.picture.look import StrandLook
    from skeinwright.core.picture.pan import Pan

SIZE = (900, 600)


def draw_pan(studio: Studio, request: ReachRequest) -> bytes:
    """The picture as PNG of the skein laid as `reach_in_pan` says. Raises BadInput as that does."""
    from skeinwright.core.picture.look import look_of

    sheet = reach_in_pan(studio, request)
    return _drawn(look_of(sheet.base)[0], sheet.pan, sheet.base.undyed or ASSUMED_UNDYED, studio.seed)


@lru_cache(maxsize=12)
def _drawn(look: StrandLook, pan: Pan, undyed: Lab, seed: int) -> bytes:
    from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_linear_rgb
    from skeinwright.core.picture.light import render
    from skeinwright.core.picture.pan import pan_scene
    from skeinwright.services.encode_png import encode_png

    scene = pan_scene(look, pan, width=SIZE[0], height=SIZE[1], seed=seed)
    colour = [float(min(max(value, 0.0), 1.0)) for value in xyz_to_linear_rgb(spectrum_to_xyz(spectrum_of(undyed), "D65", 2))]
    return encode_png(render(scene.light, colour), level=1)
