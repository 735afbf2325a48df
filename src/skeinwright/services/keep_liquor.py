"""Keep what is left in a lot's pot as leftover liquor on the shelf."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Item, Leftover
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.estimate_liquor import estimate_liquor
from skeinwright.services.studio import Studio

LEAST_G = 0.0005
"""Less than half a milligram of a dye is not written down."""


@dataclass(frozen=True, kw_only=True, slots=True)
class KeepLiquor:
    """Which lot and pot, and what the bottle is called ("": after the lot)."""

    lot: str
    vessel: str = ""
    name: str = ""


def keep_liquor(studio: Studio, wanted: KeepLiquor) -> tuple[Kept[Item], Change]:
    """The liquor on the shelf with its estimated volume, dye and pH, and the change that can be taken back.

    Raises NotFound, BadInput where it cannot be estimated, or Conflict where the name is taken.
    """
    pots = {one.vessel: one for one in estimate_liquor(studio, wanted.lot)}
    left = pots.get(wanted.vessel, next(iter(pots.values())) if len(pots) == 1 and not wanted.vessel else None)
    if left is None:
        raise BadInput(f"Lot {wanted.lot} has no pot '{wanted.vessel}'.", where="vessel", text=wanted.vessel)
    if left.volume_ml is None or left.ph is None or left.volume_ml.value <= 0:
        raise BadInput(f"What is left in {left.vessel or 'the pot'} cannot be told. {left.why}".strip(), where="vessel")
    code = wanted.lot.strip().upper()
    now = studio.now()
    dyes = tuple((name, round(one.value, 3)) for name, one in left.dyes_g.items() if one.value >= LEAST_G)
    thing = Leftover(
        name=wanted.name.strip() or name_for(code, left.vessel, len(pots)),
        volume_ml=round(left.volume_ml.value, -1),
        dyes_g=dyes,
        ph=round(left.ph.value, 1),
        kept_on=now.date(),
        from_lot=code,
        notes="Estimated from the run, not measured: "
        + "; ".join(f"{name} {one.low:.2g} to {one.high:.2g} g" for name, one in left.dyes_g.items() if one.high >= LEAST_G),
    )
    with studio.store.writing() as writing:
        return writing.add_item(thing, now=now), writing.made[-1]


def name_for(code: str, vessel: str, pots: int) -> str:
    """What a bottle is called where nothing is said."""
    return f"Rest of {code}, {vessel}" if pots > 1 and vessel else f"Rest of {code}"
