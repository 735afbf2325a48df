"""Makes src/skeinwright/core/colour/data/weights.csv, once, from colour-science (BSD-3-Clause).

    .venv/bin/python proofs/make_colour_tables.py           make them again and compare with the file
    .venv/bin/python proofs/make_colour_tables.py --write   write the file

The tables of the CIE 1931 (2 degree) and 1964 (10 degree) observers at 1 nm and of the illuminants A, C, D50, D65, FL2, FL11 and LED-B3 at 5 nm are those that
colour-science ships; the illuminants are interpolated linearly to 1 nm (CIE 15). The weights for spectra at 10 nm follow ASTM E2022 (colour-science's
routine) over 380-780 nm, and the weights outside 400-700 nm are added to the first and last one (ASTM E308), so that a spectrum of 31 values is enough and
the white point stays that of the whole range. The test tests/reference/test_colour_science.py makes them again and compares.
"""

from __future__ import annotations

import csv
import io
import sys
import warnings
from pathlib import Path

import numpy as np

ILLUMINANTS = ("A", "C", "D50", "D65", "FL2", "FL11", "LED-B3")
OBSERVERS = {2: "CIE 1931 2 Degree Standard Observer", 10: "CIE 1964 10 Degree Standard Observer"}
sys.path[:] = [place for place in sys.path if Path(place or ".").resolve() != Path(__file__).resolve().parent]  # a proof here is called colour too
OUT = Path(__file__).parents[1] / "src/skeinwright/core/colour/data/weights.csv"


def weights(illuminant: str, observer: int) -> np.ndarray:
    """The 31 x 3 weights, Y of a perfect white being 100."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
        from colour.colorimetry import adjust_tristimulus_weighting_factors_ASTME308, tristimulus_weighting_factors_ASTME2022
    fine, whole, short = colour.SpectralShape(380, 780, 1), colour.SpectralShape(380, 780, 10), colour.SpectralShape(400, 700, 10)
    cmfs = colour.MSDS_CMFS[OBSERVERS[observer]].copy().trim(fine)
    table = colour.SDS_ILLUMINANTS[illuminant]
    power = np.interp(fine.wavelengths, table.wavelengths, table.values)
    light = colour.SpectralDistribution(power, fine.wavelengths, name=f"{illuminant} at 1 nm")
    full = tristimulus_weighting_factors_ASTME2022(cmfs, light, whole).copy()
    return np.asarray(adjust_tristimulus_weighting_factors_ASTME308(full, whole, short))


def table() -> str:
    """The whole file as text."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["illuminant", "observer", "nm", "wx", "wy", "wz"])
    for illuminant in ILLUMINANTS:
        for observer in OBSERVERS:
            for nm, row in zip(range(400, 701, 10), weights(illuminant, observer), strict=True):
                writer.writerow([illuminant, observer, nm, *(repr(round(float(value), 12)) for value in row)])
    return text.getvalue()


def main(arguments: list[str]) -> int:
    """Write or compare; 1 where they differ by more than 1e-9."""
    made = table()
    if "--write" in arguments:
        OUT.parent.mkdir(parents=True, exist_ok=True)
        OUT.write_text(made, encoding="utf-8", newline="")
    rows = [[line.split(",") for line in text.splitlines()[1:]] for text in (made, OUT.read_text(encoding="utf-8"))]
    same = [row[:3] for row in rows[0]] == [row[:3] for row in rows[1]]
    apart = max((abs(float(a) - float(b)) for one, other in zip(*rows, strict=False) for a, b in zip(one[3:], other[3:], strict=True)), default=1.0)
    print(f"{OUT.name}: {len(rows[1])} rows, at most {apart:.1e} from those made now")
    return 0 if same and apart < 1e-9 else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
