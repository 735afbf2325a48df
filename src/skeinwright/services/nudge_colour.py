"""A colour field on the screen, made lighter, stronger, redder until it looks like the swatch beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput

HUES = {"redder": 25.0, "yellower": 90.0, "greener": 165.0, "bluer": 260.0}
"""The hue angle in degrees (CIELAB) that each word leads to."""
NUDGES = ("lighter", "darker", "stronger", "greyer", *HUES)
_GREY = 6.0
"""Below this chroma a hue says little, so the colour itself is moved towards the wanted one."""
START = (55.0, 0.0, 0.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class EyeColour:
    """A colour as the screen shows it. L*, a*, b* are D65, 2 degree, because the screen is sRGB; `hex` is the same colour."""

    L: float
    a: float
    b: float
    hex: str
    at_edge: bool
    """True where the last nudge would have left what a screen can show, and so was not made."""


def nudge_colour(lab: tuple[float, float, float], nudge: str = "", step: float = 3.0) -> EyeColour:
    """`lab` (L* 0-100, a*, b*; D65, 2 degree) moved by one nudge.

    It moves by `step` in L*, by `step` in C*, or along the hue circle by an arc of `step` in a*b*, never past its aim.

    A nudge that would leave the colours of the screen is not made. Raises BadInput for a nudge that is none of `NUDGES`.
    """
    if nudge and nudge not in NUDGES:
        raise BadInput(f"'{nudge[:40]}' is none of: {', '.join(NUDGES)}.", where="nudge")
    here = _shown(lab)
    if not nudge:
        return here
    moved = _shown(_moved(lab, nudge, step))
    if not moved.at_edge:
        return moved
    return EyeColour(L=lab[0], a=lab[1], b=lab[2], hex=here.hex, at_edge=True)


def _moved(lab: tuple[float, float, float], nudge: str, step: float) -> tuple[float, float, float]:
    lightness, a, b = lab
    chroma, hue = math.hypot(a, b), math.atan2(b, a)
    if nudge in ("lighter", "darker"):
        return min(max(lightness + (step if nudge == "lighter" else -step), 0.0), 100.0), a, b
    if nudge in ("stronger", "greyer"):
        chroma = max(chroma + (step if nudge == "stronger" else -step), 0.0)
        return lightness, chroma * math.cos(hue), chroma * math.sin(hue)
    aim = math.radians(HUES[nudge])
    if chroma < _GREY:
        return lightness, a + step * math.cos(aim), b + step * math.sin(aim)
    way = math.remainder(aim - hue, math.tau)
    hue += math.copysign(min(step / chroma, abs(way)), way)
    return lightness, chroma * math.cos(hue), chroma * math.sin(hue)


def _shown(lab: tuple[float, float, float]) -> EyeColour:
    import numpy as np

    from skeinwright.core.colour.spaces import lab_to_srgb, srgb_to_hex

    srgb, clipped = lab_to_srgb(np.array(lab))
    return EyeColour(L=lab[0], a=lab[1], b=lab[2], hex=srgb_to_hex((int(srgb[0]), int(srgb[1]), int(srgb[2]))), at_edge=bool(np.any(clipped)))
