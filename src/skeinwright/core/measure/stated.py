"""How well a photo knows what it shows, as a radius (CIEDE2000) that is meant to hold nine in ten: each figure was set on photographs of other seeds
than those that judge it (docs/proof/photo_colour.md) and is [assumed] for real phones.

    one colour          s, the correction's own spread: an area mean
    on the crests       sqrt(s^2 + 1.5^2)        which pixels show the fibre itself is not quite known
    another colour      sqrt((1.4 s)^2 + 2^2)    spots are stronger colours than most, and small: their edges are half ground
    two in one photo    min(sqrt(1.5^2 + (0.19 d)^2), max(1.5, sqrt(2) s))        d how far apart they were read

What the camera errs it errs alike on colours that are alike, so two of those are known far better than either; the further apart, the less that helps,
and two colours that have nothing in common err as two photos would. The 1.5 is for pieces of any dyes: dyes that look alike to an eye need not to a camera.
"""

from __future__ import annotations

import math

SAME_PHOTO_DE00 = 1.5
"""A difference under this, within one photo, is not told apart. [assumed, from trials]"""
CREST_DE00 = 1.5
OTHER_TIMES, OTHER_DE00 = 1.4, 2.0
GROWS = 0.19


def crest_spread(spread_de00: float) -> float:
    """Of a ground's colour on the crests, in a photo whose colours have this spread."""
    return math.hypot(spread_de00, CREST_DE00)


def other_spread(spread_de00: float) -> float:
    """Of another colour on the ground."""
    return math.hypot(OTHER_TIMES * spread_de00, OTHER_DE00)


def same_photo_spread(de00: float, spread_de00: float) -> float:
    """Of the difference `de00` that was read between two pieces in one photo whose colours have this spread each."""
    return min(math.hypot(SAME_PHOTO_DE00, GROWS * de00), max(SAME_PHOTO_DE00, math.sqrt(2) * spread_de00))
