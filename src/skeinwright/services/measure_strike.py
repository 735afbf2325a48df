"""A test of the dyer's own: how much faster a superwash base strikes than untreated wool, from two pieces in one bath. It goes to the base on the shelf."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.shelf.items import Base, Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.bath.calibrate import SuperwashPair


@dataclass(frozen=True, kw_only=True, slots=True)
class TestedPair:
    """As typed: the superwash base, and the share of its full depth that the untreated and the superwash piece had got at 60 C."""

    base: str
    untreated: str
    superwash: str


def measure_strike(studio: Studio, tested: TestedPair) -> tuple[Kept[Item], Change, SuperwashPair]:
    """The base with its strike against untreated wool, the change that can be taken back, and the factor with its spread.

    Value, spread and date are kept with the base. Raises BadInput with `where` the field, or NotFound for an unknown base.
    """
    from skeinwright.core.bath.calibrate import superwash_pair

    with studio.store.writing() as writing:
        habits = writing.settings().habits()
        typed = ((tested.untreated, "untreated"), (tested.superwash, "superwash"))
        shares = [parse("fraction", said, where=where, habits=habits).value for said, where in typed]
        found = superwash_pair(shares[0], shares[1])
        if found.speed.value < 1:
            raise BadInput("The superwash piece should be the deeper one; look again at which is which.", where="superwash")
        kept = writing.item("base", tested.base)
        assert isinstance(kept.thing, Base)
        now = studio.now()
        said = f"Own test on {now.date().isoformat()}: strikes {found.speed.value:.2g} times as fast as untreated wool at 60 C"
        line = f"{said} ({found.speed.low:.2g} to {found.speed.high:.2g})."
        thing = replace(kept.thing, strike_factor=round(found.speed.value, 2), notes=f"{kept.thing.notes}\n{line}".strip())
        return writing.replace_item("base", kept.id, thing, revision=kept.revision, now=now), writing.made[-1], found
