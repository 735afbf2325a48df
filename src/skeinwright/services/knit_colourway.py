"""How a kept colourway knits up on one of its bases: strips of several stitch counts, the one that is looked at, and a whole piece of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Any

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.winding import wound_for_dyeing
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.foundations.quantities import Habits, parse
from skeinwright.core.foundations.say import say
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.no_base import NO_BASE
from skeinwright.core.yarn.gauge import parse_gauge
from skeinwright.core.yarn.knitting import gauge_warnings, ravelled_stitch_mm, stitch_length_mm, wales_per_mm
from skeinwright.core.yarn.pieces import PIECES, in_the_round, parts_of, piece_yarn, verdicts_by_row
from skeinwright.core.yarn.pooling import GAUGE_SPREAD, STRIPE_ROUNDS, least_pooling, pooling, stitches_per_repeat, verdict_band
from skeinwright.core.yarn.relaxation import Relaxation, relaxation_of
from skeinwright.services._knitting_sheet import KnittingSheet, PieceSheet
from skeinwright.services.draw_picture import ASSUMED_ROUND_MM, stitch_of
from skeinwright.services.keep_swatch import kept_stitch, likely_stitch_mm
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

__all__ = ["KnittingRequest", "KnittingSheet", "knit_colourway"]

STRIPS = 7
USUAL_STITCHES = {"shawl": 201, "panel": 50}
USUAL_ROUND_MM = {"sock": 213.0, "hat": 470.0}
"""How far round a piece that has to fit usually is: 64 stitches at 30 in 10 cm, and 104 at 22 (common practice)."""
LEAST_STITCHES, MOST_STITCHES = 10, 250
NAMES = {
    "stitches": "Stitches",
    "step": "Strips apart",
    "rows": "Rows of the piece",
    "alternate": "Two skeins in turn",
    "ravelled_stitches": "Stitches that were ravelled",
}
"""What a field is called in a sentence."""


@dataclass(frozen=True, kw_only=True, slots=True)
class KnittingRequest:
    """As typed. `ravelled` is what 20 stitches of the dyer's own swatch gave when ravelled, and goes before the gauge; `step` is what strips lie apart.

    `alternate`: rows of each of two skeins in turn, "" for one skein. `rows`: of a hat or panel, or of a sock's leg and foot each.
    """

    colourway: int | str
    base: str = ""
    gauge: str = ""
    ravelled: str = ""
    ravelled_stitches: str = "20"
    stitches: str = ""
    chosen: str = ""
    """The strip that is looked at; "" is that of `stitches`."""
    step: str = "2"
    flat: bool | None = None
    piece: str = "sock"
    rows: str = ""
    alternate: str = ""


def knit_colourway(studio: Studio, request: KnittingRequest) -> KnittingSheet:
    """The sheet. Raises BadInput or ManyBadInputs (`where` the field) for what cannot be read, NotFound for an unknown colourway."""
    with studio.store.reading() as reading:
        colourway = reading.colourway(request.colourway).thing
        shelf = shelf_for_lot(reading, colourway.water)
        base = _base_of(colourway, request.base, list(shelf.all_of(Base).values()))
        measured = [kept.thing for kept in reading.calibrations(of_kind="base", of=base.name)] if base.name else []
    relaxing = relaxation_of(base, measured)
    read = _Read(request, base, shelf.habits, kept_stitch(measured))
    wound_mm = wound_for_dyeing(colourway.steps, habits=shelf.habits)
    dried_mm = (wound_mm or base.round_mm or ASSUMED_ROUND_MM) * relaxing.length.value
    q = stitches_per_repeat(dried_mm, read.stitch_mm)
    low = max(LEAST_STITCHES, min(read.stitches - STRIPS // 2 * read.step, MOST_STITCHES - (STRIPS - 1) * read.step))
    counts = sorted({*(n for k in range(STRIPS) if (n := low + k * read.step) <= MOST_STITCHES), read.stitches})
    chosen = read.chosen if read.chosen in counts else read.stitches
    near = (max(10, round(0.85 * read.stitches)), round(1.15 * read.stitches) + 1)
    return KnittingSheet(
        inputs=read.inputs | {"colourway": colourway.name, "base": base.name},
        colourway=colourway,
        base=base,
        stitch_mm=read.stitch_mm,
        stitch_measured=read.stitch_measured,
        dried_round_mm=dried_mm,
        flat=read.flat,
        alternate=read.alternate,
        rows=read.rows,
        strips=tuple(pooling(n, q, flat=read.flat) for n in counts),
        chosen=pooling(chosen, q, flat=read.flat),
        scatters_best=least_pooling(q, *near, flat=read.flat),
        piece=_piece(read, chosen, base, relaxing, q),
        warnings=tuple(read.warnings),
        of_length=_of_length(chosen, q, read.flat, relaxing),
        assumed=tuple(_assumed(read, base, relaxing, wound_mm)),
    )


def _base_of(colourway: Colourway, name: str, bases: list[Base]) -> Base:
    wanted = name or (colourway.own_base.name if colourway.own_base else next(iter(colourway.bases), ""))
    if colourway.own_base is not None and wanted.casefold() == colourway.own_base.name.casefold():
        return colourway.own_base
    found = next((one for one in bases if one.name.casefold() == wanted.casefold()), None)
    if found is None and name:
        raise BadInput(f"{name} is not on the shelf.", where="base", text=name)
    return found or NO_BASE


class _Read:
    """What was typed, as it is understood; a field left empty has its usual value."""

    def __init__(self, request: KnittingRequest, base: Base, habits: Habits, swatch: Calibration | None) -> None:
        self.problems: list[BadInput] = []
        self.inputs: dict[str, Any] = {}
        if request.piece not in PIECES:
            raise BadInput(f"The pieces are {', '.join(PIECES)}.", where="piece", text=request.piece)
        self.piece = request.piece
        self.flat = (not in_the_round(request.piece)) if request.flat is None else request.flat
        self.stitch_mm, self.stitch_measured, self.warnings, self.assumed = self._stitch(request, base, habits, swatch)
        self.stitches = self._whole(request.stitches, "stitches", self._usual_stitches(), LEAST_STITCHES, MOST_STITCHES)
        if not request.stitches.strip() and self.piece in USUAL_ROUND_MM:
            self.assumed = (
                *self.assumed,
                f"{self.stitches} stitches: a {self.piece} of {USUAL_ROUND_MM[self.piece] / 10:.0f} cm round, until you say how many.",
            )
        self.chosen = int(request.chosen) if request.chosen.strip().isdigit() else self.stitches
        self.step = self._whole(request.step, "step", 2, 1, 30)
        self.rows = self._whole(request.rows, "rows", 0, 1, 800)
        self.alternate = self._whole(request.alternate, "alternate", 0, 0, 40)
        if self.problems:
            raise ManyBadInputs(tuple(self.problems)) if len(self.problems) > 1 else self.problems[0]
        self.inputs |= {"stitches": self.stitches, "flat": self.flat, "piece": self.piece}

    def _usual_stitches(self) -> int:
        """A multiple of four that fits at this gauge, where the piece has to fit."""
        if self.piece not in USUAL_ROUND_MM:
            return USUAL_STITCHES[self.piece]
        return min(max(LEAST_STITCHES, 4 * round(USUAL_ROUND_MM[self.piece] * wales_per_mm(self.stitch_mm) / 4.0)), MOST_STITCHES)

    def _whole(self, typed: str, where: str, usual: int, least: int, most: int) -> int:
        text = typed.strip()
        if not text:
            return usual
        if not text.isdigit() or not least <= int(text) <= most:
            self.problems.append(BadInput(f"{NAMES[where]}: write a whole number from {least} to {most}.", where=where, text=typed))
            return usual
        return int(text)

    def _stitch(self, request: KnittingRequest, base: Base, habits: Habits, swatch: Calibration | None) -> tuple[float, bool, tuple[str, ...], tuple[str, ...]]:
        """The stitch length in mm, whether it was measured, warnings, and what is assumed: from what is typed, or else from the kept swatch."""
        usual_mm, said = stitch_of("", base.tex)
        try:
            gauge = parse_gauge(request.gauge, where="gauge") if request.gauge.strip() else None
        except BadInput as problem:
            self.problems.append(problem)
            gauge = None
        if request.ravelled.strip():
            try:
                given = parse("length", request.ravelled, where="ravelled", habits=habits)
                count = self._whole(request.ravelled_stitches, "ravelled_stitches", 20, 1, 2000)
                self.inputs["ravelled"] = given.echo
                return likely_stitch_mm(ravelled_stitch_mm(given.value, count)), True, (), ()
            except BadInput as problem:
                self.problems.append(problem)
        if gauge is None and swatch is not None and not self.problems:
            self.inputs["swatch"] = f"{swatch.test}, {swatch.made_on.isoformat()}"
            return swatch.value, True, (), ()
        if gauge is None:
            return usual_mm, False, (), said
        self.inputs["gauge"] = request.gauge
        stitch_mm = stitch_length_mm(gauge.stitches_per_mm, gauge.rows_per_mm)
        warned = gauge_warnings(gauge.stitches_per_mm, gauge.rows_per_mm)
        return stitch_mm, False, warned, ("Stitch length from the gauge of plain knit, washed; ravel 20 stitches of your swatch to measure it.",)


def _piece(read: _Read, stitches: int, base: Base, relaxing: Relaxation, q: float) -> PieceSheet:
    from skeinwright.core.picture.silhouettes import size_mm

    parts = parts_of(read.piece, stitches, read.rows)
    yarn = piece_yarn(parts, read.stitch_mm)
    wide, high = size_mm(read.piece, stitches, read.stitch_mm, read.rows)
    skein_mm = base.length_mm * relaxing.length.value
    counts = [n for part in parts for n in part.counts if part.name != "heel"]
    fewest = 2 if read.alternate else 1
    return PieceSheet(
        name=read.piece,
        parts=parts,
        wide_mm=wide,
        high_mm=high,
        yarn_mm=yarn.knit_mm,
        edges_mm=yarn.edges_mm,
        mass_g=base.skein_g * yarn.total_mm / skein_mm,
        skeins=max(fewest, ceil(yarn.total_mm / skein_mm)),
        pair_skeins=max(fewest, ceil(2.0 * yarn.total_mm / skein_mm)) if read.piece == "sock" else None,
        stretches=verdicts_by_row(counts, q, flat=not in_the_round(read.piece)),
    )


def _of_length(stitches: int, q: float, flat: bool, relaxing: Relaxation) -> tuple[str, ...]:
    """Where the length kept after washing is only assumed, what its whole range does to the verdict."""
    kept = relaxing.length
    if kept.origin is not Origin.ASSUMED or q >= STRIPE_ROUNDS * stitches:
        return ()
    middle, half = 0.5 * (kept.low + kept.high) / kept.value, 0.5 * (kept.high - kept.low) / kept.value
    band = verdict_band(stitches, q * middle, flat=flat, spread=half / middle)
    told = [(name, share) for name, share in band.items() if share >= 0.005]
    said = told[0][0] if len(told) == 1 else ", ".join(f"{name} in {100 * share:.0f} %" for name, share in told)
    return (f"How much the yarn shortens in the wash is not measured yet ({100 * kept.low:.0f} to {100 * kept.high:.0f} % kept): over that range it {said}.",)


def _assumed(read: _Read, base: Base, relaxing: Relaxation, wound_mm: float | None) -> list[str]:
    found = [*read.assumed, f"Gauge and once round within {100 * GAUGE_SPREAD:.0f} %."]
    if base.round_mm is None and wound_mm is None:
        found.append(f"Once round {say('length', ASSUMED_ROUND_MM)} before washing, until you measure it.")
    return [*found, *relaxing.assumed]
