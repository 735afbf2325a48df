"""Draw a mapped skein: each view reads the same map, through the light of its base's own strands."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.services.map_colourway import LONG_MM, MappedColourway, remembered
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.forecast.skein_colour import Colours
    from skeinwright.core.picture.light import Pixels
    from skeinwright.core.picture.look import StrandLook
    from skeinwright.core.picture.of_map import View
    from skeinwright.core.spread.skein_map import SkeinMap
    from skeinwright.core.spread.yarn_path import YarnPath

SIZES = {"fine": (1800, 1200), "large": (900, 600), "middling": (600, 400), "film": (480, 320), "small": (360, 240), "thumb": (150, 100), "paper": (1772, 1181)}
"""Pixels. "paper" is 15 x 10 cm at 300 dots an inch."""
DPI = 300
MOST_PICTURES = 64
MOST_COLOURED_BYTES = 32_000_000
"""Colours of maps' cells that are kept, the least used forgotten first: six views of one map are drawn from two sets of some MB."""
FORGOTTEN = "This forecast is not known any more: the studio was closed meanwhile, or it was long ago. Open the colourway again."


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class _Coloured:
    """A map as pictures need it, wet or dried: the strand, the yarn's way, strands side by side, the colours of its cells, and where those change most."""

    look: StrandLook
    path: YarnPath
    strands: int
    colours: Colours
    place: float


_pictures: OrderedDict[tuple[object, ...], bytes] = OrderedDict()
_coloured: OrderedDict[tuple[object, ...], _Coloured] = OrderedDict()
_lock = Lock()


def draw_laid(studio: Studio, key: str, *, view: str = "twisted", size: str = "large", frame: int | None = None) -> bytes:
    """The picture of the map of that key as PNG; `frame` draws a moment of its film. Raises NotFound where the map is forgotten, BadInput for another view."""
    from skeinwright.files.pictures import picture_bytes

    if size not in SIZES:
        raise BadInput(f"The sizes are {', '.join(SIZES)}.", where="size", text=size)
    asked = (key, view, size, frame, studio.seed)
    with _lock:
        if asked in _pictures:
            _pictures.move_to_end(asked)
            return _pictures[asked]
    made = picture_bytes(laid_pixels(known(key), view=view, size=SIZES[size], seed=studio.seed, frame=frame), dpi=DPI if size == "paper" else None)
    with _lock:
        _pictures[asked] = made
        while len(_pictures) > MOST_PICTURES:
            _pictures.popitem(last=False)
    return made


def known(key: str) -> MappedColourway:
    """The map of that key. Raises NotFound."""
    found = remembered(key)
    if found is None:
        raise NotFound(FORGOTTEN)
    return found


def laid_pixels(laid: MappedColourway, *, view: str, size: tuple[int, int], seed: int, frame: int | None = None) -> Pixels:
    """The picture (height, width, 3). The same map gives the same pixels. Raises BadInput for a view that there is not."""
    from skeinwright.core.picture.of_map import WET_VIEWS, picture_of_map

    found = _colours_of(laid, view in WET_VIEWS, seed, frame)
    return picture_of_map(_view(laid, found.path.round_mm, found.strands, view, size, seed, found.place), found.colours, found.look, found.path)


def _colours_of(laid: MappedColourway, wet: bool, seed: int, frame: int | None) -> _Coloured:
    """The coloured map, from memory where it was drawn a little while ago; the moments of a film are not kept, and neither is a map without a key."""
    asked = (laid.key, wet, seed)
    if frame is None and laid.key:
        with _lock:
            if asked in _coloured:
                _coloured.move_to_end(asked)
                return _coloured[asked]
    made = _coloured_now(laid, laid.skein if frame is None else _moment(laid, frame), wet, seed)
    if frame is None and laid.key:
        with _lock:
            _coloured[asked] = made
            while len(_coloured) > 1 and sum(one.colours.nbytes for one in _coloured.values()) > MOST_COLOURED_BYTES:
                _coloured.popitem(last=False)
    return made


def _coloured_now(laid: MappedColourway, skein: SkeinMap, wet: bool, seed: int) -> _Coloured:
    from skeinwright.core.forecast.skein_colour import sharpest_place
    from skeinwright.core.spread.yarn_path import path_of

    look = laid.look
    if not wet:
        skein, look, _ = laid.relaxed(skein)
    colours = laid.colours(skein)
    return _Coloured(look=look, path=path_of(skein, seed=seed), strands=skein.strands, colours=colours, place=sharpest_place(colours))


def scale_of_laid(laid: MappedColourway, *, view: str, size: tuple[int, int]) -> float:
    """Pixels per mm of that picture, without drawing it. Raises BadInput for a view that there is not."""
    from skeinwright.core.picture.of_map import WET_VIEWS, px_per_mm
    from skeinwright.core.yarn.relaxation import relaxation_of

    shrunk = 1.0 if view in WET_VIEWS else relaxation_of(laid.base).length.value
    return px_per_mm(_view(laid, laid.skein.round_mm, laid.skein.strands, view, size, 1, 0.0), laid.look, laid.skein.round_mm * shrunk)


def _moment(laid: MappedColourway, frame: int) -> SkeinMap:
    """The skein at one frame of the film."""
    from dataclasses import replace

    film = () if laid.run is None else laid.run.film
    if not 0 <= frame < len(film):
        raise NotFound("The film has no such moment.")
    dye = film[frame].dye.astype("float32")
    whole = laid.skein
    return replace(whole, dye=dye, row_mm=whole.row_mm * whole.rows / dye.shape[2], ds_mm=whole.round_mm / dye.shape[3])


def _view(laid: MappedColourway, round_mm: float, strands: int, view: str, size: tuple[int, int], seed: int, place: float) -> View:
    from skeinwright.core.picture.knitted import Knit
    from skeinwright.core.picture.of_map import View
    from skeinwright.core.picture.pan import pan_of
    from skeinwright.services.draw_picture import stitch_of

    around = min(round_mm, LONG_MM)  # a longer one lies in more turns than a picture can show
    return View(
        view=view,
        width=size[0],
        height=size[1],
        seed=seed,
        knit=Knit(stitch_mm=stitch_of("", laid.base.tex)[0]),
        pan=pan_of(laid.vessel, round_mm=around, breadth_mm=laid.breadth_mm, strands=strands),
        round_mm=laid.reskeined_mm or 0.8 * round_mm,
        at=place,
    )
