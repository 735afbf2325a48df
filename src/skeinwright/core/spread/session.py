"""A colourway's steps as a session: words into events, with the pan, the yarn and the dyes of this pot.

What no event stands for (a leveller, soda, a second vessel, a remover) is named in `notes`; what was not said and had to be taken is in `assumed`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import sqrt

from skeinwright.core.bath.vessels import floor_mm2
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY, MG_L_PER_EQ_L
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.standing import standing_at
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits, parse_fibre, parse_water
from skeinwright.core.shelf.items import NOT_KNOWN, Base, Dye, Item, Vessel, Water
from skeinwright.core.spread import events as ev
from skeinwright.core.spread.acid import half_mobile
from skeinwright.core.spread.derive import Pot, dye_parameters, kinds_of, sites_filled_in, sites_mmol_g
from skeinwright.core.spread.events import Event, Laid, Session
from skeinwright.core.spread.parameters import Parameters, PowderParameters, YarnParameters
from skeinwright.core.spread.said_steps import lay_in, write_step
from skeinwright.core.spread.writing import (
    ENDS,
    LAYS,
    USUAL_PAN,
    USUAL_SKEIN,
    USUAL_WIDTH_CM,
    Said,
    Writing,
    acid_mmol,
    take,
    water_said_ml,
)

ALL_ASSUMED = "How dye spreads on wet yarn (diffusion, stirring, exchange, grain, what the yarn holds) is assumed throughout: measure your own."


def session_of(
    colourway: Colourway, *, shelf: Iterable[Item] = (), base: Base | None = None, vessel: Vessel | None = None, water: Water | None = None,
    habits: Habits = HABITS, below_mg: Mapping[str, float] | None = None,
) -> Session:  # fmt: skip
    """The session of a colourway; what the colourway carries itself comes before what is given. Raises BadInput where a step cannot be.

    `below_mg` is dye that an earlier dyeing left on the yarn, by name: it takes its part in the session, and its place among the session's dyes.
    """
    items = {(item.kind, item.name.casefold()): item for item in (*shelf, *colourway.own_dyes)}
    base, vessel = colourway.own_base or base, colourway.own_vessel or vessel
    fibre = parse_fibre(colourway.fibre, skein_g=base.skein_g if base else None, where="fibre", habits=habits)
    skein_g = fibre.skein_g or (base.skein_g if base else USUAL_SKEIN[0])
    write = Writing(
        colourway=colourway,
        vessel=vessel or USUAL_PAN,
        base=base,
        fibre_g=fibre.total_g,
        skeins=fibre.skeins or max(1, round(fibre.total_g / skein_g)),
        habits=habits,
        dyes={item.name: item.dye_class for item in items.values() if isinstance(item, Dye)},
        shelf=items,
        strengths={item.name.casefold(): item.strength for item in items.values() if isinstance(item, Dye)},
        alkalinity_mg_l=_alkalinity(colourway.own_water or water),
    )
    if vessel is None:
        write.assumed.append("The pan is 50 x 30 x 10 cm, open.")
    if write.alkalinity_mg_l == ASSUMED_ALKALINITY.value and (colourway.own_water or water) is None:
        write.assumed.append(ASSUMED_ALKALINITY.note)
    stands = standing_at(colourway.steps, colourway.water_volume)
    steps = read_steps(colourway.steps, habits=habits)
    for number, step in enumerate(steps, start=1):
        if number - 1 == stands:
            write.water_ml += water_said_ml(write, parse_water(colourway.water_volume, where="water", habits=habits))
        rest = [later.do for later in steps[number:]]
        if step.do in ENDS and not any(do in LAYS for do in rest):
            break
        if step.do == "re-skein" and not write.grams:
            continue  # wound anew before it was dyed: the base says how long the loop is now
        if step.do == "re-skein":
            write.notes.append(f"step {number} (re-skein): what is laid on after the yarn was wound anew is not forecast.")
            break
        write.lays_in_later = "lay in" in rest
        write_step(write, step, f"step {number} ({step.do})")
        write.numbers += [number] * (len(write.events) - len(write.numbers))
    take(write, below_mg or {})
    return _finish(write)


def _alkalinity(water: Water | None) -> float:
    return ASSUMED_ALKALINITY.value if water is None or water.alkalinity_mg_l is None else water.alkalinity_mg_l


def _finish(write: Writing) -> Session:
    if not write.laid_in:
        lay_in(write, None)
    laid = _laid(write)
    kinds = kinds_of(write.base)
    yarn = YarnParameters(half_mg_cm2=laid.half_mg_cm2, sites_mmol_g=sites_mmol_g(kinds), strand_cm=_strand_cm(write.base))
    held_ml = yarn.held_g_g * write.fibre_g
    free_ml = max(0.0, write.before_ml - held_ml)
    held_g_g = min(yarn.held_g_g, write.before_ml / write.fibre_g) if write.before_ml else yarn.held_g_g
    if not write.before_ml:
        write.assumed.append(f"No water is said before the yarn is laid in: it is taken as soaked, with {yarn.held_g_g:g} times its weight in water.")
    names = tuple(write.grams)
    if not any(grams > 0 for grams in write.grams.values()):
        raise BadInput("No step lays any dye on the yarn.", where="step")
    water_ml = max(write.water_ml, held_ml)
    pot = Pot(
        kinds=kinds, fibre_g=write.fibre_g, water_ml=water_ml, alkalinity_mg_l=write.alkalinity_mg_l, acids=tuple(write.acids),
        dyes=tuple((name, write.dyes.get(name, NOT_KNOWN), write.grams[name]) for name in names), salt_g=write.salt_g,
    )  # fmt: skip
    phi = sites_filled_in(pot)
    alkaline = write.alkalinity_mg_l / MG_L_PER_EQ_L * write.water_ml
    total_mmol = acid_mmol(write.acids)
    net = max(total_mmol - alkaline, 1.05 * phi * yarn.sites_mmol_g * write.fibre_g)
    share = net / total_mmol if total_mmol else 0.0
    per_half = net / laid.area_cm2 / 2 * (2 * yarn.soaked_cm / (2 * yarn.soaked_cm + max(0.0, water_ml - held_ml) / laid.floor_cm2))
    per_half = max(per_half, 1.02 * phi * yarn.b_max)
    a_half = half_mobile(per_half, phi, yarn.b_max) if 0 < phi < 1 else None
    dyes = dye_parameters(pot, yarn.held_g_g, phi)
    order = {name: place for place, name in enumerate(names)}
    events = tuple(_ordered(one, order, share) for one in write.events)
    assumed = [*write.assumed, *(sentence for dye in dyes for sentence in dye.assumed)]
    assumed.append(ALL_ASSUMED)
    return Session(
        dyes=dyes, laid=laid, events=events, free_ml=free_ml, held_g_g=held_g_g, temp_c=write.start_c, lid=bool(write.vessel.lid),
        acid_mmol=share * acid_mmol(write.acids[: write.acids_before]), half_mobile=a_half,
        parameters=Parameters(yarn=yarn, powder=PowderParameters()), names=names, assumed=tuple(dict.fromkeys(assumed)), notes=tuple(write.notes),
        steps=tuple(write.numbers),
    )  # fmt: skip


def _laid(write: Writing) -> Laid:
    """Once round x half of the width (a loop laid flat lies double) x skeins, at most the floor."""
    floor = floor_mm2(write.vessel) / 100
    base = write.base
    round_cm = write.round_cm
    length_mm = base.length_mm if base else USUAL_SKEIN[1]
    if base is None or not base.round_mm:
        write.assumed.append(f"The skein is {round_cm / 100:g} m once round.")
    width = write.width_cm
    if width is None:
        width = USUAL_WIDTH_CM
        write.assumed.append(f"The yarn is laid {USUAL_WIDTH_CM:g} cm wide.")
    area = min(write.skeins * round_cm * width / 2, floor)
    if area == floor:
        write.notes.append("The yarn covers the whole floor of the pan; where it lies double, dye reaches less of it than is shown.")
    return Laid(fibre_g=write.fibre_g, area_cm2=area, floor_cm2=floor, round_cm=round_cm, strands=length_mm / 10 / round_cm, skeins=write.skeins)


def _strand_cm(base: Base | None) -> float:
    """Wet strand: a thread of 0.25 g/cm3 [assumed]; 0.00714 sqrt(tex) cm."""
    return 0.00714 * sqrt(base.tex if base else 250.0)


def _ordered(one: Event | Said, order: Mapping[str, int], acid_share: float) -> Event:
    """Amounts in the session's order of dyes; what the water's alkalinity takes of an acid is taken from all its additions alike."""
    if not isinstance(one, Said):
        return ev.AddWater(one.volume_ml, one.acid_mmol * acid_share) if isinstance(one, ev.AddWater) else one
    amounts = [0.0] * len(order)
    for name, value in one.by_name:
        amounts[order[name]] += value
    if isinstance(one.event, ev.Dip):
        return replace(one.event, dyes_mg_cm3=tuple(amounts))
    return replace(one.event, dyes_mg=tuple(amounts))
