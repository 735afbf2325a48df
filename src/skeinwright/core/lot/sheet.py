"""What a lot sheet says: the plan in print, the record beside it, and blanks where nothing is recorded yet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot, Planned
from skeinwright.core.lot.open_powder import open_powder
from skeinwright.core.lot.said_doses import say_amount, sentence_in
from skeinwright.core.lot.slip import clock, row_said
from skeinwright.core.lot.state import Line, LotState, dose_key, state_of, vessels_of
from skeinwright.core.lot.wet_yarn import Weighed, vessel_of, weighed_wet
from skeinwright.core.safety.cautions import cautions_of

Said = dict[str, Any]
"""A piece of the record: `text`, `struck` where the line was struck through, and the `id` of its entry."""
_LOOSE = (Entered.NOTE, Entered.PH, Entered.TEMPERATURE, Entered.WET_WEIGHT, Entered.PHOTO, Entered.MARK, Entered.EXTRA, Entered.FINISH)


def sheet_of(lot: Lot, entries: Sequence[Entry]) -> dict[str, Any]:
    """The whole lot as plain data, as it stands after these entries; the printed sheet and the screen show the same.

    Pieces of the record carry the `id` of their entry, so that a screen can offer a correction.
    """
    state = state_of(lot, entries)
    vessels = vessels_of(lot)
    wet = weighed_wet(lot, state)
    return {
        "title": f"Lot sheet {lot.code}",
        "code": lot.code,
        "name": lot.title,
        "day": lot.when_said or lot.day.isoformat(),
        "status": state.status,
        "from": _from(lot),
        "vessels": [vessel or "any vessel" for vessel in vessels],
        "rows": [_row(lot, state, number) for number in range(len(lot.rows))],
        "steps": [_step(planned, lot, state, vessels) | {"corrected": _corrected(planned.number, wet, len(vessels) > 1)} for planned in lot.plan],
        "loose": [_loose(line, lot, state, wet) for line in state.lines if _what(line, state) in _LOOSE],
        "open_powder": open_powder(lot, state).sentence,
        "notes": lot.notes,
        "warnings": list(lot.warnings),
        "assumed": list(lot.assumed),
        "shelf": [f"{fact.name}: {fact.said}" for fact in lot.shelf if fact.said],
    }


def _from(lot: Lot) -> str:
    if lot.copied_from:
        return f"copied from lot {lot.copied_from}"
    if lot.old:
        return "from the notebook"
    return "unplanned" if lot.unplanned else "" if lot.colourway is None else f"colourway {lot.colourway.name}"


def _row(lot: Lot, state: LotState, place: int) -> dict[str, Any]:
    """One row with a cell for each skein: the weights as recorded, struck ones included."""
    row = lot.rows[place]
    cells: list[list[Said]] = [[] for _ in range(max(row.skeins, 1))]
    for line in state.lines:
        if _what(line, state) is Entered.WEIGHT and line.entry.row == row.number and line.entry.value is not None:
            skein = _skein(line, state)
            if not skein.isdigit() or not 1 <= int(skein) <= len(cells):
                skein = str(next((number for number, cell in enumerate(cells, start=1) if not cell), len(cells)))
            cells[int(skein) - 1].append(_said(f"{line.entry.value:g}", line))
    seen = state.marks.get(row.number)
    return row_said(row) | {"weights": cells, "seen": "" if seen is None else seen.text}


def _skein(line: Line, state: LotState) -> str:
    return _root(line.entry, state).about


def _root(entry: Entry, state: LotState) -> Entry:
    """The first entry of a chain of corrections."""
    by_id = {line.entry.id: line.entry for line in state.lines}
    while entry.what is Entered.CORRECTION and entry.replaces in by_id:
        entry = by_id[entry.replaces]
    return entry


def _what(line: Line, state: LotState) -> Entered:
    return _root(line.entry, state).what


def _said(text: str, line: Line) -> Said:
    return {"text": text, "struck": line.struck_by is not None, "id": line.entry.id}


def _step(planned: Planned, lot: Lot, state: LotState, vessels: Sequence[str]) -> dict[str, Any]:
    doings = [state.doing(planned.number, vessel) for vessel in vessels]
    several = len(vessels) > 1 and len({sentence_in(planned, vessel) for vessel in vessels}) > 1
    return {
        "start": clock(planned.start_min),
        "number": str(planned.number),
        "text": planned.step.do[:1].upper() + planned.step.do[1:] if several else sentence_in(planned, vessels[0]),
        "each": [sentence_in(planned, vessel) for vessel in vessels] if several else [],
        "ticks": [{"done": doing.how == "done", "skipped": doing.how == "skipped", "at": "" if doing.at is None else f"{doing.at:%H:%M}"} for doing in doings],
        "instead": [_instead(entry, planned, vessel) for vessel in vessels for entry in state.doing(planned.number, vessel).instead],
        "record": [_recorded(line, state, len(vessels) > 1) for line in state.lines if _is_of(line, planned.number, state)],
        "notes": list(planned.notes),
        "cautions": [caution.head for caution in cautions_of((*planned.cautions, *(key for _, key in planned.cautions_in)), slip=True)],
    }


def _corrected(step: int, wet: Mapping[str, Weighed | str], several: bool) -> list[str]:
    """What the weighed wet yarn does to the water of this step."""
    mine = [(vessel, each) for vessel, each in wet.items() if isinstance(each, Weighed) and step in each.water_ml]
    return [f"{vessel}: {each.said}" if several else each.said for vessel, each in mine]


def _instead(entry: Entry, planned: Planned, vessel: str) -> Said:
    """A planned value struck through, and what took its place."""
    dose = next((dose for dose in planned.doses if dose.vessel == vessel and dose_key(dose) == entry.about), None)
    if dose is not None:
        return {"vessel": vessel, "planned": _named(dose), "taken": " and ".join(_named(one) for one in entry.doses), "id": entry.id}
    taken = f"{entry.value:g} {entry.unit}".strip() if entry.value is not None else entry.text
    return {"vessel": vessel, "planned": planned.step.get(entry.about), "taken": taken, "id": entry.id}


def _named(dose: Dose) -> str:
    return f"{say_amount(dose.amount, dose.unit)} {dose.name}"


def _is_of(line: Line, step: int, state: LotState) -> bool:
    """Entries of a step that ticks and deviations do not show: struck ones and skips."""
    root = _root(line.entry, state)
    if root.step != step or root.what in _LOOSE:
        return False
    return line.struck_by is not None or root.what is Entered.SKIP


def _recorded(line: Line, state: LotState, several: bool) -> Said:
    entry, root = line.entry, _root(line.entry, state)
    where = f"{root.vessel}: " if several and root.vessel else ""
    if root.what is Entered.TICK:
        text = f"done {entry.at:%H:%M}"
    elif root.what is Entered.SKIP:
        text = f"left out {entry.at:%H:%M} {entry.text}".strip()
    elif entry.doses:
        text = " and ".join(_named(dose) for dose in entry.doses)
    elif entry.value is not None:
        text = f"{root.about} {entry.value:g} {entry.unit}".strip()
    else:
        text = f"{root.about} {entry.text}".strip()
    return _said(where + text, line)


def _loose(line: Line, lot: Lot, state: LotState, wet: Mapping[str, Weighed | str]) -> dict[str, Any]:
    """A line of the day's record that belongs to no step."""
    entry, root = line.entry, _root(line.entry, state)
    where = " ".join(
        part for part in (root.vessel, f"step {root.step}" if root.step is not None else "", f"row {root.row}" if root.row is not None else "") if part
    )
    value = "" if entry.value is None else f"pH {entry.value:g}" if root.what is Entered.PH else f"{entry.value:g} {entry.unit}".strip()
    if root.what is Entered.EXTRA:
        several = ", ".join(_named(dose) for dose in entry.doses)
        text = f"{entry.text} ({several})" if len(entry.doses) > 1 or entry.what is Entered.CORRECTION else entry.text
    elif root.what is Entered.WET_WEIGHT:
        text = _wet(line, lot, wet)
    elif root.what is Entered.PHOTO:
        text = f"photo {entry.photo if entry.photo is not None else root.photo} {entry.text}".strip()
    elif root.what is Entered.FINISH:
        text = "finished"
    elif root.what is Entered.MARK:
        text = f"mark seen: {entry.text}"
    else:
        text = " ".join(part for part in (value, entry.text) if part)
    return _said(text, line) | {"at": f"{entry.at:%H:%M}", "where": where}


def _wet(line: Line, lot: Lot, wet: Mapping[str, Weighed | str]) -> str:
    """A wet weight, and what it comes to while it is what counts."""
    alone = f"wet weight {say('mass', line.entry.value or 0.0, digits=4)}"
    if line.stands is None:
        return alone
    each = wet.get(vessel_of(lot, line.stands))
    if isinstance(each, Weighed):
        return each.said if each.wet_g == line.stands.value else f"{alone}; {each.said}"
    return alone if each is None else f"{alone}. {each}"
