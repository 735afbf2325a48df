"""Measure a photo that is kept in the studio, and bring what was found into a small form: no pixels save the flat picture itself."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.check_ruler import ruler_of
from skeinwright.services.draw_flat_picture import draw_flat_picture
from skeinwright.services.find_photo import find_photo
from skeinwright.services.list_pieces import PieceFigures, list_pieces
from skeinwright.services.measure_photo import Measured, MeasurePhoto, Outline, measure_photo
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from skeinwright.core.measure.reading import PhotoReading
    from skeinwright.core.measure.sheet import Box
    from skeinwright.services.run_in_background import Tell

UNCHECKED = "none"
STATES = ("dry", "wet")


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasureKeptPhoto:
    """A kept photo's number and what is known beside it. `printer` is the name of a checked printer, "none", or "" for the one checked last.

    The other fields are those of `MeasurePhoto`; `state` says whether the yarn was dry or wet.
    """

    photo: int
    reference: str = ""
    form: str = "dyed"
    state: str = "dry"
    printer: str = ""
    outlines: tuple[Outline, ...] = ()
    taps: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Evidence:
    """One test of the photo: its name, its value, how it came out ("accept", "warn", "refuse"), and what to say of it."""

    name: str
    value: float
    verdict: str
    message: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PhotoFigures:
    """A photo as it was read. Where the verdict is refuse there are no pieces and no sizes; `flat` is there wherever the sheet was found.

    `corners` are the page's corners in the kept photo, 0-1 of its width and height, clockwise from the top left; `patches` (11, 3) tie photos;
    `correct` brings relative colours (n, 3) to Lab.
    """

    photo: int
    asked: MeasureKeptPhoto
    verdict: str
    messages: tuple[str, ...]
    evidence: tuple[Evidence, ...]
    inputs: dict[str, str]
    page_mm: tuple[float, float] | None = None
    window: Box | None = None
    corners: tuple[tuple[float, float], ...] = ()
    flat: bytes = field(default=b"", repr=False)
    scale: tuple[float, float] = (1.0, 1.0)
    """True millimetres in one of the sheet, across and upright."""
    px_per_mm: float | None = None
    blur_mm: float | None = None
    ruler_checked: bool = False
    spread_de00: float | None = None
    rests_on: dict[str, Any] = field(default_factory=dict)
    pieces: tuple[PieceFigures, ...] = ()
    pairs: tuple[tuple[int, int, float, float, bool], ...] = ()
    """Two pieces by number, how far apart (CIEDE2000), the spread of that (90 %), whether they are told apart; the nearest first."""
    sets: tuple[tuple[int, ...], ...] = ()
    patches: NDArray[Any] | None = field(default=None, repr=False)
    correct: Callable[[NDArray[Any]], NDArray[Any]] | None = field(default=None, repr=False)
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def refused(self) -> bool:
        return self.verdict == "refuse"

    def piece(self, number: int) -> PieceFigures:
        """A piece by its number, 1 the first. Raises BadInput."""
        found = next((one for one in self.pieces if one.number == number), None)
        if found is None:
            raise BadInput(f"There is no piece {number} in this photo as it was read.", where="piece")
        return found

    def document(self, piece: PieceFigures) -> str:
        """The JSON that is kept with a reading: what was asked, what was found, and what it rests on."""
        asked = self.asked
        return json.dumps(
            {
                "form": asked.form,
                "state": asked.state,
                "printer": asked.printer,
                "reference": asked.reference,
                "outlines": asked.outlines,
                "piece": piece.number,
                "middle_mm": piece.middle_mm,
                "outline_mm": piece.outline_mm,
                "area_cm2": [piece.area_cm2, piece.area_low, piece.area_high],
                "mean_lab": piece.mean_lab,
                "ground_lab": piece.ground_lab,
                "palette": [[piece.ground_lab, piece.ground_share], *piece.others],
                "verdict": self.verdict,
                "messages": self.messages,
                "px_per_mm": self.px_per_mm,
                "blur_mm": self.blur_mm,
                "ruler_checked": self.ruler_checked,
                "rests_on": self.rests_on,
                "assumed": self.assumed,
            }
        )


def measure_kept_photo(studio: Studio, request: MeasureKeptPhoto, tell: Tell | None = None) -> PhotoFigures:
    """The figures of the photo. Raises NotFound for an unknown photo, BadInput for what cannot be meant; a bad photo is a verdict, no error.

    `tell`, where given, is told how far it is (0-1, a sentence); what it raises ends the work.
    """
    if request.state not in STATES:
        raise BadInput("Say whether the yarn was dry or wet.", where="state", text=request.state)
    ruler, size_px = _known(studio, request)
    data = find_photo(studio, request.photo).read_bytes()
    measured = measure_photo(
        MeasurePhoto(
            photo=data,
            reference=request.reference,
            form=request.form,
            ruler=ruler,
            outlines=request.outlines,
            taps=request.taps,
            seed=studio.seed,
        ),
        tell,
    )
    if tell is not None:
        tell(0.9, "Drawing the sheet from straight above.")
    return _figures(request, measured, size_px)


def _known(studio: Studio, request: MeasureKeptPhoto) -> tuple[str, tuple[int, int]]:
    """What the printer makes of the rulers, and the size of the photo."""
    with studio.store.reading() as reading:
        printers, fact = reading.settings().printers, reading.photo(request.photo)
    return "" if request.printer == UNCHECKED else ruler_of(request.printer, printers), (fact.width_px, fact.height_px)


def _figures(request: MeasureKeptPhoto, measured: Measured, size_px: tuple[int, int]) -> PhotoFigures:
    reading = measured.reading
    if reading is None:
        return PhotoFigures(photo=request.photo, asked=request, verdict=measured.verdict, messages=measured.messages, evidence=(), inputs=measured.inputs)
    plain = measured.to_plain()
    evidence = tuple(Evidence(name=gate.name, value=float(gate.value), verdict=gate.verdict.value, message=gate.message) for gate in reading.gates)
    sheet = reading.sheet
    refused = measured.verdict == "refuse"
    assumed = tuple(one for one in measured.assumed if request.state == "dry" or "as dry" not in one)
    return PhotoFigures(
        photo=request.photo,
        asked=request,
        verdict=measured.verdict,
        messages=measured.messages,
        evidence=evidence,
        inputs=measured.inputs,
        page_mm=(sheet.width_mm, sheet.height_mm) if sheet is not None else None,
        window=sheet.window if sheet is not None else None,
        corners=_corners(reading, size_px),
        flat=draw_flat_picture(reading, wide=measured.wide),
        scale=reading.scale,
        px_per_mm=plain["px_per_mm"],
        blur_mm=plain["blur_mm"],
        ruler_checked=reading.ruler_checked,
        spread_de00=plain.get("spread_de00"),
        rests_on=plain.get("correction", {}),
        pieces=() if refused else list_pieces(reading, plain),
        pairs=tuple((*pair["pieces"], pair["de00"], pair["spread_de00"], pair["told_apart"]) for pair in plain.get("pairs", ())),
        sets=tuple(tuple(group) for group in plain.get("sets", ())),
        patches=None if refused else reading.patches,
        correct=reading.correction.lab if reading.correction is not None else None,
        warnings=measured.warnings,
        notes=reading.notes,
        assumed=assumed,
    )


def _corners(reading: PhotoReading, size_px: tuple[int, int]) -> tuple[tuple[float, float], ...]:
    import numpy as np

    if reading.found is None or reading.sheet is None:
        return ()
    width, height = reading.sheet.width_mm, reading.sheet.height_mm
    places = reading.found.to_px(np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]]))
    return tuple((float(x) / size_px[0], float(y) / size_px[1]) for x, y in places)
