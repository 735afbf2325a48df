"""Grey scales for fastness: the step of each grade, and the grade of a measured change.

Change of colour: ISO 105-A02 (steps, preview of EN 20105-A02:1994 and GOST R ISO 105-A02-99, seen) and A05 (formula and limits from memory; neutral steps
return A02's grades, which checks the constants but not the chroma and hue terms). Staining: A03 (steps from memory) and A04 (formula from memory); that the
formula returns the steps' grades is a consistency check. Verify against a bought copy before a report leaves the house.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from skeinwright.core.shelf.swatch import Lab

GRADES: Final = ("5", "4-5", "4", "3-4", "3", "2-3", "2", "1-2", "1")
CHANGE_STEPS: Final = (0.0, 0.8, 1.7, 2.5, 3.4, 4.8, 6.8, 9.6, 13.6)
"""CIELAB difference of each grade's pair, ISO 105-A02. Source: iso105a02 (seen)."""
CHANGE_TOLERANCES: Final = (0.2, 0.2, 0.3, 0.35, 0.4, 0.5, 0.6, 0.7, 1.0)
STAINING_STEPS: Final = (0.0, 2.2, 4.3, 6.0, 8.5, 12.0, 16.9, 24.0, 34.1)
"""ISO 105-A03, from memory."""
_CHANGE_LIMITS = (0.40, 1.25, 2.10, 2.95, 4.10, 5.80, 8.20, 11.60)


def change_difference(before: Lab, after: Lab) -> float:
    """dE_F of ISO 105-A05: the difference with chroma weighed down. From memory. Source: iso105a05.

    D = dC C_M exp(-x)/100, x = ((h_M - 280)/30)^2; dH_K = dH - D; dC_K = dC - D; dH_F = dH_K/(1 + (10 C_M/1000)^2); dC_F = dC_K/(1 + (20 C_M/1000)^2);
    dE_F = sqrt(dL^2 + dC_F^2 + dH_F^2). C_M, h_M are the means of both; h_M on the nearer side.
    """
    c1, c2 = math.hypot(before.a, before.b), math.hypot(after.a, after.b)
    h1, h2 = (math.degrees(math.atan2(lab.b, lab.a)) % 360 for lab in (before, after))
    cross = before.a * after.b - after.a * before.b
    d_h = math.copysign(math.sqrt(max((after.a - before.a) ** 2 + (after.b - before.b) ** 2 - (c2 - c1) ** 2, 0.0)), cross)
    c_mean, h_mean = (c1 + c2) / 2, (h1 + h2) / 2
    if abs(h1 - h2) > 180:
        h_mean += 180 if h_mean < 180 else -180
    away = abs(h_mean - 280)
    away = 360 - away if away > 180 else away
    d = (c2 - c1) * c_mean * math.exp(-((away / 30) ** 2)) / 100
    hue = (d_h - d) / (1 + (10 * c_mean / 1000) ** 2)
    chroma = (c2 - c1 - d) / (1 + (20 * c_mean / 1000) ** 2)
    return math.sqrt((after.L - before.L) ** 2 + chroma**2 + hue**2)


def change_rating(difference: float) -> float:
    """GS_c of ISO 105-A05, 5 for no change: 5 - dE_F/1.7 up to 3.4, then 5 - log2(dE_F/0.85). From memory."""
    return 5 - difference / 1.7 if difference <= 3.4 else 5 - math.log2(difference / 0.85)


def change_grade(difference: float) -> str:
    """The grade in words, "4-5": limits on dE_F of ISO 105-A05, from memory."""
    return GRADES[int(np.searchsorted(_CHANGE_LIMITS, difference, side="right"))]


def staining_rating(before: Lab, after: Lab) -> float:
    """SSR of ISO 105-A04 for the white cloth beside: 6.1 - 1.45 ln dE_GS where that is <= 4, else 5 - 0.23 dE_GS; dE_GS = dE - 0.4 sqrt(dE^2 - dL^2).

    From memory.
    """
    difference = math.dist(before.values, after.values)
    grey = difference - 0.4 * math.sqrt(max(difference**2 - (after.L - before.L) ** 2, 0.0))
    if grey <= 0:
        return 5.0
    steep = 6.1 - 1.45 * math.log(grey)
    return steep if steep <= 4 else 5 - 0.23 * grey
