"""A photograph read: from pixels to a verdict, the pieces of yarn and their colours. One object serves colour now and specks later.

A refused photo has no pieces, no colours and no sizes: there is nothing in the object to take a number from.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.blur import Blur, blur_of
from skeinwright.core.measure.colour import Correction
from skeinwright.core.measure.find import Found, find_sheet
from skeinwright.core.measure.flatten import Bytes, Flat, Floats, flatten
from skeinwright.core.measure.gates import Gate, Verdict, judge, marks_gate, worst
from skeinwright.core.measure.light import Light, NoPaper, even, light_on
from skeinwright.core.measure.palette import Colours, colours_of
from skeinwright.core.measure.reference import lab_of
from skeinwright.core.measure.seen import Request, Seen, correction_of, sheet_patches
from skeinwright.core.measure.sheet import RULER_MM, Box, Sheet
from skeinwright.core.measure.straight import ruler_miss_mm
from skeinwright.core.measure.yarn import Piece, drawn_yarn, find_yarn, inner, tapped

Array = NDArray[np.float64]
LabValues = tuple[float, float, float]
Tell = Callable[[float], None]
"""`tell(share)`: how far the reading is, 0-1. What it raises ends the reading."""

WILD_MM = 5.0
MOST_PX_PER_MM = 100.0

NO_RULER = "Sizes: the sheet is taken as printed at its true size, because its rulers were not checked for this printer."
PAPER_WHITE = "Colours rest on the paper's white alone: about ±4 (CIEDE2000) in daylight by a window, ±9 under indoor lamps. Which it was is not known."
NO_YARN = "No yarn is found in the window of the sheet. Lay it inside the window, pale yarn on the grey insert, or draw round it."
NO_PAPER = "Too little bare paper is seen to know the light by. Keep the white of the sheet free and in the picture."
MOSTLY_COVERED = "More than 45 % of a piece is another colour than its ground, so which one is the ground cannot be told: go by the shares."
DRY = "The yarn is taken as dry."
SAME_PHOTO = "Differences between pieces in one photo are surer than any of their colours: what errs, errs alike."


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceColours:
    """The colours of one piece, Lab (D65, 2 degree). The mean is what an eye takes in from afar, shadows between strands with it; the ground and the
    others are taken on the crests, nearer to the fibre. `found` is the palette's own working, for reading specks.
    """

    piece: Piece
    area_cm2: float
    mean_lab: LabValues
    ground_lab: LabValues
    ground_share: float
    others: tuple[tuple[LabValues, float], ...]
    found: Colours


@dataclass(frozen=True, kw_only=True, slots=True)
class PhotoReading:
    """Everything that was read. Where `verdict` is refuse, only gates and, where it got so far, the sheet and the flat picture are there."""

    verdict: Verdict
    gates: tuple[Gate, ...]
    sheet: Sheet | None = None
    found: Found | None = None
    flat: Flat | None = None
    light: Light | None = None
    blur: Blur | None = None
    px_per_mm: float | None = None
    """Of the photo as taken, in true millimetres where the rulers were checked."""
    window: Floats | None = None
    """The evened picture of the window, relative to paper; it may reach a little further than the window."""
    window_box: Box | None = None
    scale: tuple[float, float] = (1.0, 1.0)
    """True millimetres in one millimetre of the sheet, across and upright."""
    ruler_checked: bool = False
    correction: Correction | None = None
    pieces: tuple[PieceColours, ...] = ()
    patches: Array = field(default_factory=lambda: np.full((11, 3), np.nan))
    """The sheet's own five greys and six colours relative to paper, to tie photos by."""
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def messages(self) -> tuple[str, ...]:
        """What to tell about the photo, the worst first."""
        told = sorted((gate for gate in self.gates if gate.message), key=lambda gate: gate.verdict is not Verdict.REFUSE)
        return tuple(gate.message for gate in told)

    @property
    def area_cm2(self) -> float | None:
        """The area of all pieces, or None for a refused photo."""
        return sum(piece.area_cm2 for piece in self.pieces) if self.pieces else None


def read_photo(picture: Bytes, request: Request, rng: np.random.Generator, tell: Tell = lambda share: None) -> PhotoReading:
    """The photo (rows, columns, 3) of bytes as encoded. Raises BadInput for outlines, taps or references that cannot be meant.

    `tell` is called between the stages, none of which takes a second on 12 megapixels: sheet, flattening, light, outline, each piece's colours.
    """
    import cv2

    tell(0.0)
    found = find_sheet(np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.uint8))
    if not isinstance(found, Found):
        return PhotoReading(verdict=Verdict.REFUSE, gates=(marks_gate(found.seen, found.crossed),))
    if not (found.rms_mm < WILD_MM and 1 < found.px_per_mm < MOST_PX_PER_MM):  # marks that fit no sheet: there is nothing to flatten
        return PhotoReading(verdict=Verdict.REFUSE, gates=(marks_gate(len(found.ids), crossed=found.rms_mm >= WILD_MM), judge("px_per_mm", found.px_per_mm)))
    scale = ((request.across_mm or RULER_MM) / RULER_MM, (request.upright_mm or RULER_MM) / RULER_MM)
    px_per_mm = found.px_per_mm / float(np.sqrt(scale[0] * scale[1]))
    tell(0.1)
    flat = flatten(picture, found)
    tell(0.2)
    gates = [marks_gate(len(found.ids)), judge("px_per_mm", px_per_mm), judge("rms_mm", max(found.rms_mm, ruler_miss_mm(flat, found.sheet) or 0.0))]
    blur = blur_of(flat, found.sheet, found.ids)
    if blur is not None:
        gates += [judge("blur_mm", blur.width_mm * float(np.sqrt(scale[0] * scale[1]))), judge("overshoot", blur.overshoot)]
    light = light_on(flat, found.sheet, tuple(patch.box for patch in request.reference), request.matrix)
    gates += _light_gates(light)
    refused = PhotoReading(
        verdict=Verdict.REFUSE,
        gates=tuple(gates),
        sheet=found.sheet,
        found=found,
        flat=flat,
        blur=blur,
        px_per_mm=px_per_mm,
        scale=scale,
        ruler_checked=bool(request.across_mm and request.upright_mm),
    )
    if isinstance(light, NoPaper) or worst(refused.gates) is Verdict.REFUSE:
        return refused
    tell(0.3)
    return _read_yarn(Seen(found, flat, light, request, scale), refused, rng, tell)


