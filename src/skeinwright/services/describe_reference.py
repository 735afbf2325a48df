"""A measured swatch of the dyer's own as one row of a reference: yarn is the best reference for yarn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Reading, Swatch
from skeinwright.services.studio import Studio

HEAD = "x_mm,y_mm,w_mm,h_mm,L,a,b"
SIDE_MM = 9.0


@dataclass(frozen=True, kw_only=True, slots=True)
class DescribeReference:
    """Which swatch (the dye's number or name, the swatch's place in its ladder, 0 the palest) lies with its middle where, in mm on the page."""

    dye: int | str
    swatch: int
    x_mm: float
    y_mm: float
    side_mm: float = SIDE_MM
    reference: str = ""


def describe_reference(studio: Studio, request: DescribeReference) -> str:
    """The reference's CSV with one row more. Lab is turned to D65, 2 degree, by the swatch's spectrum, or by the smoothest one that has its colour.

    Raises NotFound for an unknown dye, BadInput for a swatch that no instrument has read, a place off the page, or a reference in other columns.
    """
    with studio.store.reading() as reading:
        dye = cast(Dye, reading.item("dye", request.dye).thing)
    if not 0 <= request.swatch < len(dye.swatches):
        raise BadInput(f"{dye.name} has no such swatch.", where="known")
    swatch = dye.swatches[request.swatch]
    if swatch.reading is not Reading.INSTRUMENT:
        raise BadInput("Only a swatch that an instrument has read can correct a photo: any other would pass its own error on.", where="known")
    half = request.side_mm / 2
    if not (half <= request.x_mm <= 300 - half and half <= request.y_mm <= 220 - half):
        raise BadInput("The swatch must lie on the sheet: point at its middle, in millimetres from the top left.", where="at")
    present = request.reference.strip()
    if present and present.splitlines()[0].replace(" ", "") != HEAD:
        raise BadInput(f"A swatch can be added only to a reference with the columns {HEAD}.", where="reference")
    L, a, b = _lab_2_degree(swatch)
    row = f"{request.x_mm - half:.1f},{request.y_mm - half:.1f},{request.side_mm:g},{request.side_mm:g},{L:.2f},{a:.2f},{b:.2f}"
    return "\n".join([present or HEAD, row])


def _lab_2_degree(swatch: Swatch) -> tuple[float, float, float]:
    import numpy as np

    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colour.spaces import spectrum_to_lab

    if (swatch.lab.illuminant, swatch.lab.observer) == ("D65", 2):
        return swatch.lab.values
    if swatch.spectrum:
        nm, factor = (np.array(values) for values in zip(*swatch.spectrum, strict=True))
        reflectance = np.interp(np.arange(400.0, 701.0, 10.0), nm, factor)
    else:
        reflectance = recover(swatch.lab).reflectance
    L, a, b = (float(value) for value in np.asarray(spectrum_to_lab(reflectance, "D65", 2)).reshape(3))
    return L, a, b
