"""Makes the pot ready in the background: its inner loops are compiled once a machine and loaded once a start."""

from __future__ import annotations


def warm_pots() -> None:
    """From then on every pot is followed by the compiled loops, several times as fast and to the same figures; until then the plain ones answer.

    A few seconds the very first time, a fraction of one later; a second call returns at once. Fit to be run in a thread of its own.
    """
    from skeinwright.core.bath.engine import make_compiled_ready

    make_compiled_ready()


def pots_are_warm() -> bool:
    """True once `warm_pots` has been through."""
    from skeinwright.core.bath.engine import engine

    return engine().name == "compiled"
