"""Lots as lines of a list; few queries, so that a long list stays quick."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import sqlalchemy as sa

from skeinwright.core.lot.lot import Entry, Lot
from skeinwright.core.lot.state import state_of
from skeinwright.store.facts import LotLine
from skeinwright.store.tables import entry, lot, lot_row

standing_now = sa.case((sa.and_(lot.c.unplanned, lot.c.status == "planned"), "under way"), else_=lot.c.status)
"""A pot that nobody planned is under way as soon as it is there; files of an earlier program have it as planned until its next entry."""


def lines(connection: sa.Connection, where: Sequence[sa.ColumnElement[bool]], *, status: str, limit: int, offset: int) -> list[LotLine]:
    """Lots that meet `where`, newest day first."""
    columns = [lot.c.id, lot.c.code, lot.c.day, lot.c.title, lot.c.colourway_name, standing_now.label("status"), lot.c.done]
    statement = sa.select(*columns).where(*where, *([standing_now == status] if status else []))
    found = connection.execute(statement.order_by(lot.c.day.desc(), lot.c.code.desc()).limit(limit).offset(offset)).mappings().all()
    ids = [row["id"] for row in found]
    bases, skeins = _goods(connection, ids)
    photos = _newest_photos(connection, ids)
    return [
        LotLine(
            code=row["code"],
            day=row["day"],
            title=row["title"],
            status=row["status"],
            skeins=skeins[row["id"]],
            bases=tuple(bases[row["id"]]),
            done=row["done"],
            colourway=row["colourway_name"],
            photo=photos.get(row["id"]),
        )
        for row in found
    ]


def _goods(connection: sa.Connection, ids: list[int]) -> tuple[dict[int, dict[str, None]], dict[int, int]]:
    bases: dict[int, dict[str, None]] = defaultdict(dict)
    skeins: dict[int, int] = defaultdict(int)
    for row in connection.execute(sa.select(lot_row).where(lot_row.c.lot.in_(ids)).order_by(lot_row.c.number)).mappings():
        bases[row["lot"]][row["base"]] = None
        skeins[row["lot"]] += row["skeins"]
    return bases, skeins


def standing(plan: Lot, entries: Sequence[Entry]) -> dict[str, object]:
    """The columns of a lot that repeat its state: its status, and the share of its doings (a step in a vessel) that are done or skipped."""
    state = state_of(plan, entries)
    done = sum(doing.how != "planned" for doing in state.doings.values())
    return {"status": state.status, "done": done / len(state.doings) if state.doings else 0.0}


def _newest_photos(connection: sa.Connection, ids: list[int]) -> dict[int, int]:
    newest = (
        sa.select(entry.c.lot, sa.func.max(entry.c.id).label("id")).where(entry.c.lot.in_(ids), entry.c.photo.is_not(None)).group_by(entry.c.lot).subquery()
    )
    found = connection.execute(sa.select(newest.c.lot, entry.c.photo).join(entry, entry.c.id == newest.c.id)).all()
    return {lot_id: int(photo) for lot_id, photo in found if photo is not None}
