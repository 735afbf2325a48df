"""What the numbers mean at the stove, in sentences; and how much powder for so many specks. Every sentence rests on assumed rates until the dyer's own
tests."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log, pi, sqrt

import numpy as np

from skeinwright.core.spread.derive import site_rate
from skeinwright.core.spread.events import AddWater, Bath, Heat, Ice, Lid, Pour, Rinse, Session, Sprinkle, Wait
from skeinwright.core.spread.figures import COUNTING_FAILS_ABOVE
from skeinwright.core.spread.grains import mean_grain_mg
from skeinwright.core.spread.groups import Groups, groups
from skeinwright.core.spread.ice import COLD_C
from skeinwright.core.spread.parameters import PowderParameters
from skeinwright.core.spread.quick import ahead_by_event
from skeinwright.core.spread.soaking import Level
from skeinwright.core.spread.stepper import Spreading
from skeinwright.core.spread.water import rayleigh, steams_cm_s, stirs_itself

STILL_MM = 1.5
"""Free water that does not turn over by itself at dyeing heat."""
CLEAR_DA = 5.0
SIMMER_C = 93.0
NO_WATER_CM = 0.005
"""Less than this over the yarn, and none is said to stand free."""
STEAMS_AWAY = "The free water steams away within this time: later dye lies sharper; look after the pan."
LITTLE_ACID_G = 0.3
"""Share of the full strike under which acid is called scarce."""


@dataclass(frozen=True, slots=True)
class PowderDose:
    """Powder for a wish: grams a 100 g of yarn for each of its sides that is sprinkled, grains a cm2 and a gram of yarn, specks a stitch, the coverage, and
    what to say."""

    grams_per_100_g: float
    per_cm2: float
    per_gram: float
    per_stitch: float | None
    coverage: float
    sentences: tuple[str, ...]


def guidance(session: Session) -> tuple[str, ...]:
    """Sentences on each sprinkle or pour of a session, as pan and yarn stand when half of its dye strikes (heat may come after the powder); each said once."""
    found: list[str] = []
    temp_c, lid, fibre_g, floor = session.temp_c, session.lid, session.laid.fibre_g, session.laid.floor_cm2
    full = session.parameters.yarn.held_g_g
    level = Level(session.free_ml, fibre_g * (full if session.held_g_g is None else session.held_g_g), fibre_g * full)
    for place, event in enumerate(session.events):
        level.follow(event, fibre_g)
        seconds, at_c = 0.0, temp_c
        if isinstance(event, Lid):
            lid = event.on
        elif isinstance(event, Heat):
            seconds, at_c = abs(event.to_c - temp_c) / max(event.c_per_s, 1e-6), (temp_c + event.to_c) / 2
            temp_c = event.to_c
        elif isinstance(event, Wait):
            seconds = event.time_s
        elif isinstance(event, Rinse):
            temp_c = event.temp_c
        elif isinstance(event, Ice):
            temp_c = min(temp_c, COLD_C)
        elif isinstance(event, Sprinkle | Pour):
            then_c, then_free, left, covered = when_it_strikes(session, place, temp_c, level, lid=lid)
            found.extend(at_moment(session, then_c, then_free, left, powder=isinstance(event, Sprinkle), lid=covered))
        level.free_ml = max(0.0, level.free_ml - floor * seconds * steams_cm_s(at_c, session.parameters.pan, lid=lid))
    return tuple(dict.fromkeys(found))


def told(session: Session, run: Spreading) -> tuple[str, ...]:
    """`guidance`, after when the run's free water steamed away, where it did; that is not said twice."""
    said = guidance(session)
    if run.dry_at_s is None:
        return said
    minutes = f"{run.dry_at_s / 60:.0f} min with the yarn in (known to a third at best)"
    dry = f"The free water has steamed away after about {minutes}: put the lid on or add water in time."
    return (dry, *(sentence for sentence in said if sentence != STEAMS_AWAY))


def when_it_strikes(session: Session, place: int, temp_c: float, level: Level, *, lid: bool) -> tuple[float, float, float, bool]:
    """When half of the slowest dye laid by event `place` has struck: C, free water in cm, seconds at that heat worth all the heat to come, lid on.

    `level` is the water once event `place` is done; what is poured in and off until then is counted.
    """
    floor, fibre_g = session.laid.floor_cm2, session.laid.fibre_g
    coming = ahead_by_event(session, place, temp_c, lid=lid)
    if not coming:
        return temp_c, level.free_ml / floor, 0.0, lid
    g = site_rate(_phi(session))
    slowest = min(session.dyes, key=lambda dye: sum(time_s * dye.strike_per_s(c) for _, (time_s, c, _) in coming))
    struck = np.cumsum([time_s * slowest.strike_per_s(c) * g for _, (time_s, c, _) in coming])
    half = int(np.searchsorted(1 - np.exp(-struck), (1 - np.exp(-struck[-1])) / 2))
    then, done = replace(level), place
    for part, (number, (time_s, c, covered)) in enumerate(coming[: half + 1]):
        for event in session.events[done + 1 : number]:
            then.follow(event, fibre_g)
        done = max(done, number - 1)
        if part < half:
            then.free_ml = max(0.0, then.free_ml - floor * time_s * steams_cm_s(c, session.parameters.pan, lid=covered))
    _, (_, then_c, covered) = coming[half]
    return then_c, then.free_ml / floor, float(struck[-1]) / max(slowest.strike_per_s(then_c) * g, 1e-12), covered


