"""Map a studio's colourway on one of its bases: dye on the skein, place by place, with the colours of its dyes and what all of it rests on."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from threading import Lock
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.core.lot.said_doses import STANDING
from skeinwright.core.lot.sketch import Sketch
from skeinwright.core.shelf.items import Base, Dye, Vessel
from skeinwright.core.shelf.no_base import NO_BASE
from skeinwright.services.find_ground import find_ground, lot_below
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.forecast.skein_colour import Colours, Lookup
    from skeinwright.core.forecast.uptake_scale import UptakeScale
    from skeinwright.core.lot.lot import Lot
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.picture.look import StrandLook
    from skeinwright.core.spread.arrays import Array
    from skeinwright.core.spread.events import Session
    from skeinwright.core.spread.grid import Grid
    from skeinwright.core.spread.scatter import Ranges
    from skeinwright.core.spread.skein_map import SkeinMap
    from skeinwright.core.spread.stepper import Spreading
    from skeinwright.store.store import Reading

How = Literal["even", "ideal", "quick", "full"]
Progress = Callable[[float, str], None]
QUICK_DX_CM = 0.15
PANEL_CELLS, PANEL_DX_CM = 256, 0.02
THREADS = 2
FILM_FRAMES = 40
SKEIN_SHARE, NEARLY = 0.75, 0.95
"""Share of a full forecast's time that the whole skein takes; the rest is the panel's."""
EVEN_ROWS, EVEN_CELL_MM = 16, 25.0
MOST = {"even": 24, "ideal": 24, "quick": 24, "full": 3}
"""Maps kept of each kind, the least used forgotten first: a few MB each when they are not even, up to 30 with their film."""
IDEAL = "Edges of ties and of the withdrawal are idealised: how dye creeps there is not worked out."
MOST_LOTS_BELOW = 3
MOSTLY = 0.5
"""Share of the dye in liquor above which the map shows where it lies, as long as no step rinses it away."""
LONG_MM = 6000.0
"""Once round above which a loop is coarser than others, and too long to be drawn in a pan as it is."""
QUICK_LEAVES_OUT = "Quick forecast: it leaves out sites that fill, water that falls while dye strikes, powder that dissolves slowly, and acid that moves."


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class MappedColourway:
    """The wet skein of a colourway on a base, and how amounts of its dyes look there.

    how: the model, an even bath, one with idealised edges, the quick forecast or the full one. session, run, panel: of dye that is laid unevenly; the panel
    is a small patch with cells fine enough to count specks on. ranges: what a full forecast's figures may have to be multiplied by (90 %). unknown: dyes
    whose colour nobody knows, drawn grey. shares: what the swatches' bath lays on the yarn of each dye; dye on the fibre over it is the depth that counts.
    breadth_mm: how wide a limb of the loop is laid. as_it_lies: hardly anything has struck, so dye is shown where it was put. stopped_at: the number of the
    first step that is not in the map.
    """

    key: str
    colourway: Colourway
    base: Base
    how: How
    skein: SkeinMap
    look: StrandLook
    look_up: Lookup
    ground: Ground
    shares: Mapping[str, float]
    breadth_mm: float
    vessel: Vessel | None
    reskeined_mm: float
    session: Session | None = None
    run: Spreading | None = None
    panel: Spreading | None = None
    ranges: Ranges = field(default_factory=dict)
    stopped_at: int | None = None
    as_it_lies: bool = False
    unknown: tuple[str, ...] = ()
    sentences: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def is_patterned(self) -> bool:
        """True where dye does not lie the same all over."""
        return self.how != "even" or self.skein.rows != EVEN_ROWS

    @property
    def figures(self) -> Mapping[str, Any] | None:
        """What `plain_figures` counts on it, None where dye lies evenly. A live answer asks for them each time, so they are counted once."""
        return None if self.run is None or self.panel is None else _figures_of(self)

    def relaxed(self, skein: SkeinMap | None = None) -> tuple[SkeinMap, StrandLook, tuple[str, ...]]:
        """The skein, or an earlier moment of it, and its strand, washed and dried, and what that assumes."""
        from skeinwright.core.picture.of_map import relaxed_look
        from skeinwright.core.yarn.relaxation import relaxation_of

        kept = relaxation_of(self.base)
        length, width = kept.length.value, kept.width.value
        return (self.skein if skein is None else skein).relaxed(length, width, kept.mixing.value), relaxed_look(self.look, length, width), kept.assumed

    def colours(self, skein: SkeinMap | None = None) -> Colours:
        """Linear sRGB (2, rows, cells, 3) of the map's cells, or of another map of the same dyes."""
        from skeinwright.core.forecast.skein_colour import cell_colours

        return cell_colours(self.skein if skein is None else skein, self.look_up)


