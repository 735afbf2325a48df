"""Why two bases take the same colourway differently."""

from __future__ import annotations

from skeinwright.core.forecast.why import Why, why
from skeinwright.core.shelf.items import Base
from skeinwright.services.studio import Studio


def explain_bases(studio: Studio, first: int | str, second: int | str) -> Why:
    """What differs between two bases of the shelf, by id or name, from their geometry alone. Raises NotFound."""
    with studio.store.reading() as reading:
        one, other = (reading.item("base", key).thing for key in (first, second))
    assert isinstance(one, Base)
    assert isinstance(other, Base)
    return why(one, other)
