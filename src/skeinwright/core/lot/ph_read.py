"""The pH that was read in a lot's pot, as it corrects the model."""

from __future__ import annotations

from skeinwright.core.bath.uptake_of_acid import METER_HALF_WIDTH, STRIP_HALF_WIDTH
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import read_number
from skeinwright.core.lot.in_pot import ReadPh, brings_dye
from skeinwright.core.lot.lot import Entered, Entry, Lot
from skeinwright.core.lot.state import LotState

READ_WITH = {"strip": STRIP_HALF_WIDTH, "meter": METER_HALF_WIDTH}
LOWEST_PH, HIGHEST_PH = 1.0, 11.0


def typed_ph(ph: str, by: str, step: str) -> ReadPh | None:
    """A pH as typed, what it was read with ("strip" or "meter") and the number of the step after which; None where none is typed. Raises BadInput."""
    if not ph.strip():
        return None
    try:
        value = float(read_number(ph, where="pH").value)
    except BadInput:
        value = float("nan")
    if not LOWEST_PH <= value <= HIGHEST_PH:
        raise BadInput("A pH in a dye pot is a figure between 1 and 11, such as 4.5.", where="pH", text=ph)
    if by not in READ_WITH:
        raise BadInput("A pH is read with a strip or with a meter.", where="read with", text=by)
    if not step.isdigit() or int(step) < 1:
        raise BadInput("Say after which step the pH was read: it is compared with the model's at that moment.", where="pH")
    return ReadPh(value, int(step), READ_WITH[by])


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
