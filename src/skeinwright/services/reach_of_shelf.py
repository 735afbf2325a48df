"""What the known dyes can reach on a ground: a chip for every colour that looks different."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.shelf.swatch import Lab

if TYPE_CHECKING:
    from skeinwright.core.colour.dye_set import DyeSet
    from skeinwright.core.colour.tables import Array
    from skeinwright.core.forecast.ground import Ground


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
    facts: DyeFacts, ground: Ground, *, names: tuple[str, ...] | None = None, apart: float = 8.0, levels: tuple[float, ...] = LEVELS
) -> tuple[Chip, ...]:
    """Chips of single dyes, pairs and triples at total depths `levels` (fractions), one for each cube of `apart` Lab units, light first.

    Raises BadInput without a known dye.
    """
    from skeinwright.core.colour.reach import chips

    dyes = facts.dye_set(ground, names)
    depths, _ = chips(dyes, levels=levels, cell=apart)
    return chips_of(dyes, depths)


def chips_of(dyes: DyeSet, depths: Array) -> tuple[Chip, ...]:
    """Depths (n, D) as chips."""
    from skeinwright.core.colour.spaces import spectrum_to_lab, spectrum_to_xyz, xyz_to_srgb

    spectra = dyes.spectra(depths)
    labs = spectrum_to_lab(spectra)
    colours, clipped = xyz_to_srgb(spectrum_to_xyz(spectra, "D65", 2))
    found = []
    for row, lab, colour, outside in zip(depths, labs, colours, clipped, strict=True):
        L, a, b = (float(value) for value in lab)
        red, green, blue = (int(value) for value in colour)
        found.append(Chip(doses=dyes.doses_of(row), lab=Lab(L, a, b), srgb=(red, green, blue), clipped=bool(outside)))
    return tuple(found)
