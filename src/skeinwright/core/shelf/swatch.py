"""A swatch: one dye at one depth on one yarn, and its colour as somebody read it.

Every colour that is kept carries its illuminant and observer, because the same cloth in Lab of 2 and of 10 degrees differs by
1.5 on average and 5.6 at most (CIEDE2000, 612 dyed textiles).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Lab:
    """CIELAB 1976 under a named illuminant and observer."""

    L: float
    a: float
    b: float
    illuminant: str = "D65"
    observer: int = 10

    @property
    def values(self) -> tuple[float, float, float]:
        """(L*, a*, b*)."""
        return (self.L, self.a, self.b)


ASSUMED_UNDYED = Lab(93.0, 0.0, 8.0)
"""Undyed yarn whose colour nobody has read [assumed]."""


class Reading(StrEnum):
    """How a swatch's colour was read."""

    INSTRUMENT = "instrument"
    TYPED = "typed Lab"
    HEX = "hex"
    SHEET = "measured on the photo sheet"
    PHOTO = "picked in a photo"
    EYE = "matched by eye"


READING_SD: dict[Reading, float] = {
    Reading.INSTRUMENT: 0.5,
    Reading.TYPED: 1.0,
    Reading.HEX: 2.0,
    Reading.SHEET: 2.4,
    Reading.PHOTO: 5.0,
    Reading.EYE: 5.0,
}
"""Standard deviation of one reading in each of L*, a*, b*.

[assumed] A white-balanced photo without a card is uncertain by about 5 (the note on photographs); matching by eye on an unadjusted screen is put at the same.
A photo on the photo sheet says its own spread; 2.4 stands for one that rests on paper white alone (a radius of 6 that holds 90 %, over 2.5).
An instrument's 0.5 and a typed value's 1.0 follow the usual noise of small colorimeters, 0.7-1.5, after averaging.
"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Swatch:
    """A colour at a depth of shade (fraction of the fibre's weight, as applied)."""

    depth: float
    lab: Lab
    reading: Reading
    base: str = ""
    said: str = ""
    """What was typed, as typed ("#3a5f7b", "41.2, -8, -20")."""
    spectrum: tuple[tuple[float, float], ...] = ()
    """(wavelength nm, reflectance factor 0-1) where the colour was measured as a spectrum."""
    repeats: int = 1
    read_on: date | None = None
    own_sd: float | None = None
    """Standard deviation of each of L*, a*, b* where this reading said its own; None: that of its kind."""

    @property
    def sd(self) -> float:
        """Standard deviation of each of L*, a*, b*: its own where it has one, else its kind's; half of the variance is common to repeats [assumed]."""
        return (self.own_sd or READING_SD[self.reading]) * math.sqrt(0.5 + 0.5 / self.repeats)
