"""Makes the spreading of dye ready in the background: its inner loops are compiled once a machine and loaded once a start."""

from __future__ import annotations

from threading import Lock

_ready = False
_lock = Lock()


def warm_spread() -> None:
    """Runs a tiny session once, quickly and in full, so that the first powder that somebody waits for is quick.

    Several seconds the very first time, well below one later; a second call returns at once. Fit to be run in a thread of its own.
    """
    global _ready
    with _lock:
        if _ready:
            return
        from skeinwright.core.spread.derive import of_class
        from skeinwright.core.spread.events import Laid, Session, Sprinkle, Turn, Wait
        from skeinwright.core.spread.grid import panel, skein_grid
        from skeinwright.core.spread.quick import quick
        from skeinwright.core.spread.stepper import full

        session = Session(
            dyes=(of_class("dye", "half-milling"),),
            laid=Laid(fibre_g=100.0, area_cm2=900.0, floor_cm2=1500.0),
            events=(Sprinkle(dyes_mg=(50.0,), acid_mmol=0.1), Wait(20.0), Turn(), Wait(20.0)),
            free_ml=300.0,
            temp_c=80.0,
            acid_mmol=20.0,
        )
        for grid in (panel(32, 0.02), skein_grid(150.0, 6.0, 32, 2.0)):
            quick(session, grid)
            full(session, grid)
        _ready = True
