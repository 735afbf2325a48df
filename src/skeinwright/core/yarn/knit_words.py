"""What is said of each stitch count beside its picture: its verdict and how sure that is, and of a skein of one colour nothing but that it has one."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.yarn.pooling import STRIPES, Pooling

EVEN = "This skein has one colour all over: it knits up alike at any stitch count."
LEAST_SHARE = 0.005
"""Verdicts of a smaller share are not told."""


@dataclass(frozen=True, kw_only=True, slots=True)
class KnitWords:
    """`word` is the verdict as it is seen, "" where no stitch count differs from another; `sure` how sure it is over +-1 % of gauge, and `others` what
    else it may be, in words; `band` the same as shares (name, 0-1), empty where there is but one. `facts`: names and figures beside the picture."""

    stitches: int
    word: str
    sure: str
    others: str
    band: tuple[tuple[str, float], ...]
    sentence: str
    facts: tuple[tuple[str, str], ...]


def knit_words(one: Pooling, *, is_even: bool = False) -> KnitWords:
    """The words for a stitch count; `is_even`: the whole skein has one colour."""
    if is_even:
        return KnitWords(stitches=one.stitches, word="", sure="", others="", band=(), sentence=EVEN, facts=())
    if one.seen == STRIPES:
        facts = (*_repeat(one), ("That is", f"{one.rounds_per_repeat:.1f} {'rows' if one.flat else 'rounds'}"))
        return KnitWords(stitches=one.stitches, word=one.seen, sure="sure", others="", band=(), sentence=one.sentence, facts=facts)
    share = one.band.get(one.verdict, 0.0)
    told = tuple((name, part) for name, part in one.band.items() if part >= LEAST_SHARE)
    return KnitWords(
        stitches=one.stitches,
        word=one.seen,
        sure="sure" if share > 1.0 - LEAST_SHARE else f"{100 * share:.0f} %",
        others=", ".join(f"{name} {100 * part:.0f} %" for name, part in told if name != one.verdict),
        band=told if len(told) > 1 else (),
        sentence=one.sentence,
        facts=(*_repeat(one), ("Shift", f"{one.shift:+.1f} stitches {'in two rows' if one.flat else 'a round'}")),
    )


def _repeat(one: Pooling) -> tuple[tuple[str, str], ...]:
    return (("One repeat", f"{one.stitches_per_repeat:.1f} stitches"),)
