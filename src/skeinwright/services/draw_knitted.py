"""A kept colourway knitted: a thin strip of one stitch count, a patch of it, or a whole piece."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.draw_picture import SECOND_ROUNDS
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.skein_to_knit import KnitSkein, skein_to_knit
from skeinwright.services.studio import Studio

SIZES = {"large": (1200, 800), "middling": (900, 600), "paper": (1772, 1181)}
"""Pixels. "paper" is 15 x 10 cm at 300 dots an inch."""
DPI = 300
STRIP_ROWS, STRIP_PX = 30, 6.0
KINDS = ("strip", "patch", "piece")
MOST = 48
"""Pictures kept, the least used forgotten first: about 10 MB in all."""
_kept: OrderedDict[tuple[str, KnittedPicture, int], bytes] = OrderedDict()
_lock = Lock()


@dataclass(frozen=True, kw_only=True, slots=True)
class KnittedPicture:
    """What is drawn: one of `KINDS`, of the colourway with that number on a base, at a stitch length in mm. `piece` and `rows` count for pieces only."""

    colourway: int
    base: str = ""
    what: str = "patch"
    stitch_mm: float = 13.7
    stitches: int = 64
    flat: bool = False
    alternate: int = 0
    piece: str = "sock"
    rows: int = 0
    size: str = "middling"


def draw_knitted(studio: Studio, asked: KnittedPicture) -> bytes:
    """The picture as PNG. The same request on the same shelf gives the same bytes. Raises BadInput or NotFound."""
    if asked.what not in KINDS or asked.size not in SIZES:
        raise BadInput(f"What is drawn is {', '.join(KINDS)}, in the size {' or '.join(SIZES)}.", where="what", text=asked.what)
    if not (3.0 <= asked.stitch_mm <= 120.0 and 10 <= asked.stitches <= 250 and 0 <= asked.alternate <= 40 and 0 <= asked.rows <= 800):
        raise BadInput("A stitch is 3 to 120 mm of yarn, and there are 10 to 250 of them.", where="stitches")
    skein = skein_to_knit(studio, get_colourway(studio, asked.colourway).thing, asked.base)
    key = (skein.key, asked, studio.seed)
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    made = _drawn(skein, asked, studio.seed)
    with _lock:
        _kept[key] = made
        while len(_kept) > MOST:
            _kept.popitem(last=False)
    return made


def _drawn(skein: KnitSkein, asked: KnittedPicture, seed: int) -> bytes:
    from skeinwright.core.picture.knitted import Knit
    from skeinwright.core.picture.of_map import View, picture_of_map, strips
    from skeinwright.core.picture.silhouettes import Silhouette, silhouette
    from skeinwright.files.pictures import picture_bytes

    second_mm = SECOND_ROUNDS * skein.path.round_mm
    knit = Knit(stitch_mm=asked.stitch_mm, stitches=asked.stitches, flat=asked.flat, alternate=asked.alternate, second_mm=second_mm)
    width, height = SIZES[asked.size]
    if asked.what == "strip":
        pixels = strips((asked.stitches,), knit, STRIP_ROWS, skein.colours, skein.look, skein.path, stitch_px=STRIP_PX, seed=seed)
    elif asked.what == "patch":
        view = View(view="knitted", width=width, height=height, seed=seed, knit=knit)
        pixels = picture_of_map(view, skein.colours, skein.look, skein.path)
    else:
        shape = Silhouette(
            piece=asked.piece,
            stitches=asked.stitches,
            stitch_mm=asked.stitch_mm,
            rows=asked.rows,
            alternate=asked.alternate,
            second_mm=second_mm,
            width=width,
            height=height,
            seed=seed,
        )
        pixels = silhouette(shape, skein.colours, skein.path)
    return picture_bytes(pixels, dpi=DPI if asked.size == "paper" else None)
