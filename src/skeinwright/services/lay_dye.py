"""Lay dye on the wet yarn of a colourway's file: where it goes, in figures, as a skein map and as a picture of the pan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.quantities import HABITS, Habits
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colourway.colourway import Colourway
    from skeinwright.core.shelf.calibration import Calibration
    from skeinwright.core.shelf.items import Base, Item, Vessel, Water
    from skeinwright.core.spread.events import Session
    from skeinwright.core.spread.guidance import PowderDose
    from skeinwright.core.spread.scatter import Ranges
    from skeinwright.core.spread.skein_map import SkeinMap
    from skeinwright.core.spread.stepper import Spreading
    from skeinwright.services.map_colourway import MappedColourway

QUICK_DX_CM = 0.15
PANEL_CELLS, PANEL_DX_CM = 256, 0.02
PICTURE_PX = (1200, 800)


@dataclass(frozen=True, kw_only=True, slots=True)
class LayRequest:
    """A colourway's file (TOML) and the swatch files it names; `quick` asks for the quick forecast; `picture` for a picture of the pan.
    A film needs the full forecast."""

    document: bytes
    name: str = "the file"
    swatches: Mapping[str, bytes] | None = None
    quick: bool = False
    seed: int = 1
    picture: bool = False
    film: str = ""
    """"webp", "png" or "gif" for the session as a loop."""
    coverage: str = ""
    per_stitch: str = ""
    """A wish: a share of the face in specks ("8 %"), or specks a stitch; what powder that takes is told."""
    habits: Habits = HABITS
    threads: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class DyeLaid:
    """The whole skein's run and the panel's, on which specks are counted; the map; the picture as PNG, where one was asked for."""

    skein_run: Spreading
    panel_run: Spreading
    skein: SkeinMap
    ranges: Ranges
    """What a full forecast's figures may have to be multiplied by (90 %); a quick one has none."""
    png: bytes | None
    film: bytes | None
    """The session as a loop, where one was asked for."""
    powder: PowderDose | None
    sentences: tuple[str, ...]
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object: of all dyes together at the top, of each in `by_dye`. Specks are null where they cannot be counted."""
        from skeinwright.core.spread.plain import plain_figures, plain_ranges

        plain = plain_figures(self.skein_run, self.panel_run)
        said = {"sentences": list(self.sentences), "warnings": list(self.warnings), "assumed": list(self.assumed)}
        wish = {} if self.powder is None else {"powder": _plain_dose(self.powder)}
        return {"inputs": self.inputs, **wish, **plain, "ranges": plain_ranges(plain, self.ranges), **said}


def _plain_dose(dose: PowderDose) -> dict[str, Any]:
    return {
        "grams_per_100_g": dose.grams_per_100_g,
        "per_cm2": dose.per_cm2,
        "per_gram": dose.per_gram,
        "per_stitch": dose.per_stitch,
        "coverage": dose.coverage,
        "sentences": list(dose.sentences),
    }


def lay_dye(
    request: LayRequest, studio: Studio | None = None, *, progress: Callable[[float], None] | None = None, cancel: Callable[[], bool] | None = None
) -> DyeLaid:
    """Run the session that the file describes. Raises BadInput or ManyBadInputs where the file is wrong or a step cannot be."""
    from skeinwright.core.spread.figures import COUNTING_FAILS_ABOVE, clearer_side, figures
    from skeinwright.core.spread.grid import panel
    from skeinwright.core.spread.guidance import told
    from skeinwright.core.spread.scatter import scatter_of
    from skeinwright.core.spread.session import session_of
    from skeinwright.core.spread.skein import grid_of, moved_to
    from skeinwright.core.spread.tested import with_tests
    from skeinwright.files.pictures import picture_bytes
    from skeinwright.services.draw_laid import laid_pixels
    from skeinwright.services.film_session import loop_of
    from skeinwright.services.map_colourway import QUICK_LEAVES_OUT

    colourway, warnings = _read(request)
    shelf, base, vessel, water, tests = _facts(colourway, studio)
    session = session_of(colourway, shelf=shelf, base=base, vessel=vessel, water=water, habits=request.habits)
    base = colourway.own_base or base
    session = with_tests(session, tests, base=base, vessel=colourway.vessel)
    grid = grid_of(session, QUICK_DX_CM) if request.quick else grid_of(session)
    small = panel(PANEL_CELLS, PANEL_DX_CM)
    run = _run(session, grid, request, _part(progress, 0.0, 0.7), cancel)
    patch = moved_to(session, small)
    on_panel = _run(patch, small, request, _part(progress, 0.7, 0.25), cancel)
    ranges = {} if request.quick else scatter_of(patch, small, request.seed)
    laid = _mapped(request, colourway, session, run, on_panel, base)
    png = picture_bytes(laid_pixels(laid, view="in the pan", size=PICTURE_PX, seed=request.seed)) if request.picture else None
    film = loop_of(laid, request.film, view="in the pan", seed=request.seed) if request.film else None
    powder = _wish(request, on_panel, laid.base)
    if figures(clearer_side(on_panel)[0]).coverage > COUNTING_FAILS_ABOVE:
        warnings = (*warnings, f"Specks cover more than {100 * COUNTING_FAILS_ABOVE:.0f} %: counting fails, so size and number are not given.")
    return DyeLaid(
        skein_run=run,
        panel_run=on_panel,
        skein=laid.skein,
        ranges=ranges,
        png=png,
        film=film,
        powder=powder,
        sentences=told(session, run),
        inputs=_inputs(colourway, session, request),
        warnings=(*warnings, *session.notes, *((QUICK_LEAVES_OUT,) if request.quick else ())),
        assumed=tuple(dict.fromkeys((*session.assumed, *(laid.assumed if png or film else ())))),
    )


def _run(session: Session, grid: Any, request: LayRequest, progress: Callable[[float], None] | None, cancel: Callable[[], bool] | None) -> Spreading:
    from skeinwright.core.spread.quick import quick
    from skeinwright.core.spread.stepper import full, length_s
    from skeinwright.services.map_colourway import FILM_FRAMES

    if request.quick:
        return quick(session, grid, request.seed, threads=request.threads)
    every = max(5.0, length_s(session) / FILM_FRAMES) if request.film and grid.round_the_loop else None
    return full(session, grid, request.seed, progress, cancel, threads=request.threads, film_every_s=every)


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


def _facts(colourway: Colourway, studio: Studio | None) -> tuple[tuple[Item, ...], Base | None, Vessel | None, Water | None, tuple[Calibration, ...]]:
    """What the file does not carry, from the studio's shelf, and the dyer's own tests."""
    if studio is None:
        return (), None, None, None, ()
    from skeinwright.core.shelf.items import Base, Vessel, Water

    with studio.store.reading() as reading:
        kinds = ("dye", "solution", "blend", "acid", "base", "vessel", "water")
        shelf = tuple(kept.thing for kind in kinds for kept in reading.items(kind))
        tests = tuple(kept.thing for kept in reading.calibrations())
    base = next((one for one in shelf if isinstance(one, Base) and one.name in colourway.bases), None)
    vessel = next((one for one in shelf if isinstance(one, Vessel) and one.name == colourway.vessel), None)
    water = next((one for one in shelf if isinstance(one, Water) and one.name == colourway.water), None)
    return shelf, base, vessel, water, tests


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


def _mapped(request: LayRequest, colourway: Colourway, session: Session, run: Spreading, panel: Spreading, base: Base | None) -> MappedColourway:
    """What pictures are drawn from."""
    from skeinwright.core.forecast.dyeing import fit_dyes
    from skeinwright.core.forecast.ground import ground_of, ground_of_base
    from skeinwright.core.forecast.mapped_colour import look_up_of, shares_on_yarn
    from skeinwright.core.lot.on_skein import geometry_of
    from skeinwright.core.picture.look import look_of
    from skeinwright.core.shelf.items import NOT_KNOWN
    from skeinwright.core.shelf.no_base import NO_BASE
    from skeinwright.core.spread.skein import skein_map_of
    from skeinwright.core.spread.writing import USUAL_PAN
    from skeinwright.services.map_colourway import MappedColourway

    yarn = base or NO_BASE
    ground = ground_of_base(yarn) if yarn.undyed is not None else ground_of(None)
    skein = skein_map_of(run, geometry_of(yarn), yarn.name)
    models = fit_dyes([dye for dye in colourway.own_dyes if dye.name in skein.names])
    classes = {name: next((dye.dye_class for dye in colourway.own_dyes if dye.name == name), NOT_KNOWN) for name in skein.names}
    grams = run.ledger.added_mg * run.ledger.scale / 1000
    shares = shares_on_yarn({name: float(gram) / session.laid.fibre_g for name, gram in zip(skein.names, grams, strict=True)}, classes, yarn)
    unknown = tuple(name for name in skein.names if name not in models)
    look, said = look_of(yarn)
    grey = (f"{', '.join(unknown)}: no swatch, so shown as a plain grey of middling strength.",) if unknown else ()
    return MappedColourway(
        key="",
        colourway=colourway,
        base=yarn,
        how="quick" if request.quick else "full",
        skein=skein,
        look=look,
        look_up=look_up_of(skein.names, models, shares, ground.spectrum),
        ground=ground,
        shares=shares,
        breadth_mm=10 * session.laid.width_cm,
        vessel=colourway.own_vessel or USUAL_PAN,
        reskeined_mm=0.0,
        session=session,
        run=run,
        panel=panel,
        unknown=unknown,
        assumed=(*ground.assumed, *grey, *said),
    )


def _wish(request: LayRequest, panel: Spreading, base: Base) -> PowderDose | None:
    """Powder for what was wished for; None where nothing was."""
    from skeinwright.core.spread.figures import figures
    from skeinwright.services.dose_powder import PowderWish, dose_powder

    if not request.coverage and not request.per_stitch:
        return None
    half = panel.session.laid.half_mg_cm2
    return dose_powder(PowderWish(coverage=request.coverage, per_stitch=request.per_stitch, speck_mm=figures(panel).speckle_mm, half_mg_cm2=half), base)
