"""Simple pieces of plain knit, row by row: how many stitches, how much yarn, and how a painted skein behaves where the width changes.

The shapes are common practice in outline: a sock's leg and foot keep their stitches, a hat loses them over its crown, a triangular shawl gains two a row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.yarn.pooling import verdict

PIECES = ("sock", "hat", "shawl", "panel")
CROWN_SHARE = 0.30
"""The last part of a hat's rounds, over which its stitches fall to eight."""
LAST_OF_A_HAT, FIRST_OF_A_SHAWL = 8, 5


def stitches_by_row(piece: str, stitches: int, rows: int) -> tuple[int, ...]:
    """Stitches of each row from the first; for a shawl `stitches` is what its last row may have at most."""
    if piece not in PIECES:
        raise BadInput(f"The pieces are {', '.join(PIECES)}.", where="piece", text=piece)
    if not (8 <= stitches <= 2000 and 1 <= rows <= 5000):
        raise BadInput("A piece has 8 to 2000 stitches and 1 to 5000 rows.", where="stitches")
    if piece == "hat":
        crown = max(1, round(CROWN_SHARE * rows))
        fall = [round(stitches + (LAST_OF_A_HAT - stitches) * (k + 1) / crown) for k in range(crown)]
        return tuple([stitches] * (rows - crown) + fall)[:rows]
    if piece == "shawl":
        return tuple(min(stitches, FIRST_OF_A_SHAWL + 2 * k) for k in range(rows))
    return (stitches,) * rows


def in_the_round(piece: str) -> bool:
    """Socks and hats are knitted in the round, shawls and panels to and fro."""
    return piece in ("sock", "hat")


@dataclass(frozen=True, slots=True)
class Stretch:
    """Rows from `first` to `last` (from 1) that behave alike."""

    first: int
    last: int
    verdict: str


def piece_yarn_mm(counts: Sequence[int], stitch_mm: float) -> float:
    """Yarn of all stitches: sum of N x l, edges not counted (`knitting.yarn_for_piece` has them)."""
    return float(sum(counts)) * stitch_mm


def verdicts_by_row(counts: Sequence[int], q: float, *, flat: bool = False) -> tuple[Stretch, ...]:
    """How the colours lie, stretch by stretch: the verdict of each row's stitch count."""
    found: list[Stretch] = []
    for number, n in enumerate(counts, start=1):
        said = verdict(n, q, flat=flat)
        if found and found[-1].verdict == said:
            found[-1] = Stretch(found[-1].first, number, said)
        else:
            found.append(Stretch(number, number, said))
    return tuple(found)
