"""A colour field on the screen, made lighter, stronger or moved round the hue circle until it looks like the swatch beside it."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput

NUDGES: dict[str, tuple[float, float, float]] = {
    "lighter": (1.0, 0.0, 0.0),
    "darker": (-1.0, 0.0, 0.0),
    "stronger": (0.0, 1.0, 0.0),
    "greyer": (0.0, -1.0, 0.0),
    "hue back": (0.0, 0.0, -1.0),
    "hue on": (0.0, 0.0, 1.0),
}
"""What each nudge moves, in units of `step`: (L*, C*, hue as an arc of that length)."""
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
    """`lab` (L* 0-100, a*, b*; D65, 2 degree) moved by one nudge of `step` in L*, C* or along the hue arc: dh = step / max(C*, 10) rad.

    A nudge that would leave the colours of the screen is not made. Raises BadInput for a nudge that is none of `NUDGES`.
    """
    if nudge and nudge not in NUDGES:
        raise BadInput(f"'{nudge[:40]}' is none of: {', '.join(NUDGES)}.", where="nudge")
    here = _shown(lab)
    if not nudge:
        return here
    moved = _shown(_moved(lab, NUDGES[nudge], step))
    if not moved.at_edge:
        return moved
    return EyeColour(L=lab[0], a=lab[1], b=lab[2], hex=here.hex, at_edge=True)


def _moved(lab: tuple[float, float, float], by: tuple[float, float, float], step: float) -> tuple[float, float, float]:
    import numpy as np

    from skeinwright.core.colour.spaces import lab_to_lch, lch_to_lab

    lightness, chroma, hue = (float(v) for v in lab_to_lch(np.array(lab)))
    hue += float(np.degrees(by[2] * step / max(chroma, 10.0)))
    moved = lch_to_lab(np.array([min(max(lightness + by[0] * step, 0.0), 100.0), max(chroma + by[1] * step, 0.0), hue % 360.0]))
    return float(moved[0]), float(moved[1]), float(moved[2])


def _shown(lab: tuple[float, float, float]) -> EyeColour:
    import numpy as np

    from skeinwright.core.colour.spaces import lab_to_srgb, srgb_to_hex

    srgb, clipped = lab_to_srgb(np.array(lab))
    return EyeColour(L=lab[0], a=lab[1], b=lab[2], hex=srgb_to_hex(srgb), at_edge=bool(np.any(clipped)))
