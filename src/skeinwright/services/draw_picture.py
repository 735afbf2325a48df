"""A picture of a colourway from its file: the skein map of its steps, seen in one view on its own base."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colour.ladder import DyeModel
    from skeinwright.core.colour.tables import Array
    from skeinwright.core.colourway.colourway import Colourway
    from skeinwright.core.forecast.skein_colour import Lookup
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.lot.sketch import Sketch
    from skeinwright.core.picture.look import StrandLook
    from skeinwright.core.picture.of_map import View
    from skeinwright.core.shelf.items import Base
    from skeinwright.core.spread.from_steps import LaidSkein
    from skeinwright.core.spread.skein_map import SkeinMap

VIEWS = {
    "pan": "in the pan",
    "open": "laid open",
    "twisted": "twisted",
    "reskeined": "re-skeined",
    "knitted": "knitted",
    "close": "close up",
}
"""Words of the command line -> views."""
DPI = 300
ASSUMED_SOLUTION = 0.01
ASSUMED_ROUND_MM = 1500.0
BREADTH_MM = 110.0
NEED_SPREADING = frozenset({"sprinkle", "ice"})
"""Steps that have no ideal edges: with one of them, the whole file is forecast as a session (quick)."""
SECOND_ROUNDS = 101.37
"""Where the second of two skeins stands when knitting begins: so many times round, a place of no meaning [assumed]."""
TURNS = 4
_NO_DAY = date(2000, 1, 1)
"""A file's own steps hold no solution whose age could matter."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PictureRequest:
    """The file, and how it is seen. `on_paper` ("15 x 10 cm") sets the size for 300 dots an inch instead of `width` and `height`."""

    document: bytes
    name: str = "the file"
    swatches: Mapping[str, bytes] | None = None
    view: str = "twisted"
    width: int = 1200
    height: int = 800
    on_paper: str = ""
    seed: int = 1
    gauge: str = ""
    stitches: int = 64
    flat: bool = False
    alternate: int = 0
    """Rows of each of two skeins in turn; 0 is one skein."""
    reskein: str = ""
    skein_map: bytes | None = None
    """The bytes of a `map.npz` that is drawn in place of the file's own steps with idealised edges."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PictureSheet:
    """The picture as PNG, the map that it shows, and what it rests on. `words` is its text alternative."""

    png: bytes
    skein: SkeinMap
    shares: Mapping[str, float]
    """Dye on the fibre over this is the depth of shade, as applied, that it is worth."""
    view: str
    width: int
    height: int
    words: str
    not_forecast_from_step: int | None
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object, without the picture itself."""
        return {
            "inputs": self.inputs,
            "view": self.view,
            "width_px": self.width,
            "height_px": self.height,
            "words": self.words,
            "depth": {name: round(depth / self.shares.get(name, 1.0), 8) for name, depth in self.skein.mean().items()},
            "not_forecast_from_step": self.not_forecast_from_step,
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


@dataclass(frozen=True, kw_only=True, slots=True)
class Dyed:
    """A colourway's file on its base: the wet skein, and how amounts of its dyes look there."""

    colourway: Colourway
    base: Base
    laid: LaidSkein
    shares: Mapping[str, float]
    """Of each dye, what the swatches' bath lays on the yarn: the map holds dye on the fibre, and over this it is the depth that counts."""
    look: StrandLook
    look_up: Lookup
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def washed(self) -> tuple[SkeinMap, StrandLook, tuple[str, ...]]:
        """The skein and its strand, washed and dried, and what that assumes."""
        from skeinwright.core.picture.of_map import relaxed_look
        from skeinwright.core.yarn.relaxation import relaxation_of

        kept = relaxation_of(self.base)
        length, width = kept.length.value, kept.width.value
        return self.laid.skein.relaxed(length, width, kept.mixing.value), relaxed_look(self.look, length, width), kept.assumed


def draw_picture(request: PictureRequest, studio: Studio | None = None) -> PictureSheet:
    """The picture of a colourway's file, with what it lacks from the studio's shelf where one is given. The same request gives the same bytes.

    Raises BadInput where the file is wrong, where a dye has no swatch, or where no first step can be drawn.
    """
    from skeinwright.core.forecast.skein_colour import cell_colours, sharpest_place
    from skeinwright.core.picture.of_map import WET_VIEWS, picture_of_map
    from skeinwright.core.spread.yarn_path import path_of
    from skeinwright.files.pictures import picture_bytes

    if request.view not in VIEWS:
        raise BadInput(f"The views are {', '.join(VIEWS)}.", where="--view", text=request.view)
    found = dyed(request, studio)
    view, assumed = VIEWS[request.view], list(found.assumed)
    skein, look, said = (found.laid.skein, found.look, ()) if view in WET_VIEWS else found.washed()
    assumed += said
    colours = cell_colours(skein, found.look_up)
    asked = _view(request, view, found, skein, sharpest_place(colours), assumed)
    if view == "in the pan":
        assumed.append("The yarn is drawn wet: its K/S is 2.8 times that of dry yarn, until this base is measured wet and dry.")
    pixels = picture_of_map(asked, colours, look, path_of(skein, seed=request.seed))
    return PictureSheet(
        png=picture_bytes(pixels),
        skein=skein,
        shares=found.shares,
        view=view,
        width=asked.width,
        height=asked.height,
        words=_words(view, look, colours, found.base),
        not_forecast_from_step=found.laid.stopped_at,
        inputs={"name": found.colourway.name, "base": found.base.name, "steps": len(found.colourway.steps), "view": request.view, "seed": request.seed},
        warnings=found.warnings,
        assumed=tuple(dict.fromkeys(assumed)),
    )


def dyed(request: PictureRequest, studio: Studio | None = None) -> Dyed:
    """What every picture of a colourway's file begins with. Raises BadInput."""
    from skeinwright.core.forecast.dyeing import fit_dyes
    from skeinwright.core.forecast.ground import ground_of_base
    from skeinwright.core.picture.look import look_of
    from skeinwright.core.shelf.items import Dye

    colourway, shelf, sketch = _read(request, studio)
    assumed: list[str] = []
    base = _base(colourway, shelf, assumed)
    notes: list[str] = []
    if request.skein_map is not None:
        laid, shares = _as_it_is(request.skein_map, base, shelf)
    elif any(step.do in NEED_SPREADING for step in colourway.steps):
        laid, shares = _spread(colourway, sketch, shelf, base, request.seed, assumed, notes)
    else:
        laid, shares = _laid(colourway, sketch, shelf, base, request.seed, assumed)
    ground = ground_of_base(base)
    on_shelf = {name: dye for name in laid.skein.names if (dye := shelf.find(Dye, name)) is not None}
    fitted = fit_dyes(list(on_shelf.values()), shelf.undyed())
    models = {name: fitted[dye.name] for name, dye in on_shelf.items() if dye.name in fitted}
    look, said = look_of(base)
    warnings = [*(one.sentence for one in sketch.problems), *notes]
    if laid.stopped_at is not None:
        warnings.append(f"Not forecast from step {laid.stopped_at} ({colourway.steps[laid.stopped_at - 1].do}) on.")
    return Dyed(
        colourway=colourway,
        base=base,
        laid=laid,
        look=look,
        shares=shares,
        look_up=_look_up(laid.skein.names, models, shares, ground.spectrum),
        warnings=tuple(warnings),
        assumed=(*assumed, *said, *ground.assumed),
    )


def _read(request: PictureRequest, studio: Studio | None) -> tuple[Colourway, OnShelf, Sketch]:
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.lot.plan import with_own
    from skeinwright.core.lot.sketch import sketch_of
    from skeinwright.services.import_colourway import understand_colourway
    from skeinwright.services.shelf_for_lot import shelf_for_lot

    colourway = understand_colourway(request.document, name=request.name, swatches=request.swatches)
    shelf = OnShelf()
    if studio is not None:
        with studio.store.reading() as reading:
            shelf = shelf_for_lot(reading, colourway.water)
    return colourway, with_own(colourway, shelf), sketch_of(colourway, shelf, today=_NO_DAY)


def _base(colourway: Colourway, shelf: OnShelf, assumed: list[str]) -> Base:
    from skeinwright.core.shelf.items import Base
    from skeinwright.core.shelf.no_base import NO_BASE

    if colourway.own_base is not None:
        return colourway.own_base
    for name in colourway.bases:
        found = shelf.find(Base, name)
        if found is not None:
            return found
    assumed.append("The base is a wool yarn of 100 g in 400 m: the file carries none, and no studio has it.")
    return NO_BASE


def _look_up(names: Sequence[str], models: Mapping[str, DyeModel], shares: Mapping[str, float], ground: Array) -> Lookup:
    """The colour of dye on the fibre. Raises BadInput where a dye has no swatch."""
    from skeinwright.core.forecast.mapped_colour import look_up_of

    for name in names:
        if name not in models:
            raise BadInput(f"{name} has no swatch: its colour is not known. Give it a colour and a depth, or a table of swatches.", where="dye", text=name)
    return look_up_of(names, models, shares, ground)


def _shares(applied: Mapping[str, float], base: Base, shelf: OnShelf) -> dict[str, float]:
    from skeinwright.core.forecast.mapped_colour import shares_on_yarn
    from skeinwright.core.lot.on_skein import classes_of

    return {name: round(share, 4) for name, share in shares_on_yarn(applied, classes_of(applied, shelf), base).items()}


def _spread(
    colourway: Colourway, sketch: Sketch, shelf: OnShelf, base: Base, seed: int, assumed: list[str], notes: list[str]
) -> tuple[LaidSkein, dict[str, float]]:
    """Where the session leaves dye, by the quick forecast. Raises BadInput where no dye is laid."""
    from skeinwright.core.lot.on_skein import covered, geometry_of, readable, reskeined_mm, session_on, wound_first
    from skeinwright.core.spread.from_steps import LaidSkein
    from skeinwright.core.spread.quick import quick
    from skeinwright.core.spread.skein import grid_of, skein_map_of
    from skeinwright.services.map_colourway import QUICK_DX_CM, QUICK_LEAVES_OUT

    read = readable(colourway, sketch)
    steps, stopped = covered(read.steps)
    yarn = wound_first(base, steps, shelf)
    session, said = session_on(replace(read, steps=steps), yarn, shelf, {})
    run = quick(session, grid_of(session, QUICK_DX_CM), seed)
    assumed += session.assumed
    notes += [*said, *session.notes, QUICK_LEAVES_OUT]
    skein = skein_map_of(run, geometry_of(yarn), yarn.name)
    return LaidSkein(skein=skein, reskeined_mm=reskeined_mm(colourway, shelf), stopped_at=stopped), _shares_of(skein, yarn, shelf)


def _laid(colourway: Colourway, sketch: Sketch, shelf: OnShelf, base: Base, seed: int, assumed: list[str]) -> tuple[LaidSkein, dict[str, float]]:
    """With idealised edges."""
    import numpy as np

    from skeinwright.core.colourway.colourway import SkeinGeometry
    from skeinwright.core.colourway.steps import read_step
    from skeinwright.core.lot.depths import step_depths
    from skeinwright.core.spread.from_steps import LaidStep, skein_after
    from skeinwright.core.spread.skein_map import blank_map

    depths = step_depths(sketch.draft.plan, sketch.fibre.total_g, shelf)
    steps = []
    for planned, (do, added) in zip(sketch.draft.plan, depths, strict=True):
        doses = dict(added)
        for dose in planned.doses:
            if dose.kind == "dye" and dose.unit == "ml":
                doses[dose.name] = doses.get(dose.name, 0.0) + dose.amount * ASSUMED_SOLUTION / sketch.fibre.total_g
                assumed.append(f"{dose.name} in millilitres is taken as a {100 * ASSUMED_SOLUTION:g} % solution.")
        read = read_step(planned.step, habits=shelf.habits)
        wound = read.quantity("round")
        steps.append(LaidStep(do=do, doses=doses, place=read.place, round_mm=0.0 if wound is None else wound.value))
    if base.round_mm is None:
        assumed.append(f"Once round {ASSUMED_ROUND_MM / 1000:g} m, until you measure it.")
    geometry = SkeinGeometry(skein_g=base.skein_g, length_mm=base.length_mm, round_mm=base.round_mm or ASSUMED_ROUND_MM)
    names = tuple(dict.fromkeys(name for step in steps for name in step.doses))
    assumed.append("Edges of painted, poured and dipped places are idealised: how dye spreads is not worked out here.")
    laid = skein_after(steps, blank_map(names, geometry, base=base.name), seed=seed)
    shares = _shares(laid.skein.mean(), base, shelf)
    on_fibre = laid.skein.dye * np.array([shares[name] for name in names], dtype=np.float32).reshape(-1, 1, 1, 1)
    return replace(laid, skein=replace(laid.skein, dye=on_fibre)), shares


def _as_it_is(data: bytes, base: Base, shelf: OnShelf) -> tuple[LaidSkein, dict[str, float]]:
    from skeinwright.core.spread.from_steps import LaidSkein
    from skeinwright.core.spread.skein_map import from_npz

    skein = from_npz(data)
    return LaidSkein(skein=skein, reskeined_mm=0.0, stopped_at=None), _shares_of(skein, base, shelf)


def _shares_of(skein: SkeinMap, base: Base, shelf: OnShelf) -> dict[str, float]:
    """A map holds dye on the fibre; the depth that it counts for is found by turns, since the share that a bath lays on depends on it a little."""
    on_fibre = skein.mean()
    shares = _shares(on_fibre, base, shelf)
    for _ in range(TURNS):
        shares = _shares({name: depth / max(shares[name], 0.01) for name, depth in on_fibre.items()}, base, shelf)
    return shares


def _view(request: PictureRequest, view: str, found: Dyed, skein: SkeinMap, place: float, assumed: list[str]) -> View:
    from skeinwright.core.foundations.quantities import parse, parse_size
    from skeinwright.core.picture.knitted import Knit
    from skeinwright.core.picture.of_map import View
    from skeinwright.core.picture.pan import pan_of

    width, height = request.width, request.height
    if request.on_paper:
        paper_mm = parse_size(request.on_paper, where="--paper")
        width, height = (round(side / 25.4 * DPI) for side in paper_mm[:2])
    stitch_mm, said = stitch_of(request.gauge, found.base.tex)
    assumed += said if view == "knitted" else ()
    pan = None
    if view == "in the pan":
        vessel = found.colourway.own_vessel
        if vessel is None:
            assumed.append("A pan of 50 x 30 cm: the file names no vessel of its own.")
        pan = pan_of(vessel, round_mm=skein.round_mm, breadth_mm=BREADTH_MM, strands=skein.strands)
    wound = parse("length", request.reskein, where="--reskein").value if request.reskein else found.laid.reskeined_mm
    return View(
        view=view,
        width=width,
        height=height,
        seed=request.seed,
        knit=Knit(stitch_mm=stitch_mm, stitches=request.stitches, flat=request.flat, alternate=request.alternate, second_mm=SECOND_ROUNDS * skein.round_mm),
        pan=pan,
        round_mm=wound or 0.8 * skein.round_mm,
        at=place,
    )


def stitch_of(gauge: str, tex: float) -> tuple[float, tuple[str, ...]]:
    """The stitch length of a gauge as typed; without one sqrt(tex)/1.15, plain knit of middling tightness, and the sentence that says so [assumed]."""
    from math import sqrt

    from skeinwright.core.yarn.gauge import parse_gauge
    from skeinwright.core.yarn.knitting import stitch_length_mm, wales_per_mm

    if gauge:
        read = parse_gauge(gauge, where="--gauge")
        return stitch_length_mm(read.stitches_per_mm, read.rows_per_mm), ()
    stitch_mm = sqrt(tex) / 1.15
    return stitch_mm, (f"Knitted at {100 * wales_per_mm(stitch_mm):.0f} stitches in 10 cm: plain knit of middling tightness, until a gauge is given.",)


def _words(view: str, look: Any, colours: Any, base: Base) -> str:
    import numpy as np

    from skeinwright.core.colour.spaces import linear_rgb_to_xyz, spectrum_to_xyz, xyz_to_lab
    from skeinwright.core.picture.describe import describe_map

    some = colours.reshape(-1, 3)[:: max(1, colours.size // 3 // 600)].astype(float)
    labs = xyz_to_lab(linear_rgb_to_xyz(some), spectrum_to_xyz(np.ones(31), "D65", 2))
    return describe_map(view, look, [(float(L), float(a), float(b)) for L, a, b in labs], base=base.name)