def _light_gates(light: Light | NoPaper) -> list[Gate]:
    if isinstance(light, NoPaper):
        gate = judge("paper_blown", light.blown)
        if gate.verdict is not Verdict.REFUSE:
            gate = Gate("paper", light.cells, Verdict.REFUSE, NO_PAPER)
        return [gate]
    return [
        judge("paper_blown", light.blown),
        judge("paper_dark", float(np.mean(light.paper))),
        judge("paper_residual", light.residual),
        judge("two_lights", light.colour_range),
    ]


def _read_yarn(seen: Seen, refused: PhotoReading, rng: np.random.Generator, tell: Tell) -> PhotoReading:
    request, box = seen.request, seen.found.sheet.window
    window = even(seen.flat, seen.light, box, request.matrix)
    tell(0.4)
    pieces = _pieces(window, box, seen)
    tell(0.5)
    if not pieces:
        return replace(refused, gates=(*refused.gates, Gate("yarn", 0, Verdict.REFUSE, NO_YARN)))
    gates = (*refused.gates, judge("yarn_clipped", _clipped(seen.flat, box, pieces)))
    if worst(gates) is Verdict.REFUSE:
        return replace(refused, gates=gates)
    correction, warnings = correction_of(seen)
    coloured = []
    for number, piece in enumerate(pieces):

        def told(share: float, before: int = number) -> None:
            tell(0.6 + 0.4 * (before + share) / len(pieces))

        told(0.0)
        coloured.append(_colours(window, piece, seen, correction, rng, told))
    if any(piece.found.is_ambiguous for piece in coloured):
        warnings += (MOSTLY_COVERED,)
    assumed = (*(() if refused.ruler_checked else (NO_RULER,)), *(() if correction.patches else (PAPER_WHITE,)), DRY)
    return replace(
        refused,
        verdict=worst(gates),
        gates=gates,
        light=seen.light,
        window=window,
        window_box=box,
        correction=correction,
        pieces=tuple(coloured),
        patches=sheet_patches(seen),
        warnings=warnings,
        notes=(SAME_PHOTO,) if len(pieces) > 1 else (),
        assumed=assumed,
    )


def _pieces(window: Floats, box: Box, seen: Seen) -> tuple[Piece, ...]:
    request, scale = seen.request, seen.flat.px_per_mm
    if request.outlines:
        return drawn_yarn(request.outlines, box, scale, (window.shape[0], window.shape[1]))
    pieces = find_yarn(window, box, scale, tuple(patch.box for patch in request.reference if patch.box.meets(box)))
    return tapped(pieces, request.taps, box, scale) if request.taps and pieces else pieces


def _clipped(flat: Flat, box: Box, pieces: Sequence[Piece]) -> float:
    """The share of yarn pixels of which some channel is at its end."""
    pixels = flat.pixels[flat.cut(box)]
    mask = np.logical_or.reduce([piece.mask for piece in pieces])
    return float((pixels[mask] >= 254).any(axis=1).mean())


def _colours(window: Floats, piece: Piece, seen: Seen, correction: Correction, rng: np.random.Generator, tell: Tell) -> PieceColours:
    found = colours_of(window, piece.mask, seen.flat.px_per_mm, rng, tell)
    inside = inner(piece.mask, seen.flat.px_per_mm)
    values = window[inside if inside.any() else piece.mask]
    some = values[:: max(1, len(values) // 40_000)]
    labs = [_lab(correction, one) for one in (found.ground, *found.others)]
    mean = lab_of(correction.apply(some.astype(float)).mean(axis=0))
    return PieceColours(
        piece=piece,
        area_cm2=piece.area_mm2 * seen.scale[0] * seen.scale[1] / 100,
        mean_lab=_three(mean),
        ground_lab=labs[0],
        ground_share=found.ground_share,
        others=tuple(zip(labs[1:], found.shares, strict=True)),
        found=found,
    )


def _lab(correction: Correction, relative: Array) -> LabValues:
    return _three(correction.lab(relative)[0])


def _three(lab: Array) -> LabValues:
    return (float(lab[0]), float(lab[1]), float(lab[2]))