@lru_cache(maxsize=4)
def _figures_of(laid: MappedColourway) -> Mapping[str, Any]:
    from skeinwright.core.spread.plain import plain_figures

    assert laid.run is not None
    assert laid.panel is not None
    return MappingProxyType(plain_figures(laid.run, laid.panel))


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class _Asked:
    """All that goes into a map. `below` is the map of an earlier lot that lies under the new dye, where that lot is not even."""

    key: str
    how: How
    colourway: Colourway
    sketch: Sketch
    base: Base
    shelf: OnShelf
    ground: Ground
    below: MappedColourway | None
    missing: str
    stopped_at: int | None
    scale: UptakeScale | None
    seed: int


_kept: dict[str, OrderedDict[str, MappedColourway]] = {how: OrderedDict() for how in MOST}
_lock = Lock()


def map_colourway(studio: Studio, colourway: Colourway, *, base: str = "", full: bool = False, progress: Progress | None = None) -> MappedColourway:
    """The map of a colourway, saved or not, on the base of that name ("": its own first). Nothing is written; the same question is answered from memory.

    The quick forecast unless `full` is asked for (several seconds; `progress` hears how far it is and may raise to end it); an even bath needs neither.
    A step that cannot be read is left out and told in `notes`. Raises BadInput where the base or the pot cannot be, or no dye is laid.
    """
    with studio.store.reading() as reading:
        asked = _ask(reading, studio, colourway, base, full, None, 0)
    return _answer(asked, progress)


def map_with(reading: Reading, studio: Studio, colourway: Colourway, *, base: str = "", scale: UptakeScale | None = None, depth: int = 0) -> MappedColourway:
    """The map inside a transaction that is open already: the full forecast where it is remembered, else the quick one.

    `scale` is an even pot's uptake against that of the swatches' bath, where it is known.
    """
    asked = _ask(reading, studio, colourway, base, False, scale, depth)
    full = remembered(_key(replace(asked, how="full"))) if asked.how == "quick" else None
    return _answer(asked, None) if full is None else full


def key_of_full(studio: Studio, colourway: Colourway, *, base: str = "") -> str | None:
    """The key that the full forecast has, or will have; None where dye lies evenly and there is none. Raises BadInput as `map_colourway` does."""
    with studio.store.reading() as reading:
        asked = _ask(reading, studio, colourway, base, True, None, 0)
    return asked.key if asked.how == "full" else None


def remembered(key: str) -> MappedColourway | None:
    """A map that was made a little while ago, by its key; None where it is forgotten."""
    with _lock:
        for kept in _kept.values():
            if key in kept:
                kept.move_to_end(key)
                return kept[key]
    return None


def _ask(reading: Reading, studio: Studio, colourway: Colourway, base: str, full: bool, scale: UptakeScale | None, depth: int) -> _Asked:
    from skeinwright.core.colourway.words import is_even, is_placed_bath
    from skeinwright.core.lot.on_skein import covered, readable, wound_first
    from skeinwright.core.lot.plan import with_own
    from skeinwright.core.lot.sketch import sketch_of

    plain = shelf_for_lot(reading, colourway.water)
    shelf = with_own(colourway, plain)
    sketch = sketch_of(colourway, plain, today=studio.now().date())
    yarn = _base(colourway, shelf, base)
    read = readable(colourway, sketch)
    steps, stopped_at = covered(read.steps)
    words = [step.do for step in steps]
    how: How = "even" if is_even(words) else "ideal" if is_placed_bath(words) else "full" if full else "quick"
    yarn = wound_first(yarn, steps, shelf)
    ground, below, missing = _ground(reading, studio, colourway.over, yarn, shelf, depth)
    asked = _Asked(
        key="", how=how, colourway=replace(read, steps=steps), sketch=sketch, base=yarn, shelf=shelf, ground=ground, below=below, missing=missing,
        stopped_at=stopped_at, scale=scale if how in ("even", "ideal") else None, seed=studio.seed,
    )  # fmt: skip
    return replace(asked, key=_key(asked))


