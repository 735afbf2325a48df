"""Minutes of open powder of a lot, planned and as its ticks tell them.

A step that opens dry dye keeps the jar open while the hands are at it: planned by the step's own minutes. What was really taken is counted from the tick before
to the tick of that step, in the same vessel: at most so long, since waiting may be in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.lot import Lot, Planned
from skeinwright.core.lot.state import Doing, LotState

OPENS = "powder"
"""The caution that every step with open powder carries."""
LONGEST_MIN = 30.0
"""A longer gap between two ticks is a pause, not an open jar: it counts as the planned minutes."""


@dataclass(frozen=True, slots=True)
class OpenPowder:
    """How many steps open powder, how many of them are done, and the minutes: planned for all, and at most for those done."""

    steps: int
    done: int
    planned_min: float
    logged_min: float

    @property
    def sentence(self) -> str:
        """For the sheet; "" where no powder is opened."""
        if not self.steps:
            return ""
        planned = f"Open powder: {say('time', 60 * self.planned_min)} planned in {self.steps} step{'s' if self.steps > 1 else ''}"
        return f"{planned}; {_said(self.logged_min)} at most in the {self.done} done." if self.done else f"{planned}."


def _said(minutes: float) -> str:
    """Whole minutes: two taps on a screen tell no seconds."""
    return "1 min" if minutes < 1 else say("time", 60 * round(minutes))


def open_powder(lot: Lot, state: LotState) -> OpenPowder:
    """The minutes of open powder of a lot as it stands."""
    opening = [planned for planned in lot.plan if OPENS in planned.cautions]
    doings = [(planned, doing) for planned in opening for (step, _), doing in state.doings.items() if step == planned.number and doing.how != "skipped"]
    done = [(planned, doing) for planned, doing in doings if doing.how == "done"]
    planned_min = sum(_hands_min(planned) for planned, _ in doings)
    logged = sum(_took_min(planned, doing, state) for planned, doing in done)
    return OpenPowder(len(doings), len(done), planned_min, logged)


def _hands_min(planned: Planned) -> float:
    return WORDS[planned.step.do].hands_s / 60


def _took_min(planned: Planned, doing: Doing, state: LotState) -> float:
    earlier = [other.at for (step, vessel), other in state.doings.items() if vessel == doing.vessel and step < planned.number and other.at is not None]
    before: datetime | None = max((at for at in earlier if doing.at is not None and at <= doing.at), default=None)
    if before is None or doing.at is None:
        return _hands_min(planned)
    minutes = (doing.at - before).total_seconds() / 60
    return minutes if 0 < minutes <= LONGEST_MIN else _hands_min(planned)
