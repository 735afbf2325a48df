"""Start a pot without a plan: two taps."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.lot.lot import Lot, Row
from skeinwright.core.lot.on_shelf import fact_of
from skeinwright.core.shelf.items import Base, Vessel
from skeinwright.services.find_started import find_started
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class StartUnplannedPot:
    """The vessel, and what is in it as far as it is known: all but the vessel may be left out and weighed later. `key` as in `find_started`."""

    vessel: str = "Pot 1"
    base: str = ""
    skeins: int = 0
    skein_g: float | None = None
    mark: str = ""
    over: str = ""
    title: str = ""
    key: str = ""


def start_unplanned_pot(studio: Studio, request: StartUnplannedPot) -> Lot:
    """A lot with no steps; what is done is recorded as extras and can be kept as a colourway. 0 skeins or 0 g mean: not known."""
    with studio.store.writing() as writing:
        if first := find_started(writing, request.key):
            return first[0]
        shelf = shelf_for_lot(writing)
        base, vessel = shelf.find(Base, request.base), shelf.find(Vessel, request.vessel)
        skein_g = request.skein_g if request.skein_g is not None else base.skein_g if base is not None else 0.0
        if request.over:
            writing.lot(request.over)
        day = studio.now().date()
        row = Row(number=1, base=request.base, skeins=request.skeins, skein_g=skein_g, vessel=request.vessel, mark=request.mark, over=request.over)
        return writing.add_lot(
            Lot(
                code=writing.free_lot_code(day),
                day=day,
                title=request.title.strip() or "Unplanned pot",
                colourway=None,
                rows=(row,),
                plan=(),
                unplanned=True,
                shelf=tuple(fact_of(item) for item in (base, vessel) if item is not None),
                key=request.key,
            )
        )
