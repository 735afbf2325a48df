"""Find work that runs in the background, or ran a little while ago."""

from __future__ import annotations

from skeinwright.core.foundations.errors import NotFound
from skeinwright.services.run_in_background import Job, jobs_of
from skeinwright.services.studio import Studio


def find_job(studio: Studio, token: str) -> Job:
    """The job of this token. Raises NotFound where it is unknown or forgotten."""
    found = next((job for job in jobs_of(studio) if job.token == token), None)
    if found is None:
        raise NotFound("This work is not known any more: the studio was closed meanwhile, or it was long ago. Start it again.")
    return found
