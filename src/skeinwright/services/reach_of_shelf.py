"""What the known dyes can reach on a ground: a chip for every colour that looks different."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services._dosing import liquor_scale

if TYPE_CHECKING:
    from skeinwright.core.colour.dye_set import DyeSet
    from skeinwright.core.colour.tables import Array
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.items import Base


@dataclass(frozen=True, kw_only=True, slots=True)
class Chip:
    """One colour {dye: depth}: its Lab (D65, 10 degree), and sRGB (D65, 2 degree) with whether a screen cannot show it."""

    doses: dict[str, float]
    lab: Lab
    srgb: tuple[int, int, int]
    clipped: bool


LEVELS = (0.001, 0.004, 0.015)
"""Total depths of the chips: pale, middling, full."""


def reach_of_shelf(
    facts: DyeFacts,
    ground: Ground,
    *,
    names: tuple[str, ...] | None = None,
    apart: float = 8.0,
    levels: tuple[float, ...] = LEVELS,
    liquor: str = "",
    yarn: Base | None = None,
) -> tuple[Chip, ...]:
    """Chips of single dyes, pairs and triples at total depths `levels` (fractions), one for each cube of `apart` Lab units, light first.

    With `liquor` ("60:1") their doses are those that give these colours in a bath of that liquor ratio, on `yarn`. Raises BadInput without a known dye.
    """
    from skeinwright.core.colour.reach import chips
    from skeinwright.core.forecast.liquor_scale import applied_in

    dyes = facts.dye_set(ground, names)
    scale = liquor_scale(facts, liquor, yarn)
    depths, _ = chips(dyes, levels=levels, cell=apart)
    return chips_of(dyes, depths, [applied_in(scale, dyes.doses_of(row)) for row in depths])


def chips_of(dyes: DyeSet, depths: Array, doses: Sequence[Mapping[str, float]]) -> tuple[Chip, ...]:
    """Depths (n, D) that count, in the swatches' bath, as chips; `doses` (n) are what is weighed out for them."""
    from skeinwright.core.colour.spaces import spectrum_to_lab, spectrum_to_xyz, xyz_to_srgb

    spectra = dyes.spectra(depths)
    labs = spectrum_to_lab(spectra)
    colours, clipped = xyz_to_srgb(spectrum_to_xyz(spectra, "D65", 2))
    found = []
    for weighed, lab, colour, outside in zip(doses, labs, colours, clipped, strict=True):
        L, a, b = (float(value) for value in lab)
        red, green, blue = (int(value) for value in colour)
        found.append(Chip(doses=dict(weighed), lab=Lab(L, a, b), srgb=(red, green, blue), clipped=bool(outside)))
    return tuple(found)
