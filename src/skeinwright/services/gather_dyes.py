"""Gather what the shelf knows of dyes, bases and solutions, for matching, fades and the like."""

from __future__ import annotations

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.shelf.items import Base, Dye, Solution
from skeinwright.services.studio import Studio


def gather_dyes(studio: Studio) -> DyeFacts:
    """The shelf's dyes with their swatches, the undyed colour of each base that has one, and the solutions."""
    with studio.store.reading() as reading:
        dyes = [kept.thing for kept in reading.items("dye")]
        bases = [kept.thing for kept in reading.items("base")]
        solutions = [kept.thing for kept in reading.items("solution")]
    return DyeFacts(
        dyes=tuple(dye for dye in dyes if isinstance(dye, Dye)),
        undyed={base.name: base.undyed for base in bases if isinstance(base, Base) and base.undyed is not None},
        bases=tuple(base.name for base in bases),
        solutions=tuple(solution for solution in solutions if isinstance(solution, Solution)),
    )
