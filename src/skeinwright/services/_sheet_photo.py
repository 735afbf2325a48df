"""A kept photo on the photo sheet, read for a test: the evened picture of the window with its scale."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.services.check_ruler import ruler_of
from skeinwright.services.find_photo import find_photo
from skeinwright.services.measure_photo import MeasurePhoto, Outline, measure_photo
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.measure.reading import PhotoReading
    from skeinwright.services.run_in_background import Tell

BOTH_WINDOWS: Outline = ((47.0, 52.0), (241.0, 52.0), (241.0, 158.0), (47.0, 158.0))
"""Inside the window of the A4 and of the letter sheet (mm on the page)."""
MOST = 2
"""Photos whose reading is remembered, the least used forgotten first: tens of megabytes each."""

_kept: OrderedDict[tuple[object, ...], tuple[PhotoReading, tuple[str, ...]]] = OrderedDict()
_lock = Lock()


def read_sheet_photo(studio: Studio, photo: str, *, outlines: tuple[Outline, ...] = (), tell: Tell | None = None) -> tuple[PhotoReading, tuple[str, ...]]:
    """(the reading, what it assumes) of the kept photo with this number. The ruler check of the last printer counts. Read once: it is remembered for a while.

    Raises BadInput with `where` "photo" where there is no such photo, or it was refused: then the sentence says why.
    """
    if not photo.isdigit():
        raise BadInput("Take a photo of it on the photo sheet first.", where="photo", text=photo)
    try:
        path = find_photo(studio, int(photo))
    except NotFound as error:
        raise BadInput(error.sentence, where="photo", text=photo) from error
    with studio.store.reading() as reading:
        printers = reading.settings().printers
    ruler = ruler_of("", printers)
    key = (path, ruler, outlines, studio.seed)
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    found = measure_photo(MeasurePhoto(photo=path.read_bytes(), ruler=ruler, outlines=outlines, seed=studio.seed), tell)
    if found.verdict == "refuse" or found.reading is None or found.reading.window is None:
        raise BadInput(f"This photo cannot be read: {' '.join(found.messages)}", where="photo", text=photo)
    read = found.reading, (*found.warnings, *found.assumed)
    with _lock:
        _kept[key] = read
        while len(_kept) > MOST:
            _kept.popitem(last=False)
    return read