def _key(asked: _Asked) -> str:
    """By all that goes into the map: the same is worked out once."""
    shelf, colourway = asked.shelf, asked.colourway
    words = " ".join(value for step in colourway.steps for value in step.said.values()).casefold()
    things = [item for (_, name), item in sorted(shelf.things.items(), key=lambda one: one[0]) if name in words or name == colourway.vessel.casefold()]
    parts = sorted({part for item in things for part, _ in getattr(item, "parts", ())})
    said = (
        asked.how, colourway.steps, colourway.fibre, colourway.water_volume, colourway.own_vessel, asked.base, things, [shelf.find(Dye, one) for one in parts],
        shelf.water, shelf.habits, shelf.calibrations, asked.seed, asked.scale, asked.ground.spectrum.tobytes(), asked.missing,
        "" if asked.below is None else asked.below.key,
    )  # fmt: skip
    return hashlib.sha256(repr(said).encode()).hexdigest()[:24]


def _answer(asked: _Asked, progress: Progress | None) -> MappedColourway:
    found = remembered(asked.key)
    if found is not None:
        return found
    made = replace(_bath(asked) if asked.how in ("even", "ideal") else _uneven(asked, progress), stopped_at=asked.stopped_at)
    with _lock:
        kept = _kept[made.how]
        kept[made.key] = made
        while len(kept) > MOST[made.how]:
            kept.popitem(last=False)
    return made


def _base(colourway: Colourway, shelf: OnShelf, name: str) -> Base:
    wanted = name or (colourway.own_base.name if colourway.own_base is not None else next(iter(colourway.bases), ""))
    found = shelf.find(Base, wanted) if wanted else colourway.own_base
    if found is None and name:
        raise BadInput(f"{name} is not on the shelf.", where="base", text=name)
    return found or NO_BASE


def _ground(reading: Reading, studio: Studio, over: str, base: Base, shelf: OnShelf, depth: int) -> tuple[Ground, MappedColourway | None, str]:
    """What lies under the new dye: its colour, the map of a lot that is not even, and why it is not known ("" where it is)."""
    lot, why = lot_below(reading, over)
    earlier = None if lot is None or depth >= MOST_LOTS_BELOW else _colourway_of(lot, base)
    if earlier is not None:
        try:
            below = map_with(reading, studio, earlier, base=base.name, depth=depth + 1)
        except (BadInput, NotFound):
            below = None
        if below is not None and below.how != "even":
            return below.ground, below, ""
    ground, missing = find_ground(reading, studio, base, lot, shelf)
    return ground, None, why or missing


def _colourway_of(lot: Lot, base: Base) -> Colourway | None:
    """The lot's own steps, on its own yarn, as a colourway; None where it has no row of this base or no plan."""
    row = next((row for row in lot.rows if row.base.casefold() == base.name.casefold()), None)
    if row is None or not lot.plan:
        return None
    fibre_g = sum(one.fibre_g for one in lot.rows if one.vessel == row.vessel)
    stands_ml = sum(dose.amount for one in lot.plan for dose in one.doses if dose.name == STANDING and dose.vessel == row.vessel)
    return Colourway(
        name=f"lot {lot.code}",
        steps=tuple(one.step for one in lot.plan),
        fibre=f"{fibre_g:g} g",
        bases=(row.base,),
        water="" if lot.colourway is None else lot.colourway.water,
        vessel=row.vessel,
        over=row.over,
        water_volume=f"{stands_ml:g} ml" if stands_ml else "",
    )


