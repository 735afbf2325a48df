"""What stands on the slate by the door today."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.say import say
from skeinwright.core.lot.lot import Lot
from skeinwright.core.lot.said_doses import sentence_in
from skeinwright.core.lot.state import LotState, state_of
from skeinwright.core.shelf.items import Acid, Auxiliary, Dye
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.facts import LotLine

LOW_SHARE = 0.15
"""A jar or pack with less than this share left is running low [assumed]."""
MOST_LINES = 12


@dataclass(frozen=True, slots=True)
class SlateLine:
    """One line: what, what of it, and the lot or the thing of the shelf that it leads to."""

    what: str
    says: str
    lot: str = ""
    kind: str = ""
    id: int = 0


@dataclass(frozen=True, slots=True)
class Slate:
    """The sections of the slate; each may be empty."""

    hot_now: tuple[SlateLine, ...] = ()
    """Pots with their next act."""
    next: tuple[SlateLine, ...] = ()
    drying: tuple[SlateLine, ...] = ()
    to_photograph: tuple[SlateLine, ...] = ()
    running_low: tuple[SlateLine, ...] = ()

    @property
    def is_quiet(self) -> bool:
        """True where no lot wants anything; something may still be running low."""
        return not (self.hot_now or self.next or self.drying or self.to_photograph)


def list_today(studio: Studio) -> Slate:
    """The slate: pots of lots under way, lots planned, skeins hung up, finished lots without a photo, and what runs low on the shelf."""
    with studio.store.reading() as reading:
        under_way = [(one, reading.lot(one.code), reading.entries(one.code)) for one in reading.lots(status="under way", limit=MOST_LINES)]
        planned = reading.lots(status="planned", limit=MOST_LINES)
        finished = reading.lots(status="finished", limit=MOST_LINES)
        kept = [each for kind in ("dye", "acid", "auxiliary") for each in reading.items(kind)]
    lines = [_pots(one, lot, state_of(lot, entries)) for one, lot, entries in under_way]
    return Slate(
        hot_now=tuple(line for hot, _ in lines for line in hot),
        next=tuple(SlateLine(f"{one.code} {one.title}", _skeins(one.skeins), lot=one.code) for one in planned),
        drying=tuple(line for _, hung in lines for line in hung),
        to_photograph=tuple(SlateLine(f"{one.code} {one.title}", _skeins(one.skeins), lot=one.code) for one in finished if one.photo is None),
        running_low=tuple(line for each in kept if (line := _low(each.id, each.thing)) is not None)[:MOST_LINES],
    )


def _pots(one: LotLine, lot: Lot, state: LotState) -> tuple[list[SlateLine], list[SlateLine]]:
    """The pots of one lot that have something to do, and those whose skeins hang."""
    hot, hung = [], []
    for vessel, number in state.next_step.items():
        what = f"{vessel}, {one.code} {one.title}" if vessel else f"{one.code} {one.title}"
        if _is_hung(lot, state, vessel):
            hung.append(SlateLine(what, _skeins(sum(row.skeins for row in lot.rows if row.vessel == vessel)), lot=one.code))
        else:
            hot.append(SlateLine(what, _next_act(lot, state, vessel, number), lot=one.code))
    return hot, hung


def _is_hung(lot: Lot, state: LotState, vessel: str) -> bool:
    """True where the yarn of this pot hangs: by a planned step that is done, or by an act that was not planned."""
    planned = any(step.step.do == "hang" and state.doing(step.number, vessel).how == "done" for step in lot.plan)
    return planned or any(extra.about == "hang" and extra.vessel in ("", vessel) for extra in state.extras)


def _next_act(lot: Lot, state: LotState, vessel: str, number: int | None) -> str:
    """The next planned act with this pot's own amounts; where none is left, what there is to do."""
    planned = next((step for step in lot.plan if step.number == number), None)
    if planned is not None:
        return sentence_in(planned, vessel)
    if lot.plan:
        return "all is done: weigh, photograph, finish"
    return f"no plan; last: {state.extras[-1].text}" if state.extras else "no plan: note what you do"


def _low(id: int, item: object) -> SlateLine | None:
    match item:
        case Dye(on_hand_g=float(left), jar_g=float(full)) if left < LOW_SHARE * full:
            return SlateLine(item.name, f"{say('mass', left)} left of {say('mass', full)}", kind=item.kind, id=id)
        case Acid() | Auxiliary() if item.on_hand_g is not None and item.pack_g is not None and item.on_hand_g < LOW_SHARE * item.pack_g:
            return SlateLine(item.name, f"{say('mass', item.on_hand_g)} left of {say('mass', item.pack_g)}", kind=item.kind, id=id)
    return None


def _skeins(count: int) -> str:
    return "1 skein" if count == 1 else f"{count} skeins"
