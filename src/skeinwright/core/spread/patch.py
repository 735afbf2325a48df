"""A patch of laid yarn run through a session by itself: small enough to be done many times, in other processes and on other machines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.events import Kettle, Pour, Session, Sprinkle, Turn
from skeinwright.core.spread.figures import COUNTING_FAILS_ABOVE, LEAST_CONTRAST, Figures, figures_of
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.plain import plain_of, plain_ranges
from skeinwright.core.spread.scatter import Ranges, scatter_of
from skeinwright.core.spread.skein import moved_to
from skeinwright.core.spread.stepper import full

ROWS, COLUMNS, CELL_CM = 128, 256, 0.02
"""5.1 cm along the strands and 2.6 cm across, fine enough for specks."""
DRAWS = 16
"""Of what is assumed, for the intervals: fewer than for a forecast by itself, since there are many patches."""
CLEAR = 0.03
"""Share of the dye in the liquor below which it is called clear."""


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """What a session leaves on the patch: dye on fibre (dyes, 2, rows, columns) float32 g/g, with its figures.

    Face 0 is the side on which dye was laid last, whichever way it lies at the end: the side that one wants to see.
    """

    names: tuple[str, ...]
    dye: Array
    figures: Figures
    on_fibre: float
    in_liquor: float
    liquor_left_ml: float
    balance: float
    dry_at_s: float | None
    strand_cm: float
    ranges: Ranges
    """What the figures may have to be multiplied by (90 %), see `scatter`."""

    def to_plain(self) -> dict[str, Any]:
        """The figures by the names that the command `spread` gives them."""
        plain = {
            **plain_of(self.figures, self.on_fibre, self.in_liquor),
            "front_back": self.figures.front_back,
            "liquor_left_ml": self.liquor_left_ml,
            "mass_balance": self.balance,
        }
        return {**plain, "ranges": plain_ranges(plain, self.ranges)}

    @property
    def sentences(self) -> tuple[str, ...]:
        """The figures as one would tell them: the specks, the other side, the liquor."""
        return (_specks(self.figures, self.ranges), _sides(self.figures.front_back), _liquor(self))


def run_patch(session: Session, seed: int, fineness: float = 1.0) -> Patch:
    """The full forecast of a patch, in one thread. The same session and seed give the same patch wherever, and in whatever order, it is run."""
    grid = Grid(ROWS, COLUMNS, CELL_CM, CELL_CM)
    moved = moved_to(session, grid)
    run = full(moved, grid, seed, fineness=fineness)
    ledger = run.ledger
    dye = run.dye if run.lying is None else (run.dye + run.lying).astype(np.float32)
    dye = dye[:, :: -1 if turned_since(session) else 1]
    return Patch(
        names=tuple(one.name for one in session.dyes),
        dye=np.ascontiguousarray(dye),
        figures=figures_of(dye.sum(axis=0), run.grid, session.laid.half_mg_cm2),
        on_fibre=float(ledger.fibre_mg.sum() / max(float(ledger.added_mg.sum()), 1e-30)),
        in_liquor=ledger.left_in_bath,
        liquor_left_ml=run.liquor_left_ml,
        balance=ledger.error,
        dry_at_s=run.dry_at_s,
        strand_cm=session.parameters.yarn.strand_cm,
        ranges=scatter_of(moved, grid, seed, DRAWS),
    )


def turned_since(session: Session) -> bool:
    """True where the side on which dye was laid last lies down at the end."""
    turned = False
    for event in session.events:
        if isinstance(event, Sprinkle | Pour | Kettle):
            turned = False
        elif isinstance(event, Turn):
            turned = not turned
    return turned


def _specks(found: Figures, ranges: Ranges) -> str:
    if found.counted and found.speckle_mm is not None:
        low, high = (found.speckle_mm * factor for factor in ranges.get("speckle_mm", (1.0, 1.0)))
        likely = f" (likely {low:.1f} to {high:.1f})" if f"{low:.1f}" != f"{high:.1f}" else ""
        return f"Specks {found.speckle_mm:.1f} mm across{likely} on {100 * found.coverage:.0f} % of the face."
    if found.coverage > COUNTING_FAILS_ABOVE:
        return f"Specks run together: they stand out on {100 * found.coverage:.0f} % of the face."
    if found.contrast < LEAST_CONTRAST:
        return "No specks: " + ("one colour all over." if found.contrast < 0.1 else "a soft unevenness.")
    return f"Soft marks about {found.half_width_mm:.1f} mm wide."


def _sides(back_over_face: float) -> str:
    if back_over_face > 1:
        return f"The other side has more dye: this one has {100 / back_over_face:.0f} % of that."
    return f"The other side has {100 * back_over_face:.0f} % as much dye."


def _liquor(patch: Patch) -> str:
    clear = "Liquor clear" if patch.in_liquor < CLEAR else f"{100 * patch.in_liquor:.0f} % of the dye still in the liquor"
    if patch.dry_at_s is not None:
        return f"{clear}; the free water steams away after {patch.dry_at_s / 60:.0f} min with the yarn in."
    return f"{clear}, {patch.liquor_left_ml / 1000:.2g} l of it left."
