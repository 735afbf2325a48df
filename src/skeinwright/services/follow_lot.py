"""Follow the pots of a lot as it was really run: temperature, pH and uptake over time, on every base that lies in them."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, first_of
from skeinwright.services._pot_sheet import DRAWS, HowToFollow, PotSheet, pot_sheet
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio


@dataclass(frozen=True, slots=True)
class LotPot:
    """A vessel of a lot and what happened in it."""

    vessel: str
    sheet: PotSheet


def follow_lot(studio: Studio, lot: str, *, draws: int = DRAWS) -> tuple[LotPot, ...]:
    """Each pot of a lot, by what the record says was done, and by the plan where nothing is written down yet. A pH in the record corrects it.

    What cannot be followed is told in the sheet's `why`. Raises NotFound for an unknown lot; writes nothing.
    """
    from skeinwright.core.lot.as_ran import as_ran
    from skeinwright.core.lot.in_pot import pot_of_rows
    from skeinwright.core.lot.ph_read import ph_read
    from skeinwright.core.lot.state import state_of, vessels_of

    with studio.store.reading() as reading:
        found = reading.lot(lot.strip().upper())
        state = state_of(found, tuple(reading.entries(found.code)))
        shelf, settings = shelf_for_lot(reading, found.colourway.water if found.colourway is not None else ""), reading.settings()
    how = HowToFollow(draws=draws, seed=studio.seed, price_minor=settings.energy_price_minor)
    pots = []
    for vessel in vessels_of(found):
        bases = " and ".join(dict.fromkeys(row.base for row in found.rows if row.vessel == vessel and row.base))
        try:
            read = ph_read(found, state, vessel)
            pot = pot_of_rows(as_ran(found.plan, state, vessel, shelf.habits), found.rows, vessel, shelf, altitude_m=settings.altitude_m, read=read)
            sheet = pot_sheet(bases, pot.run, pot.hot, how)
        except (BadInput, ManyBadInputs) as error:
            said = first_of(error).sentence
            sheet = PotSheet(base=bases, why=said, status="not forecast")
        pots.append(LotPot(vessel, sheet))
    return tuple(pots)
