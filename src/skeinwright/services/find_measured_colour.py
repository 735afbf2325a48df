"""The measured colour of a lot, and how near it came to the lot of the same colourway before it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.measure.kept_reading import KeptReading, measured_colour
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.store import Reading

MOST_LOTS = 60


@dataclass(frozen=True, kw_only=True, slots=True)
class Nearness:
    """How far one measured lot lies from another of its colourway: CIEDE2000, the spread of that difference (90 %), who would see it."""

    lot: str
    de00: float
    spread_de00: float
    same_photo: bool
    other: KeptReading

    @property
    def is_told_apart(self) -> bool:
        """Whether the difference is more than its own spread."""
        return self.de00 > self.spread_de00

    @property
    def sentence(self) -> str:
        """In the words of an eye where the difference is more than its spread; else that no difference was found, and how fine the photos tell."""
        from skeinwright.core.colour.eye import difference_sentence

        figure = f"{self.de00:.1f} \u00b1 {self.spread_de00:.1f} (CIEDE2000)"
        if self.is_told_apart:
            return f"{difference_sentence(self.de00)} It is {figure}."
        return f"{'Their one photo' if self.same_photo else 'Their two photos'} cannot tell them apart: {figure}."


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasuredColour:
    """The colour of a lot as its newest dry skein was read, and the lot before it; None where there is none."""

    reading: KeptReading
    last: Nearness | None


def find_measured_colour(studio: Studio, lot: str) -> MeasuredColour | None:
    """The lot's measured colour; None where no dry skein of it was read. Raises NotFound for an unknown lot."""
    with studio.store.reading() as reading:
        found = reading.lot(lot.strip().upper())
        mine = newest_of(reading, found.code)
        if mine is None:
            return None
        last = _last(reading, found.code, found.colourway.name if found.colourway is not None else "", mine)
    return MeasuredColour(reading=mine, last=last)


def newest_of(reading: Reading, code: str) -> KeptReading | None:
    """The newest reading of a dry skein of the lot; None where there is none."""
    return measured_colour(kept.thing for kept in reading.readings(lot=code))


def _last(reading: Reading, code: str, colourway: str, mine: KeptReading) -> Nearness | None:
    if not colourway:
        return None
    lines = reading.lots(colourway=colourway, limit=MOST_LOTS)
    codes = [line.code for line in lines]
    for other in codes[codes.index(code) + 1 :] if code in codes else []:
        theirs = newest_of(reading, other)
        if theirs is not None and (not mine.base or not theirs.base or theirs.base == mine.base):
            return nearness(mine, theirs)
    return None


def nearness(one: KeptReading, other: KeptReading) -> Nearness:
    """How near two readings are. In one photo the camera errs alike (`core/measure/stated`); over two, both spreads together: sqrt(s1^2 + s2^2)."""
    import numpy as np

    from skeinwright.core.colour.difference import ciede2000
    from skeinwright.core.measure.stated import same_photo_spread

    same = one.photo == other.photo
    de00 = float(ciede2000(np.array(one.lab.values), np.array(other.lab.values)))
    both = float(np.hypot(one.spread_de00, other.spread_de00))
    spread = same_photo_spread(de00, max(one.spread_de00, other.spread_de00)) if same else both
    return Nearness(lot=other.lot, de00=de00, spread_de00=spread, same_photo=same, other=other)
