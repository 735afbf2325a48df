"""Record that a step was done with another number than planned."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import with_unit
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot
from skeinwright.core.lot.record import entry_of, instead_of_dose
from skeinwright.core.lot.state import dose_key
from skeinwright.services.append_entry import append_entry, open_record, written_by
from skeinwright.services.studio import Studio

_SLOT_KINDS = {"time": ("time", 60.0, "min"), "to": ("temperature", 1.0, "C"), "rate": ("rate", 1.0, "C/min")}


@dataclass(frozen=True, kw_only=True, slots=True)
class RecordInstead:
    """`about` is the planned dose ("dye Kelp") or a slot of the step ("time", "to"); `said` the number as typed, with its unit ("14 ml", "92 C").

    A bare number is read in the unit that was planned. `key` as in `append_entry`.
    """

    lot: str
    step: int
    about: str
    said: str
    vessel: str = ""
    minutes_ago: float = 0
    key: str = ""


def record_instead(studio: Studio, request: RecordInstead) -> Entry:
    """Add the deviation; the plan stays as it was and is shown struck through. The step counts as done."""
    now = studio.now()
    with studio.store.writing() as writing:
        record = open_record(writing, request.lot)
        if first := written_by(record, request.key):
            return first[0]
        habits = writing.settings().habits()
        dose = _dose(record.lot, request)
        if dose is not None:
            kind = "volume" if dose.unit == "ml" else "mass"
            amount = parse(kind, _with_unit(request.said, dose.unit), where=request.about, habits=habits).value
            entry = instead_of_dose(
                record.lot, request.step, request.vessel, request.about, amount, dose.unit, now, minutes_ago=request.minutes_ago, said=request.said.strip()
            )
        else:
            value, unit = None, ""
            if request.about in _SLOT_KINDS:
                kind, size, unit = _SLOT_KINDS[request.about]
                value = parse(kind, _with_unit(request.said, unit), where=request.about, habits=habits).value / size
            entry = entry_of(
                record.lot,
                Entered.INSTEAD,
                now,
                minutes_ago=request.minutes_ago,
                step=request.step,
                vessel=request.vessel,
                about=request.about,
                value=value,
                unit=unit,
                text=request.said.strip(),
            )
        return append_entry(record, entry, key=request.key)


def _dose(lot: Lot, request: RecordInstead) -> Dose | None:
    for planned in lot.plan:
        if planned.number == request.step:
            return next((dose for dose in planned.doses if dose.vessel == request.vessel and dose_key(dose) == request.about), None)
    return None


def _with_unit(said: str, unit: str) -> str:
    if not said.strip():
        raise BadInput("Say the number.", where="said")
    return with_unit(said, unit)
