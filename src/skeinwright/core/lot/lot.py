"""A lot: what was to be done, on which skeins, in which pots; and the record of what was done.

*The plan is the record.* A lot is started from a colourway (or from nothing: an unplanned pot) and keeps its own copy of the plan. What happens is a list of
entries that is only ever added to: a tick, a number that differs from the plan, a weight, a note, a photo, a correction. The state of the lot is computed
from the list (`lot.state`), so a number once recorded is never overwritten and each correction stays visible.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from skeinwright.core.colourway.colourway import Colourway, Step


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """Skeins of one base in one vessel. `mark` is the wet identity: a tag number or ties ("2 ties"), asked for at the rinse."""

    number: int
    base: str
    skeins: int
    skein_g: float
    vessel: str
    mark: str = ""
    over: str = ""
    """The ground: empty for undyed yarn, or the code of the lot that is dyed over."""

    @property
    def fibre_g(self) -> float:
        """Weight of fibre in this row: skeins * skein_g."""
        return self.skeins * self.skein_g


@dataclass(frozen=True, kw_only=True, slots=True)
class Dose:
    """What one step takes out of the shelf for one vessel. `unit` is g or ml."""

    vessel: str
    kind: str
    """The shelf kind: dye, solution, blend, acid, auxiliary, leftover, or "water"."""
    name: str
    amount: float
    unit: str
    said: str = ""
    """As it is printed: "11.3 ml", "2 tsp (9.9 ml)"."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Planned:
    """One step of the plan with its sentence, its doses and when it starts, in minutes after the start of the lot (None: not known)."""

    number: int
    step: Step
    sentence: str
    doses: tuple[Dose, ...] = ()
    start_min: float | None = None
    minutes: float | None = None
    cautions: tuple[str, ...] = ()
    """Keys of `core.safety` cautions that belong to this step."""
    cautions_in: tuple[tuple[str, str], ...] = ()
    """(vessel, key): cautions that hold for one vessel only (an aluminium pan, a heavy lift)."""
    notes: tuple[str, ...] = ()
    """Sentences about this step's numbers: what was assumed, what to look at."""


@dataclass(frozen=True, slots=True)
class ShelfFact:
    """What a thing on the shelf was when the lot was started ("batch 12, 80 %"), so that two lots can be compared later."""

    kind: str
    name: str
    said: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Lot:
    """The plan of one lot. `code` is the day and a letter: 2026-11-24-B."""

    code: str
    day: date
    title: str
    colourway: Colourway | None
    rows: tuple[Row, ...]
    plan: tuple[Planned, ...]
    unplanned: bool = False
    copied_from: str = ""
    old: bool = False
    """True for a lot copied out of an old notebook: half of its facts may be missing."""
    notes: str = ""
    when_said: str = ""
    """The day as typed where it is not known to the day ("2019", "spring 2021"); `day` is then the first day it can mean."""
    assumed: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    shelf: tuple[ShelfFact, ...] = ()
    key: str = ""
    """The key of the request that started it; unique where there is one. A request that comes twice starts one lot."""


class Entered(StrEnum):
    """Kinds of entries in a lot's record."""

    TICK = "tick"
    UNTICK = "untick"
    INSTEAD = "instead"  # a step was done with another number: slot in `about`, value and unit; for an amount also `doses`
    EXTRA = "extra"  # something not in the plan: a step word in `about`, its values in `said`, its sentence in `text`, what it took in `doses`
    SKIP = "skip"
    WEIGHT = "weight"  # a skein's weight; row in `row`, skein number in `about`
    WET_WEIGHT = "wet weight"
    PH = "pH"
    TEMPERATURE = "temperature"
    MARK = "mark"  # the wet identity seen at the rinse
    NOTE = "note"
    PHOTO = "photo"
    CORRECTION = "correction"  # takes the place of entry `replaces`, which stays legible; `about` "withdrawn" puts nothing in its place
    FINISH = "finish"


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """One line of the record. `at` is when it happened, `entered_at` when it was written down."""

    id: int | None = None
    lot: str
    what: Entered
    at: datetime
    entered_at: datetime
    step: int | None = None
    vessel: str = ""
    row: int | None = None
    about: str = ""
    value: float | None = None
    unit: str = ""
    text: str = ""
    photo: int | None = None
    replaces: int | None = None
    said: tuple[tuple[str, str], ...] = ()
    """(slot, value as typed) of an EXTRA, so that it can be kept as a step."""
    doses: tuple[Dose, ...] = ()
    """What was really taken from the shelf: for an EXTRA, and for an INSTEAD that changes an amount."""
    key: str = ""
    """The key of the request that wrote this line; unique within the lot where there is one. A request that comes twice writes once."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Use:
    """What an entry took from the shelf (or gave back, when negative): the ledger books these."""

    entry: int | None = None
    lot: str
    kind: str
    name: str
    amount: float
    unit: str
