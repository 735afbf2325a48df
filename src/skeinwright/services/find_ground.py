"""What lies under a colourway: undyed yarn, or an earlier lot as it was dyed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.lot.lot import Lot
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.store.store import Reading

MOST_GROUNDS = 5
"""How many lots may lie one over another."""


def lot_below(reading: Reading, code: str) -> tuple[Lot | None, str]:
    """The lot of that code, None for undyed yarn; and why the ground is not known ("" where it is)."""
    if not code.strip():
        return None, ""
    try:
        return reading.lot(code.strip().upper()), ""
    except NotFound as error:
        return None, f"{error.sentence} The ground is not known."


def find_ground(reading: Reading, studio: Studio, base: Base, lot: Lot | None, shelf: OnShelf, depth: int = 0) -> tuple[Ground, str]:
    """The ground of a base, undyed or as `lot` left it; and why that is not known ("" where it is).

    A lot whose dry skein was measured is the ground as it was measured; any other as it is forecast.
    """
    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colourway.words import is_even
    from skeinwright.core.forecast.colourway_forecast import forecast_colourway as forecast_steps
    from skeinwright.core.forecast.ground import ground_of_base, ground_of_forecast, ground_of_spectrum
    from skeinwright.core.lot.depths import step_depths
    from skeinwright.services.find_measured_colour import newest_of

    undyed = ground_of_base(base)
    if lot is None:
        return undyed, ""
    row = next((row for row in lot.rows if row.base.casefold() == base.name.casefold()), None)
    if row is None or depth >= MOST_GROUNDS or not lot.plan:
        why = f"has no row of {base.name}" if row is None else "was not planned step by step" if not lot.plan else "lies over too many others"
        return undyed, f"Lot {lot.code} {why}: the ground is not known."
    measured = newest_of(reading, lot.code)
    if measured is not None and measured.base.casefold() in ("", base.name.casefold()) and (measured.base or len(lot.rows) == 1):
        changed = measured.lab.observer != 10
        return ground_of_spectrum(recover(measured.lab).reflectance, base.name, sd=measured.sd, observer_changed=changed), ""
    below, missing = find_ground(reading, studio, base, _below(reading, row.over), shelf, depth + 1)
    fibre_g = sum(one.fibre_g for one in lot.rows if one.vessel == row.vessel)
    steps = step_depths(lot.plan, fibre_g, shelf, vessel=row.vessel)
    found = forecast_steps(steps, list(shelf.all_of(Dye).values()), [below], seed=studio.seed, undyed=shelf.undyed(), fibre_g=fibre_g)
    earlier = found.bases[0]
    if missing or found.stopped_at is not None or earlier.spectrum is None:
        return undyed, missing or f"What lot {lot.code} looks like cannot be forecast: the ground is not known."
    ground = ground_of_forecast(earlier)
    if not is_even(do for do, _ in steps):
        ground = replace(ground, assumed=(*ground.assumed, f"Lot {lot.code} is not even: the colour of all its dye mixed stands for it."))
    return ground, ""


def _below(reading: Reading, code: str) -> Lot | None:
    return reading.lot(code) if code else None
