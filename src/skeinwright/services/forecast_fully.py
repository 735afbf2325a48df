"""Forecast a session in full, in the background: every step of it, with what the quick forecast leaves out."""

from __future__ import annotations

from collections.abc import Callable

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.services.map_colourway import key_of_full, map_colourway, remembered
from skeinwright.services.run_in_background import Job, Tell, run_in_background
from skeinwright.services.studio import Studio


def forecast_fully(studio: Studio, colourway: Colourway, *, base: str = "", then: Callable[[str], str] | None = None) -> Job | None:
    """The job whose result is the key of the full map, which `map_colourway` then has in memory; the same question while it runs, or while the map is
    remembered, is the same job. None where there is no full forecast: an even bath.

    `then` gives the address at which a page goes on, from the map's key. Raises BadInput where the base cannot be.
    """
    key = key_of_full(studio, colourway, base=base)
    if key is None:
        return None

    def work(tell: Tell) -> str:
        return map_colourway(studio, colourway, base=base, full=True, progress=tell).key

    is_known = remembered(key) is not None
    return run_in_background(studio, "Full forecast", work, key=f"full forecast {key}", then="" if then is None else then(key), fresh=is_known)