def at_moment(session: Session, temp_c: float, free_cm: float, left_s: float, *, powder: bool = True, lid: bool = False) -> tuple[str, ...]:
    """Sentences for dye that comes down now on `free_cm` of free water at `temp_c`, with `left_s` seconds to go."""
    phi = _phi(session)
    held = session.parameters.yarn.soaked_cm
    each = [groups(dye, temp_c, free_cm, held, phi, left_s, session.parameters, lid=lid) for dye in session.dyes]
    slowest = min(each, key=lambda one: one.da)
    return (*_water(temp_c, free_cm, powder), *_acid(phi, slowest), *_length(each), *_drying(slowest, free_cm))


def _phi(session: Session) -> float:
    """Filled sites if all the session's acid were at rest."""
    laid, yarn = session.laid, session.parameters.yarn
    total = session.acid_mmol + sum(event.acid_mmol for event in session.events if isinstance(event, AddWater | Sprinkle | Pour | Bath))
    low, high = 0.0, 1 - 1e-9
    water = session.free_ml / laid.area_cm2
    for _ in range(60):
        phi = (low + high) / 2
        a = session.a_half * phi / (1 - phi)
        need = laid.area_cm2 * (2 * (a + yarn.b_max * phi) + a / yarn.soaked_cm * water)
        low, high = (phi, high) if need < total else (low, phi)
    return low


def _water(temp_c: float, free_cm: float, powder: bool) -> list[str]:
    what = "specks will blur" if powder else "edges will blur"
    if stirs_itself(temp_c, free_cm) >= 0.5:
        return [f"{10 * free_cm:.1f} mm of free water at {temp_c:.0f} C is deep enough to stir itself: {what}; pour off to {STILL_MM} mm or add acid first."]
    if temp_c >= SIMMER_C and free_cm > 0.05:
        return [f"At {temp_c:.0f} C bubbles stir the water: {what}; let it settle at 85 C."]
    if free_cm < NO_WATER_CM:
        return ["No free water: dye stays where it falls, and hardly reaches the other side."]
    return [f"{10 * free_cm:.1f} mm of free water stands still: dye only creeps."]


def _acid(phi: float, slowest: Groups) -> list[str]:
    found = []
    if site_rate(phi) < LITTLE_ACID_G:
        found.append("Little acid is in the fibre: dye travels until it meets some. Acid in the soak, or in the powder, holds it where it falls.")
    if slowest.da < CLEAR_DA:
        found.append("The time is short for this much acid and heat: the liquor will not be clear at the end.")
    return found


def _length(each: list[Groups]) -> list[str]:
    along = sorted(10 * one.lambda_x_cm for one in each)
    if along[-1] > 0:
        across = 10 * max(one.lambda_y_cm for one in each)
        return [f"Dye goes about {along[-1]:.1f} mm along the strands and {across:.1f} mm across before it strikes (assumed; times or divided by 2)."]
    return []


def _drying(one: Groups, free_cm: float) -> list[str]:
    if free_cm > 0 and one.ev > 1:
        return [STEAMS_AWAY]
    return []


def powder_dose(
    powder: PowderParameters, half_mg_cm2: float, speck_mm: float, *, coverage: float | None = None, per_stitch: float | None = None,
    stitch_mm: float | None = None, tex: float | None = None,
) -> PowderDose:  # fmt: skip
    """Powder for a coverage (0-1) or for specks a stitch, on one side of the yarn, specks being `speck_mm` across.

        coverage = 1 - exp(-n pi (d/2)^2)   (chance places, overlap counted once);   specks a stitch = n per_gram x stitch x tex;   grams = n x mean grain

    `stitch_mm` and `tex` are needed for specks a stitch. Mean grain: 4/3 pi rho r^3 e^(4.5 ln(sigma)^2), so grain size tells most: twice as coarse, eight
    times the powder.
    """
    area_cm2 = pi * (speck_mm / 20) ** 2
    gram_per_cm2 = 2 * half_mg_cm2 / 1000
    stitch_g = stitch_mm * tex / 1e6 if stitch_mm is not None and tex is not None else None
    if coverage is not None:
        n = -log(1 - min(max(coverage, 0.0), 0.99)) / area_cm2
    elif per_stitch is not None and stitch_g:
        n = per_stitch / stitch_g * gram_per_cm2
    else:
        raise ValueError("a coverage, or specks a stitch with the stitch's length and the yarn's tex, is needed")
    made = 1 - 2.718281828459045 ** (-n * area_cm2)
    grams = n * mean_grain_mg(powder) / 1000 / gram_per_cm2 * 100
    said = [f"{grams:.2g} g of powder for 100 g of yarn, a side: about {n:.2g} grains to a square centimetre, {100 * made:.0f} % of it in specks."]
    if made > COUNTING_FAILS_ABOVE:
        said.append(f"Above {100 * COUNTING_FAILS_ABOVE:.0f} % coverage specks run together and counting fails; judge by colour there.")
    said.append(f"Grain size tells most and is assumed ({powder.grain_mm:g} mm median radius): sprinkle on wet paper once and count.")
    return PowderDose(grams, n, n / gram_per_cm2, n / gram_per_cm2 * stitch_g if stitch_g else None, made, tuple(said))


def still_depth_cm(temp_c: float) -> float:
    """The depth below which free water does not turn over: Ra(h) = 1708, h = (1708/Ra(1 cm))^(1/3). 1.9 mm at 85 C; endless where nothing drives it."""
    ra = rayleigh(temp_c, 1.0)
    return (1708 / ra) ** (1 / 3) if ra > 0 else float("inf")


def footprint_mm(powder: PowderParameters) -> float:
    """Diameter of a usual grain's stain as it dissolves, at half of its height: 2 sqrt(2 ln 2) x 2.5 r."""
    return 2 * sqrt(2 * log(2)) * powder.footprint * powder.grain_mm
