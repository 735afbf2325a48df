"""When the time of a steaming begins to count: not before steam is up and has warmed the yarn through."""

from __future__ import annotations

from skeinwright.core.bath.heat import steaming_clock_s
from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.shelf.items import Heat

STEAMER_WATER_L = 1.5
"""Water in the bottom of a steamer [assumed]."""
_WITHOUT_POWER = "The time counts from when steam is up and has gone into the yarn: five minutes or so after the water boils (2 to 15)."


def steaming_note(shelf: OnShelf) -> str:
    """A sentence for a step that steams: with the power of the steamer (else the strongest burner) on the shelf, about how long until the clock starts."""
    known = [one for one in shelf.all_of(Heat).values() if one.power_w]
    best = max(known, key=lambda one: (one.does == "steamer", one.does == "burner", one.power_w), default=None)
    if best is None or best.power_w is None:
        return _WITHOUT_POWER
    up = steaming_clock_s(STEAMER_WATER_L, best.power_w, best.energy)
    minutes = f"about {up.value / 60:.0f} min ({up.low / 60:.0f} to {up.high / 60:.0f})"
    water = say("volume", 1000 * STEAMER_WATER_L)
    return f"The time counts from when steam is up and has gone into the yarn: {minutes} after {best.name} is on, with {water} of water under it (assumed)."
