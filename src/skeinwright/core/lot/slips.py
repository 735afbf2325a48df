"""Slips of ten times in the record: a figure that lies far from what was planned is told, never refused, since it may be what really happened.

How far is far is common practice: five times either way for what went in, three times for a skein's weight.
"""

from __future__ import annotations

from skeinwright.core.foundations.say import say

DOSE_APART = 5.0
WEIGHT_APART = 3.0


def dose_slip(amount: float, planned: float, unit: str) -> str:
    """A sentence where `amount` of a dose is at least `DOSE_APART` times the `planned` one or as much less; "" where not. `unit` of both is g or ml."""
    return _apart(amount, planned, "volume" if unit == "ml" else "mass", DOSE_APART, "were planned")


def weight_slip(weight_g: float, planned_g: float) -> str:
    """A sentence where a skein weighs at least `WEIGHT_APART` times what it was put up at, or as much less; "" where not. Both in grams."""
    return _apart(weight_g, planned_g, "mass", WEIGHT_APART, "were put up")


def _apart(value: float, planned: float, kind: str, apart: float, words: str) -> str:
    if value <= 0 or planned <= 0 or 1 / apart < value / planned < apart:
        return ""
    times = f"{value / planned:.2g} times the" if value > planned else f"{planned / value:.2g} times less than the"
    return f"{say(kind, value)} is {times} {say(kind, planned)} that {words}: see whether the point stands right."
