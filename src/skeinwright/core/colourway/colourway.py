"""A colourway: an idea written as steps, for a mass of fibre on a base; and a set, which is colourways in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from skeinwright.core.shelf.items import Base, Dye, Vessel, Water

Said = Mapping[str, str]
"""A step's values as typed, by slot."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: a word and its values as typed. What they mean is read by `colourway.reading`."""

    do: str
    said: Said = field(default_factory=lambda: MappingProxyType({}))

    def get(self, key: str) -> str:
        """The value as typed, "" where it is not given."""
        return self.said.get(key, "")


@dataclass(frozen=True, kw_only=True, slots=True)
class SkeinGeometry:
    """The loop that the dye meets: what later rooms need to know of the skein while it is dyed.

    `round_mm` is once round; `strands` is how many strands lie side by side (put-up length / once round).
    """

    skein_g: float
    length_mm: float
    round_mm: float

    @property
    def strands(self) -> float:
        """Strands in the skein: length_mm / round_mm."""
        return self.length_mm / self.round_mm


@dataclass(frozen=True, kw_only=True, slots=True)
class Colourway:
    """Steps in order, with the fibre and base they were written for.

    `bases` are names on the shelf (up to four are shown side by side); `base` is given instead where a file carries its own.
    The same holds for water, vessel and dyes: a file can carry them, a studio's colourway names them.
    """

    name: str
    steps: tuple[Step, ...] = ()
    fibre: str = "100 g"
    """The weight of fibre as typed: "200 g", "2 skeins of 115 g"."""
    bases: tuple[str, ...] = ()
    water: str = ""
    vessel: str = ""
    notes: str = ""
    over: str = ""
    """The ground: empty for undyed yarn, or the code of a lot that is dyed over."""
    own_base: Base | None = None
    own_water: Water | None = None
    own_vessel: Vessel | None = None
    own_dyes: tuple[Dye, ...] = ()
    water_volume: str = ""
    """The water that stands in the vessel before the first step that needs it, as typed; it counts for nothing where a step fills the vessel."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ColourwaySet:
    """Colourways in order: a fade, minis, a sock pair."""

    name: str
    colourways: tuple[str, ...] = ()
    notes: str = ""
