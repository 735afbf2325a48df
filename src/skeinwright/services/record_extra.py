"""Record something that was not in the plan, or a step of an unplanned pot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import read_step, sentence
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import FibreMass
from skeinwright.core.lot.liquor import with_liquor_after
from skeinwright.core.lot.lot import Entered, Entry, Lot
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.record import entry_of
from skeinwright.core.lot.scaling import Pot, Taken, taken_by
from skeinwright.core.lot.state import state_of, vessels_of
from skeinwright.core.shelf.items import Base, Vessel
from skeinwright.services.append_entry import OpenRecord, append_entry, open_record, written_by
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class RecordExtra:
    """A step word and its values as typed ("add dye", {"dye": "Ember", "amount": "5 ml"}), for one vessel (the only one, where none is named).

    `key` as in `append_entry`.
    """

    lot: str
    do: str
    said: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    vessel: str = ""
    minutes_ago: float = 0
    key: str = ""


def record_extra(studio: Studio, request: RecordExtra) -> Entry:
    """Add it with what it took from the shelf. Amounts are as they went in, for this vessel; they are not scaled."""
    step = Step(request.do, MappingProxyType({key: value for key, value in request.said.items() if value.strip()}))
    now = studio.now()
    with studio.store.writing() as writing:
        record = open_record(writing, request.lot)
        if first := written_by(record, request.key):
            return first[0]
        shelf = shelf_for_lot(writing)
        read_step(step, habits=shelf.habits)
        pot = _pot(record.lot, request.vessel, shelf)
        before = _before(record, pot.vessel)
        taken = with_liquor_after([one for one, _ in before], [one for _, one in before], step, taken_by(step, pot, shelf), pot, shelf)
        entry = entry_of(
            record.lot,
            Entered.EXTRA,
            now,
            minutes_ago=request.minutes_ago,
            vessel=pot.vessel,
            about=step.do,
            text=sentence(step),
            said=tuple(step.said.items()),
            doses=taken.doses,
        )
        return append_entry(record, entry, key=request.key)


def _before(record: OpenRecord, vessel: str) -> list[tuple[Step, Taken]]:
    """What was done in the vessel so far, in order, with what went in: the plan's steps that are ticked, and the extras."""
    lot, state = record.lot, state_of(record.lot, record.entries)
    found = []
    for planned in lot.plan:
        doing = state.doing(planned.number, vessel)
        if doing.how == "done" and doing.at is not None:
            found.append((doing.at, planned.step, Taken(doing.actual)))
    found += [(one.at, Step(one.about or "note", MappingProxyType(dict(one.said))), Taken(one.doses)) for one in state.extras if one.vessel in ("", vessel)]
    return [(step, taken) for _, step, taken in sorted(found, key=lambda one: one[0])]


def _pot(lot: Lot, vessel: str, shelf: OnShelf) -> Pot:
    """The vessel with its fibre at scale 1, so that amounts stay as said."""
    vessels = vessels_of(lot)
    if not vessel and len(vessels) > 1:
        raise BadInput(f"Say which vessel: {', '.join(vessels)}.", where="vessel")
    chosen = vessel or vessels[0]
    rows = [row for row in lot.rows if row.vessel == chosen]
    fibre_g, skeins = sum(row.fibre_g for row in rows), sum(row.skeins for row in rows)
    known = fibre_g > 0
    bases = [(row, shelf.find(Base, row.base)) for row in rows]
    fibres = tuple((name, share * row.fibre_g) for row, base in bases if base is not None for name, share in base.fibres) if known else ()
    total_g = fibre_g if known else 1.0
    thing, written = shelf.find(Vessel, chosen), FibreMass(total_g, None, None, "")
    return Pot(vessel=chosen, fibre_g=total_g, skeins=skeins, written=written, thing=thing, fibre_known=known, fibres=fibres)
