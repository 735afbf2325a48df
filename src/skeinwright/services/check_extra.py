"""What there is to mind before something unplanned is done in a pot: cautions, and what is never done together."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.lot.keep import steps_done
from skeinwright.core.lot.state import vessels_of
from skeinwright.core.safety.cautions import Caution, cautions_of
from skeinwright.core.safety.for_step import Load, for_steps
from skeinwright.core.shelf.items import Vessel
from skeinwright.services.get_lot import get_lot
from skeinwright.services.record_extra import RecordExtra
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio


@dataclass(frozen=True, slots=True)
class Mind:
    """`never` says why it must not be done; `warnings` what to look at. Recording it afterwards is never refused: the record says what happened."""

    cautions: tuple[Caution, ...]
    warnings: tuple[str, ...]
    never: tuple[str, ...]


def check_extra(studio: Studio, request: RecordExtra) -> Mind:
    """The cautions of this step after all that was done in the vessel so far (the first one, where none is named). Writes nothing."""
    view = get_lot(studio, request.lot)
    with studio.store.reading() as reading:
        shelf = shelf_for_lot(reading)
    vessel = request.vessel or vessels_of(view.lot)[0]
    before = [step for _, step in steps_done(view.lot, view.state, vessel)]
    kept = shelf.find(Vessel, vessel)
    load = Load(vessel, "not known" if kept is None else kept.material, sum(row.fibre_g for row in view.lot.rows if row.vessel == vessel))
    safeties, conflicts = for_steps([*before, Step(request.do, request.said)], shelf.jars, (load,))
    now = [conflict for conflict in conflicts if conflict.step == len(before)]
    keys = (*safeties[-1].cautions, *(key for _, key in safeties[-1].cautions_in))
    return Mind(
        cautions_of(keys, slip=True),
        tuple(conflict.sentence for conflict in now if conflict.level == "warned"),
        tuple(conflict.sentence for conflict in now if conflict.level == "refused"),
    )
