"""Keep the stitch length of the dyer's own swatch with its base, from stitches that were ravelled."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.shelf.calibration import Calibration, newest
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.yarn.knitting import ravelled_stitch_mm
from skeinwright.core.yarn.relaxation import READING_MM, WITHIN_90
from skeinwright.services.studio import Studio

STITCH = "stitch_mm"
TEST = "Swatch, ravelled"
EVEN = 0.02
"""One standard deviation, as a share, of how alike a hand knits twice [assumed]."""
LEAST_MM, MOST_MM = 3.0, 120.0


def keep_swatch(studio: Studio, base: int | str, ravelled: str, stitches: str = "20") -> tuple[Kept[Calibration], Change]:
    """The stitch length as kept, and the change that can be taken back. Raises BadInput (`where` "ravelled", "ravelled_stitches") or NotFound."""
    with studio.store.writing() as writing:
        given_mm = parse("length", ravelled, where="ravelled", habits=writing.settings().habits()).value
        count = stitches.strip() or "20"
        if not count.isdigit() or not 1 <= int(count) <= 2000:
            raise BadInput("How many stitches were ravelled? Write a whole number from 1 to 2000.", where="ravelled_stitches", text=stitches)
        stitch_mm = likely_stitch_mm(ravelled_stitch_mm(given_mm, int(count)))
        off = WITHIN_90 * stitch_mm * hypot(READING_MM / given_mm, EVEN)
        name, now = writing.item("base", base).thing.name, studio.now()
        found = Calibration(TEST, "base", name, STITCH, stitch_mm, stitch_mm - off, stitch_mm + off, "mm", now.date())
        return writing.add_calibration(found, now=now), writing.made[-1]


def kept_stitch(measured: Sequence[Calibration]) -> Calibration | None:
    """The newest swatch among a base's calibrations, newest first; None where there is none."""
    return newest(measured, STITCH)


def likely_stitch_mm(stitch_mm: float) -> float:
    """The same; raises BadInput where no hand knits so."""
    if not LEAST_MM <= stitch_mm <= MOST_MM:
        raise BadInput(f"That makes a stitch of {stitch_mm:.3g} mm, which is no hand knitting: check the length and the number of stitches.", where="ravelled")
    return stitch_mm
