"""A colour that was read from a photograph and kept: of which yarn, wet or dry, with its spread and what it rests on.

The newest dry reading of a skein of a lot is that lot's measured colour.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, ClassVar

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import Lab

WHATS = ("swatch", "skein", "knitted", "strand")
STATES = ("dry", "wet")
RADIUS_OVER_SD = 2.5
"""A ball of this many standard deviations holds 90 % of a normal spread in three dimensions: sqrt of chi squared with 3 degrees at 0.9 is 2.500."""


@dataclass(frozen=True, kw_only=True, slots=True)
class KeptReading:
    """One piece of yarn in one photo. `photo` is its number, `lot`, `base` and `dye` are "" where not said; `lab` is the mean over the piece's area.

    `spread_de00` is the radius that is meant to hold 90 %; `document` is the JSON of the whole reading, as it can be read again.
    """

    made_at: datetime
    photo: int
    lot: str = ""
    base: str = ""
    dye: str = ""
    what: str = "skein"
    state: str = "dry"
    label: str = ""
    lab: Lab
    spread_de00: float
    document: str = "{}"
    kind: ClassVar[str] = "reading"

    def __post_init__(self) -> None:
        if self.what not in WHATS or self.state not in STATES:
            raise BadInput(f"A reading is of a {', '.join(WHATS)}, dry or wet.", where="what")
        if not all(math.isfinite(one) for one in (*self.lab.values, self.spread_de00)) or self.spread_de00 <= 0:
            raise BadInput("A reading is a colour with its spread.", where="lab")

    @property
    def name(self) -> str:
        """What the journal calls it: "the colour of lot 2026-11-24-B", "the colour of piece 2"."""
        return f"the colour of {self.said_of}"

    @property
    def said_of(self) -> str:
        """Which yarn, in a few words."""
        if self.label:
            return self.label
        return f"lot {self.lot}" if self.lot else f"a {self.what} with {self.dye}" if self.dye else f"a {self.what}"

    @property
    def sd(self) -> float:
        """Standard deviation in each of L*, a*, b*, the same in all [assumed]."""
        return self.spread_de00 / RADIUS_OVER_SD

    @property
    def details(self) -> dict[str, Any]:
        """The document as data; empty where it cannot be read."""
        try:
            found = json.loads(self.document)
        except ValueError:
            return {}
        return found if isinstance(found, dict) else {}


def measured_colour(readings: Iterable[KeptReading]) -> KeptReading | None:
    """The measured colour of a lot among its readings, listed newest first: the first dry one of a skein; None where there is none."""
    return next((one for one in readings if one.what == "skein" and one.state == "dry"), None)
