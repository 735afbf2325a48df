"""How much dye a piece of yarn, or a glass of liquor, holds against another one, from colours that were read in one photo.

Colours of one photo are known against each other far better than by themselves, so a share is read where neither depth could be.
"""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

import numpy as np

from skeinwright.core.colour.mixing import inner_ks
from skeinwright.core.colour.recover import recover
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.colour.tables import Array
    from skeinwright.core.shelf.swatch import Lab

READ_SD = 0.01
"""How well a photo tells a reflectance, as a share of white [assumed]: dark bands, where it matters most, count least."""
LEAST = 0.02
"""Colours nearer to the undyed one than so much of K/S or of absorbance cannot be told from it."""


def depth_share(sample: Lab, finished: Lab, undyed: Lab) -> float:
    """The dye on a piece over that on the finished one of the same yarn: the slope of K/S against K/S, the undyed yarn's taken off both.

        a = sum w (s - u)(f - u) / sum w (f - u)^2,   w = 1/(dK_s^2 + dK_f^2),  dK = 0.01 (1 - R^2)/(2 R^2)    over 31 bands of guessed spectra

    Single-constant Kubelka-Munk: right for one dye, or for dyes that go on together. Raises BadInput where the finished piece is as pale as the undyed one.
    """
    spectra = [recover(one).reflectance for one in (sample, finished, undyed)]
    s, f, u = (inner_ks(one) for one in spectra)
    return _slope(s - u, f - u, _ks_error(spectra[0]) ** 2 + _ks_error(spectra[1]) ** 2, "The finished piece")


def liquor_share(sample: Lab, fresh: Lab, clear: Lab, half: Lab | None = None) -> float:
    """The dye in a glass of liquor over that in the same glass of fresh liquor, seen against white paper.

        A = -ln(R/R_clear);   a = sum w A_s A_f / sum w A_f^2,  w = 1/(dA_s^2 + dA_f^2),  dA = 0.01/R       (Beer and Lambert's law)
        with a glass of half strength:  share = a^p,  p = ln(1/2)/ln(a_half)

    A camera's bands are broad, so strong liquor looks less strong than it is: the glass of half strength puts that right.
    """
    reflectance = [recover(one).reflectance for one in ((sample, fresh, clear) if half is None else (sample, fresh, clear, half))]
    absorbed = [-np.log(np.maximum(one, 1e-3) / np.maximum(reflectance[2], 1e-3)) for one in reflectance]
    error = [(READ_SD / np.maximum(one, READ_SD)) ** 2 for one in reflectance]
    share = _slope(absorbed[0], absorbed[1], error[0] + error[1], "The fresh liquor")
    if half is None or share <= 0:
        return max(share, 0.0)
    of_half = _slope(absorbed[3], absorbed[1], error[3] + error[1], "The fresh liquor")
    if not 0.2 < of_half < 0.95:
        raise BadInput("The glass of half strength does not look half as strong as the fresh liquor; point at it again.", where="half")
    return float(share ** (log(0.5) / log(of_half)))


def ratio_of_depths(one: Lab, one_undyed: Lab, other: Lab, other_undyed: Lab) -> float:
    """The K/S that dye adds to one yarn over what it adds to another, in the band where the other has most of it."""
    spectra = [recover(lab).reflectance for lab in (one, one_undyed, other, other_undyed)]
    a, a0, b, b0 = (inner_ks(spectrum) for spectrum in spectra)
    if float((b - b0).max()) < LEAST:
        raise BadInput("One piece is as pale as undyed yarn; dye a deeper one.", where="photo")
    return max(_slope(a - a0, b - b0, _ks_error(spectra[0]) ** 2 + _ks_error(spectra[2]) ** 2, "One piece"), 0.0)


def _slope(sample: Array, finished: Array, variance: Array, what: str) -> float:
    if float(np.abs(finished).max()) < LEAST:
        raise BadInput(f"{what} looks as if there were no dye in it; point at it again.", where="photo")
    weight = 1 / np.maximum(variance, 1e-12)
    return float((weight * sample * finished).sum() / (weight * finished * finished).sum())


def _ks_error(reflectance: Array) -> Array:
    held = np.clip(reflectance, 0.005, 1.0)
    error: Array = READ_SD * (1 - held**2) / (2 * held**2) + 1e-4
    return error
