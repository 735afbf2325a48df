"""A colour picked in a kept photo, for any page that wants a colour: a white spot, then the place that is meant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.pick_in_photo import PickInPhoto, pick_in_photo
from skeinwright.services.read_colour import ColourReading
from skeinwright.services.studio import Studio
from skeinwright.web.recipe_view import hex_of

PLACES = ("wx", "wy", "px", "py")


@dataclass(frozen=True, slots=True)
class Picked:
    """The places in per cent as they stand in their fields, what was read there, and what is wrong with them."""

    places: dict[str, str]
    read: ColourReading | None = None
    said: str = ""
    hex: str = ""
    wrong: str = ""


def picked(studio: Studio, photo: int, query: Mapping[str, str]) -> Picked:
    """What is read at the places of an address; nothing until all are set."""
    places = {key: share(query.get(key, "")) for key in PLACES}
    shown = {key: f"{100 * place:.1f}" if place is not None else "" for key, place in places.items()}
    if any(place is None for place in places.values()):
        return Picked(shown)
    wx, wy, px, py = (cast(float, places[key]) for key in PLACES)
    try:
        read = pick_in_photo(studio, PickInPhoto(photo=photo, white=(wx, wy), patch=(px, py)))
    except BadInput as error:
        return Picked(shown, wrong=error.sentence)
    L, a, b = (round(value, 1) for value in read.lab.values)
    said = write_lab(Lab(L, a, b, read.lab.illuminant, read.lab.observer))
    return Picked(shown, read, said, hex_of(read.srgb))


def share(typed: str) -> float | None:
    """Per cent as typed, as 0-1; None for anything else."""
    try:
        value = float(typed) / 100
    except ValueError:
        return None
    return value if 0 <= value <= 1 else None
