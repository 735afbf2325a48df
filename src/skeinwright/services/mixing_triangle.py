"""A mixing triangle: every mixture of three dyes at chosen depths, from the dyer's own swatches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.foundations.say import say
from skeinwright.services._dosing import liquor_scale
from skeinwright.services.reach_of_shelf import Chip, chips_of

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.items import Base

MOST_STEPS = 20


def mixing_triangle(
    facts: DyeFacts, names: Sequence[str], depths: Sequence[float], ground: Ground, *, steps: int = 6, liquor: str = "", yarn: Base | None = None
) -> tuple[tuple[Chip, ...], ...]:
    """Rows of chips, the first dye's corner alone in the first row, the other two at the ends of the last.

    `depths` (fractions) are those of the three corners; a chip has of each dye its share of the corner's depth. They stay as they are in a bath of another
    liquor ratio (`liquor`, "60:1", on `yarn`): the colours are then those of that bath. Raises BadInput.
    """
    import numpy as np

    from skeinwright.core.colour.reach import triangle_shares
    from skeinwright.core.forecast.liquor_scale import counted_in

    if len(names) != 3 or len(depths) != 3 or len({name.casefold() for name in names}) != 3:
        raise BadInput("A mixing triangle has three different dyes.", where="dyes")
    if not 1 <= steps <= MOST_STEPS:
        raise BadInput(f"A triangle has 1 to {MOST_STEPS} steps along a side.", where="steps")
    if not all(0 < depth <= 0.2 for depth in depths):
        raise BadInput("The depth at a corner lies between 0 and 20 % of the fibre's weight.", where="depths")
    dyes = facts.dye_set(ground, tuple(facts.name(name) for name in names))
    scale = liquor_scale(facts, liquor, yarn)
    doses = [dyes.doses_of(row) for row in triangle_shares(steps) * np.array(depths)]
    chips = chips_of(dyes, np.array([dyes.depths_of(counted_in(scale, weighed)) for weighed in doses]), doses)
    ends = np.cumsum(np.arange(1, steps + 2))
    return tuple(chips[end - row - 1 : end] for row, end in enumerate(ends))


def corner_depths(typed: str, *, where: str = "depth") -> tuple[float, float, float]:
    """The depths (fractions) at the corners: "1 %" for all three, or one for each, "1 %, 0.5 %, 2 %". Raises BadInput."""
    said = [part.strip(" ,;") for part in typed.split("%")]
    parts = [f"{part} %" for part in said[:-1]] if len(said) > 2 and not said[-1] else [typed]
    if len(parts) not in (1, 3):
        raise BadInput(f"{len(parts)} depths were read. Say one for all three corners, '1 %', or one for each, '1 %, 0.5 %, 2 %'.", where=where, text=typed)
    depths = [parse("fraction", part, where=where).value for part in parts]
    if not all(0 < depth <= 0.2 for depth in depths):
        raise BadInput("The depth at a corner lies between 0 and 20 % of the fibre's weight.", where=where, text=typed)
    top, left, right = depths * 3 if len(depths) == 1 else depths
    return top, left, right


def said_depths(depths: Sequence[float]) -> str:
    """The corners' depths in words: "1 % of the fibre", or "1 %, 0.5 % and 2 % of the fibre at the corners"."""
    said = [say("fraction", depth) for depth in depths]
    return f"{said[0]} of the fibre" if len(set(said)) == 1 else f"{', '.join(said[:-1])} and {said[-1]} of the fibre at the corners"


def parts_at(steps: int, row: int, place: int) -> tuple[int, int, int]:
    """The parts of the three dyes at a place of a row of the triangle: the first row is the first dye alone."""
    return steps - row, row - place, place
