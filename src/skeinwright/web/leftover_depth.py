"""What a leftover liquor makes on yarn, as the lot's page and the shelf's page show it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.say import say
from skeinwright.core.lot.traces import say_depth, say_depth_range
from skeinwright.services.studio import Studio
from skeinwright.services.work_out_leftover import work_out_leftover

USUAL = "100 g"


@dataclass(frozen=True, slots=True)
class DepthShown:
    """`fibre` as it stands in its field; lines of a dye, its depth and its ends; `more` on the rest; `wrong` beside the field."""

    fibre: str
    lines: tuple[tuple[str, str, str], ...] = ()
    more: tuple[str, ...] = ()
    wrong: str = ""


def depth_shown(studio: Studio, dyes_g: Mapping[str, float], fibre: str, *, ends: Mapping[str, Estimate] | None = None) -> DepthShown | None:
    """None where there is no dye in it to speak of. `ends` are the same grams with their intervals, where those are known."""
    if not any(grams > 0 for grams in dyes_g.values()):
        return None
    fibre = fibre.strip() or USUAL
    try:
        found = work_out_leftover(studio, dyes_g, fibre)
    except BadInput as error:
        return DepthShown(fibre, wrong=error.sentence)
    ranges = {name: say_depth_range(one, found.fibre_g) for name, one in (ends or {}).items()}
    lines = tuple((name, say_depth(depth), ranges.get(name, "")) for name, depth in found.depths.items())
    pale = f"All of it together would dye {say('mass', found.pale_fibre_g, digits=2)} of yarn to a pale 0.1 %."
    return DepthShown(fibre, lines, (pale, *found.assumed))
