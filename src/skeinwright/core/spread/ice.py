"""Ice over the yarn: how long it lasts, and what becomes of powder on it when the pan is heated."""

from __future__ import annotations

from skeinwright.core.spread.state import Pan

COLD_C = 5.0
"""A pan under ice [assumed]."""
GONE_ABOVE_C = 20.0
"""A pan that has been heated over this has no ice left [assumed]."""
MELTS_W_CM2 = 0.0045
"""Heat that melting ice takes up from room and pan, W/cm2 [assumed]."""
_MELT_J_G = 334.0


def cover(pan: Pan, mass_g: float) -> None:
    """Lay ice on: its water, and the time it takes to melt, on top of ice that is there already."""
    pan.ice_s += mass_g * _MELT_J_G / (MELTS_W_CM2 * pan.session.laid.area_cm2)
    pan.temp_c = min(pan.temp_c, COLD_C)
    pan.free_cm += mass_g / pan.session.laid.floor_cm2


def melt(pan: Pan, time_s: float) -> None:
    """Let `time_s` pass. In a warm or steaming pan the ice is gone at once, and powder that was held up by it lies on the yarn as if it had been sprinkled."""
    if pan.ice_s > 0:
        pan.ice_s = 0.0 if pan.temp_c > GONE_ABOVE_C else max(0.0, pan.ice_s - time_s)
    if pan.temp_c <= GONE_ABOVE_C:
        return
    for powder in pan.powders:
        if powder.by_ice:
            powder.done = 1 - (1 - powder.done) ** (2 / 3)  # the same mass left, on a grain's own curve
            powder.over_s, powder.by_ice = None, False
