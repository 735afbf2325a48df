"""Stop work that runs in the background."""

from __future__ import annotations

from skeinwright.services.find_job import find_job
from skeinwright.services.run_in_background import Job
from skeinwright.services.studio import Studio


def stop_job(studio: Studio, token: str) -> Job:
    """Asks the job to end: it does so as soon as it next tells how far it is. One that is over stays as it is. Raises NotFound."""
    job = find_job(studio, token)
    if job.state == "running":
        job.stop()
    return job
