"""Keep the wet half of the washing test overnight: what was read on the wet strand, until the dry readings come."""

from __future__ import annotations

from collections.abc import Sequence

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.foundations.say import write
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.kept import Change
from skeinwright.core.yarn.relaxation import LENGTH, READING_MM, READING_PHOTO_MM, READING_WRAPS, WIDTH, WITHIN_90
from skeinwright.services.keep_relaxing import TEST
from skeinwright.services.studio import Studio
from skeinwright.services.work_out_relaxing import RelaxingRequest

WET = {
    "wet_length": ("wet_length_mm", "length", "mm", READING_MM),
    "wet_wraps": ("wet_wraps", "count", "", READING_WRAPS),
    "wet_width": ("wet_width_mm", "length", "mm", READING_PHOTO_MM),
}
"""Field -> the quantity it is kept as, its kind, unit, and one standard deviation of reading it."""


def keep_wet_strand(studio: Studio, base: int | str, request: RelaxingRequest) -> tuple[Change, ...]:
    """The changes that can be taken back. Raises NotFound, or BadInput or ManyBadInputs (`where` the field) where nothing readable was said wet."""
    read, problems = dict[str, float](), list[BadInput]()
    for field, (_, kind, _, _) in WET.items():
        typed = getattr(request, field).strip()
        try:
            if typed:
                read[field] = float(parse(kind, typed, where=field, habits=request.habits).value)
        except BadInput as problem:
            problems.append(problem)
    if not read and not problems:
        problems.append(BadInput("Type what you have read on the wet strand first.", where="wet_length"))
    if problems:
        raise ManyBadInputs(tuple(problems)) if len(problems) > 1 else problems[0]
    with studio.store.writing() as writing:
        now, name = studio.now(), writing.item("base", base).thing.name
        for field, value in read.items():
            quantity, _, unit, reading = WET[field]
            off = WITHIN_90 * reading
            kept = Calibration(TEST, "base", name, quantity, value, value - off, value + off, unit, now.date(), note="the wet half, until it is dry")
            writing.add_calibration(kept, now=now)
        return tuple(writing.made)


def wet_waiting(measured: Sequence[Calibration]) -> dict[str, str]:
    """{field: text} of wet readings, newest first in `measured`, that no finished measurement has followed yet."""
    found = {}
    for field, (quantity, kind, _, _) in WET.items():
        done = LENGTH if field == "wet_length" else WIDTH
        first = next((one for one in measured if one.quantity in (quantity, done)), None)
        if first is not None and first.quantity == quantity:
            found[field] = write(kind, first.value)
    return found
