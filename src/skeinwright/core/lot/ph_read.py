"""The pH that was read in a lot's pot, as it corrects the model."""

from __future__ import annotations

from skeinwright.core.bath.uptake_of_acid import METER_HALF_WIDTH, STRIP_HALF_WIDTH
from skeinwright.core.lot.in_pot import ReadPh, brings_dye
from skeinwright.core.lot.lot import Entered, Entry, Lot
from skeinwright.core.lot.state import LotState


def ph_read(lot: Lot, state: LotState, vessel: str) -> ReadPh | None:
    """The last pH in the record of this vessel that was read before any dye went in, else the last one of all; None where none was read.

    An entry that names no step belongs to the last step that was done by then. It counts as read with a strip, +-0.5, unless its words name a meter, +-0.1.
    """
    found = [(entry, _step_of(lot, state, entry, vessel)) for entry in state.readings if entry.what is Entered.PH and entry.vessel in ("", vessel)]
    known = [(entry, step) for entry, step in found if step and entry.value is not None]
    if not known:
        return None
    coloured_from = next((one.number for one in lot.plan if brings_dye(one)), len(lot.plan) + 1)
    clear = [pair for pair in known if pair[1] < coloured_from]
    entry, step = (clear or known)[-1]
    by_meter = "meter" in f"{entry.about} {entry.text}".casefold()
    return ReadPh(entry.value or 7.0, step, METER_HALF_WIDTH if by_meter else STRIP_HALF_WIDTH)


def _step_of(lot: Lot, state: LotState, entry: Entry, vessel: str) -> int:
    """The number of the step that it was read after; 0 where none was done by then."""
    if entry.step is not None:
        return entry.step
    done = [(at, one.number) for one in lot.plan if (at := state.doing(one.number, vessel).at) is not None and at <= entry.at]
    return max(done)[1] if done else 0