def _bath(asked: _Asked) -> MappedColourway:
    from skeinwright.core.forecast.mapped_colour import shares_on_yarn
    from skeinwright.core.lot.on_skein import applied_depths, breadth_mm, classes_of, geometry_of, ideally, joined, over
    from skeinwright.core.spread.skein_map import blank_map, uniform_map

    applied = applied_depths(asked.sketch, asked.shelf, len(asked.colourway.steps))
    if not any(applied.values()):  # nothing yet that a tie could keep out or a withdrawal grade
        asked = replace(asked, how="even")
    shares = shares_on_yarn(applied, classes_of(applied, asked.shelf), asked.base)
    on_yarn = {name: (depth if asked.scale is None else asked.scale.depth(name, depth)) * shares[name] for name, depth in applied.items()}
    breadth = breadth_mm(asked.colourway, asked.shelf)
    if asked.how == "ideal":
        share = {name: on_yarn[name] / depth for name, depth in applied.items() if depth > 0}
        blank = blank_map(tuple(share), geometry_of(asked.base), breadth_mm=2 * breadth, base=asked.base.name)
        skein = ideally(asked.sketch, asked.colourway.steps, asked.shelf, blank, share, asked.seed)
        if asked.below is not None:
            skein, shares = joined(asked.below.skein, skein), {**asked.below.shares, **shares}
        made = _made(asked, skein, shares, breadth)
        return replace(made, notes=(*made.notes, IDEAL))
    if asked.below is not None:
        return _made(asked, over(asked.below.skein, on_yarn), {**asked.below.shares, **shares}, breadth)
    return _made(asked, uniform_map(on_yarn, geometry_of(asked.base), rows=EVEN_ROWS, cell_mm=EVEN_CELL_MM, base=asked.base.name), shares, breadth)


def _uneven(asked: _Asked, progress: Progress | None) -> MappedColourway:
    from skeinwright.core.forecast.mapped_colour import shares_on_yarn
    from skeinwright.core.lot.on_skein import classes_of, geometry_of, session_on
    from skeinwright.core.spread.grid import panel as panel_grid
    from skeinwright.core.spread.guidance import told
    from skeinwright.core.spread.scatter import scatter_of
    from skeinwright.core.spread.skein import grid_of, ground_from, moved_to, skein_map_of

    below = asked.below
    under = {} if below is None else {name: 1000 * depth * asked.sketch.fibre.total_g for name, depth in below.skein.mean().items()}
    session, said = session_on(asked.colourway, asked.base, asked.shelf, under)
    grid, small = grid_of(session, QUICK_DX_CM) if asked.how == "quick" else grid_of(session), panel_grid(PANEL_CELLS, PANEL_DX_CM)
    ground = None if below is None else ground_from(below.skein, session.names, grid)
    run = _run(session, grid, asked, ground, progress)
    patch = moved_to(session, small)
    panel = _run(patch, small, asked, None, progress)
    if progress is not None:
        progress(NEARLY, "Full forecast: how far it may be off.")
    skein = skein_map_of(run, geometry_of(asked.base), asked.base.name)
    lies = run.lying is not None and run.ledger.left_in_bath > MOSTLY and not any(step.do in ("rinse", "spin", "hang") for step in asked.colourway.steps)
    if lies and run.lying is not None:
        skein = replace(skein, dye=(run.dye + run.lying).astype("float32"))
        said = (*said, f"{100 * run.ledger.left_in_bath:.0f} % of the dye has not struck yet; it is shown where it lies.")
    grams = run.ledger.added_mg * run.ledger.scale / 1000
    applied = {dye.name: float(gram) / session.laid.fibre_g for dye, gram in zip(session.dyes, grams, strict=True)}
    made = _made(asked, skein, shares_on_yarn(applied, classes_of(applied, asked.shelf), asked.base), 10 * session.laid.width_cm)
    return replace(
        made,
        session=session,
        run=run,
        panel=panel,
        ranges=scatter_of(patch, small, asked.seed) if asked.how == "full" else {},
        as_it_lies=lies,
        sentences=told(session, run),
        notes=(*made.notes, *said, *session.notes, *_long(skein), *((QUICK_LEAVES_OUT,) if asked.how == "quick" else ())),
        assumed=tuple(dict.fromkeys((*session.assumed, *made.assumed))),
    )


