"""Forecast a session in full, in the background: every step of it, with what the quick forecast leaves out."""

from __future__ import annotations

from collections.abc import Callable

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.services.map_colourway import MappedColourway, key_of_full, map_colourway
from skeinwright.services.run_in_background import Job, Tell, run_in_background
from skeinwright.services.studio import Studio


def forecast_fully(studio: Studio, colourway: Colourway, *, base: str = "", then: Callable[[str], str] | None = None) -> Job | None:
    """The job whose result is the full `MappedColourway`; the same question while it runs, or soon after, is the same job. None for an even bath.

    `then` gives the address at which a page finds the result, from the map's key. Raises BadInput where the base cannot be.
    """
    key = key_of_full(studio, colourway, base=base)
    if key is None:
        return None

    def work(tell: Tell) -> MappedColourway:
        return map_colourway(studio, colourway, base=base, full=True, progress=tell)

    return run_in_background(studio, "Full forecast", work, key=f"full forecast {key}", then="" if then is None else then(key))
