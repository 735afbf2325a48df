"""Making entries, and what may be entered: nothing is overwritten, and an entry that cannot be right is refused with a sentence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot
from skeinwright.core.lot.state import WITHDRAWN, dose_key, lines_of, state_of, vessels_of

MOST_MINUTES_AGO = 7 * 24 * 60
_STEP_ENTRIES = (Entered.TICK, Entered.UNTICK, Entered.INSTEAD, Entered.SKIP)
_RANGES: dict[Entered, tuple[float, float, str]] = {
    Entered.WEIGHT: (0.1, 10_000.0, "a skein's weight in grams"),
    Entered.WET_WEIGHT: (0.1, 100_000.0, "a wet weight in grams"),
    Entered.PH: (0.0, 14.0, "a pH"),
    Entered.TEMPERATURE: (-30.0, 250.0, "a temperature in C"),
}


def ago(now: datetime, minutes: float) -> datetime:
    """`minutes` before `now`: at = now - minutes. BadInput for the future or for more than a week."""
    if not 0 <= minutes <= MOST_MINUTES_AGO:
        raise BadInput("Say how many minutes ago it was, from 0 to a week; for an older day enter it as an old lot.", where="minutes ago")
    return now - timedelta(minutes=minutes)


def entry_of(
    lot: Lot,
    what: Entered,
    now: datetime,
    *,
    minutes_ago: float = 0,
    step: int | None = None,
    vessel: str = "",
    row: int | None = None,
    about: str = "",
    value: float | None = None,
    unit: str = "",
    text: str = "",
    photo: int | None = None,
    said: tuple[tuple[str, str], ...] = (),
    doses: tuple[Dose, ...] = (),
) -> Entry:
    """A new entry that happened `minutes_ago` and is written down `now`."""
    return Entry(
        lot=lot.code,
        what=what,
        at=ago(now, minutes_ago),
        entered_at=now,
        step=step,
        vessel=vessel,
        row=row,
        about=about,
        value=value,
        unit=unit,
        text=text,
        photo=photo,
        said=said,
        doses=doses,
    )


def instead_of_dose(lot: Lot, step: int, vessel: str, key: str, amount: float, unit: str, now: datetime, *, minutes_ago: float = 0, said: str = "") -> Entry:
    """A planned dose that was taken in another amount; `key` is its `dose_key`, `unit` g or ml as it was planned."""
    planned = _planned_dose(lot, step, vessel, key)
    if planned.unit != unit:
        raise BadInput(f"{planned.name} is planned in {planned.unit}; say how many {planned.unit} went in.", where=key)
    taken = replace(planned, amount=amount, said=said or f"{amount:g} {unit}")
    return entry_of(lot, Entered.INSTEAD, now, minutes_ago=minutes_ago, step=step, vessel=vessel, about=key, value=amount, unit=unit, doses=(taken,))


def correction_of(
    lot: Lot,
    entries: Sequence[Entry],
    replaces: int,
    now: datetime,
    *,
    value: float | None = None,
    unit: str = "",
    text: str = "",
    at: datetime | None = None,
    photo: int | None = None,
) -> Entry:
    """A correction of an entry that stands: new value, unit and text; the time stays unless `at` is given. Amounts keep their things and take the new value."""
    old = _standing(entries, replaces)
    doses = old.doses
    if doses and value is not None:
        if len(doses) > 1:
            raise BadInput("This line took several things at once; withdraw it and enter what went in.", where="correction")
        doses = (replace(doses[0], amount=value, said=f"{value:g} {doses[0].unit}"),)
    return Entry(
        lot=lot.code,
        what=Entered.CORRECTION,
        at=at or old.at,
        entered_at=now,
        step=old.step,
        vessel=old.vessel,
        row=old.row,
        value=value if value is not None else old.value,
        unit=unit or old.unit,
        text=text or old.text,
        photo=photo,
        replaces=replaces,
        doses=doses,
    )


def withdrawal_of(lot: Lot, entries: Sequence[Entry], replaces: int, now: datetime, *, text: str = "") -> Entry:
    """The entry that strikes another through and puts nothing in its place; `text` may say why. For a tick, a skip or a finish it is an untick."""
    old = _standing(entries, replaces)
    if old.what in (Entered.TICK, Entered.SKIP, Entered.FINISH):
        return Entry(lot=lot.code, what=Entered.UNTICK, at=now, entered_at=now, step=old.step, vessel=old.vessel, text=text, replaces=replaces)
    return Entry(
        lot=lot.code,
        what=Entered.CORRECTION,
        at=now,
        entered_at=now,
        step=old.step,
        vessel=old.vessel,
        row=old.row,
        about=WITHDRAWN,
        text=text,
        replaces=replaces,
    )


def check(lot: Lot, entries: Sequence[Entry], entry: Entry) -> None:
    """Raise BadInput (or Conflict, where somebody else was quicker) if `entry` cannot be added to the record of `lot`."""
    if entry.lot != lot.code:
        raise BadInput(f"The entry is for lot {entry.lot}, not {lot.code}.", where="lot")
    if entry.vessel and entry.vessel not in vessels_of(lot):
        raise BadInput(f"'{entry.vessel}' is not a vessel of lot {lot.code}; its vessels are {', '.join(vessels_of(lot))}.", where="vessel")
    if entry.row is not None and entry.row not in {row.number for row in lot.rows}:
        raise BadInput(f"Lot {lot.code} has no row {entry.row}.", where="row")
    if entry.key and any(other.key == entry.key for other in entries):
        raise Conflict("This was written down already.")
    _check_value(entry)
    if entry.what is Entered.CORRECTION:
        if entry.replaces is None:
            raise BadInput("A correction names the entry that it replaces.", where="correction")
        old = _standing(entries, entry.replaces)
        if entry.about != WITHDRAWN:
            _check_value(replace(entry, what=old.what))
        elif old.what in (Entered.TICK, Entered.SKIP, Entered.FINISH):
            raise BadInput("A tick, a skip or a finish is taken back by an undo.", where="correction")
    elif entry.what is Entered.UNTICK and entry.step is None:
        if state_of(lot, entries).finished_at is None:
            raise Conflict(f"Lot {lot.code} is not finished: there is nothing to reopen.")
    elif entry.what in _STEP_ENTRIES:
        _check_step(lot, entries, entry)
    if entry.what in (Entered.NOTE,) and not entry.text.strip():
        raise BadInput("The note is empty.", where="note")
    if entry.what is Entered.PHOTO and entry.photo is None:
        raise BadInput("The entry names no photo.", where="photo")
    if entry.what is Entered.FINISH and state_of(lot, entries).finished_at is not None:
        raise Conflict(f"Lot {lot.code} is already finished.")


def _check_value(entry: Entry) -> None:
    if entry.value is not None and not math.isfinite(entry.value):
        raise BadInput("The number is not a number.", where="value")
    if any(dose.amount < 0 or not math.isfinite(dose.amount) for dose in entry.doses):
        raise BadInput("An amount is zero or more.", where="amount")
    if entry.what in _RANGES:
        low, high, name = _RANGES[entry.what]
        if entry.value is None or not low <= entry.value <= high:
            raise BadInput(f"Give {name} from {low:g} to {high:g}.", where=entry.what.value)


def _check_step(lot: Lot, entries: Sequence[Entry], entry: Entry) -> None:
    if entry.step not in {planned.number for planned in lot.plan}:
        raise BadInput(f"Lot {lot.code} has no step {entry.step}.", where="step")
    if entry.vessel not in vessels_of(lot):
        raise BadInput(f"Say which vessel: {', '.join(vessels_of(lot))}.", where="vessel")
    state = state_of(lot, entries)
    doing = state.doing(entry.step, entry.vessel)
    if state.finished_at is not None:
        raise Conflict(f"Lot {lot.code} is finished; withdraw the finish before you change its steps.")
    if entry.what is Entered.TICK and doing.ticked:
        raise Conflict(f"Step {entry.step} is already ticked in {entry.vessel or 'this lot'}.")
    if entry.what is Entered.SKIP and doing.how != "planned":
        raise Conflict(f"Step {entry.step} is already {doing.how} in {entry.vessel or 'this lot'}; undo it first.")
    if entry.what is Entered.UNTICK and doing.how == "planned":
        raise Conflict(f"Step {entry.step} is not ticked in {entry.vessel or 'this lot'}: there is nothing to undo.")
    if entry.what is Entered.INSTEAD and doing.how == "skipped":
        raise Conflict(f"Step {entry.step} was skipped in {entry.vessel or 'this lot'}; undo that first.")
    if entry.what is Entered.TICK and doing.how == "skipped":
        raise Conflict(f"Step {entry.step} was skipped in {entry.vessel or 'this lot'}; undo that first.")
    if entry.what is Entered.INSTEAD:
        _check_about(lot, entry)


def _check_about(lot: Lot, entry: Entry) -> None:
    planned = next(step for step in lot.plan if step.number == entry.step)
    keys = {dose_key(dose) for dose in planned.doses if dose.vessel == entry.vessel}
    if entry.about not in keys | set(planned.step.said):
        raise BadInput(f"Step {entry.step} has nothing called '{entry.about}'; enter it as an extra.", where="about")
    if entry.about in keys and not entry.doses:
        raise BadInput("Say how much went in.", where=entry.about)


def _planned_dose(lot: Lot, step: int, vessel: str, key: str) -> Dose:
    for planned in lot.plan:
        for dose in planned.doses:
            if planned.number == step and dose.vessel == vessel and dose_key(dose) == key:
                return dose
    raise BadInput(f"Step {step} has no '{key}' in {vessel or 'this lot'}; enter it as an extra.", where="about")


def _standing(entries: Sequence[Entry], number: int) -> Entry:
    for line in lines_of(entries):
        if line.entry.id == number:
            if line.stands is None:
                raise Conflict("That line is already struck through; correct the newer one.")
            return line.stands
    raise BadInput(f"There is no entry {number} in this lot.", where="correction")
