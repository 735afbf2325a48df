"""A photo read for a page: in the background, so that a large one can be waited for and stopped; read once for the pages that ask alike."""

from __future__ import annotations

from starlette.requests import Request

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.get_settings import get_settings
from skeinwright.services.measure_kept_photo import MeasureKeptPhoto, PhotoFigures, measure_kept_photo
from skeinwright.services.run_in_background import Job, Tell, run_in_background
from skeinwright.web.measure_ask import Asked, key_of
from skeinwright.web.page import studio_of

WAIT_S = 0.6
"""A photo that is read within this is shown without a line that fills."""
LONG_S = 60.0


def reading_of(request: Request, photo: int, asked: Asked, then: str = "", wait_s: float = WAIT_S) -> PhotoFigures | BadInput | Job:
    """The figures, or what is wrong with what was asked, or the job that is still at it (or failed)."""
    studio = studio_of(request)
    try:
        wanted = asked.request(photo)
    except BadInput as problem:
        return problem

    def work(tell: Tell) -> PhotoFigures | BadInput:
        tell(0.1, "Opening the photo.")
        found: PhotoFigures | BadInput
        try:
            found = measure_kept_photo(studio, wanted, tell)
        except BadInput as problem:  # it belongs beside its field, not to the job
            found = problem
        return found

    job = run_in_background(studio, "Reading the photo.", work, key=key_of(wanted, get_settings(studio).printers), then=then).wait(wait_s)
    if job.state == "done":
        result: PhotoFigures | BadInput = job.result
        return result
    return job


def figures_of(request: Request, asked: MeasureKeptPhoto, typed: Asked) -> PhotoFigures:
    """The figures for something that is to be kept now; waits for them. Raises BadInput."""
    found = reading_of(request, asked.photo, typed, wait_s=LONG_S)
    if isinstance(found, BadInput):
        raise found
    if isinstance(found, Job):
        raise BadInput(found.error or "The photo is still being read. Wait until it is, and keep it then.", where="photo")
    return found
