"""Pieces of yarn that were measured both wet and dry, out of what was read from photos and kept."""

from __future__ import annotations

from collections.abc import Iterable

from skeinwright.core.measure.kept_reading import KeptReading

Pair = tuple[KeptReading, KeptReading]


def wet_pairs(readings: Iterable[KeptReading], base: str) -> list[Pair]:
    """(dry, wet) of each piece of one base, from readings listed newest first: the newest of either state counts.

    Two readings are of one piece where they say the same lot, or, without a lot, the same dye and label, and are of the same form (a skein, a swatch ...).
    """
    newest: dict[tuple[str, ...], dict[str, KeptReading]] = {}
    for one in readings:
        if one.base.casefold() == base.casefold() and (one.lot or one.label or one.dye):
            piece = (one.what, one.lot, *(() if one.lot else (one.dye.casefold(), one.label.casefold())))
            newest.setdefault(piece, {}).setdefault(one.state, one)
    return [(states["dry"], states["wet"]) for states in newest.values() if {"dry", "wet"} <= set(states)]
