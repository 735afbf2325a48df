"""Lay dye on the wet yarn of a colourway's file: where it goes, in figures, as a skein map and as a picture of the pan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.quantities import HABITS, Habits
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colourway.colourway import Colourway
    from skeinwright.core.shelf.items import Base, Item, Vessel, Water
    from skeinwright.core.spread.events import Session
    from skeinwright.core.spread.skein_map import SkeinMap
    from skeinwright.core.spread.stepper import Spreading

QUICK_DX_CM = 0.15
PANEL_CELLS, PANEL_DX_CM = 256, 0.02
ASSUMED_KS = 12.0
"""K/S at 1 % of a dye without swatches, grey, for the picture [assumed]."""
PICTURE_PX = (1200, 800)


@dataclass(frozen=True, kw_only=True, slots=True)
class LayRequest:
    """A colourway's file (TOML) and the swatch files it names; `quick` asks for the quick forecast; `picture` for a picture of the pan."""

    document: bytes
    name: str = "the file"
    swatches: Mapping[str, bytes] | None = None
    quick: bool = False
    seed: int = 1
    picture: bool = False
    habits: Habits = HABITS
    threads: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class DyeLaid:
    """The whole skein's run and the panel's, on which specks are counted; the map; the picture as PNG, where one was asked for."""

    skein_run: Spreading
    panel_run: Spreading
    skein: SkeinMap
    png: bytes | None
    sentences: tuple[str, ...]
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object: of all dyes together at the top, of each in `by_dye`. Specks are null where they cannot be counted."""
        from skeinwright.core.spread.plain import plain_figures

        said = {"sentences": list(self.sentences), "warnings": list(self.warnings), "assumed": list(self.assumed)}
        return {"inputs": self.inputs, **plain_figures(self.skein_run, self.panel_run), **said}


def lay_dye(
    request: LayRequest, studio: Studio | None = None, *, progress: Callable[[float], None] | None = None, cancel: Callable[[], bool] | None = None
) -> DyeLaid:
    """Run the session that the file describes. Raises BadInput or ManyBadInputs where the file is wrong or a step cannot be."""
    from skeinwright.core.colourway.colourway import SkeinGeometry
    from skeinwright.core.spread.figures import COUNTING_FAILS_ABOVE, figures
    from skeinwright.core.spread.grid import panel
    from skeinwright.core.spread.guidance import guidance
    from skeinwright.core.spread.session import session_of
    from skeinwright.core.spread.skein import grid_of, moved_to, skein_map_of
    from skeinwright.core.spread.writing import USUAL_SKEIN

    colourway, warnings = _read(request)
    shelf, base, vessel, water = _facts(colourway, studio)
    session = session_of(colourway, shelf=shelf, base=base, vessel=vessel, water=water, habits=request.habits)
    base = colourway.own_base or base
    grid = grid_of(session, QUICK_DX_CM) if request.quick else grid_of(session)
    small = panel(PANEL_CELLS, PANEL_DX_CM)
    run = _run(session, grid, request, _part(progress, 0.0, 0.7), cancel)
    on_panel = _run(moved_to(session, small), small, request, _part(progress, 0.7, 0.3), cancel)
    geometry = SkeinGeometry(
        skein_g=base.skein_g if base else USUAL_SKEIN[0], length_mm=base.length_mm if base else USUAL_SKEIN[1], round_mm=10 * session.laid.round_cm
    )
    skein = skein_map_of(run, geometry, base.name if base else "")
    png, said = _picture(request, colourway, skein, base, session) if request.picture else (None, ())
    if figures(on_panel).coverage > COUNTING_FAILS_ABOVE:
        warnings = (*warnings, f"Specks cover more than {100 * COUNTING_FAILS_ABOVE:.0f} %: counting fails, so size and number are not given.")
    return DyeLaid(
        skein_run=run,
        panel_run=on_panel,
        skein=skein,
        png=png,
        sentences=guidance(session),
        inputs=_inputs(colourway, session, request),
        warnings=(*warnings, *run.notes),
        assumed=tuple(dict.fromkeys((*session.assumed, *said))),
    )


def _run(session: Session, grid: Any, request: LayRequest, progress: Callable[[float], None] | None, cancel: Callable[[], bool] | None) -> Spreading:
    from skeinwright.core.spread.quick import quick
    from skeinwright.core.spread.stepper import full

    if request.quick:
        return quick(session, grid, request.seed, threads=request.threads)
    return full(session, grid, request.seed, progress, cancel, threads=request.threads)


def _part(progress: Callable[[float], None] | None, start: float, share: float) -> Callable[[float], None] | None:
    return None if progress is None else lambda done: progress(start + share * done)


def _read(request: LayRequest) -> tuple[Colourway, tuple[str, ...]]:
    """The colourway; swatch files that are not there are done without, and that is said."""
    from skeinwright.core.colourway.reading import read_colourway_document, swatch_files
    from skeinwright.files.documents import read_document
    from skeinwright.services.import_colourway import understand_colourway

    document = dict(read_document(request.document, name=request.name))
    files = swatch_files(document)
    missing = {dye for dye, file in files.items() if request.swatches is None or file not in request.swatches}
    if not missing:
        return understand_colourway(request.document, name=request.name, swatches=request.swatches, habits=request.habits), ()
    document["dye"] = [{key: value for key, value in dye.items() if key != "swatches"} for dye in document["dye"]]
    said = f"No swatches of {', '.join(sorted(missing))} were found beside the file: colours are not known." if request.picture else ""
    return read_colourway_document(document, habits=request.habits), (said,) if said else ()


def _facts(colourway: Colourway, studio: Studio | None) -> tuple[tuple[Item, ...], Base | None, Vessel | None, Water | None]:
    """What the file does not carry, from the studio's shelf."""
    if studio is None:
        return (), None, None, None
    from skeinwright.core.shelf.items import Base, Vessel, Water

    with studio.store.reading() as reading:
        kinds = ("dye", "solution", "blend", "acid", "base", "vessel", "water")
        shelf = tuple(kept.thing for kind in kinds for kept in reading.items(kind))
    base = next((one for one in shelf if isinstance(one, Base) and one.name in colourway.bases), None)
    vessel = next((one for one in shelf if isinstance(one, Vessel) and one.name == colourway.vessel), None)
    water = next((one for one in shelf if isinstance(one, Water) and one.name == colourway.water), None)
    return shelf, base, vessel, water


