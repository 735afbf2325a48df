"""Estimate what a lot's pots still hold when the yarn is out: how much liquor, what dye, and how it goes down the drain."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, first_of
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.bath.course import PotCourse
    from skeinwright.core.bath.end_of_bath import DrainDose

DRAWS = 100


@dataclass(frozen=True, kw_only=True, slots=True)
class LiquorLeft:
    """One pot's liquor after the run: ml (less what the wet yarn carries away), grams of each dye (at standard strength) and pH, with their 90 % intervals.

    `why` says what is missing where nothing can be told. `drain` is the dose of baking soda against the dyer's own limit.
    """

    vessel: str
    why: str = ""
    volume_ml: Estimate | None = None
    dyes_g: Mapping[str, Estimate] = field(default_factory=lambda: MappingProxyType({}))
    ph: Estimate | None = None
    drain: DrainDose | None = None
    assumed: tuple[str, ...] = ()


def estimate_liquor(studio: Studio, lot: str) -> tuple[LiquorLeft, ...]:
    """What each pot of a lot holds at the end, as it was really run where that was written down. Raises NotFound for an unknown lot; writes nothing."""
    from skeinwright.core.lot.as_ran import as_ran
    from skeinwright.core.lot.in_pot import pot_of_rows
    from skeinwright.core.lot.ph_read import ph_read
    from skeinwright.core.lot.state import state_of, vessels_of

    with studio.store.reading() as reading:
        found = reading.lot(lot.strip().upper())
        state = state_of(found, tuple(reading.entries(found.code)))
        shelf, settings = shelf_for_lot(reading, found.colourway.water if found.colourway is not None else ""), reading.settings()
    pots = []
    for vessel in vessels_of(found):
        try:
            read = ph_read(found, state, vessel)
            run = pot_of_rows(as_ran(found.plan, state, vessel, shelf.habits), found.rows, vessel, shelf, altitude_m=settings.altitude_m, read=read).run
            pots.append(_left(vessel, _course(run, studio.seed), settings.drain_low_ph, settings.drain_high_ph))
        except (BadInput, ManyBadInputs) as error:
            said = first_of(error).sentence
            pots.append(LiquorLeft(vessel=vessel, why=said))
    return tuple(pots)


def _course(run: object, seed: int) -> PotCourse:
    import numpy as np

    from skeinwright.core.bath.pot_run import PotRun
    from skeinwright.core.bath.process import process

    assert isinstance(run, PotRun)
    if run.status != "ok":
        raise BadInput(f"It is {run.status}: {' '.join(run.notes)}".strip(), where="steps")
    return process(run, rng=np.random.default_rng(seed), draws=DRAWS, block_s=120.0)


def _left(vessel: str, course: PotCourse, low_ph: float, high_ph: float) -> LiquorLeft:
    from skeinwright.core.bath.end_of_bath import leftover_liquor, neutralising_dose
    from skeinwright.core.bath.written_run import WET_YARN_ML_G

    wet_ml = WET_YARN_ML_G * course.run.fibre_g
    liquor = leftover_liquor(course, wet_yarn_ml=wet_ml)
    share = liquor.volume_ml / (1000 * float(course.water_l.centre[-1]))
    dyes = {}
    for name, grams in liquor.dyes_g.items():
        band, dose = course.uptake.get(name), course.run.dose_g[name]
        if band is not None:
            low, high = dose * (1 - float(band.high[-1])) * share, dose * (1 - float(band.low[-1])) * share
            dyes[name] = Estimate(grams, min(max(low, 0.0), grams), max(high, grams), "g", Origin.ASSUMED)
    water, ph = course.water_l, course.ph
    volumes = [max(0.0, 1000 * float(line[-1]) - wet_ml) for line in (water.low, water.high)]
    return LiquorLeft(
        vessel=vessel,
        volume_ml=Estimate(liquor.volume_ml, min(volumes[0], liquor.volume_ml), max(volumes[1], liquor.volume_ml), "ml", Origin.ASSUMED),
        dyes_g=MappingProxyType(dyes),
        ph=Estimate(liquor.ph, float(ph.low[-1]), float(ph.high[-1]), "pH", Origin.ASSUMED),
        drain=neutralising_dose(course.liquor, liquor.volume_ml, ph=liquor.ph, local_low=low_ph, local_high=high_ph),
        assumed=(f"The lifted yarn carries {WET_YARN_ML_G:g} ml of liquor to a gram away.", *course.run.assumed),
    )
