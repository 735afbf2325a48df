"""A forecast colour dry and wet, side by side, as the margin of a colourway shows it."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from skeinwright.core.colour.eye import spread_in_words
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.picture.describe import colour_words
from skeinwright.services.forecast_colourway import OnBase
from skeinwright.web.recipe_view import hex_of


@dataclass(frozen=True, kw_only=True, slots=True)
class SeenWet:
    """The two colours to draw, each with its words, how sure the wet one is, what it rests on, and where a test would make it surer ("" where one was made)."""

    dry: str
    wet: str
    dry_words: str
    wet_words: str
    sure: str
    rests_on: str
    test: str


def seen_wet(one: OnBase) -> SeenWet | None:
    """Dry and wet of an evenly dyed base; None where the colour is not known."""
    dry, wet = one.forecast, one.wet
    if wet is None or dry.srgb is None or dry.lab is None:
        return None
    beyond = " A screen cannot show it fully." if wet.clipped else ""
    return SeenWet(
        dry=hex_of(dry.srgb),
        wet=hex_of(wet.srgb),
        dry_words=f"dry, {colour_words(dry.lab.values)}",
        wet_words=f"wet, {colour_words(wet.lab.values)}",
        sure=f"Wet, {spread_in_words(wet.spread_de00)}.{beyond}",
        rests_on=wet.rests_on,
        test=f"/tests/wet?{urlencode({'base': one.base.name})}" if wet.origin is Origin.ASSUMED and one.base.name else "",
    )
