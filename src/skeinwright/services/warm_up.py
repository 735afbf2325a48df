"""Warm the studio up: the inner loops of pots, of spreading and of pictures are made ready in the background, and a page can show how far it is."""

from __future__ import annotations

from collections.abc import Callable

from skeinwright.services.run_in_background import Job, jobs_of, run_in_background
from skeinwright.services.studio import Studio

KEY = "warm up"
WHAT = "Getting the pictures ready. It takes longest the first time; pages that are opened meanwhile wait for what they need."
PICTURES_FROM = 0.5
"""Share of the way at which pictures begin [by eye: the first time pots and spreading compile for about as long]."""


def warm_up(studio: Studio) -> Job:
    """Starts it, once: the same job while it runs, and for some minutes after."""
    return run_in_background(studio, WHAT, _warm, key=KEY)


def warming(studio: Studio) -> Job | None:
    """The job while it still runs, else None."""
    return next((job for job in jobs_of(studio) if job.key == KEY and job.state == "running"), None)


def _warm(tell: Callable[[float, str], None]) -> None:
    from skeinwright.services.warm_pictures import warm_pictures
    from skeinwright.services.warm_pots import warm_pots
    from skeinwright.services.warm_spread import warm_spread

    tell(0.0, "Getting pots ready.")
    warm_pots()
    tell(0.2, "Getting the spreading of dye ready.")
    warm_spread()

    def told(done: int, of: int, what: str) -> None:
        said = f"Getting pictures ready: {what}." if done < of else "Pictures are ready."
        tell(PICTURES_FROM + (1.0 - PICTURES_FROM) * done / of, said)

    warm_pictures(told)
