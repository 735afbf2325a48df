"""A lot as it would be, before it is started."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound, SkeinwrightError
from skeinwright.core.foundations.quantities import parse_fibre
from skeinwright.core.lot.lot import Lot, Row
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.plan import Draft, draft_of, with_own
from skeinwright.core.lot.sketch import SOME_POT
from skeinwright.core.shelf.items import Base, Vessel
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.store import Reading


@dataclass(frozen=True, kw_only=True, slots=True)
class RowWanted:
    """So many skeins of a base in a vessel. `skein_g` None: the base's put-up. `mark` is the wet identity, `over` the code of the lot that is dyed over."""

    base: str
    skeins: int
    vessel: str = ""
    skein_g: float | None = None
    mark: str = ""
    over: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class StartLot:
    """Which colourway (name or number) on which rows; without `rows`, the colourway's own fibre on its own base in its own vessel.

    `key` as in `find_started`: the same request sent again starts nothing.
    """

    colourway: str | int
    rows: tuple[RowWanted, ...] = ()
    day: date | None = None
    title: str = ""
    notes: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class LotDraft:
    """A lot as it would be, with what is refused; nothing is written."""

    lot: Lot
    refused: tuple[str, ...]


def draft_lot(studio: Studio, request: StartLot) -> LotDraft:
    """The lot as `start_lot` would keep it, refused or not.

    Raises BadInput, NotFound or ManyBadInputs where a row cannot be; `where` is then its number and its column, as "row 2, base".
    """
    with studio.store.reading() as reading:
        return draft_with(reading, studio, request)


def draft_with(reading: Reading, studio: Studio, request: StartLot) -> LotDraft:
    """The same inside a transaction that is open already."""
    colourway = reading.colourway(request.colourway).thing
    shelf = with_own(colourway, shelf_for_lot(reading, colourway.water))
    _check(reading, request.rows, shelf)
    rows = _rows(request.rows, colourway, shelf)
    for row in rows:
        if row.over:
            reading.lot(row.over)
    day = request.day or studio.now().date()
    draft: Draft = draft_of(colourway, rows, shelf, today=day)
    shared: tuple[str, ...] = ()
    if len({row.base for row in rows}) > 1:
        from skeinwright.core.lot.shared_pots import shared_pots

        shared = shared_pots(draft.plan, rows, shelf, altitude_m=reading.settings().altitude_m, seed=studio.seed)
    lot = Lot(
        code=reading.free_lot_code(day),
        day=day,
        title=request.title.strip() or colourway.name,
        colourway=colourway,
        rows=rows,
        plan=draft.plan,
        notes=request.notes,
        assumed=draft.assumed,
        warnings=(*_not_on_the_shelf(rows, shelf), *draft.warnings, *shared),
        shelf=draft.shelf,
        key=request.key,
    )
    return LotDraft(lot, draft.refused)


def _check(reading: Reading, wanted: Sequence[RowWanted], shelf: OnShelf) -> None:
    """Raises for all rows at once what is wrong with each."""
    problems: list[SkeinwrightError] = []
    for number, row in enumerate(wanted, start=1):
        if row.skein_g is None and shelf.find(Base, row.base) is None:
            problems.append(BadInput(_no_skein(row.base, shelf), where=f"row {number}, base"))
        if over := row.over.strip():
            try:
                reading.lot(over)
            except NotFound as error:
                problems.append(NotFound(error.sentence, where=f"row {number}, over"))
    if problems:
        raise problems[0] if len(problems) == 1 else ManyBadInputs(tuple(BadInput(one.sentence, where=one.where) for one in problems))


def _no_skein(name: str, shelf: OnShelf) -> str:
    if not name.strip():
        return "Say which base it is."
    return f"'{name}' is not on the shelf.{_near(name, shelf, Base)} If it is meant, say what a skein of it weighs."


def _near(name: str, shelf: OnShelf, kind: type[Base] | type[Vessel]) -> str:
    """A question that names the thing of the shelf which was probably meant, or nothing."""
    known = {one.casefold(): one for one in shelf.all_of(kind)}
    near = difflib.get_close_matches(name.casefold(), known, n=1)
    return f" Did you mean '{known[near[0]]}'?" if near else ""


def _not_on_the_shelf(rows: Sequence[Row], shelf: OnShelf) -> tuple[str, ...]:
    """What is said of a base or a vessel that nobody knows: a slip of the pen, most often."""
    bases = _unknown((row.base for row in rows), shelf, Base)
    vessels = _unknown((row.vessel for row in rows if row.vessel != SOME_POT), shelf, Vessel)
    return (
        *(f"{name} is not on the shelf: what it is made of is not known.{_near(name, shelf, Base)}" for name in bases),
        *(f"{name} is not on the shelf: whether it holds the bath is not known.{_near(name, shelf, Vessel)}" for name in vessels),
    )


def _unknown(names: Iterable[str], shelf: OnShelf, kind: type[Base] | type[Vessel]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for name in names if name and shelf.find(kind, name) is None))


def _rows(wanted: Sequence[RowWanted], colourway: Colourway, shelf: OnShelf) -> tuple[Row, ...]:
    chosen = tuple(wanted) or (_row_as_written(colourway, shelf),)
    return tuple(
        Row(
            number=number,
            base=row.base,
            skeins=row.skeins,
            skein_g=_skein_g(row, shelf),
            vessel=row.vessel.strip() or colourway.vessel or (SOME_POT if colourway.own_vessel is None else colourway.own_vessel.name),
            mark=row.mark.strip(),
            over=row.over.strip() or colourway.over,
        )
        for number, row in enumerate(chosen, start=1)
    )


def _row_as_written(colourway: Colourway, shelf: OnShelf) -> RowWanted:
    """The colourway's own fibre: "2 skeins of 115 g", or one skein of all of it."""
    base = colourway.bases[0] if colourway.bases else colourway.own_base.name if colourway.own_base is not None else ""
    known = shelf.find(Base, base)
    fibre = parse_fibre(colourway.fibre, skein_g=None if known is None else known.skein_g, where="fibre", habits=shelf.habits)
    return RowWanted(base=base, skeins=fibre.skeins or 1, skein_g=fibre.skein_g or fibre.total_g)


def _skein_g(row: RowWanted, shelf: OnShelf) -> float:
    if row.skein_g is not None:
        return row.skein_g
    base = shelf.find(Base, row.base)
    assert base is not None  # `_check` has said so otherwise
    return base.skein_g
