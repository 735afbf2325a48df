"""Read the photo of a kept reading again, as it was asked then."""

from __future__ import annotations

from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.services.measure_kept_photo import MeasureKeptPhoto, PhotoFigures, measure_kept_photo
from skeinwright.services.studio import Studio


def read_again(studio: Studio, reading: KeptReading) -> tuple[PhotoFigures, int]:
    """The figures, and the number of the reading's piece among them. Raises NotFound, or BadInput where its printer is no longer known."""
    said = reading.details
    outlines = tuple(tuple((float(x), float(y)) for x, y in outline) for outline in said.get("outlines") or ())
    request = MeasureKeptPhoto(
        photo=reading.photo,
        reference=str(said.get("reference", "")),
        form=str(said.get("form", "dyed")),
        state=reading.state,
        printer=str(said.get("printer", "")),
        outlines=outlines,
    )
    return measure_kept_photo(studio, request), int(said.get("piece", 1))
