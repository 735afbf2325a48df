"""What a used liquor still holds, in words: nothing is told below what a dye room can weigh or an eye can see."""

from __future__ import annotations

from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.say import say

LEAST_G = 0.001
"""1 mg: no scale of a dye room shows less."""
PALEST = 0.00001
"""0.001 %: a fiftieth of the palest pastel that anyone writes down."""


def say_grams(grams: float) -> str:
    """Grams of dye: "0.062 g", or "under 0.001 g"."""
    return f"{grams:.2g} g" if grams >= LEAST_G else f"under {LEAST_G:g} g"


def say_grams_range(grams: Estimate) -> str:
    """The 90 % interval of such grams: "0.022 to 0.19 g", "up to 0.0023 g" or "next to nothing"."""
    if grams.high < LEAST_G:
        return "next to nothing"
    return f"{grams.low:.2g} to {grams.high:.2g} g" if grams.low >= LEAST_G else f"up to {grams.high:.2g} g"


def say_depth(depth: float) -> str:
    """A depth of shade (0-1): "0.062 %", or "under 0.001 %"."""
    return say("fraction", depth, digits=2) if depth >= PALEST else f"under {say('fraction', PALEST)}"


def say_depth_range(grams: Estimate, fibre_g: float) -> str:
    """The 90 % interval of the depth that such grams make on yarn: "0.014 to 0.4 %", "up to 0.021 %" or "next to nothing"."""
    low, high = grams.low / fibre_g, grams.high / fibre_g
    if high < PALEST:
        return "next to nothing"
    return f"{100 * low:.2g} to {100 * high:.2g} %" if low >= PALEST else f"up to {100 * high:.2g} %"
