"""Begin to try a kept colourway with other values, in the background."""

from __future__ import annotations

from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.map_colourway import key_of_full
from skeinwright.services.run_in_background import Job, Tell, run_in_background
from skeinwright.services.studio import Studio
from skeinwright.services.try_what_if import WhatIf, WhatIfRequest, read_what_if, try_what_if

WHAT = "What if"


def begin_what_if(studio: Studio, request: WhatIfRequest) -> Job:
    """The job whose result is the `WhatIf`; the same question soon after is the same job. Raises at once as `read_what_if` does."""
    asked = read_what_if(studio, request)
    kept = get_colourway(studio, request.colourway)
    rests_on = key_of_full(studio, kept.thing, base=request.base)

    def work(tell: Tell) -> WhatIf:
        return try_what_if(studio, request, tell=tell)

    said = (kept.id, kept.revision, rests_on, asked.down.key, asked.down_values, asked.across.key, asked.across_values, studio.seed)
    return run_in_background(studio, WHAT, work, key=f"what if {said!r}")
