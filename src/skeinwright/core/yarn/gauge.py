"""A gauge as knitters write it: "30 sts/10cm", "7.5 sts/in", "30 sts x 42 rows/10 cm"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse

_GAUGE = re.compile(
    r"\s*(\d+(?:[.,]\d+)?)\s*(?:sts?|stitches)\s*"
    r"(?:(?:x|,|and|&)\s*(\d+(?:[.,]\d+)?)\s*(?:rows?|rounds?|rnds?)\s*)?(?:/|per|to|over|in)\s*(.+?)\s*",
    re.IGNORECASE,
)
MOST_PER_10_CM, LEAST_PER_10_CM = 120.0, 4.0


@dataclass(frozen=True, slots=True)
class Gauge:
    """Stitches and rows per mm; rows None where they were not given."""

    stitches_per_mm: float
    rows_per_mm: float | None = None


def parse_gauge(text: str, *, where: str | None = None) -> Gauge:
    """The gauge in `text`. Raises BadInput where it cannot be read, or where no hand knits so."""
    found = _GAUGE.fullmatch(text)
    if found is None:
        raise BadInput("Write the gauge as '30 sts/10cm' or '30 sts x 42 rows/10cm'.", where=where, position=0, text=text)
    over = found[3] if found[3][:1].isdigit() else f"1 {found[3]}"
    length_mm = parse("length", over, where=where).value
    if not length_mm > 0.0:
        raise BadInput("A gauge is counted over a length above zero.", where=where, text=text)
    stitches = float(found[1].replace(",", ".")) / length_mm
    rows = float(found[2].replace(",", ".")) / length_mm if found[2] else None
    for name, value in (("stitches", stitches), ("rows", rows)):
        if value is not None and not LEAST_PER_10_CM <= 100.0 * value <= MOST_PER_10_CM:
            raise BadInput(f"{100 * value:.3g} {name} in 10 cm is no gauge of hand knitting: check the length it was counted over.", where=where, text=text)
    return Gauge(stitches, rows)
