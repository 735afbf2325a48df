"""Measure a photograph of yarn on the photo sheet: its verdict, sizes and colours. A refused photo gives no figure."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput, PhotoRefused
from skeinwright.services.check_ruler import ruler_mm

if TYPE_CHECKING:
    from skeinwright.core.measure.reading import PhotoReading, PieceColours
    from skeinwright.services.run_in_background import Tell

FORMS = ("dyed", "reskeined", "knitted", "strand")
FIGURES = ("px_per_mm", "blur_mm", "area_cm2", "ground_lab", "palette", "coverage", "per_cm2", "median_mm", "edge_mm")
SPECKS_LATER = ("coverage", "per_cm2", "median_mm", "edge_mm")
UNCHECKED_SCALE = 0.03
"""How far a print may be off where its rulers were not checked. [assumed]"""
EDGE_MM = 0.15
"""How surely an outline's edge is found. [assumed, from trials]"""
STAGES = ((0.3, "Looking for the sheet and the light."), (0.6, "Looking for the yarn."), (math.inf, "Reading the colours."))
"""What is said while the reading's share is under the number."""
Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasurePhoto:
    """A photo's bytes and what is known beside it.

    `reference` is the CSV of a reference of known values. `ruler` is what the sheet's rulers of 200 mm really measure, "199 mm, 200 mm".
    `form` says what the yarn was when it was photographed. `outlines` (mm on the page) are drawn round the yarn; `taps` say the order of swatches.
    """

    photo: bytes
    reference: str = ""
    form: str = "dyed"
    ruler: str = ""
    outlines: tuple[Outline, ...] = ()
    taps: tuple[tuple[float, float], ...] = ()
    seed: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """A photo as it was read; `reading` is None where the file could not even be opened. `messages` begin with the worst."""

    verdict: str
    messages: tuple[str, ...]
    reading: PhotoReading | None
    inputs: dict[str, str]
    warnings: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    wide: bool = False
    """The photo's colours reach beyond sRGB: it was read in Display P3."""

    def to_plain(self) -> dict[str, Any]:
        """As the command line prints it. Lab is D65, 2 degree; the shares of a palette make one, its first colour being the ground."""
        figures: dict[str, Any] = dict.fromkeys(FIGURES)
        figures |= {f"{name}_ci": None for name in ("area_cm2", *SPECKS_LATER)}
        if self.verdict != "refuse" and self.reading is not None:
            figures |= _figures(self.reading)
        return {
            "verdict": self.verdict,
            "messages": list(self.messages),
            "illuminant": "D65",
            "observer": 2,
            **figures,
            "inputs": self.inputs,
            "notes": list(self.reading.notes) if self.reading is not None else [],
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def measure_photo(request: MeasurePhoto, tell: Tell | None = None) -> Measured:
    """The photo measured. Raises BadInput for a form, ruler, reference, outline or tap that cannot be meant; a bad photo is a verdict, no error.

    `tell`, where given, is told how far it is (0-1, a sentence); what it raises ends the work.
    """
    import numpy as np

    from skeinwright.core.measure.reading import read_photo
    from skeinwright.core.measure.reference import read_reference
    from skeinwright.core.measure.seen import Request
    from skeinwright.files.photos import open_photo

    if request.form not in FORMS:
        raise BadInput(f"'{request.form[:40]}' is no form of yarn; choose {', '.join(FORMS)}.", where="form", text=request.form)
    across_mm, upright_mm = _ruler(request.ruler)
    reference = read_reference(request.reference) if request.reference.strip() else ()
    inputs = {"form": request.form, "ruler": f"{across_mm:g} mm, {upright_mm:g} mm" if across_mm and upright_mm else "not checked"}
    inputs["reference"] = f"{len(reference)} patches" if reference else "none"
    try:
        photo = open_photo(request.photo)
    except PhotoRefused as problem:
        return Measured(verdict="refuse", messages=(problem.sentence,), reading=None, inputs=inputs)

    def told(share: float) -> None:
        if tell is not None:
            sentence = next(said for until, said in STAGES if share < until)
            tell(0.2 + 0.7 * share, sentence)

    wanted = Request(matrix=photo.matrix, reference=reference, across_mm=across_mm, upright_mm=upright_mm, outlines=request.outlines, taps=request.taps)
    reading = read_photo(photo.pixels, wanted, np.random.default_rng(request.seed), told)
    return Measured(
        verdict=reading.verdict.value,
        messages=reading.messages,
        reading=reading,
        inputs=inputs,
        warnings=(*photo.notes, *reading.warnings),
        assumed=reading.assumed,
        wide=photo.matrix is not None,
    )


def _ruler(said: str) -> tuple[float | None, float | None]:
    """Both lengths of "199.5 mm, 200 mm" in mm, or None where nothing was said. A comma after a digit belongs to the number."""
    if not said.strip():
        return None, None
    parts = [part for part in re.split(r"\s*;\s*|(?<=[a-z])\s*,\s*|,\s+", said.strip()) if part]
    if len(parts) != 2:
        raise BadInput("Give both rulers, across and upright, as in '199.5 mm, 200 mm'.", where="ruler", text=said)
    return ruler_mm(parts[0], "ruler"), ruler_mm(parts[1], "ruler")


def _figures(reading: PhotoReading) -> dict[str, Any]:
    first = reading.pieces[0]
    correction = reading.correction
    assert correction is not None
    area = reading.area_cm2 or 0.0
    miss = _area_miss(reading)
    return {
        "px_per_mm": reading.px_per_mm,
        "blur_mm": reading.blur.width_mm * (reading.scale[0] * reading.scale[1]) ** 0.5 if reading.blur is not None else None,
        "area_cm2": area,
        "area_cm2_ci": [area * (1 - miss), area * (1 + miss)],
        "ground_lab": list(first.ground_lab),
        "mean_lab": list(first.mean_lab),
        "palette": _palette(first, correction.spread_de00),
        "spread_de00": correction.spread_de00,
        "correction": _said_of(reading),
        "pieces": [
            {
                "area_cm2": piece.area_cm2,
                "area_cm2_ci": [piece.area_cm2 * (1 - miss), piece.area_cm2 * (1 + miss)],
                "middle_mm": list(piece.piece.middle_mm),
                "mean_lab": list(piece.mean_lab),
                "ground_lab": list(piece.ground_lab),
                "palette": _palette(piece, correction.spread_de00),
            }
            for piece in reading.pieces
        ],
        **_together(reading),
    }


def _together(reading: PhotoReading) -> dict[str, Any]:
    """Pieces held against each other, by number from 1: the nearest pair first, and which go together (every two within 2)."""
    from skeinwright.core.measure.side_by_side import matching_sets, pairs_of

    pairs = [
        {"pieces": [pair.one + 1, pair.other + 1], "de00": pair.de00, "spread_de00": pair.spread_de00, "told_apart": pair.is_told_apart}
        for pair in pairs_of(reading)
    ]
    return {"pairs": pairs, "sets": [[number + 1 for number in group] for group in matching_sets(reading)]}


def _palette(piece: PieceColours, spread_de00: float) -> list[dict[str, Any]]:
    """The ground first, then the others from the commonest; each with its own spread."""
    from skeinwright.core.measure.stated import crest_spread, other_spread

    found = [{"lab": list(piece.ground_lab), "share": piece.ground_share, "spread_de00": crest_spread(spread_de00)}]
    others = sorted(piece.others, key=lambda one: -one[1])
    return found + [{"lab": list(lab), "share": share, "spread_de00": other_spread(spread_de00)} for lab, share in others]


def _said_of(reading: PhotoReading) -> dict[str, Any]:
    correction = reading.correction
    assert correction is not None
    return {
        "rests_on": correction.rests_on,
        "patches": correction.patches,
        "left_out_median_de00": correction.median_de00,
        "left_out_90_de00": correction.high_de00,
        "tried": dict(correction.tried),
    }


def _area_miss(reading: PhotoReading) -> float:
    """The half width of the area's interval as a share: the edge all round, and twice the scale's where it was not checked."""
    import numpy as np

    edge, area = 0.0, 0.0
    for piece in reading.pieces:
        points = np.array(piece.piece.outline_mm)
        edge += EDGE_MM * float(np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1).sum())
        area += piece.piece.area_mm2
    scale = 0.01 if reading.ruler_checked else 2 * UNCHECKED_SCALE
    return float(np.hypot(edge / max(area, 1.0), scale))
