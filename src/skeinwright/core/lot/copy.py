"""A lot copied as new: the same plan under a fresh code, with an empty record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from skeinwright.core.lot.lot import Lot, ShelfFact


def copy_of(lot: Lot, code: str, day: date, shelf_now: Sequence[ShelfFact], *, key: str = "") -> Lot:
    """The same plan on another day; what is different on the shelf since is said in its warnings, as the amounts are not worked out anew."""
    now = {(fact.kind, fact.name): fact.said for fact in shelf_now}
    changed = [
        f"{fact.name} was '{fact.said}' and is now '{now[(fact.kind, fact.name)]}': look whether the amounts still hold."
        for fact in lot.shelf
        if (fact.kind, fact.name) in now and now[(fact.kind, fact.name)] != fact.said
    ]
    gone = [f"{fact.name} is no longer on the shelf." for fact in lot.shelf if (fact.kind, fact.name) not in now]
    grounds = [f"Row {row.number} was dyed over lot {row.over}: this copy needs a ground like it." for row in lot.rows if row.over]
    facts = tuple(ShelfFact(fact.kind, fact.name, now.get((fact.kind, fact.name), fact.said)) for fact in lot.shelf)
    warnings = tuple(dict.fromkeys([*lot.warnings, *changed, *gone, *grounds]))
    return replace(lot, code=code, day=day, copied_from=lot.code, warnings=warnings, shelf=facts, notes="", when_said="", key=key)
