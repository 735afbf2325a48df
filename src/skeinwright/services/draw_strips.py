"""Thin knitted strips of a colourway's file, one for each stitch count, to one scale, with what each does and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.yarn.pooling import Pooling
from skeinwright.services.draw_picture import PictureRequest, dyed, stitch_of
from skeinwright.services.studio import Studio

ROWS = 60


@dataclass(frozen=True, kw_only=True, slots=True)
class Strips:
    """The strips as PNG, from left to right, and what each stitch count does over 1 % of gauge either way."""

    png: bytes
    each: tuple[Pooling, ...]
    words: str
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]


def draw_strips(request: PictureRequest, counts: tuple[int, ...], studio: Studio | None = None) -> Strips:
    """Strips of 1 to 12 stitch counts, `ROWS` rows high. Of the request, gauge, flat and seed count. Raises BadInput as `draw_picture` does."""
    from skeinwright.core.forecast.skein_colour import cell_colours
    from skeinwright.core.picture.knitted import Knit
    from skeinwright.core.picture.of_map import strips
    from skeinwright.core.spread.yarn_path import path_of
    from skeinwright.core.yarn.pooling import pooling, stitches_per_repeat
    from skeinwright.files.pictures import picture_bytes

    found = dyed(request, studio)
    skein, look, washed = found.washed()
    stitch_mm, said = stitch_of(request.gauge, found.base.tex)
    pixels = strips(counts, Knit(stitch_mm=stitch_mm, flat=request.flat), ROWS, cell_colours(skein, found.look_up), look, path_of(skein, seed=request.seed))
    q = stitches_per_repeat(skein.round_mm, stitch_mm)
    each = tuple(pooling(n, q, flat=request.flat) for n in counts)
    words = " ".join(f"{one.stitches} stitches: {one.sentence}" for one in each)
    return Strips(png=picture_bytes(pixels), each=each, words=words, warnings=found.warnings, assumed=tuple(dict.fromkeys((*found.assumed, *washed, *said))))
