"""How far a pot's steps are followed: what comes before the bath is passed over, what ends it ends the run, and what no law covers is said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from skeinwright.core.bath.pot_run import Event, PourOff, litres_in

Fate = Literal["follow", "pass over", "end", "stop"]

_FILLS = ("fill", "add water", "top up")
_ENDS = ("rinse", "spin", "hang", "re-skein")
_OUT = ("squeeze", "move")
"""The yarn comes out of the bath: the end of it, where nothing more is done to it in a bath."""
_STILL = (*_ENDS, *_OUT, "wait", "cool", "note", "turn", "open up", "lid on", "lid off", "tie off", "pour off")
_BY_HAND = ("sprinkle", "pour", "paint", "dip", "ice")
_WHY = {
    "steam": "how much goes on in steam is not known here",
    "ice": "what melts, and where it carries dye, is another forecast",
    "move": "the yarn goes on in another vessel. Write what follows as a colourway of its own, over a lot of this one",
    "squeeze": "the yarn is lifted and goes on with less water in it, which is not known here",
    "remove colour": "what is taken off again is not known here; a trial piece tells",
    "add soda": "soda loosens dye that is on the yarn, by how much is not known here; a trial piece tells",
}
POUR_SLACK = 1.02
"""So much more than there is may be a round figure."""
NO_BATH = (
    "There is no bath to follow: the dye is laid on the yarn by hand, and the forecast on the skein says where it goes. "
    "Put a 'fill' where the yarn does go into a bath."
)


def fate(do: str, later: Sequence[str], *, filled: bool, dyed: bool) -> Fate:
    """What becomes of the run at a step, from the words of those after it; `filled` and `dyed` say whether water and dye are in the pot already.

    Yarn that is reeled, soaked, spun or squeezed before there is a bath comes to it later: that is passed over. A squeeze or a move to another vessel ends
    the bath where no more bath comes after it.
    """
    if do in (*_ENDS, *_OUT) and not filled and not dyed:
        return "pass over"
    if do in _ENDS:
        return "end"
    if do in _OUT and all(word in _STILL for word in later):
        return "end"
    return "stop" if do in _WHY else "follow"


def why_not(number: int, do: str) -> str:
    """Where a forecast ends and why, in a sentence."""
    return f"Not forecast after step {number} ({do}): {_WHY[do]}."


def pours_told(events: Iterable[Event]) -> list[str]:
    """Where a step pours off more than there is, in sentences."""
    ordered = sorted(events, key=lambda one: one.at_s)
    found = []
    for place, event in enumerate(ordered):
        there = litres_in(ordered[:place])
        if isinstance(event, PourOff) and event.volume_ml / 1000 > POUR_SLACK * there + 1e-9:
            found.append(f"{event.volume_ml / 1000:.2g} l are poured off, but only about {there:.2g} l are in the pot: all of it is taken to go.")
    return found


def by_hand_alone(words: Sequence[str]) -> bool:
    """True where dye is only laid on and no step puts water in the pot: there is no bath to follow."""
    return any(word in _BY_HAND for word in words) and not any(word in _FILLS for word in words)
