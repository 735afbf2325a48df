"""Two photos of one printed sheet held against each other: tied by the sheet's own patches, the difference between their yarns with its spread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.list_pieces import LabValues
from skeinwright.services.measure_kept_photo import PhotoFigures

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True, slots=True)
class PhotosCompared:
    """The colours of a piece of A and of one of B as photo A would have seen both, their CIEDE2000 and its spread (90 %), and how the two were tied.

    `tied` is False where too few patches were clear in both: each colour then stands on its own photo.
    """

    a_lab: LabValues
    b_lab: LabValues
    de00: float
    spread_de00: float
    tied: bool
    tie_median_de00: float | None
    sentence: str
    notes: tuple[str, ...]


def compare_photos(a: PhotoFigures, b: PhotoFigures, a_piece: int = 1, b_piece: int = 1) -> PhotosCompared:
    """Piece `a_piece` of photo A against piece `b_piece` of photo B. Raises BadInput where a photo was refused or has no such piece.

    Within one photo the spread is that of `core/measure/stated`, w; with a tie sqrt(w^2 + e^2), e the tie's own error (90 %); without one the two colours'
    spreads together.
    """
    import numpy as np

    from skeinwright.core.colour.difference import ciede2000
    from skeinwright.core.measure.stated import same_photo_spread
    from skeinwright.core.measure.tie import Tie, tie

    for name, one in (("A", a), ("B", b)):
        if one.refused or one.correct is None or one.patches is None:
            raise BadInput(f"Photo {name} was refused, so it cannot be compared. Take it again.", where=name.lower())
    assert a.patches is not None
    assert b.patches is not None
    assert a.correct is not None
    first, second = a.piece(a_piece), b.piece(b_piece)
    found: Tie | None = None
    notes: list[str] = []
    relative = np.array([second.relative])
    if a.photo != b.photo:
        try:
            found = tie(a.patches, b.patches)
            relative = np.asarray(found.apply(relative)).reshape(1, 3)
            notes.append("The two are tied by the sheet's printed patches: use the same print, in the same kind of light.")
        except BadInput as problem:
            notes.append(f"{problem.sentence} So each colour stands on its own photo.")
    tied = found is not None or a.photo == b.photo
    a_lab = _three(a.correct(np.array([first.relative]))[0]) if tied else first.mean_lab
    b_lab = _three(a.correct(relative)[0]) if tied else second.mean_lab
    de00 = float(ciede2000(np.array(a_lab), np.array(b_lab)))
    within = same_photo_spread(de00, a.spread_de00 or 0.0)
    if a.photo == b.photo:
        spread = within
    elif found is not None:
        spread = float(np.hypot(within, found.high_de00))
    else:
        spread = float(np.hypot(a.spread_de00 or 0.0, b.spread_de00 or 0.0))
    if a.asked.state != b.asked.state:
        notes.append("One of the two was wet. Wet yarn is darker and stronger: this is no difference between skeins.")
    if a.asked.form != b.asked.form:
        notes.append("The two lay in different forms. Colours can be held against each other; sizes of specks cannot.")
    return PhotosCompared(
        a_lab=a_lab,
        b_lab=b_lab,
        de00=de00,
        spread_de00=spread,
        tied=tied,
        tie_median_de00=found.median_de00 if found is not None else None,
        sentence=_sentence(de00, spread),
        notes=tuple(notes),
    )


def _sentence(de00: float, spread: float) -> str:
    from skeinwright.core.colour.eye import difference_sentence

    if de00 <= spread:
        return "The same, within what these photos can tell."
    return difference_sentence(de00)


def _three(lab: NDArray[Any]) -> LabValues:
    L, a, b = (float(value) for value in lab)
    return (L, a, b)
