"""What a lot took from the shelf: the amounts in use now, and the use events that one more entry gives rise to.

An event is the difference that an entry makes: used(with it) - used(without it). So a tick books the planned amounts, a deviation books the rest or gives some
back, an untick or a correction gives back what was booked, and all events of a lot always add up to what was really taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

from skeinwright.core.lot.lot import Entry, Lot, Use
from skeinwright.core.lot.state import state_of

Thing = tuple[str, str, str]
"""(kind, name, unit)."""

TINY = 1e-9
"""Grams or millilitres below which a difference is rounding and books nothing."""


def used(lot: Lot, entries: Sequence[Entry]) -> dict[Thing, float]:
    """What was taken, by (kind, name, unit): the actual doses of every step done, and those of every extra."""
    state = state_of(lot, entries)
    total: dict[Thing, float] = {}
    for dose in chain(*(doing.actual for doing in state.doings.values()), *(extra.doses for extra in state.extras)):
        thing = (dose.kind, dose.name, dose.unit)
        total[thing] = total.get(thing, 0.0) + dose.amount
    return total


def uses_of(lot: Lot, before: Sequence[Entry], entry: Entry) -> tuple[Use, ...]:
    """The events of `entry` after `before`: positive where it took, negative where it gave back."""
    was, now = used(lot, before), used(lot, [*before, entry])
    changes = {thing: now.get(thing, 0.0) - was.get(thing, 0.0) for thing in sorted({*was, *now})}
    return tuple(
        Use(entry=entry.id, lot=lot.code, kind=kind, name=name, amount=amount, unit=unit)
        for (kind, name, unit), amount in changes.items()
        if abs(amount) > TINY
    )
