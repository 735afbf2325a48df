"""Stop all work that runs in the background: the studio is being closed."""

from __future__ import annotations

import time

from skeinwright.services.run_in_background import jobs_of
from skeinwright.services.studio import Studio

PATIENCE_S = 5.0
"""How long the closing waits for work to notice."""


def stop_jobs(studio: Studio, *, patience_s: float = PATIENCE_S) -> int:
    """Asks every job of the studio to end, waits for them up to `patience_s` together, and returns how many still run. From here on they end without a word."""
    running = [job for job in jobs_of(studio) if job.state == "running"]
    for job in running:
        job.stop()
    end = time.monotonic() + patience_s
    for job in running:
        job.wait(max(0.0, end - time.monotonic()))
    return sum(job.state == "running" for job in running)
