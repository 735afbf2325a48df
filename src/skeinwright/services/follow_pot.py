"""Follow the pot of a colourway while it is being written: temperature, pH and uptake over time, and what they say."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from skeinwright.core.bath.what_if import WhatIf
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, first_of
from skeinwright.core.shelf.items import Base
from skeinwright.services._pot_sheet import DRAWS, HowToFollow, PotSheet, pot_sheet
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.lot.in_pot import ReadPh
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.lot.sketch import Sketch

__all__ = ["NOTHING_ASKED", "PotQuestion", "PotSheet", "follow_pot"]
NOTHING_ELSE = WhatIf()


@dataclass(frozen=True, kw_only=True, slots=True)
class PotQuestion:
    """What is asked of a pot besides its steps: things otherwise than planned, and a pH that was read in it."""

    what: WhatIf = NOTHING_ELSE
    read: ReadPh | None = None


NOTHING_ASKED = PotQuestion()


def follow_pot(studio: Studio, colourway: Colourway, *, base: str | None = None, draws: int = DRAWS, asked: PotQuestion = NOTHING_ASKED) -> PotSheet:
    """The pot of a colourway, saved or not, with all its fibre on `base` (its first where none is named). Nothing is written.

    `draws` 0 works out the centre line alone, which is quick. What cannot be followed is told in `why`, and raises nothing.
    """
    from skeinwright.core.lot.plan import with_own
    from skeinwright.core.lot.sketch import sketch_of
    from skeinwright.core.shelf.no_base import wool_base

    with studio.store.reading() as reading:
        plain, settings = shelf_for_lot(reading, colourway.water), reading.settings()
    shelf = with_own(colourway, plain)
    sketch = sketch_of(colourway, plain, today=studio.now().date())
    name = base if base is not None else sketch.row.base
    yarn = (shelf.find(Base, name) if name else None) or wool_base(name)
    try:
        how = HowToFollow(draws=draws, seed=studio.seed, price_minor=settings.energy_price_minor, left_out=sketch.left_out)
        return _followed(sketch, yarn, shelf, settings.altitude_m, how, asked)
    except (BadInput, ManyBadInputs) as error:
        said = first_of(error).sentence
        return PotSheet(base=yarn.name, why=said, status="not forecast")


def _followed(sketch: Sketch, yarn: Base, shelf: OnShelf, altitude_m: float, how: HowToFollow, asked: PotQuestion) -> PotSheet:
    from skeinwright.core.bath.what_if import beside_the_plan
    from skeinwright.core.lot.in_pot import pot_of_sketch

    pot = pot_of_sketch(sketch, yarn, shelf, altitude_m=altitude_m, read=asked.read)
    run, planned = beside_the_plan(pot.run, asked.what)
    hot = None if pot.hot is None else asked.what.on_bath(pot.hot)
    return replace(pot_sheet(yarn.name, run, hot, how), planned=planned, what=asked.what.said)
