"""A kept colourway as a small skein, on its first base: in its forecast colour, or as its dye lies."""

from __future__ import annotations

from skeinwright.services.draw_laid import draw_laid
from skeinwright.services.draw_skein import SkeinPicture, draw_skein
from skeinwright.services.forecast_colourway import forecast_with
from skeinwright.services.studio import Studio


def draw_colourway(studio: Studio, key: int | str, *, view: str = "twisted", size: str = "small") -> bytes:
    """The picture as PNG; hatched grey where the colour is not known. Raises NotFound."""
    with studio.store.reading() as reading:
        sheet = forecast_with(reading, studio, reading.colourway(key).thing, laid_on=("",))
    first = sheet.bases[0]
    if first.laid is not None and first.laid.is_patterned:
        return draw_laid(studio, first.laid.key, view=view, size=size)
    return draw_skein(studio, SkeinPicture(look=first.look, srgb=first.forecast.srgb, view=view, size=size))
