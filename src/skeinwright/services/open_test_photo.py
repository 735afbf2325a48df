"""Read the photo of a test on the photo sheet ahead of its form, so that what is wrong with it is said at once and working it out is quick."""

from __future__ import annotations

from skeinwright.services._sheet_photo import BOTH_WINDOWS, read_sheet_photo
from skeinwright.services.make_own_test import own_test
from skeinwright.services.run_in_background import Tell
from skeinwright.services.studio import Studio


def open_test_photo(studio: Studio, key: str, photo: str, tell: Tell | None = None) -> tuple[str, ...]:
    """What to be careful about in the kept photo of this number for the test of this key; the reading itself is remembered.

    Takes a second or more for a large photo: `tell`, where given, is told how far it is, and what it raises ends the work.
    Raises BadInput with `where` "photo" where it cannot be read, NotFound for an unknown test.
    """
    test = own_test(key)
    if test.photo != "sheet":
        raise ValueError(f"{key} reads no photo of the photo sheet")
    found, _ = read_sheet_photo(studio, photo, outlines=(BOTH_WINDOWS,) if key == "footprint" else (), tell=tell)
    return found.warnings