def _long(skein: SkeinMap) -> tuple[str, ...]:
    """What is coarser, and what stands for it in pictures, where the yarn is wound on a loop of many metres to be dyed."""
    if skein.round_mm <= LONG_MM:
        return ()
    return (
        f"A loop of {skein.round_mm / 1000:.1f} m is worked out in places of {skein.ds_mm:.1f} mm along it: edges may be off by as much. "
        f"In the pan one of {LONG_MM / 1000:g} m stands for it; to be twisted it is laid together to and fro first.",
    )


def _run(session: Session, grid: Grid, asked: _Asked, ground: Array | None, progress: Progress | None) -> Spreading:
    from skeinwright.core.spread.quick import quick
    from skeinwright.core.spread.stepper import full, length_s

    whole_s = length_s(session)
    if asked.how == "quick" or whole_s <= 0:
        return quick(session, grid, asked.seed, threads=THREADS, ground=ground)
    film_s = max(5.0, whole_s / FILM_FRAMES) if grid.round_the_loop else None
    tell = None if progress is None else _told(progress, whole_s / 60, whole_skein=grid.round_the_loop)
    return full(session, grid, asked.seed, tell, threads=THREADS, film_every_s=film_s, ground=ground)


def _told(progress: Progress, minutes: float, *, whole_skein: bool) -> Callable[[float], None]:
    """Progress in the session's own time, then in that of the panel."""

    def tell(done: float) -> None:
        if whole_skein:
            progress(SKEIN_SHARE * done, f"Full forecast: minute {minutes * done:.0f} of {minutes:.0f}.")
        else:
            progress(SKEIN_SHARE + (NEARLY - SKEIN_SHARE) * done, "Full forecast: a close look at the specks.")

    return tell


def _made(asked: _Asked, skein: SkeinMap, shares: Mapping[str, float], breadth_mm: float) -> MappedColourway:
    from skeinwright.core.forecast.dyeing import fit_dyes
    from skeinwright.core.forecast.mapped_colour import look_up_of
    from skeinwright.core.lot.on_skein import ASSUMED_ROUND_MM, reskeined_mm
    from skeinwright.core.picture.look import look_of

    shelf = asked.shelf
    undyed = shelf.undyed()
    on_shelf = {name: dye for name in skein.names if (dye := shelf.find(Dye, name)) is not None}
    fitted = fit_dyes(list(on_shelf.values()), undyed)
    models = {name: fitted[dye.name] for name, dye in on_shelf.items() if dye.name in fitted}
    unknown = tuple(name for name in skein.names if name not in models)
    look, said = look_of(asked.base)
    notes = [asked.missing] if asked.missing else []
    if unknown:
        notes.append(f"{', '.join(unknown)}: no swatch, so shown as a plain grey of middling strength.")
    if asked.below is not None:
        notes.append(f"Over {asked.below.colourway.name} as it was planned, place by place; how one skein comes to lie over the other is chance.")
    round_ = () if asked.base.round_mm else (f"Once round {ASSUMED_ROUND_MM / 1000:g} m, until you measure it.",)
    return MappedColourway(
        key=asked.key,
        colourway=asked.colourway,
        base=asked.base,
        how=asked.how,
        skein=skein,
        look=look,
        look_up=look_up_of(skein.names, models, shares, asked.ground.spectrum),
        ground=asked.ground,
        shares=shares,
        breadth_mm=breadth_mm,
        vessel=shelf.find(Vessel, asked.colourway.vessel) or asked.colourway.own_vessel,
        reskeined_mm=reskeined_mm(asked.colourway, shelf),
        unknown=unknown,
        notes=tuple(notes),
        assumed=(*said, *asked.ground.assumed, *round_),
    )
