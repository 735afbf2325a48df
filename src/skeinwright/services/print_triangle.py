"""The mixing triangle as a poster: every mixture with its parts, and the dyer's own swatches of the three dyes under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import say
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Swatch
from skeinwright.files.sheets.sheets import triangle_pdf
from skeinwright.services.mixing_triangle import parts_at, said_depths
from skeinwright.services.reach_of_shelf import Chip

PAPERS = ("a4", "a3")
MOST_SWATCHES = 5
NOTE = "Forecast from these swatches, for a bath {bath}. Judge by yarn, not by paper: a printer shows colours only nearly."


@dataclass(frozen=True, kw_only=True, slots=True)
class Poster:
    """Whose triangle: the three dyes (top, left, right), the depths (fractions) at those corners, the parts in all; the base, the lot below, the paper and
    the liquor ratio as typed."""

    dyes: Sequence[Dye]
    depths: Sequence[float]
    steps: int
    base: str = ""
    over: str = ""
    paper: str = "a4"
    liquor: str = ""


def print_triangle(poster: Poster, rows: Sequence[Sequence[Chip]]) -> bytes:
    """A tagged PDF of one page with the chips of `mixing_triangle`. Raises BadInput for a paper that there is not."""
    from skeinwright.core.colour.spaces import srgb_to_hex
    from skeinwright.core.forecast.liquor_scale import liquor_ratio_of

    if poster.paper not in PAPERS:
        raise BadInput(f"The poster is printed on {' or '.join(PAPERS)}, not on '{poster.paper[:20]}'.", where="paper", text=poster.paper)
    names = [dye.name for dye in poster.dyes]
    ratio = liquor_ratio_of(poster.liquor)
    on = (f" on {poster.base}" if poster.base else "") + (f" over lot {poster.over}" if poster.over else "")
    cells = [
        {"row": row, "place": place, "fill": srgb_to_hex(chip.srgb), "parts": " : ".join(map(str, parts_at(poster.steps, row, place)))}
        for row, chips in enumerate(rows)
        for place, chip in enumerate(chips)
    ]
    return triangle_pdf(
        {
            "title": f"{', '.join(names[:2])} and {names[2]}",
            "under": f"All mixtures in {poster.steps} parts at {said_depths(poster.depths)}{on}. Parts of {' : '.join(names)}.",
            "paper": poster.paper,
            "steps": poster.steps,
            "corners": names,
            "cells": cells,
            "dyes": [{"name": dye.name, "swatches": _swatches(dye)} for dye in poster.dyes],
            "note": NOTE.format(bath="run as theirs was" if ratio is None else f"of {ratio:g}:1 that is otherwise run as theirs was"),
        }
    )


def _swatches(dye: Dye) -> list[dict[str, str]]:
    dyed = sorted((one for one in dye.swatches if one.depth > 0), key=lambda one: one.depth)
    return [{"fill": _on_screen(one), "depth": say("fraction", one.depth)} for one in dyed[:MOST_SWATCHES]]


def _on_screen(swatch: Swatch) -> str:
    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colour.spaces import spectrum_to_xyz, srgb_to_hex, xyz_to_srgb
    from skeinwright.core.colour.spectra import on_bands

    spectrum = on_bands(swatch.spectrum) if swatch.spectrum else recover(swatch.lab).reflectance
    return srgb_to_hex(xyz_to_srgb(spectrum_to_xyz(spectrum, "D65", 2))[0])
