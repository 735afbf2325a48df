"""What was asked of a photo, what is known once its sheet and its light are found, and the patches on it: a reference's, and the sheet's own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.colour import WORST_MEDIAN, Correction, corrected_by, is_enough, names_of, paper_only
from skeinwright.core.measure.find import Found
from skeinwright.core.measure.flatten import Flat
from skeinwright.core.measure.light import Light, even
from skeinwright.core.measure.reference import Patch
from skeinwright.core.measure.sheet import Box
from skeinwright.core.measure.yarn import Outline

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class Request:
    """What is known beside the picture. `across_mm` and `upright_mm` are what the sheet's two rulers of 200 mm really measure (None: not checked).

    `matrix` brings the picture's primaries to linear sRGB. `outlines` (mm on the page) are drawn round the yarn; `taps` say the order of pieces found.
    """

    matrix: Array | None = None
    reference: tuple[Patch, ...] = ()
    across_mm: float | None = None
    upright_mm: float | None = None
    outlines: tuple[Outline, ...] = ()
    taps: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Seen:
    """A photo whose sheet and light are found. `scale`: true millimetres in one of the sheet, across and upright."""

    found: Found
    flat: Flat
    light: Light
    request: Request
    scale: tuple[float, float]


def correction_of(seen: Seen) -> tuple[Correction, tuple[str, ...]]:
    """The correction by the reference, or by paper white where there is none or it cannot be trusted."""
    patches = seen.request.reference
    if not patches:
        return paper_only(), ()
    values = np.array([_patch(seen, patch.box) for patch in patches])
    known = np.array([patch.rgb for patch in patches])
    clear = np.isfinite(values).all(axis=1)
    lost = int((~clear).sum())
    warnings = (f"{lost} of {len(patches)} patches of the reference are uneven, clipped or not in the photo, and were left out.",) if lost else ()
    if not is_enough(known[clear]):
        return paper_only(), (*warnings, "Too few patches of the reference are clear (four greys or eight patches are needed): colours rest on paper white.")
    made = corrected_by(values[clear], known[clear])
    if (made.median_de00 or 0.0) > WORST_MEDIAN:
        sentence = f"The reference misses its own patches by {made.median_de00:.1f} (CIEDE2000, median; {names_of(made.tried)}) and was not used."
        return paper_only(), (*warnings, f"{sentence} Check that its CSV says where the patches lie.")
    return made, warnings


def sheet_patches(seen: Seen) -> Array:
    """The sheet's own five greys and six colours, relative to paper (11, 3); NaN where one is not clear."""
    return np.array([_patch(seen, box) for box in (*seen.found.sheet.greys, *seen.found.sheet.colours)])


def _patch(seen: Seen, box: Box) -> Array:
    """The relative colour of a patch without its rim, or NaN where it is uneven, clipped or outside the photo."""
    box = box.grown(-0.15 * min(box.w_mm, box.h_mm))
    pixels = seen.flat.pixels[seen.flat.cut(box)].reshape(-1, 3)
    values = even(seen.flat, seen.light, box, seen.request.matrix).reshape(-1, 3)
    if len(values) < 25 or float((pixels.max(axis=1) >= 254).mean()) > 0.02 or float(np.median(pixels.max(axis=1))) < 3:
        return np.full(3, np.nan)
    middle = values.mean(axis=0, dtype=np.float64)
    rough = float(values.mean(axis=1).std()) / (float(middle.mean()) + 0.05)
    return middle if rough < 0.35 else np.full(3, np.nan)
