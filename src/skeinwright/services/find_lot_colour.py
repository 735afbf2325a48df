"""What a lot was dyed with on one of its rows, and the colour that was forecast of it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.core.shelf.no_base import NO_BASE
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.find_ground import find_ground, lot_below
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colour.tables import Array
    from skeinwright.core.forecast.fibre_parts import FibrePart
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.forecast.uptake_scale import UptakeScale
    from skeinwright.core.lot.lot import Lot, Planned, Row
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.lot.state import LotState


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class LotColour:
    """Depths {dye: fraction} as they really went in where that was written down, `fibre_g` of the pot, the ground, and the forecast (D65, 10 degree).

    `uptake` is what this pot lays on the yarn over what the swatches' bath does, by dye; a dye that is not in it counts as applied.
    """

    lot: str
    row: int
    base: str
    vessel: str
    doses: dict[str, float]
    fibre_g: float
    ground: Ground = field(repr=False)
    lab: Lab
    spectrum: Array = field(repr=False)
    spread_de00: float
    uptake: dict[str, float] = field(default_factory=dict)


def find_lot_colour(studio: Studio, lot: str, row: int = 0) -> LotColour:
    """The colour of a lot's row (0: its first). Raises NotFound, or BadInput where the lot has no plan or its colour cannot be forecast."""
    from skeinwright.core.forecast.colourway_forecast import forecast_colourway as forecast_steps
    from skeinwright.core.lot.as_ran import as_ran
    from skeinwright.core.lot.depths import step_depths
    from skeinwright.core.lot.state import state_of

    with studio.store.reading() as reading:
        found = reading.lot(lot.strip().upper())
        entries = tuple(reading.entries(found.code))
        chosen = next((one for one in found.rows if one.number == row), found.rows[0] if found.rows and not row else None)
        if chosen is None or not found.plan:
            why = "has no such row" if found.plan else "was not planned step by step, so what went into it is not known"
            raise BadInput(f"Lot {found.code} {why}.", where="lot", text=lot)
        shelf, altitude_m = shelf_for_lot(reading, found.colourway.water if found.colourway is not None else ""), reading.settings().altitude_m
        base = shelf.find(Base, chosen.base) or replace(NO_BASE, name=chosen.base)
        below, why_not = lot_below(reading, chosen.over)
        ground, missing = find_ground(reading, studio, base, below, shelf)
    fibre_g = sum(one.fibre_g for one in found.rows if one.vessel == chosen.vessel)
    state = state_of(found, entries)
    plan = as_ran(found.plan, state, chosen.vessel, shelf.habits)
    undyed = shelf.undyed()
    steps = step_depths(plan, fibre_g, shelf, vessel=chosen.vessel)
    scale, parts = _scale(found, state, plan, chosen, shelf, altitude_m)
    told = forecast_steps(
        steps,
        list(shelf.all_of(Dye).values()),
        [ground],
        seed=studio.seed,
        undyed=undyed,
        fibre_g=fibre_g,
        scales=None if scale is None else {ground.name: scale},
        parts={ground.name: parts},
    )
    forecast = told.bases[0]
    if why_not or missing or told.stopped_at is not None or forecast.lab is None or forecast.spectrum is None or forecast.spread_de00 is None:
        why = why_not or missing or " ".join(forecast.notes) or "It has steps that are not forecast yet."
        raise BadInput(f"The colour of lot {found.code} is not known. {why}", where="lot", text=lot)
    return LotColour(
        lot=found.code,
        row=chosen.number,
        base=chosen.base,
        vessel=chosen.vessel,
        doses={name: depth for name, depth in told.doses.items() if depth > 0},
        fibre_g=fibre_g,
        ground=ground,
        lab=forecast.lab,
        spectrum=forecast.spectrum,
        spread_de00=forecast.spread_de00,
        uptake={} if scale is None else dict(scale.ratio),
    )


def _scale(
    lot: Lot, state: LotState, plan: tuple[Planned, ...], row: Row, shelf: OnShelf, altitude_m: float
) -> tuple[UptakeScale | None, tuple[FibrePart, ...]]:
    """What the row's pot took up, as it was really run, against the swatches' bath, and the base's fibres apart; None where it cannot be followed."""
    from skeinwright.core.colourway.words import WORDS
    from skeinwright.core.forecast.fibre_parts import fibre_parts
    from skeinwright.core.forecast.uptake_scale import uptake_scale
    from skeinwright.core.lot.in_pot import pot_of_rows
    from skeinwright.core.lot.ph_read import ph_read

    if any(one.step.do not in WORDS or not WORDS[one.step.do].forecast for one in plan):
        return None, ()
    try:
        run = pot_of_rows(plan, lot.rows, row.vessel, shelf, altitude_m=altitude_m, read=ph_read(lot, state, row.vessel)).run
        if run.status != "ok":
            return None, ()
        scale, base = uptake_scale(run, row.base), shelf.find(Base, row.base)
        pot_g = sum(one.fibre_g for one in lot.rows if one.vessel == row.vessel)
        dyes, named = list(shelf.all_of(Dye).values()), list(shelf.all_of(Base).values())
        return scale, () if base is None else fibre_parts(run, base, dyes, named, scale, pot_g)
    except (BadInput, ManyBadInputs):
        return None, ()
