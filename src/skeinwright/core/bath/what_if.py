"""The same pot with a few things otherwise: more dye, more acid, hotter or cooler at the top."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from skeinwright.core.bath.ph import Bath
from skeinwright.core.bath.pot_run import AddAcid, AddDye, Event, PotRun
from skeinwright.core.bath.water_properties import boiling_point_c
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.bath.course import PotCourse

MOST_TIMES, MOST_HOTTER_C = 5.0, 40.0


@dataclass(frozen=True, slots=True)
class WhatIf:
    """All dyes and all acids times so much (0-5), and the hottest that the pot gets so much hotter or cooler (C, -40 to 40). The plain one changes nothing."""

    dye: float = 1.0
    acid: float = 1.0
    hotter_c: float = 0.0

    def __bool__(self) -> bool:
        return self != WhatIf()

    def on_bath(self, bath: Bath) -> Bath:
        """A bath with its acids changed alike."""
        return replace(bath, doses=tuple(replace(dose, amount=self.acid * dose.amount) for dose in bath.doses)) if self.acid != 1.0 else bath

    @property
    def said(self) -> str:
        """ "1.5 times the acid, 10 C hotter"; "" where nothing is changed."""
        parts = [f"{times:g} times the {what}" for times, what in ((self.dye, "dye"), (self.acid, "acid")) if times != 1.0]
        if self.hotter_c:
            parts.append(f"{abs(self.hotter_c):g} °C {'hotter' if self.hotter_c > 0 else 'cooler'}")
        return ", ".join(parts)


def what_if(run: PotRun, change: WhatIf) -> PotRun:
    """`run` with the change. Temperatures are stretched over where the pot starts,

        T' = start + (T - start)(hottest + hotter - start)/(hottest - start),   never over the boil

    at the same times; acid that the yarn brings from a soak stays as it is, and so does the water that dye and acid come in. Raises BadInput out of range.
    """
    if not (0 <= change.dye <= MOST_TIMES and 0 <= change.acid <= MOST_TIMES and abs(change.hotter_c) <= MOST_HOTTER_C):
        raise BadInput(f"Dye and acid go from 0 to {MOST_TIMES:g} times the plan's, the heat up or down by {MOST_HOTTER_C:g} °C at most.", where="what if")
    return replace(run, events=tuple(_changed(event, change) for event in run.events), programme=_warmed(run, change.hotter_c)) if change else run


def beside_the_plan(run: PotRun, change: WhatIf) -> tuple[PotRun, PotCourse | None]:
    """`run` with the change, and the centre line without it; (run, None) where nothing is changed.

    What was read was read in the pot as planned: what its pH is off the model's is carried over to the other one. Raises BadInput as `what_if` does.
    """
    from skeinwright.core.bath.process import quick_course

    if not change:
        return run, None
    planned = quick_course(run)
    return what_if(replace(run, reading=None, ph_offset=planned.ph_offset), change), planned


def _changed(event: Event, change: WhatIf) -> Event:
    if isinstance(event, AddDye):
        return replace(event, grams=tuple((name, change.dye * grams) for name, grams in event.grams))
    return replace(event, amount=change.acid * event.amount) if isinstance(event, AddAcid) else event


def _warmed(run: PotRun, hotter_c: float) -> tuple[tuple[float, float], ...]:
    start, hottest = run.programme[0][1], max(temp for _, temp in run.programme)
    if not hotter_c or hottest <= start:
        return run.programme
    stretch = max(0.0, hottest + hotter_c - start) / (hottest - start)
    boils = boiling_point_c(run.around.altitude_m)
    return tuple((time, min(boils, start + stretch * (temp - start))) for time, temp in run.programme)
