"""Two photographs of one printed sheet tied together by its own patches: what a printer makes of them is not known, but it is the same in both.

The patches of photo B are brought to those of photo A by a 3x3 on relative colours; the error on patches that were left out is the tie's own.
It makes up for another exposure, white balance, camera setting. It does not make up for another kind of light: ink and dyed wool that look alike by the
window part under a lamp, so tie photos taken in the same light.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.pick import WHITE_Y
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.colour import matrix
from skeinwright.core.measure.reference import lab_of

Array = NDArray[np.float64]
LEAST = 8


@dataclass(frozen=True, slots=True)
class Tie:
    """`apply` takes relative colours (n, 3) of photo B to what photo A would have seen; errors are CIEDE2000 on patches left out."""

    apply: Callable[[Array], Array]
    median_de00: float
    high_de00: float


def tie(patches_a: Array, patches_b: Array) -> Tie:
    """The tie of photo B to photo A by the sheet's patches (n, 3), relative to paper, in the same order. A patch not seen holds NaN.

    Raises BadInput where fewer than eight were seen in both.
    """
    both = np.isfinite(patches_a).all(axis=1) & np.isfinite(patches_b).all(axis=1)
    if int(both.sum()) < LEAST:
        clear = f"Only {int(both.sum())} of the sheet's patches are clear in both photos; {LEAST} are needed."
        raise BadInput(f"{clear} Keep them free and in even light.", where="photo")
    a, b = patches_a[both], patches_b[both]
    errors = [_error(matrix(np.delete(b, place, 0), np.delete(a, place, 0))(b[place : place + 1])[0], a[place]) for place in range(len(a))]
    return Tie(matrix(b, a), float(np.median(errors)), float(np.quantile(errors, 0.9)))


def _error(found: Array, wanted: Array) -> float:
    return float(ciede2000(lab_of(found * WHITE_Y), lab_of(wanted * WHITE_Y)))
