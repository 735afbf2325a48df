"""What `knit_colourway` gives: how a colourway knits up, in figures and in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.shelf.items import Base
from skeinwright.core.yarn.knit_words import KnitWords, knit_words
from skeinwright.core.yarn.knitting import courses_per_mm, wales_per_mm
from skeinwright.core.yarn.pieces import Part, Stretch
from skeinwright.core.yarn.pooling import GAUGE_SPREAD, STRIPES, Pooling


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceSheet:
    """A piece: its parts, size lying flat, yarn with edges, and where its colours change their way. `pair_skeins`: skeins for two of it; None where
    nobody makes two."""

    name: str
    parts: tuple[Part, ...]
    wide_mm: float
    high_mm: float
    yarn_mm: float
    edges_mm: float
    mass_g: float
    skeins: int
    pair_skeins: int | None
    stretches: tuple[Stretch, ...]

    @property
    def all_yarn_mm(self) -> float:
        """With its edges and tails."""
        return self.yarn_mm + self.edges_mm

    @property
    def yarn_spread_mm(self) -> float:
        """How far the yarn may be off, as far as the gauge is: +-1 %."""
        return GAUGE_SPREAD * self.all_yarn_mm


@dataclass(frozen=True, kw_only=True, slots=True)
class KnittingSheet:
    """All of it. `strips` are in order of their stitches; `chosen` is the one that was asked for.

    `of_length`: what a length after washing that is only assumed does to the verdict. `is_even`: whether the whole skein has one colour, so that nothing pools;
    None until somebody has looked at the skein (`skein_to_knit`).
    """

    inputs: dict[str, Any]
    colourway: Colourway
    base: Base
    stitch_mm: float
    stitch_measured: bool
    dried_round_mm: float
    flat: bool
    alternate: int
    rows: int
    strips: tuple[Pooling, ...]
    chosen: Pooling
    scatters_best: int
    piece: PieceSheet
    warnings: tuple[str, ...]
    of_length: tuple[str, ...]
    assumed: tuple[str, ...]
    is_even: bool | None = None

    def words(self, one: Pooling) -> KnitWords:
        """What is said of one of the stitch counts."""
        return knit_words(one, is_even=self.is_even is True)

    @property
    def better(self) -> int | None:
        """The count nearby that scatters best; None where nothing can pool."""
        return self.scatters_best if self.pools else None

    @property
    def pools(self) -> bool:
        """Whether colours can pool at all: not where they lie as stripes, and not in a skein of one colour."""
        return self.words(self.chosen).word not in ("", STRIPES)

    @property
    def gauge(self) -> str:
        """What the stitch length makes as a gauge of plain knit, washed."""
        return f"{100 * wales_per_mm(self.stitch_mm):.1f} stitches and {100 * courses_per_mm(self.stitch_mm):.1f} rows in 10 cm"

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        piece = self.piece
        return {
            "inputs": self.inputs,
            "base": self.base.name,
            "stitch_mm": self.stitch_mm,
            "round_mm": self.dried_round_mm,
            "stitches_per_repeat": self.chosen.stitches_per_repeat,
            "verdict": self.chosen.verdict,
            "verdict_band": self.chosen.band,
            "shift_per_round": self.chosen.shift,
            "sentence": self.words(self.chosen).sentence,
            "is_even": self.is_even,
            "scatters_best_stitches": self.scatters_best,
            "strips": [{"stitches": one.stitches, "verdict": one.verdict, "verdict_band": one.band} for one in self.strips],
            "piece": {
                "name": piece.name,
                "rows": {part.name: len(part.counts) for part in piece.parts},
                "wide_mm": piece.wide_mm,
                "high_mm": piece.high_mm,
                "yarn_m": piece.all_yarn_mm / 1000.0,
                "yarn_spread_m": piece.yarn_spread_mm / 1000.0,
                "mass_g": piece.mass_g,
                "skeins": piece.skeins,
                "pair_skeins": piece.pair_skeins,
                "verdicts": [{"first_row": one.first, "last_row": one.last, "verdict": one.verdict} for one in piece.stretches],
            },
            "warnings": [*self.warnings, *(() if self.is_even else self.of_length)],
            "assumed": list(self.assumed),
        }
