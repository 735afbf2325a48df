"""Simple pieces of plain knit, row by row: how many stitches, how much yarn, and how a painted skein behaves where the width changes.

The shapes are common practice in outline: a sock's leg and foot keep their stitches, a hat loses them over its crown, a triangular shawl gains two a row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.yarn.knitting import BIND_OFF_WIDTHS, CAST_ON_WIDTHS, TAILS_MM, PieceYarn, wales_per_mm
from skeinwright.core.yarn.pooling import verdict

PIECES = ("sock", "hat", "shawl", "panel")
CROWN_SHARE = 0.30
"""The last part of a hat's rounds, over which its stitches fall to eight."""
LAST_OF_A_HAT, FIRST_OF_A_SHAWL = 8, 5
LEG_ROWS, FOOT_ROWS, TOE_ROWS, TOE_LEFT = 1.0, 1.25, 0.25, 0.28
"""Rounds of a sock's leg, foot and toe over its stitches, and the share of stitches that is left at the tip: common practice in outline."""
LEFT_OF_A_HEEL = 1.0 / 3.0
"""A heel of short rows: each row is a stitch shorter than the one before, until this share of the heel's half is left, then each a stitch longer again
[common practice in outline]."""
HAT_ROWS, PANEL_ROWS = 0.62, 1.6
"""Rounds of a hat and rows of a panel over their stitches, where nothing else is said."""


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
class Part:
    """Rows of a piece that belong together: "leg", "heel", ...; `counts` is the stitches of each, `flat` where they are knitted to and fro."""

    name: str
    counts: tuple[int, ...]
    flat: bool


def parts_of(piece: str, stitches: int, rows: int = 0) -> tuple[Part, ...]:
    """The parts in the order in which they are knitted. `rows`: those of a panel or hat, or a sock's leg and its foot each; 0 takes usual proportions.

    A shawl of S stitches at its last row has (S - 5)/2 + 1 rows.
    """
    if piece == "sock":
        leg, foot = (rows or max(1, round(share * stitches)) for share in (LEG_ROWS, FOOT_ROWS))
        half, toe = stitches // 2, max(1, round(TOE_ROWS * stitches))
        shorter = tuple(range(half, min(half - 1, round(LEFT_OF_A_HEEL * half)), -1))
        fall = tuple(round(stitches * (1.0 - (1.0 - TOE_LEFT) * (k + 1) / toe)) for k in range(toe))
        stitches_by_row("sock", stitches, leg + foot)
        return (
            Part("leg", (stitches,) * leg, False),
            Part("heel", shorter + shorter[::-1], True),
            Part("foot", (stitches,) * foot, False),
            Part("toe", fall, False),
        )
    if piece == "hat":
        counts = stitches_by_row("hat", stitches, rows or max(4, round(HAT_ROWS * stitches)))
        crown = sum(1 for n in counts if n < stitches)
        return (Part("body", counts[: len(counts) - crown], False), Part("crown", counts[len(counts) - crown :], False))
    if piece == "shawl":
        return (Part("shawl", stitches_by_row("shawl", stitches, rows or max(1, (stitches - FIRST_OF_A_SHAWL) // 2 + 1)), True),)
    return (Part("panel", stitches_by_row(piece, stitches, rows or max(1, round(PANEL_ROWS * stitches))), True),)


@dataclass(frozen=True, slots=True)
class RowPlace:
    """Where a row's yarn lies: it begins `start` stitches along the yarn of its skein, the first (False) or the second, and runs back or not."""

    stitches: int
    start: int
    second: bool
    back: bool


def rows_on_yarn(parts: Sequence[Part], alternate: int = 0) -> tuple[RowPlace, ...]:
    """Every row of the parts, in order. With `alternate` rows of each of two skeins in turn, each skein's yarn runs on where it was left."""
    counts = [n for part in parts for n in part.counts]
    back = [part.flat and k % 2 == 1 for part in parts for k in range(len(part.counts))]
    second = [bool(alternate) and (k // alternate) % 2 == 1 for k in range(len(counts))]
    first_before = (0, *accumulate(n if not other else 0 for n, other in zip(counts, second, strict=True)))
    other_before = (0, *accumulate(n if other else 0 for n, other in zip(counts, second, strict=True)))
    starts = [other_before[k] if other else first_before[k] for k, other in enumerate(second)]
    return tuple(RowPlace(*row) for row in zip(counts, starts, second, back, strict=True))


@dataclass(frozen=True, slots=True)
class Stretch:
    """Rows from `first` to `last` (from 1) that behave alike."""

    first: int
    last: int
    verdict: str


def piece_yarn(parts: Sequence[Part], stitch_mm: float) -> PieceYarn:
    """Yarn of a piece in mm: sum of N x l, and for the edges 3 widths of the first row, 4.5 of the last, and two tails (common practice)."""
    rows = [n for part in parts for n in part.counts]
    stitch_wide = 1.0 / wales_per_mm(stitch_mm)
    edges = (CAST_ON_WIDTHS * rows[0] + BIND_OFF_WIDTHS * rows[-1]) * stitch_wide + TAILS_MM
    return PieceYarn(piece_yarn_mm(rows, stitch_mm), edges)


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
