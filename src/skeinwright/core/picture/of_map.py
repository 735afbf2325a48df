"""Pictures of a skein map: every view reads the map, through the light of the base's own strands."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan, degrees, radians, tan

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.banded import banded
from skeinwright.core.picture.knitted import Knit, knitted_scene
from skeinwright.core.picture.laid_open import laid_open_scene, loop_px
from skeinwright.core.picture.light import MAT, Floats, Pixels
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.pan import Pan, pan_scale, pan_scene
from skeinwright.core.picture.scene import Drawn, Scene, paint_scene
from skeinwright.core.picture.strand import close_up_scene
from skeinwright.core.picture.twisted import twisted_px_per_mm, twisted_scene
from skeinwright.core.spread.yarn_path import YarnPath
from skeinwright.core.yarn.knitting import wales_per_mm

MAP_VIEWS = ("in the pan", "laid open", "twisted", "re-skeined", "knitted", "close up")
WET_VIEWS = ("in the pan", "laid open")
"""Views of the skein before washing; the others show it washed and dried. Only "in the pan" is drawn in its wet, darker colour."""
PATCH_MM = 120.0
"""How much knitting a picture shows across, unless told otherwise."""
CLOSE_PX_PER_MM = 24.0
WET_STEPS = 4096
ORDINARY = Knit()


@dataclass(frozen=True, kw_only=True, slots=True)
class View:
    """What is drawn of a map, and how large. `pan` is needed for "in the pan"; `round_mm` is the new circumference of "re-skeined"; `at` is where
    along the loop (share, 0-1) "close up" looks."""

    view: str = "twisted"
    width: int = 1200
    height: int = 800
    seed: int = 1
    knit: Knit = ORDINARY
    pan: Pan | None = None
    round_mm: float = 0.0
    at: float = 0.0
    patch_mm: float = PATCH_MM
    mat: int = MAT


def relaxed_look(look: StrandLook, length: float, width: float) -> StrandLook:
    """The strand after washing: thicker by lambda_D, its plies steeper by lambda_D/lambda_L, hairier as it blooms [by eye]."""
    angle = degrees(atan(tan(radians(look.angle_deg)) * width / length))
    halo = min(1.0, look.halo * (1.0 + 1.2 * max(0.0, width - 1.0)))
    return replace(look, diameter_mm=round(look.diameter_mm * width, 3), angle_deg=round(min(45.0, angle), 1), halo=round(halo, 3))


def map_scene(view: View, look: StrandLook, round_mm: float) -> Scene:
    """The scene of a view, from the base's geometry alone."""
    size = {"width": view.width, "height": view.height, "seed": view.seed}
    if view.view == "in the pan":
        if view.pan is None:
            raise BadInput("Which pan? Its length and width are needed.", where="vessel")
        return pan_scene(look, view.pan, **size)
    if view.view == "laid open":
        return laid_open_scene(look, round_mm=_drawn_round(round_mm), **size)
    if view.view in ("twisted", "re-skeined"):
        return twisted_scene(look, round_mm=_drawn_round(view.round_mm if view.view == "re-skeined" and view.round_mm else round_mm), **size)
    if view.view == "knitted":
        width_mm = 1.0 / wales_per_mm(view.knit.stitch_mm)
        across = max(3, round(view.patch_mm / width_mm))
        return knitted_scene(look, view.knit, across=across, thick=look.diameter_mm / width_mm, **size)
    if view.view == "close up":
        return close_up_scene(look, px_per_mm=CLOSE_PX_PER_MM * view.width / 1200, round_mm=round_mm, **size)
    raise BadInput(f"The views are {', '.join(MAP_VIEWS)}.", where="view", text=view.view)


def _drawn_round(round_mm: float) -> float:
    """Once round to whole centimetres, so that skeins that hardly differ share their light."""
    return 10.0 * round(round_mm / 10.0)


def px_per_mm(view: View, look: StrandLook, round_mm: float) -> float:
    """The scale of a view's picture, without drawing it. Raises BadInput as `map_scene` does."""
    if view.view == "in the pan" and view.pan is not None:
        return pan_scale(view.pan, view.width, view.height)
    if view.view == "laid open":
        return loop_px(view.width, view.height) / (_drawn_round(round_mm) / 2.0)
    if view.view in ("twisted", "re-skeined"):
        return twisted_px_per_mm(view.width, view.height, _drawn_round(view.round_mm if view.view == "re-skeined" and view.round_mm else round_mm))
    if view.view == "knitted":
        width_mm = 1.0 / wales_per_mm(view.knit.stitch_mm)
        return view.width / max(3, round(view.patch_mm / width_mm)) / width_mm
    if view.view == "close up":
        return CLOSE_PX_PER_MM * view.width / 1200
    raise BadInput(f"The views are {', '.join(MAP_VIEWS)}.", where="view", text=view.view)


