"""The views that can be drawn, by the words of the screen."""

from __future__ import annotations

from collections.abc import Callable

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.knitted import knitted
from skeinwright.core.picture.laid_open import laid_open
from skeinwright.core.picture.light import Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.strand import close_up
from skeinwright.core.picture.twisted import twisted

VIEWS: dict[str, Callable[..., Light]] = {"twisted": twisted, "laid open": laid_open, "knitted": knitted, "close up": close_up}
"""Word -> light of (look, *, width, height, seed)."""


def view_light(view: str, look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1) -> Light:
    """The light of one view of a base, cached by its arguments. Raises BadInput for another word than those of `VIEWS`."""
    if view not in VIEWS:
        raise BadInput(f"The views are {', '.join(VIEWS)}.", where="view", text=view)
    return VIEWS[view](look, width=width, height=height, seed=seed)
