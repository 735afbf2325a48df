"""What was done in a pot, kept as a colourway: the way back from a record to steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.lot import Entry, Lot, Planned
from skeinwright.core.lot.said_doses import STANDING, with_doses
from skeinwright.core.lot.state import Doing, LotState, state_of, vessels_of

SHORTEST_WAIT_MIN = 3.0
"""A pause between two steps of an unplanned pot that is kept as a step of its own [assumed]."""
_KEEP_TIME = ("hold", "wait", "steam", "soak", "withdraw", "cool")


def keep(lot: Lot, entries: Sequence[Entry], name: str, *, vessel: str = "") -> Colourway:
    """A colourway of the steps that were really done in one vessel (the first, if none is named), in the order in which they happened.

    Skipped steps are left out, deviations take the place of the plan, extras become steps. In an unplanned pot a pause of 3 minutes or more
    is kept as `wait`. Raises BadInput where nothing was done.
    """
    state = state_of(lot, entries)
    chosen = vessel or vessels_of(lot)[0]
    done = steps_done(lot, state, chosen)
    if not done:
        raise BadInput("Nothing was done in this pot yet, so there is nothing to keep.", where="lot")
    steps = _with_waits(done) if lot.unplanned else tuple(step for _, step in done)
    rows = [row for row in lot.rows if row.vessel == chosen]
    numbers = {row.number for row in rows}
    fibre_g = sum(row.fibre_g for row in rows) or sum(entry.value or 0.0 for entry in state.weights if entry.row in numbers)
    base = Colourway(name=name) if lot.colourway is None else replace(lot.colourway, name=name)
    return replace(
        base,
        steps=steps,
        fibre=say("mass", fibre_g) if fibre_g else base.fibre,
        bases=tuple(dict.fromkeys(row.base for row in rows if row.base)) or base.bases,
        vessel=chosen or base.vessel,
        water_volume=_standing(lot, state, chosen) or base.water_volume,
        notes=f"Kept from lot {lot.code}.",
    )


def _standing(lot: Lot, state: LotState, vessel: str) -> str:
    """The water that stood in the vessel, of this lot's own amount; "" where none did."""
    doings = [state.doing(planned.number, vessel) for planned in lot.plan]
    found = [dose for doing in doings for dose in (doing.actual or doing.planned) if dose.name == STANDING]
    return say("volume", found[0].amount) if found else ""


def steps_done(lot: Lot, state: LotState, vessel: str) -> list[tuple[datetime, Step]]:
    """(when, step) of all that was really done in one vessel, in the order in which it happened."""
    return sorted(_done(lot, state, vessel), key=lambda pair: pair[0])


def _done(lot: Lot, state: LotState, vessel: str) -> list[tuple[datetime, Step]]:
    found: list[tuple[datetime, Step]] = []
    for planned in lot.plan:
        doing = state.doing(planned.number, vessel)
        if doing.how == "done" and doing.at is not None:
            found.append((doing.at, as_done(planned, doing)))
    found += [(extra.at, Step(extra.about or "note", MappingProxyType(_said(extra)))) for extra in state.extras if extra.vessel in ("", vessel)]
    return found


def _said(extra: Entry) -> dict[str, str]:
    """What the step said; an extra without a step word is kept as a note."""
    return {"text": extra.text} if extra.about in ("", "note") and not extra.said else dict(extra.said)


def as_done(planned: Planned, doing: Doing) -> Step:
    """A planned step with the values that were really taken in one vessel."""
    said = dict(planned.step.said)
    for entry in doing.instead:
        if entry.about in said:
            said[entry.about] = f"{entry.value:g} {entry.unit}".strip() if entry.value is not None else entry.text
    return with_doses(Step(planned.step.do, MappingProxyType(said)), doing.actual)


def _with_waits(done: Sequence[tuple[datetime, Step]]) -> tuple[Step, ...]:
    steps: list[Step] = []
    for (at, step), (next_at, _) in zip(done, [*done[1:], done[-1]], strict=True):
        steps.append(step)
        minutes = (next_at - at).total_seconds() / 60
        if minutes >= SHORTEST_WAIT_MIN and not (step.do in _KEEP_TIME and step.get("time")):
            steps.append(Step("wait", MappingProxyType({"time": f"{minutes:.0f} min"})))
    return tuple(steps)
