"""A colour brought to the light and observer of another, so that the two can be compared."""

from __future__ import annotations

from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import Lab


def bring_to_light(lab: Lab, *, like: Lab) -> tuple[str, str]:
    """The colour as typed Lab under the light and observer of `like`, and what was taken for granted ("" where nothing had to change)."""
    from skeinwright.core.colour.recover import change_observer

    there, added = change_observer(lab, illuminant=like.illuminant, observer=like.observer)
    L, a, b = (round(value, 2) for value in there.values)
    text = write_lab(Lab(L, a, b, there.illuminant, there.observer))
    if not added:
        return text, ""
    light = f"{like.illuminant}, {like.observer} degree"
    return text, f"The target was brought to {light} through the smoothest spectrum that has its colour; that may be off by {added:g}."
