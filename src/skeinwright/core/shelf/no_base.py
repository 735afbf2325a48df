"""What stands for a base where none is on the shelf."""

from __future__ import annotations

from dataclasses import replace

from skeinwright.core.shelf.items import Base

NO_BASE = Base(name="", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=400_000.0)
"""Plain wool of assumed colour, 100 g in 400 m."""


def wool_base(name: str) -> Base:
    """The same under the name of a base of which nothing else is known."""
    return replace(NO_BASE, name=name or "yarn that is not named")
