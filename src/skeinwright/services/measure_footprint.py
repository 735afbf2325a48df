"""A test of the dyer's own: the stain that one grain of her powder makes on wet paper. It goes to the dye."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.shelf.calibration import FOOTPRINT, GRAIN, GRAIN_SD, calibration_from
from skeinwright.core.shelf.field import ask
from skeinwright.services._sheet_photo import BOTH_WINDOWS, read_sheet_photo
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.spread.stains import Stains

WIDTH_OF_BLUR = 2.563
"""The 10-90 % width of an edge over the standard deviation of the blur, for a normal one."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SprinkledPaper:
    """As typed: the dye, a photo of the paper (its number) or the widths of stains, and the weight of all that was sprinkled."""

    dye: str = ask("Which dye", "choice", need=True)
    photo: str = ask("Photo", "text", default="")
    widths: str = ask("Or the widths of stains", "long text", default="", help="A dozen or more, the small ones too: '0.6 mm, 0.8 mm, 1.1 mm'.")
    mass: str = ask("Weight of the powder", "mass", default="", more=True, help="Only where every grain of it lies in the picture, or was measured.")


def measure_footprint(studio: Studio, tested: SprinkledPaper) -> Tested:
    """Stain, grain and their scatter, with spreads. Raises ManyBadInputs or BadInput with `where` the field, or NotFound for an unknown dye."""
    from skeinwright.core.spread.calibrate import powder_footprint

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        dye = reading.item("dye", tested.dye).thing
    mass = typed.maybe("mass", "mass")
    typed.check()
    blur_mm, left_out = 0.0, 0
    assumed: tuple[str, ...] = ("Before the test: 0.3 mm (0.06 to 1.5); grains that differ by 1.6 (1.3 to 2.2).",)
    if tested.photo.strip():
        stains, blur_mm, more = _in_photo(studio, tested.photo.strip())
        areas, left_out, assumed = [float(one) for one in stains.areas_mm2], stains.left_out, (*assumed, *more)
    else:
        areas = [0.7854 * width**2 for width in _widths(tested.widths)]
    if mass is not None and left_out:
        raise BadInput(f"{left_out} stains touch another or the edge and were left out, so the weight cannot be shared out. Leave it empty.", where="mass")
    try:
        found = powder_footprint(areas, None if mass is None else 1000 * mass, blur_mm=blur_mm)
    except BadInput as error:
        raise BadInput(error.sentence, where="photo" if tested.photo.strip() else "widths") from error
    today, note = studio.now().date(), f"{len(areas)} stains{' in a photo' if tested.photo.strip() else ''}"
    kept = [
        calibration_from(one, test="footprint", of_kind="dye", of=dye.name, quantity=quantity, made_on=today, note=note)
        for one, quantity in ((found.stain_mm, FOOTPRINT), (found.grain_mm, GRAIN), (found.grain_sd, GRAIN_SD))
    ]
    stain, grain = found.stain_mm, found.grain_mm
    sentences = (
        f"A median grain of {dye.name} makes a stain of {stain.value:.2g} mm, standard deviation ({stain.low:.2g} to {stain.high:.2g}), from {note}.",
        f"That is a grain of {grain.value:.2g} mm radius ({grain.low:.2g} to {grain.high:.2g}).",
        found.note,
        *((f"{left_out} more touch another stain or the edge, and were left out.",) if left_out else ()),
    )
    return keep_test(studio, kept, sentences=sentences, assumed=assumed)


def _in_photo(studio: Studio, photo: str) -> tuple[Stains, float, tuple[str, ...]]:
    """(stains in true mm, the blur's standard deviation, what is assumed)."""
    import numpy as np

    from skeinwright.core.spread.stains import find_stains

    reading, assumed = read_sheet_photo(studio, photo, outlines=(BOTH_WINDOWS,))
    assert reading.window is not None
    assert reading.flat is not None
    rows, columns = np.nonzero(reading.pieces[0].piece.mask)
    inside = reading.window[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
    scale = float(np.sqrt(reading.scale[0] * reading.scale[1]))
    blur = reading.blur.width_mm * scale / WIDTH_OF_BLUR if reading.blur is not None else 0.0
    return find_stains(np.asarray(inside, dtype=float), reading.flat.px_per_mm / scale), blur, assumed


def _widths(said: str) -> list[float]:
    pieces = [one for one in re.split(r"[\n;]+|,\s+|(?<=m)\s*,", said) if one.strip()]
    if not pieces:
        raise BadInput("Take a photo of the paper on the photo sheet, or write the widths of a dozen stains.", where="widths", text=said)
    widths = []
    for piece in pieces:
        width = parse("length", piece, where="widths").value
        if not 0.05 <= width <= 30:
            raise BadInput(f"'{piece.strip()}' is no stain of one grain: they are between 0.05 and 30 mm wide.", where="widths", text=said)
        widths.append(width)
    return widths
