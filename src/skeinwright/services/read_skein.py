"""Read the photo of a skein that is to be dyed over: on the photo sheet its colours are known, without it they are relative."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput, PhotoRefused
from skeinwright.services.measure_photo import MeasurePhoto, Outline, measure_photo

if TYPE_CHECKING:
    from skeinwright.core.measure.reading import PhotoReading
    from skeinwright.services.run_in_background import Tell

OR_FRAME = "Or frame the yarn in the photo as it is: its colours are then only relative."


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadSkein:
    """A photo's bytes. `frame`, two opposite corners round the yarn in per cent of the photo ("20,30 80,70"), means that there is no photo sheet in it;

    `white` ("5,8") then points at something white. With the sheet, `reference` is the CSV of known values and `outlines` are drawn round the yarn.
    """

    photo: bytes
    frame: str = ""
    white: str = ""
    reference: str = ""
    outlines: tuple[Outline, ...] = ()
    seed: int = 1


def read_skein(request: ReadSkein, tell: Tell | None = None) -> PhotoReading:
    """The photo as it was read. Raises PhotoRefused where no colour can be taken from it, BadInput for a frame or reference that cannot be meant.

    `tell`, where given, is told how far it is (0-1, a sentence); what it raises ends the work.
    """
    import numpy as np

    from skeinwright.core.measure.as_taken import read_as_taken
    from skeinwright.files.photos import open_photo

    frame = _corners(request.frame)
    if frame is None:
        found = measure_photo(MeasurePhoto(photo=request.photo, reference=request.reference, outlines=request.outlines, seed=request.seed), tell)
        if found.reading is None or not found.reading.pieces:
            raise PhotoRefused(" ".join((*found.messages, *((OR_FRAME,) if found.reading is not None else ()))))
        return found.reading
    opened = open_photo(request.photo)
    white = _place(request.white, "white") if request.white.strip() else None
    return read_as_taken(opened.pixels, frame, np.random.default_rng(request.seed), white=white, matrix=opened.matrix)


def _corners(typed: str) -> tuple[float, float, float, float] | None:
    if not typed.strip():
        return None
    parts = typed.replace(";", " ").split()
    if len(parts) != 2:
        raise BadInput("Frame the yarn by two opposite corners in per cent of the photo, such as 20,30 80,70.", where="frame", text=typed)
    (x0, y0), (x1, y1) = (_place(part, "frame") for part in parts)
    return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)


def _place(typed: str, where: str) -> tuple[float, float]:
    try:
        x, y = (float(part.strip().removesuffix("%")) / 100 for part in typed.split(","))
    except ValueError:
        raise BadInput(f"'{typed[:30]}' is no place in the photo: write x,y in per cent of it, such as 20,30.", where=where, text=typed) from None
    if not (math.isfinite(x) and math.isfinite(y) and 0 <= x <= 1 and 0 <= y <= 1):
        raise BadInput(f"'{typed[:30]}' lies outside the photo: both numbers go from 0 to 100.", where=where, text=typed)
    return x, y
