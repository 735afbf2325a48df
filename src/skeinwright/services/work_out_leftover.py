"""Work out what the dye in a leftover liquor makes on so much yarn: the depth of each dye, and how much yarn it would dye to a pale shade."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.studio import Studio

PALE = 0.001
"""A pale depth of shade, 0.1 %: what a leftover is mostly used for [common practice]."""
ALL_ON = "If all of it goes on; a used bath gives less, and its dyes no longer stand in the parts that they went in with."


@dataclass(frozen=True, kw_only=True, slots=True)
class LeftoverDepth:
    """`depths` (share of the yarn's weight) of each dye on `fibre_g` of yarn; `pale_fibre_g` is how much yarn all of it together dyes to 0.1 %."""

    fibre_g: float
    depths: dict[str, float]
    pale_fibre_g: float
    assumed: tuple[str, ...] = (ALL_ON,)


def work_out_leftover(studio: Studio, dyes_g: Mapping[str, float], fibre: str) -> LeftoverDepth:
    """For dyes in grams and yarn as typed ("100 g"). Raises BadInput with `where` "fibre"."""
    from skeinwright.core.bath.end_of_bath import LeftoverLiquor
    from skeinwright.core.foundations.quantities import parse

    with studio.store.reading() as reading:
        habits = reading.settings().habits()
    fibre_g = parse("mass", fibre, where="fibre", habits=habits).value
    if fibre_g <= 0:
        raise BadInput("Say on how much yarn.", where="fibre", text=fibre)
    liquor = LeftoverLiquor(0.0, dict(dyes_g), 7.0)
    return LeftoverDepth(fibre_g=fibre_g, depths=liquor.depth_on(fibre_g), pale_fibre_g=liquor.fibre_for_g(PALE))
