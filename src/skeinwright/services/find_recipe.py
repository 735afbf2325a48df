"""A kept colourway as a recipe: what it has of each dye, and its colour on a base."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from skeinwright.core.colourway.words import is_even
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.forecast_colourway import forecast_with
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colour.tables import Array


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Recipe:
    """Depths {dye: fraction of the fibre}, and the forecast on `base`: Lab (D65, 10 degree), spectrum (31,) and its 90 % radius in CIEDE2000."""

    name: str
    base: str
    doses: dict[str, float]
    lab: Lab
    spectrum: Array = field(repr=False)
    spread_de00: float
    over: str = ""
    is_even: bool = True
    """False where dye lies in places: the colour is then that of the places that are coloured, and the depths are means over the whole skein."""


def find_recipe(studio: Studio, colourway: int | str, base: str = "", *, even_only: bool = False) -> Recipe:
    """The recipe of a colourway on `base` ("": its first).

    Raises BadInput where the base is not on the shelf, a step is not forecast, a dye's colour is not known, or, with `even_only`, where dye does not lie
    evenly.
    """
    with studio.store.reading() as reading:
        if base.strip() and shelf_for_lot(reading).find(Base, base) is None:
            raise BadInput(f"{base.strip()} is not on the shelf.", where="of", text=base)
        kept = reading.colourway(colourway)
        if even_only and not is_even(step.do for step in kept.thing.steps):
            raise BadInput(f"Dye does not lie evenly on {kept.thing.name}: a fade goes from one even bath to another.", where="colourway")
        sheet = forecast_with(reading, studio, kept.thing, bases=(base,) if base else ())
    name, on_base = kept.thing.name, sheet.bases[0]
    if any(step.do == "top up" for step in kept.thing.steps):
        raise BadInput(f"{name} is topped up with leftover liquor, which cannot be weighed out again. Take a colourway without it.", where="colourway")
    if sheet.stopped_at is not None or sheet.left_out:
        raise BadInput(f"{name} has steps that are not forecast yet, so its colour is not known. Only even baths can be taken as they are.", where="colourway")
    forecast = on_base.forecast
    if forecast.lab is None or forecast.spectrum is None or forecast.spread_de00 is None:
        raise BadInput(f"The colour of {name} is not known. {' '.join(forecast.notes)}".strip(), where="colourway")
    doses = {dye.name: dye.depth for dye in sheet.dyes if dye.depth > 0}
    return Recipe(
        name=name,
        base=on_base.base.name,
        doses=doses,
        lab=forecast.lab,
        spectrum=forecast.spectrum,
        spread_de00=forecast.spread_de00,
        over=kept.thing.over,
        is_even=is_even(step.do for step in kept.thing.steps),
    )
