"""From the skein's repeat to rows of knitting: stacking, drifting, flashing, scattering.

A skein painted across its loop repeats every P = once round of the *dried* skein. q = P/l stitches per repeat (a real number). N stitches to a round:
    phase of stitch c in round r = (r N + c) mod q;   rotation rho = frac(N/q);   shift delta = ((N + q/2) mod q) - q/2 stitches a round
The colour moves by -delta stitches each round. To and fro, odd rows run back: c -> N - 1 - c, and right-side rows shift by 2N mod q.
Derived, checked by brute force in the tests.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, degrees, floor, gcd, sqrt

from skeinwright.core.foundations.errors import BadInput

STACKS, DRIFTS, FLASHES, SCATTERS = "stacks", "drifts", "flashes", "scatters"
STACK_STITCHES, DRIFT_SHARE, FLASH_NEAR, FLASH_BANDS = 0.5, 0.1, 0.02, (2, 3, 4)
STRIPES, STRIPE_ROUNDS = "stripes", 4.0
"""A repeat of this many rounds or more is seen as stripes, whatever its shift [by eye]."""
GAUGE_SPREAD = 0.01
_DRAWS = 801


def stitches_per_repeat(round_mm: float, stitch_mm: float) -> float:
    """q = P/l, once round of the dried skein over the stitch length."""
    if not (round_mm > 0.0 and stitch_mm > 0.0):
        raise BadInput("Once round and the stitch length must be above zero.", where="round")
    return round_mm / stitch_mm


def shift(stitches: float, q: float) -> float:
    """delta = ((N + q/2) mod q) - q/2, in stitches; between -q/2 and q/2."""
    if not q > 0.0:
        raise BadInput("Stitches per repeat must be above zero.", where="repeat")
    return (stitches + q / 2.0) % q - q / 2.0


def rotation(stitches: float, q: float) -> float:
    """rho = frac(N/q), 0-1."""
    return (stitches / q) % 1.0


def phase(row: int, stitch: int, stitches: int, q: float, *, flat: bool = False) -> float:
    """Stitches from the start of the repeat at a place of the knitting: row from the cast-on, stitch from the right-hand edge seen from the front."""
    at = stitches - 1 - stitch if flat and row % 2 else stitch
    return (row * stitches + at) % q


def convergents(value: float, most: int = 60) -> tuple[tuple[int, int], ...]:
    """The convergents a/b of the continued fraction of `value` (0-1) with b <= most."""
    found: list[tuple[int, int]] = []
    before, now, rest = (0, 1), (1, 0), value
    for _ in range(30):
        whole = floor(rest)
        before, now = now, (whole * now[0] + before[0], whole * now[1] + before[1])
        if now[1] > most:
            break
        found.append(now)
        if abs(rest - whole) < 1e-9:
            break
        rest = 1.0 / (rest - whole)
    return tuple(found)


def flashing(rho: float) -> tuple[int, int] | None:
    """a/b with b = 2..4 within 0.02 of rho, the smallest b first; None where there is none."""
    for b in FLASH_BANDS:
        for a in range(1, b):
            if gcd(a, b) == 1 and abs(rho - a / b) <= FLASH_NEAR:
                return a, b
    return None


def verdict(stitches: float, q: float, *, flat: bool = False) -> str:
    """stacks |delta| <= 0.5; drifts |delta| <= 0.1 q; flashes rho within 0.02 of a/b, b = 2..4; else scatters. To and fro, two rows count as one round."""
    around = 2.0 * stitches if flat else stitches
    delta = abs(shift(around, q))
    if delta <= STACK_STITCHES:
        return STACKS
    if delta <= DRIFT_SHARE * q:
        return DRIFTS
    return FLASHES if flashing(rotation(around, q)) else SCATTERS


def verdict_band(stitches: float, q: float, *, flat: bool = False, spread: float = GAUGE_SPREAD) -> dict[str, float]:
    """Share of each verdict over q (1 - spread) .. q (1 + spread), evenly; the likeliest first."""
    found: dict[str, int] = {}
    for k in range(_DRAWS):
        said = verdict(stitches, q * (1.0 + spread * (2.0 * k / (_DRAWS - 1) - 1.0)), flat=flat)
        found[said] = found.get(said, 0) + 1
    return {name: count / _DRAWS for name, count in sorted(found.items(), key=lambda pair: -pair[1])}


@dataclass(frozen=True, slots=True)
class Pooling:
    """How one stitch count knits up."""

    stitches: int
    flat: bool
    stitches_per_repeat: float
    shift: float
    rotation: float
    verdict: str
    band: dict[str, float]

    @property
    def rounds_per_turn(self) -> float | None:
        """Rounds after which the colour has gone once round: q/|delta|; None where it stands."""
        return None if abs(self.shift) < 1e-9 else self.stitches_per_repeat / abs(self.shift)

    def slope_deg(self, rows_per_stitch: float = 5.3 / 4.1) -> float:
        """Slope of the diagonal against the rounds: atan(row height / (|delta| stitch width))."""
        return degrees(atan2(1.0 / rows_per_stitch, abs(self.shift)))

    @property
    def rounds_per_repeat(self) -> float:
        """Rounds (or rows, to and fro) that one repeat of the yarn fills: q/N."""
        return self.stitches_per_repeat / self.stitches

    @property
    def seen(self) -> str:
        """The verdict as a word, or "stripes" where one repeat fills so many rounds that its colours lie as stripes."""
        return STRIPES if self.rounds_per_repeat >= STRIPE_ROUNDS else self.verdict

    @property
    def sentence(self) -> str:
        """What will be seen, with how sure that is."""
        if self.seen == STRIPES:
            return f"Colours lie as stripes: one repeat of the yarn fills {self.rounds_per_repeat:.1f} {'rows' if self.flat else 'rounds'}."
        sure = self.band.get(self.verdict, 0.0)
        per = "two rows" if self.flat else "round"
        said = {
            STACKS: "Colours stack in columns" if not self.flat else "Colours stack in columns, mirrored from row to row, and pool at the edges",
            DRIFTS: f"Colours drift by {abs(self.shift):.1f} stitches a {per}, to the {'right' if self.shift > 0 else 'left'}",
            FLASHES: f"Colours flash: bands that swap every {(flashing(self.rotation) or (1, 2))[1]} {'pairs of rows' if self.flat else 'rounds'}",
            SCATTERS: "Colours scatter: no pooling",
        }[self.verdict]
        if sure > 0.95:
            return f"{said}; it stays so over 1 % of gauge either way."
        others = ", ".join(f"{name} in {100 * share:.0f} %" for name, share in self.band.items() if name != self.verdict)
        return f"{said}; over 1 % of gauge either way it {others}. Count the stitches from one colour to its return to be sure."


def pooling(stitches: int, q: float, *, flat: bool = False) -> Pooling:
    """All of it for one stitch count; for to-and-fro knitting `shift` and `rotation` are those of two rows."""
    if stitches < 1:
        raise BadInput("A round has at least one stitch.", where="stitches")
    around = 2 * stitches if flat else stitches
    return Pooling(stitches, flat, q, shift(around, q), rotation(around, q), verdict(stitches, q, flat=flat), verdict_band(stitches, q, flat=flat))


def stretches(q: float, least: int, most: int, *, flat: bool = False) -> Iterator[tuple[int, int, str]]:
    """Ranges of stitch counts with one verdict: (first, last, verdict), for pieces whose width changes."""
    begun, said = least, verdict(least, q, flat=flat)
    for n in range(least + 1, most + 1):
        now = verdict(n, q, flat=flat)
        if now != said:
            yield begun, n - 1, said
            begun, said = n, now
    yield begun, most, said


def least_pooling(q: float, least: int, most: int, *, flat: bool = False) -> int:
    """The stitch count in least..most whose rotation lies nearest to the golden section (0.382 or 0.618): the best scatter."""
    golden = 0.5 * (3.0 - sqrt(5.0))

    def off(n: int) -> float:
        rho = rotation(2 * n if flat else n, q)
        return min(abs(rho - golden), abs(rho - 1.0 + golden))

    return min(range(least, most + 1), key=off)
