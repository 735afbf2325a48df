"""Enter lots from an old notebook, many at once, with half of their facts missing."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.lot.lot import Entered, Lot, Row
from skeinwright.core.lot.record import entry_of
from skeinwright.services.append_entry import OpenRecord, append_entry
from skeinwright.services.find_started import find_started
from skeinwright.services.studio import Studio

_SEASONS = {"spring": 3, "summer": 6, "autumn": 9, "fall": 9, "winter": 12}
_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december")


@dataclass(frozen=True, kw_only=True, slots=True)
class OldLot:
    """One lot of the notebook. Only `when` ("2019", "March 2021", "spring 2020", "2021-03-14") and `title` are needed; `photo` is the page."""

    when: str
    title: str
    base: str = ""
    skeins: int = 0
    skein_g: float = 0.0
    colourway: str = ""
    notes: str = ""
    photo: int | None = None


def enter_old_lots(studio: Studio, lots: tuple[OldLot, ...], *, key: str = "") -> tuple[Lot, ...]:
    """Keep all of them or, where one cannot be read, none: ManyBadInputs names each line that is wrong.

    `key` as in `find_started`; the lots of one request are told apart by their number: "key", "key/2", "key/3".
    """
    days = _days(lots, today=studio.now().date())
    now = studio.now()
    added: list[Lot] = []
    with studio.store.writing() as writing:
        if first := find_started(writing, key):
            return first
        for old, day in zip(lots, days, strict=True):
            named = [
                kept.thing for kept in writing.colourways(archived=True) if old.colourway and kept.thing.name.casefold() == old.colourway.strip().casefold()
            ]
            lot = Lot(
                code=writing.free_lot_code(day),
                day=day,
                title=old.title.strip(),
                colourway=named[0] if named else None,
                rows=(Row(number=1, base=old.base.strip(), skeins=old.skeins, skein_g=old.skein_g, vessel=""),) if old.base.strip() or old.skeins else (),
                plan=(),
                old=True,
                notes=old.notes,
                when_said=old.when.strip(),
                key=key if not (key and added) else f"{key}/{len(added) + 1}",
            )
            added.append(writing.add_lot(lot))
            if old.photo is not None:
                append_entry(OpenRecord(writing, lot), entry_of(lot, Entered.PHOTO, now, photo=old.photo, text="Page of the notebook"))
    return tuple(added)


def _days(lots: tuple[OldLot, ...], *, today: date) -> list[date]:
    days: list[date] = []
    problems: list[BadInput] = []
    for line, old in enumerate(lots, start=1):
        try:
            if not old.title.strip():
                raise BadInput("Give it a title: a colour, a name, a customer.", where=f"line {line}: title")
            if old.skeins < 0 or old.skein_g < 0:
                raise BadInput("Skeins and grams are zero (not known) or more.", where=f"line {line}: skeins")
            days.append(first_day(old.when, today=today, where=f"line {line}: when"))
        except BadInput as problem:
            problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return days


def first_day(said: str, *, today: date, where: str = "when") -> date:
    """The first day that "2019", "2019-05", "May 2019", "spring 2019" or "2019-05-14" can mean; spring begins in March. Not after `today`."""
    text = said.strip().casefold()
    try:
        found = _read_day(text)
    except ValueError:
        raise BadInput(f"'{said}' names a day that does not exist.", where=where, text=said) from None
    if found is None:
        if not text:
            raise BadInput("Say when it was; a year is enough: 2019, May 2019, spring 2019 or 2019-05-14.", where=where, text=said)
        raise BadInput(f"'{said}' is not a day, month, season or year; write for example 2019, May 2019 or 2019-05-14.", where=where, text=said)
    if found > today:
        raise BadInput(f"'{said}' is still to come.", where=where, text=said)
    return found


def _read_day(text: str) -> date | None:
    if whole := re.fullmatch(r"(\d{4})(?:-(\d{1,2})(?:-(\d{1,2}))?)?", text):
        return date(int(whole[1]), int(whole[2] or 1), int(whole[3] or 1))
    if named := re.fullmatch(r"(\d{1,2}\s+)?([a-z]+)\s+(\d{4})", text):
        months = [number for number, month in enumerate(_MONTHS, start=1) if len(named[2]) >= 3 and month.startswith(named[2])]
        month = _SEASONS.get(named[2]) or (months[0] if months else None)
        return None if month is None else date(int(named[3]), month, int(named[1] or 1))
    return None
