"""Overdyes shown on the picture of the skein that is to be overdyed.

Which recipes there are is not decided here: a callable is given the spectra of the skein's colours and answers with overdyes, each with the spectra after it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import PhotoRefused

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from skeinwright.core.measure.reading import PhotoReading
    from skeinwright.core.shelf.swatch import Lab

    Spectra = NDArray[np.float64]

MOST = 3
QUALITY = 90


@dataclass(frozen=True, slots=True)
class Overdye:
    """One overdye: how it is said ("0.8 % Kelp over it"), and the spectra (k, 31) that the skein's k colours have after it."""

    said: str
    spectra: Spectra


Find = Callable[["Spectra"], Sequence[Overdye]]
"""Given the spectra (k, 31) of the skein's colours, ground first: the overdyes to show, the best first."""


@dataclass(frozen=True, kw_only=True, slots=True)
class OverdyeOnSkein:
    """A photo that was read, which of its pieces is meant (0 the first), and who finds the overdyes."""

    reading: PhotoReading
    find: Find
    piece: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """One overdye on the skein: its picture as JPEG (sRGB), and the colours after it, ground first (D65, 2 degree)."""

    said: str
    picture: bytes
    colours: tuple[Lab, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class SkeinOverdyed:
    """The skein as it is (`shares` of its colours make one), and at most three overdyes of it; pictures are JPEG of the same size."""

    picture: bytes
    colours: tuple[Lab, ...]
    shares: tuple[float, ...]
    size_px: tuple[int, int]
    shown: tuple[Shown, ...]
    assumed: tuple[str, ...]


GUESSED = "The skein's spectra are guessed from its colours in the photo; the true ones would make the overdye differ a little."
LEVEL = "The overdye is taken to strike evenly over the whole skein."


def overdye_on_skein(request: OverdyeOnSkein) -> SkeinOverdyed:
    """At most three overdyes, each painted on the skein's own picture. Raises PhotoRefused where the photo gave no colours."""
    import numpy as np

    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_linear_rgb
    from skeinwright.core.measure.overdye import painted, skein_colours
    from skeinwright.files.pictures import picture_bytes

    reading = request.reading
    if not 0 <= request.piece < len(reading.pieces):
        raise PhotoRefused(" ".join(reading.messages) or "There is no such piece of yarn in this photo.")
    piece = reading.pieces[request.piece]
    before = _labs(skein_colours(reading, piece))
    spectra = np.array([recover(lab).reflectance for lab in before])
    shown = []
    for overdye in list(request.find(spectra))[:MOST]:
        after = xyz_to_linear_rgb(spectrum_to_xyz(overdye.spectra, "D65", 2))
        shown.append(Shown(said=overdye.said, picture=picture_bytes(painted(reading, piece, after), "jpeg", quality=QUALITY), colours=_labs(after)))
    picture = painted(reading, piece)
    return SkeinOverdyed(
        picture=picture_bytes(picture, "jpeg", quality=QUALITY),
        colours=before,
        shares=(piece.ground_share, *(share for _, share in piece.others)),
        size_px=(picture.shape[1], picture.shape[0]),
        shown=tuple(shown),
        assumed=(GUESSED, LEVEL),
    )


def _labs(linear: Spectra) -> tuple[Lab, ...]:
    from skeinwright.core.measure.reference import lab_of
    from skeinwright.core.shelf.swatch import Lab

    return tuple(Lab(float(L), float(a), float(b), "D65", 2) for L, a, b in lab_of(linear))