def picture_of_map(view: View, colours: Floats, look: StrandLook, path: YarnPath) -> Pixels:
    """The picture (height, width, 3) uint8 sRGB of a map whose cells have the linear sRGB `colours` (2, rows, cells, 3).

    `path` is the yarn's way through the map, in the map's own state. The colours are those of dry yarn; "in the pan" darkens them by `colour.wet.wet_r`,
    channel by channel, with the assumed m of soaked yarn. The same arguments give the same bytes.
    """
    if view.view == "in the pan":
        colours = soaked(colours)
    scene = map_scene(view, look, path.round_mm)
    drawn = scene.drawn
    if view.view == "re-skeined":
        drawn = _reskeined(drawn, view.round_mm or path.round_mm)
    offset = view.at if view.view == "close up" else 0.0
    return paint_scene(scene, strand_colours(drawn, colours, path, offset=offset), mat=view.mat)


def soaked(colours: Floats) -> Floats:
    """Linear sRGB of soaked yarn, from that of dry yarn; by a table of 4096 steps in sqrt(c)."""
    from skeinwright.core.colour.wet import wet_r

    steps = np.linspace(0.0, 1.0, WET_STEPS)
    table = wet_r(steps**2).astype(np.float32)
    code = np.sqrt(np.clip(colours, 0.0, 1.0))
    code *= np.float32(WET_STEPS - 1)
    code += np.float32(0.5)
    found: Floats = table[code.astype(np.uint16)]
    return found


def strand_colours(drawn: Drawn, colours: Floats, path: YarnPath, *, offset: float = 0.0) -> Floats:
    """The colour (strands, steps, 3) of every place of every drawn strand, read from the map's colours (2, rows, cells, 3)."""
    from skeinwright.core.picture.kernels import sample_band

    along = drawn.start[:, None] + drawn.rate[:, None] * np.arange(drawn.steps)[None, :]
    rows, cells = colours.shape[1], colours.shape[2]
    if drawn.kind == "loop":
        if offset:
            along += offset
        along -= np.floor(along)
        cell = (along * cells).astype(np.float32)
        row = np.broadcast_to(np.round(drawn.row.clip(0.0, 1.0) * (rows - 1)).astype(np.int32)[:, None], cell.shape)
        face = np.broadcast_to(drawn.face.astype(np.float32)[:, None], cell.shape)
    else:
        at_row, at_face, s = path.at(along)
        cell = (s / path.round_mm * cells).astype(np.float32)
        row, face = np.minimum(at_row, rows - 1).astype(np.int32), at_face.astype(np.float32)
    found: Floats = np.empty((*cell.shape, 3), dtype=np.float32)
    banded(len(cell), lambda a, b: sample_band(a, b, colours, cell, row, face, found))
    return found


def _reskeined(drawn: Drawn, round_mm: float) -> Drawn:
    """The same strands, wound anew on another circumference: each is another stretch of the unwound yarn."""
    order = (np.arange(drawn.count) * 37) % max(1, drawn.count)
    start = (order + drawn.start % 1.0) * round_mm
    return Drawn("run", start, drawn.rate * round_mm, drawn.row, drawn.face, drawn.steps)


def strips(
    counts: tuple[int, ...], knit: Knit, rows: int, colours: Floats, look: StrandLook, path: YarnPath, *, stitch_px: float = 6.0, seed: int = 1
) -> Pixels:
    """Thin knitted strips side by side, one for each stitch count, whole rounds (or rows), to one scale, on the neutral mat."""
    if not 1 <= len(counts) <= 12 or not all(10 <= n <= 250 for n in counts) or not 6 <= rows <= 250:
        raise BadInput("Strips show 1 to 12 stitch counts of 10 to 250 stitches, over 6 to 250 rows.", where="stitches")
    width_mm = 1.0 / wales_per_mm(knit.stitch_mm)
    height = max(40, round(rows * stitch_px * 4.1 / 5.3))
    gap = np.full((height, max(4, round(2 * stitch_px)), 3), MAT, dtype=np.uint8)
    parts: list[NDArray[np.uint8]] = []
    for n in counts:
        plan = replace(knit, stitches=n, first_stitch=0)
        scene = knitted_scene(look, plan, width=max(60, round(n * stitch_px)), height=height, seed=seed, across=n, thick=look.diameter_mm / width_mm)
        parts += [paint_scene(scene, strand_colours(scene.drawn, colours, path)), gap]
    return np.concatenate(parts[:-1], axis=1)
