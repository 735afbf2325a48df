"""Keep pieces of yarn in a photo as swatches of a dye's ladder, each with the depth that was typed and the spread that was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.measure.kept_reading import RADIUS_OVER_SD
from skeinwright.core.shelf.kept import Change
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import Reading
from skeinwright.core.shelf.swatch_reading import read_depth
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.keep_reading import KeepReading, keep_reading
from skeinwright.services.measure_kept_photo import PhotoFigures
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class KeepSwatches:
    """The photo as it was read, the dye, the base ("" where not said), and the depth typed for each piece by its number; "" leaves a piece out."""

    figures: PhotoFigures
    dye: str
    depths: Mapping[int, str]
    base: str = ""


def keep_swatches(studio: Studio, request: KeepSwatches) -> tuple[Change, ...]:
    """The changes, in the order of the pieces. A swatch's colour is the mean over its area; its spread is the photo's, as a standard deviation.

    All depths are read before anything is written. Raises ManyBadInputs, each `where` "depth-2" for piece 2; BadInput where the photo or the yarn
    cannot give swatches; NotFound for an unknown dye or base.
    """
    figures = request.figures
    dye, wanted = _wanted(studio, request)
    spread = figures.spread_de00 or 0.0
    changes = []
    for number, depth in wanted.items():
        piece = figures.piece(number)
        said = {
            "depth": depth,
            "colour": write_lab(piece.lab),
            "reading": Reading.SHEET.value,
            "base": request.base,
            "sd": f"{max(spread / RADIUS_OVER_SD, 0.05):.2f}",
            "read_on": studio.now().date().isoformat(),
        }
        _, change = add_swatch(studio, dye, said)
        kept = KeepReading(
            photo=figures.photo,
            lab=piece.lab,
            spread_de00=spread,
            what="swatch",
            dye=dye,
            base=request.base,
            label=f"{dye}, {depth.strip()}",
            document=figures.document(piece),
        )
        _, noted = keep_reading(studio, kept)
        changes += [change, noted]
    return tuple(changes)


def _wanted(studio: Studio, request: KeepSwatches) -> tuple[str, dict[int, str]]:
    figures = request.figures
    if figures.refused or figures.spread_de00 is None:
        raise BadInput("This photo was refused, so there is no colour in it to keep. Take it again.", where="photo")
    if figures.asked.state == "wet":
        raise BadInput("A ladder is made of dry swatches: wet yarn is darker. Photograph them again when they are dry.", where="state")
    if not request.dye.strip():
        raise BadInput("Choose the dye that these swatches were dyed with.", where="dye")
    with studio.store.reading() as reading:
        dye = reading.item("dye", request.dye).thing.name
        if request.base:
            reading.item("base", request.base)
        habits = reading.settings().habits()
    wanted = {number: text for number, text in request.depths.items() if text.strip()}
    if not wanted:
        raise BadInput("Type the depth of at least one swatch, for example 0.5 %.", where="depths")
    problems = []
    for number, text in wanted.items():
        try:
            figures.piece(number)
            read_depth(text, where=f"depth-{number}", habits=habits)
        except BadInput as problem:
            problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return dye, wanted
