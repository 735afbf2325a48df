"""A dye's ladder as the page shows it: what it rests on in words, and where its swatches stand on the strip."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.say import say
from skeinwright.core.shelf.items import Dye
from skeinwright.services.describe_dye import AT, DyeSpread, describe_dye
from skeinwright.services.draw_ladder import place_on_ladder
from skeinwright.services.studio import Studio
from skeinwright.web.rows import swatches_say

TICKS = (0.001, 0.002, 0.005, 0.01, 0.02, 0.04)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place along the strip, 0-100 % of its width, and what is written there. `fresh` is True for a swatch of the dyer's own."""

    place_pct: float
    says: str
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class Ladder:
    """Marks and sentences that go with the painted strip."""

    ticks: tuple[Mark, ...]
    swatches: tuple[Mark, ...]
    rests_on: str
    advice: str
    flags: tuple[str, ...]


def ladder_of(studio: Studio, dye: Dye, *, advise: bool = False) -> Ladder:
    """What stands round the strip of one dye."""
    spread = describe_dye(studio, dye, advise=advise)
    return Ladder(
        ticks=tuple(Mark(round(100 * place_on_ladder(depth), 2), say("fraction", depth).removesuffix("" if depth == TICKS[-1] else " %")) for depth in TICKS),
        swatches=tuple(Mark(round(100 * place_on_ladder(one.depth), 2), say("fraction", one.depth), True) for one in dye.swatches if one.depth > 0),
        rests_on=_rests_on(spread),
        advice=_advice(spread),
        flags=spread.flags,
    )


def _rests_on(spread: DyeSpread) -> str:
    words = swatches_say(spread.swatches)
    return words if spread.spread_de00 is None else f"{words}, likely within {spread.spread_de00:.1f} at {say('fraction', AT)}"


def _advice(spread: DyeSpread) -> str:
    if spread.more_at is None or spread.more_de00 is None:
        return ""
    return f"One more, at {say('fraction', spread.more_at)}, would bring it to about {spread.more_de00:.1f}."
