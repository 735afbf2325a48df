"""A base in a colour, seen one way: twisted, laid open, knitted, close up."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from functools import lru_cache
from threading import Lock
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.picture.light import Light
    from skeinwright.core.picture.look import StrandLook

SIZES = {"fine": (1800, 1200), "large": (900, 600), "middling": (600, 400), "small": (360, 240)}
VIEW_WORDS = ("twisted", "laid open", "knitted", "close up")
STRAND = "strand"
"""One strand on the mat, as the samples above a picture show it."""
STRAND_PX = (480, 66)
STRAND_PX_PER_MM = 16.0
MOST_KEPT_PX = 12 * 900 * 600
"""Lights kept, the least used forgotten first: so many pixels in all, 12 bytes each."""
UNKNOWN = (214, 214, 214)
"""The pale grey in which a skein is drawn whose colour is not known; hatched, so that nobody takes it for a forecast."""

_lights: OrderedDict[tuple[str, StrandLook, int, int, int], Light] = OrderedDict()
_lock = Lock()


@dataclass(frozen=True, kw_only=True, slots=True)
class SkeinPicture:
    """What is drawn: the strand's look, its colour (sRGB 0-255; None is not known, drawn hatched), a view's word or "strand", and one of `SIZES`."""

    look: StrandLook
    srgb: tuple[int, int, int] | None
    view: str = "twisted"
    size: str = "large"


def draw_skein(studio: Studio, request: SkeinPicture) -> bytes:
    """The picture as PNG. The same request gives the same bytes. Raises BadInput for a view or size that there is not."""
    if request.view not in (*VIEW_WORDS, STRAND):
        raise BadInput(f"The views are {', '.join(VIEW_WORDS)}.", where="view", text=request.view)
    if request.size not in SIZES:
        raise BadInput(f"The sizes are {', '.join(SIZES)}.", where="size", text=request.size)
    return _drawn(request, studio.seed)


@lru_cache(maxsize=96)
def _drawn(request: SkeinPicture, seed: int) -> bytes:
    import numpy as np

    from skeinwright.core.colour.spaces import srgb_to_linear
    from skeinwright.core.picture.light import render
    from skeinwright.services.encode_png import encode_png

    light = _light(request, seed)
    linear = srgb_to_linear(np.array(request.srgb or UNKNOWN) / 255.0)
    pixels = render(light, [float(value) for value in linear])
    if request.srgb is None:
        row, column = np.indices(pixels.shape[:2])
        hatched = ((row + column) // 3 % 5 == 0) & (light.alpha > 0.6)
        pixels[hatched] = (pixels[hatched] * 0.62).astype(np.uint8)
    return encode_png(pixels, level=1)


def _light(request: SkeinPicture, seed: int) -> Light:
    """The light of this view of this look, kept."""
    from skeinwright.core.picture.strand import strand
    from skeinwright.core.picture.views import view_light

    width, height = STRAND_PX if request.view == STRAND else SIZES[request.size]
    key = (request.view, request.look, width, height, seed)
    with _lock:
        if key in _lights:
            _lights.move_to_end(key)
            return _lights[key]
    if request.view == STRAND:
        made = strand(request.look, width=width, height=height, px_per_mm=STRAND_PX_PER_MM, seed=seed)
    else:
        made = view_light(request.view, request.look, width=width, height=height, seed=seed)
    with _lock:
        _lights[key] = made
        while len(_lights) > 1 and sum(key[2] * key[3] for key in _lights) > MOST_KEPT_PX:
            _lights.popitem(last=False)
    return made