def _inputs(colourway: Colourway, session: Session, request: LayRequest) -> dict[str, Any]:
    laid = session.laid
    return {
        "name": colourway.name,
        "fibre_g": laid.fibre_g,
        "skeins": laid.skeins,
        "laid_cm2": laid.area_cm2,
        "free_water_mm": 10 * session.free_ml / laid.floor_cm2,
        "dyes": list(session.names),
        "steps": len(colourway.steps),
        "forecast": "quick" if request.quick else "full",
        "seed": request.seed,
    }


def _picture(request: LayRequest, colourway: Colourway, skein: SkeinMap, base: Base | None, session: Session) -> tuple[bytes, tuple[str, ...]]:
    """The pan from above, as PNG."""
    import numpy as np

    from skeinwright.core.colour.mixing import mix
    from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_linear_rgb
    from skeinwright.core.forecast.dyeing import fit_dyes
    from skeinwright.core.forecast.ground import ground_of, ground_of_base
    from skeinwright.core.forecast.skein_colour import cell_colours, colour_lookup, ks_of
    from skeinwright.core.picture.look import look_of
    from skeinwright.core.picture.of_map import View, picture_of_map
    from skeinwright.core.picture.pan import Pan
    from skeinwright.core.shelf.items import Base
    from skeinwright.core.spread.writing import USUAL_PAN
    from skeinwright.core.spread.yarn_path import path_of
    from skeinwright.files.pictures import picture_bytes

    base = base or Base(name="", fibres=(("wool", 1.0),), skein_g=skein.geometry.skein_g, length_mm=skein.geometry.length_mm)
    ground = ground_of_base(base) if base.undyed is not None else ground_of(None)
    models = fit_dyes([dye for dye in colourway.own_dyes if dye.name in skein.names])
    unknown = [name for name in skein.names if name not in models]
    assumed = [*ground.assumed]
    if unknown:
        assumed.append(f"{', '.join(unknown)}: no swatch, so shown as a plain grey of middling strength.")

    def grey(amounts: Any) -> Any:
        layers = []
        for k, name in enumerate(skein.names):
            layers.append(ks_of(models[name], amounts[:, k]) if name in models else 100 * ASSUMED_KS * amounts[:, k : k + 1] * np.ones(31))
        return np.clip(xyz_to_linear_rgb(spectrum_to_xyz(mix(ground.spectrum, np.array(layers)), "D65", 2)), 0.0, 1.0)

    look, said = look_of(base)
    vessel = colourway.own_vessel or USUAL_PAN
    width, height = PICTURE_PX
    pan = Pan(
        length_mm=vessel.length_mm, width_mm=vessel.width_mm or vessel.length_mm, circular=vessel.shape == "round", round_mm=skein.round_mm,
        breadth_mm=10 * session.laid.width_cm, strands=skein.strands,
    )  # fmt: skip
    view = View(view="in the pan", width=width, height=height, seed=request.seed, pan=pan)
    look_up = colour_lookup(skein.names, models, ground.spectrum) if not unknown else grey
    pixels = picture_of_map(view, cell_colours(skein, look_up), look, path_of(skein, seed=request.seed))
    return picture_bytes(pixels), (*assumed, *said)
