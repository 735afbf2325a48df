"""Forecast a colourway while it is being written: amounts, the bath, and the colour on each base, all from the same plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.figures import Amount, BathSheet, DyeTotal, amounts_of, bath_of, totals_of
from skeinwright.core.lot.sketch import Problem, Sketch, sketch_of
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.core.shelf.no_base import NO_BASE
from skeinwright.services.find_ground import find_ground, lot_below
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.forecast.dyeing import BaseForecast
    from skeinwright.core.forecast.fibre_parts import FibrePart
    from skeinwright.core.forecast.main_colours import MainColour
    from skeinwright.core.forecast.uptake_scale import UptakeScale
    from skeinwright.core.forecast.wet_look import WetLook
    from skeinwright.core.lot.lot import Planned
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.picture.look import StrandLook
    from skeinwright.services.map_colourway import MappedColourway
    from skeinwright.store.store import Reading

MOST_BASES = 4
WHERE_ASSUMED = "Where dye goes rests on assumed rates, but for your own tests that are named: how far it spreads may be half or twice as much."


@dataclass(frozen=True, kw_only=True, slots=True)
class OnBase:
    """One base with its forecast and how its strand looks; `assumed` says what its looks rest on."""

    base: Base
    forecast: BaseForecast
    look: StrandLook
    laid: MappedColourway | None = None
    """Where its dye lies, if it does not lie evenly and was asked for; then `forecast` is of the places that are coloured."""
    wet: WetLook | None = None
    """How that colour looks while the yarn is soaked; None where there is no colour."""
    main: tuple[MainColour, ...] = ()
    """The few colours of a skein on which dye does not lie evenly, each with how far it may be off."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ColourwaySheet:
    """All that is forecast of a colourway as it stands now, and what is wrong with it, each problem at its step and slot."""

    colourway: Colourway
    fibre_g: float
    fibre_echo: str
    plan: tuple[Planned, ...]
    bases: tuple[OnBase, ...]
    amounts: tuple[Amount, ...]
    dyes: tuple[DyeTotal, ...]
    bath: BathSheet | None
    stopped_at: int | None
    """The number of the first step that no model covers; None where all are covered."""
    left_out: frozenset[int]
    problems: tuple[Problem, ...]
    refused: tuple[str, ...]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    @property
    def cost_minor(self) -> float | None:
        """What all dyes cost; None where one has no price."""
        costs = [dye.cost_minor for dye in self.dyes]
        return sum(cost for cost in costs if cost is not None) if costs and None not in costs else None

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        bath = self.bath
        return {
            "inputs": {"name": self.colourway.name, "fibre_g": self.fibre_g, "vessel": self.colourway.vessel, "steps": len(self.colourway.steps)},
            "dyes": {dye.name: {"powder_g": round(dye.powder_g, 4), "depth": round(dye.depth, 6)} for dye in self.dyes},
            "amounts": [{"kind": one.kind, "name": one.name, f"amount_{one.unit}": round(one.amount, 3)} for one in self.amounts],
            "ph": None if bath is None else round(bath.ph.value, 2),
            "ph_low": None if bath is None else round(bath.ph.low, 2),
            "ph_high": None if bath is None else round(bath.ph.high, 2),
            "ph_simmered": None if bath is None or bath.simmered_ph is None else round(bath.simmered_ph, 2),
            "volume_ml": None if bath is None else round(bath.volume_ml, 1),
            "liquor_ratio": None if bath is None else round(bath.ratio, 2),
            "bases": [_plain_base(one) for one in self.bases],
            "illuminant": "D65",
            "observer": 10,
            "not_forecast_from_step": self.stopped_at,
            "problems": [{"step": one.step, "slot": one.slot, "sentence": one.sentence} for one in self.problems],
            "refused": list(self.refused),
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def forecast_colourway(
    studio: Studio, colourway: Colourway, *, bases: Sequence[str] = (), laid_on: Sequence[str] | None = None, even_too: bool = False
) -> ColourwaySheet:
    """The sheet of a colourway, saved or not, on up to four `bases` (names; its own where none are given).

    Where dye does not lie evenly, the quick forecast (the full one where it is remembered) says where it goes on the bases named in `laid_on` (None: on all
    of them; the first one where none of them is meant); with `even_too` an even bath has its map as well. What cannot be read is left out and told in
    `problems`; all the rest is still worked out. Nothing is written.
    """
    with studio.store.reading() as reading:
        return forecast_with(reading, studio, colourway, bases=bases, laid_on=laid_on, even_too=even_too)


def forecast_with(
    reading: Reading, studio: Studio, colourway: Colourway, *, bases: Sequence[str] = (), laid_on: Sequence[str] | None = None, even_too: bool = False
) -> ColourwaySheet:
    """The same inside a transaction that is open already."""
    from skeinwright.core.bath.guards import ph_guards
    from skeinwright.core.bath.guards import warnings as guard_sentences
    from skeinwright.core.colourway.words import is_even
    from skeinwright.core.lot.depths import of_no_known_weight, step_depths
    from skeinwright.core.lot.plan import with_own

    plain = shelf_for_lot(reading, colourway.water)
    shelf = with_own(colourway, plain)
    sketch = sketch_of(colourway, plain, today=studio.now().date())
    plan = sketch.draft.plan
    problems = [*sketch.problems, *_names(colourway, shelf)]
    for planned in plan:
        problems += [
            Problem(planned.number, "amount", f"Millilitres of {name} have no known strength: name a solution, or give grams or a depth.")
            for name in of_no_known_weight(planned)
        ]
    depths = step_depths(plan, sketch.fibre.total_g, shelf)
    words = [step.do for step in colourway.steps]
    on_bases, stopped_at, scales = _on_bases(
        reading, studio, colourway, [(do, added) for do, (_, added) in zip(words, depths, strict=True)], bases, shelf, sketch
    )
    bath = bath_of(sketch, shelf, stopped_at)
    if even_too or colourway.over or not is_even(words):
        asked = _Laying(reading, studio, colourway, shelf, sketch.fibre.total_g, scales, even_too)
        on_bases = tuple(_with_laid(asked, one) if _is_wanted(one, on_bases, laid_on) else one for one in on_bases)
    on_bases = tuple(replace(one, wet=_wet(one.forecast, shelf, studio.seed)) for one in on_bases)
    return ColourwaySheet(
        colourway=colourway,
        fibre_g=sketch.fibre.total_g,
        fibre_echo=sketch.fibre.echo,
        plan=plan,
        bases=on_bases,
        amounts=amounts_of(plan),
        dyes=totals_of(plan, sketch.fibre.total_g, shelf),
        bath=bath,
        stopped_at=stopped_at,
        left_out=sketch.left_out,
        problems=tuple(problems),
        refused=sketch.draft.refused,
        warnings=(*sketch.draft.warnings, *(() if bath is None else guard_sentences(ph_guards(bath.ph.value)))),
        assumed=sketch.draft.assumed,
    )


def _wet(forecast: BaseForecast, shelf: OnShelf, seed: int) -> WetLook | None:
    """The forecast's colour wet, by the dyer's own test of the base or as assumed."""
    import numpy as np

    from skeinwright.core.forecast.wet_look import wet_look, wetness_of

    return wet_look(forecast, *wetness_of(shelf.calibrations, forecast.base), rng=np.random.default_rng(seed))


def _is_wanted(one: OnBase, on_bases: Sequence[OnBase], laid_on: Sequence[str] | None) -> bool:
    if laid_on is None:
        return True
    named = [other for other in on_bases if other.base.name in laid_on]
    return one in (named or on_bases[:1])


@dataclass(frozen=True, slots=True)
class _Laying:
    """What the maps of all bases have in common."""

    reading: Reading
    studio: Studio
    colourway: Colourway
    shelf: OnShelf
    fibre_g: float
    scales: Mapping[str, UptakeScale]
    even_too: bool


def _with_laid(asked: _Laying, one: OnBase) -> OnBase:
    """The base with where its dye lies; as it is, where dye lies evenly or nothing of it can be run."""
    from skeinwright.services.map_colourway import map_with

    try:
        laid = map_with(asked.reading, asked.studio, asked.colourway, base=one.base.name, scale=asked.scales.get(one.base.name))
    except BadInput as error:
        return replace(one, forecast=replace(one.forecast, notes=(*one.forecast.notes, f"Where dye goes is not forecast: {error.sentence}")))
    if laid.is_patterned:
        coloured, main = _where_coloured(laid, asked.shelf, asked.fibre_g, asked.studio.seed)
        return replace(one, laid=laid, forecast=coloured, main=main)
    return replace(one, laid=laid) if asked.even_too else one


def _where_coloured(laid: MappedColourway, shelf: OnShelf, fibre_g: float, seed: int) -> tuple[BaseForecast, tuple[MainColour, ...]]:
    """The colour of the places that hold more dye than the skein's mean, and the skein's main colours, each with how far it may be off."""
    import numpy as np

    from skeinwright.core.forecast.dyeing import fit_dyes, forecast_dyeing
    from skeinwright.core.forecast.main_colours import main_colours
    from skeinwright.core.forecast.mapped_colour import depths_where_coloured
    from skeinwright.core.picture.describe import colour_words, hue_of

    depths = depths_where_coloured(laid.skein, laid.shares)
    undyed = shelf.undyed()
    dyes = list(shelf.all_of(Dye).values())
    models = fit_dyes([dye for dye in dyes if dye.name in laid.skein.names], undyed)
    found = forecast_dyeing(depths, dyes, laid.ground, rng=np.random.default_rng(seed), undyed=undyed, models=models, fibre_g=fibre_g)
    said = (WHERE_ASSUMED,) if found.status == "complete" else ()
    main = main_colours(laid.skein, laid.shares, laid.look_up, dyes, models, laid.ground, hue=hue_of, name=colour_words, seed=seed)
    return replace(found, notes=(*found.notes, *said), assumed=tuple(dict.fromkeys((*found.assumed, *laid.assumed)))), main


def _names(colourway: Colourway, shelf: OnShelf) -> list[Problem]:
    """Bases and a vessel that are named but not on the shelf."""
    from skeinwright.core.shelf.items import Vessel

    found = [Problem(0, "bases", f"{name} is not on the shelf.") for name in colourway.bases if shelf.find(Base, name) is None]
    if colourway.vessel and shelf.find(Vessel, colourway.vessel) is None:
        found.append(Problem(0, "vessel", f"{colourway.vessel} is not on the shelf: whether it holds the bath is not known."))
    return found


def _on_bases(
    reading: Reading,
    studio: Studio,
    colourway: Colourway,
    steps: Sequence[tuple[str, Mapping[str, float]]],
    wanted: Sequence[str],
    shelf: OnShelf,
    sketch: Sketch,
) -> tuple[tuple[OnBase, ...], int | None, Mapping[str, UptakeScale]]:
    from skeinwright.core.colourway.words import WORDS
    from skeinwright.core.forecast.colourway_forecast import forecast_colourway as forecast_steps
    from skeinwright.core.picture.look import look_of

    known = [(do if do in WORDS else "note", added) for do, added in steps]
    chosen = _bases(colourway, wanted, shelf)
    lot, why_not = lot_below(reading, colourway.over)
    grounds = [find_ground(reading, studio, base, lot, shelf) for base in chosen]
    undyed = shelf.undyed()
    scales, parts = _scales(known, chosen, shelf, sketch, reading.settings().altitude_m)
    forecast = forecast_steps(
        known,
        list(shelf.all_of(Dye).values()),
        [ground for ground, _ in grounds],
        seed=studio.seed,
        undyed=undyed,
        fibre_g=sketch.fibre.total_g,
        scales=scales,
        parts=parts,
    )
    found = []
    for base, (_, missing), on_base in zip(chosen, grounds, forecast.bases, strict=True):
        said = why_not or missing
        found.append(OnBase(base=base, forecast=_without_ground(on_base, said) if said else on_base, look=look_of(base)[0]))
    return tuple(found), None if forecast.stopped_at is None else forecast.stopped_at + 1, scales


def _scales(
    steps: Sequence[tuple[str, Mapping[str, float]]], bases: Sequence[Base], shelf: OnShelf, sketch: Sketch, altitude_m: float
) -> tuple[dict[str, UptakeScale], dict[str, tuple[FibrePart, ...]]]:
    """What the pot takes up against the swatches' bath, by base, and the fibres of a base that it dyes differently.

    A base whose pot cannot be followed to its end stands at the swatches' conditions.
    """
    from skeinwright.core.colourway.words import WORDS, is_even, is_placed_bath
    from skeinwright.core.forecast.fibre_parts import fibre_parts
    from skeinwright.core.forecast.uptake_scale import uptake_scale
    from skeinwright.core.lot.in_pot import pot_of_sketch

    words = [do for do, _ in steps]
    covered = (is_even(words) or is_placed_bath(words)) and all(WORDS[do].forecast for do in words)
    if not covered or not any(added for _, added in steps) or sketch.left_out:
        return {}, {}
    found, parts = {}, {}
    for base in bases:
        try:
            run = pot_of_sketch(sketch, base, shelf, altitude_m=altitude_m).run
            if run.status == "ok":
                scale = found[base.name] = uptake_scale(run, base.name)
                dyes, named = list(shelf.all_of(Dye).values()), list(shelf.all_of(Base).values())
                parts[base.name] = fibre_parts(run, base, dyes, named, scale, sketch.fibre.total_g)
        except BadInput:
            continue
    return found, parts


def _bases(colourway: Colourway, wanted: Sequence[str], shelf: OnShelf) -> list[Base]:
    named = [base for name in (wanted or colourway.bases) if (base := shelf.find(Base, name)) is not None]
    if not wanted and colourway.own_base is not None:
        named.insert(0, colourway.own_base)
    return named[:MOST_BASES] or [NO_BASE]


def _without_ground(forecast: BaseForecast, why: str) -> BaseForecast:
    from skeinwright.core.forecast.dyeing import BaseForecast

    return BaseForecast(base=forecast.base, status="incomplete", rests_on="Not enough is known for a forecast.", notes=(why,), assumed=forecast.assumed)


def _plain_base(one: OnBase) -> dict[str, Any]:
    forecast = one.forecast
    return {
        "base": forecast.base,
        "laid": _plain_laid(one.laid),
        "status": forecast.status,
        "lab": None if forecast.lab is None else [round(value, 2) for value in forecast.lab.values],
        "srgb": None if forecast.srgb is None else list(forecast.srgb),
        "clipped": forecast.clipped,
        "spread_de00": None if forecast.spread_de00 is None else round(forecast.spread_de00, 2),
        "main_colours": [_plain_main(main) for main in one.main],
        "wet": None if one.wet is None else one.wet.to_plain(),
        "rests_on": forecast.rests_on,
        "notes": list(forecast.notes),
        "assumed": list(forecast.assumed),
    }


def _plain_main(main: MainColour) -> dict[str, Any]:
    forecast = main.forecast
    return {
        "words": main.words,
        "share": round(main.share, 3),
        "lab": None if forecast.lab is None else [round(value, 2) for value in forecast.lab.values],
        "spread_de00": None if forecast.spread_de00 is None else round(forecast.spread_de00, 2),
    }


def _plain_laid(laid: MappedColourway | None) -> dict[str, Any] | None:
    """Where dye lies, in the figures of the spread command."""
    if laid is None or (plain := laid.figures) is None:
        return None
    from skeinwright.core.spread.plain import plain_ranges

    return {"forecast": laid.how, **plain, "ranges": plain_ranges(plain, laid.ranges), "sentences": list(laid.sentences), "notes": list(laid.notes)}
