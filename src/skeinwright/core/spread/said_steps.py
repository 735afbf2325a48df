"""What each step word does to a session that is being written down."""

from __future__ import annotations

from collections.abc import Callable

from skeinwright.core.bath.acids import AcidDose
from skeinwright.core.bath.vessels import floor_mm2
from skeinwright.core.colourway.steps import ReadStep
from skeinwright.core.colourway.timing import COOLED_C, COOLING_C_MIN, RAMP_C_MIN, START_C
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Leftover
from skeinwright.core.spread import events as ev
from skeinwright.core.spread.events import Bands
from skeinwright.core.spread.parameters import YarnParameters
from skeinwright.core.spread.writing import (
    DEEP_CM,
    KETTLE_POINTS,
    KETTLE_SPOT_CM,
    ON_YARN,
    PAINT_EDGE_CM,
    POUR_EDGE_CM,
    SILENT,
    SPUN_G_G,
    SQUEEZED_G_G,
    THICK,
    THICK_EDGE_CM,
    USUAL_WIDTH_CM,
    Said,
    Writing,
    acid_amount,
    acid_bought,
    acid_mmol,
    dyes_mg,
    free_cm,
    level_of,
    of_solution,
    on_loop,
    take,
    water_said_ml,
)

GOLDEN = 0.618034
WIDEST_LUMPS = 8
FINEST_MM, COARSEST_MM = 0.01, 2.0
"""Radii of grains that are followed: finer is dust that nobody sprinkles, coarser is no powder."""
BOILS_C = 100.0
DEEP = "Currents of a deep pot are not followed: there, edges may come out softer and further apart than is shown."
DISSOLVED_MG_ML = 10.0
"""Dye in the liquor of a pour or a painted band that is given by weight alone: a solution of 1 % is common practice; powder is not painted dry."""


def write_step(write: Writing, step: ReadStep, where: str) -> None:
    act = _ACTS.get(step.do)
    if step.do in ON_YARN and not write.laid_in:
        lay_in(write, None)
    if act is not None:
        act(write, step, where)
    elif step.do not in SILENT:
        write.notes.append(f"{where}: not forecast; it is left out.")


def _soak(write: Writing, step: ReadStep, where: str) -> None:
    water, time = step.quantity("water"), step.quantity("time")
    if water is not None:
        _add_water(write, water_said_ml(write, water))
    if time is not None and write.laid_in:
        write.events.append(ev.Wait(time.value))


def _fill(write: Writing, step: ReadStep, where: str) -> None:
    volume = step.quantity("volume")
    if volume is not None:
        _add_water(write, water_said_ml(write, volume))


def _add_water(write: Writing, volume_ml: float, acid_mmol: float = 0.0) -> None:
    write.water_ml += volume_ml
    if write.laid_in:
        write.events.append(ev.AddWater(volume_ml, acid_mmol))


def _pour_off(write: Writing, step: ReadStep, where: str) -> None:
    """Only what stands free can be poured off; a tenth more than that is a measuring jug's error."""
    volume, there = _volume(step), level_of(write).free_ml
    if volume > 1.1 * there:
        amount = f"at most {there / 1000:.2g} l of water stands" if there > 0 else "no water stands"
        write.notes.append(f"{where}: {amount} free by then; what the yarn holds stays in it.")
    write.events.append(ev.PourOff(volume))


def _add_acid(write: Writing, step: ReadStep, where: str) -> None:
    amount = step.quantity("amount")
    if amount is None or step.acid is None:
        return
    bought = acid_bought(write, step.acid.acid, step.acid.strength, step.acid.name, where)
    dose = AcidDose(bought, acid_amount(write, bought, amount, where))
    write.acids.append(dose)
    _add_water(write, dose.amount if bought.unit == "ml" else 0.0, acid_mmol([dose]) if write.laid_in else 0.0)


def lay_in(write: Writing, step: ReadStep | None, where: str = "") -> None:
    width = step.quantity("width") if step else None
    write.width_cm = width.value / 10 if width else write.width_cm
    if not write.laid_in:
        write.laid_in, write.before_ml, write.acids_before, write.start_c = True, write.water_ml, len(write.acids), write.temp_c


def _bands(write: Writing, step: ReadStep, where: str) -> tuple[Bands, bool]:
    """(where on the loop, whether on what is white). What is said past the tie comes round to its other side."""
    place = step.place
    if place is None or place.what == "all":
        return (), False
    if place.what == "white":
        return (), True
    bands = tuple((low / 10, high / 10) for low, high in place.bands_mm)
    for low, high in bands:
        if low >= write.round_cm:
            at = low % write.round_cm
            write.notes.append(f"{where}: the skein is {write.round_cm:g} cm once round, so {low:g}-{high:g} cm is taken as {at:g}-{at + high - low:g} cm.")
    return on_loop(bands, write.round_cm), False


def _sprinkle(write: Writing, step: ReadStep, where: str) -> None:
    mg, _, mmol, grain = dyes_mg(write, step, where)
    said = step.quantity("grain")
    bands, white = _bands(write, step, where)
    if said is not None and not FINEST_MM <= said.value <= COARSEST_MM:
        raise BadInput(f"A grain's radius is {FINEST_MM:g} to {COARSEST_MM:g} mm; dye powder has about 0.1 mm.", where=f"{where}: grain", text=said.text)
    clump, grain_mm = _lumps(step, where), said.value if said else grain
    write.events.append(Said(take(write, mg), ev.Sprinkle(dyes_mg=(), acid_mmol=mmol, bands=bands, white=white, grain_mm=grain_mm, clump=clump)))


def _lumps(step: ReadStep, where: str) -> float:
    """How many grains wide a damp jar's lumps are; 1 of dry powder."""
    said = step.quantity("lumps")
    if said is not None and not 1 <= said.value <= WIDEST_LUMPS:
        raise BadInput(f"Lumps are 1 to {WIDEST_LUMPS} grains wide; sieve what is coarser.", where=f"{where}: lumps", text=said.text)
    return 1.0 if said is None else said.value


def _pour(write: Writing, step: ReadStep, where: str) -> None:
    mg, volume, mmol, _ = dyes_mg(write, step, where)
    if not volume:
        volume = sum(mg.values()) / DISSOLVED_MG_ML
        write.assumed.append("Dye that is painted or poured by weight is dissolved first, 1 g in 100 ml.")
    bands, white = _bands(write, step, where)
    if white:
        write.notes.append(f"{where}: liquor cannot keep to what is white; it is poured over all.")
    if step.do == "pour" and not write.thick and free_cm(write) > DEEP_CM:
        return _into_water(write, take(write, mg), volume, bands, where)
    edge = THICK_EDGE_CM if write.thick else PAINT_EDGE_CM if step.do == "paint" else POUR_EDGE_CM
    write.water_ml += volume
    write.events.append(
        Said(take(write, mg), ev.Pour(dyes_mg=(), volume_ml=volume, acid_mmol=mmol, bands=bands, edge_cm=edge, thick=THICK if write.thick else 1.0))
    )
    return None


def _into_water(write: Writing, dyes: tuple[tuple[str, float], ...], volume: float, bands: Bands, where: str) -> None:
    """A kettle: the water stands so high over the yarn that dye goes into it, at a few places, each pour at its own."""
    round_cm = write.round_cm
    stretches = bands or ((0.0, round_cm),)
    length, turn = sum(high - low for low, high in stretches), sum(isinstance(one, Said) for one in write.events)
    points = []
    for k in range(KETTLE_POINTS):
        along = ((k + 0.5 + GOLDEN * turn) / KETTLE_POINTS % 1.0) * length
        for low, high in stretches:
            if along < high - low:
                points.append((low + along, (0.5 + GOLDEN * (k + 2 * turn)) % 1.0))
                break
            along -= high - low
    write.notes.append(f"{where}: {free_cm(write):.0f} cm of water stands over the yarn, so dye goes into the water, at {len(points)} places taken by rule.")
    if DEEP not in write.notes:
        write.notes.append(DEEP)
    write.water_ml += volume
    write.events.append(Said(dyes, ev.Kettle(dyes_mg=(), points=tuple(points), spot_cm=KETTLE_SPOT_CM, volume_ml=volume)))


def _add_dye(write: Writing, step: ReadStep, where: str) -> None:
    if not write.laid_in and not write.lays_in_later:
        lay_in(write, None)
    mg, volume, _, _ = dyes_mg(write, step, where)
    write.water_ml += volume
    write.events.append(Said(take(write, mg), ev.Bath(dyes_mg=(), volume_ml=volume if write.laid_in else 0.0)))


def _dip(write: Writing, step: ReadStep, where: str) -> None:
    solution, time = step.name("solution"), step.quantity("time")
    if not solution:
        write.notes.append(f"{where}: the strength of the dip is not known; name a solution on the shelf. It is left out.")
        return
    mg_ml, _, _, _ = of_solution(write, solution, None, where)
    bands, _ = _bands(write, step, where)
    round_cm = write.round_cm
    share = min(1.0, sum(high - low for low, high in bands) / round_cm) if bands else 1.0
    held_ml = share * YarnParameters().held_g_g * write.fibre_g
    names = [name for name, _ in take(write, {name: value * held_ml for name, value in mg_ml.items()})]
    dip = ev.Dip(dyes_mg_cm3=(), bands=bands or ((0.0, round_cm),), time_s=time.value if time else 60.0)
    write.events.append(Said(tuple(zip(names, mg_ml.values(), strict=True)), dip))


def _heat(write: Writing, step: ReadStep, where: str) -> None:
    to, rate, time = step.quantity("to"), step.quantity("rate"), step.quantity("time")
    end_c = write.temp_c if to is None else min(to.value, BOILS_C)
    if to is not None and to.value > BOILS_C:
        write.notes.append(f"{where}: a pan is no hotter than its boiling water, so {to.text} is taken as {BOILS_C:g} C.")
    if abs(end_c - write.temp_c) > 1e-9:
        per_min = rate.value if rate else RAMP_C_MIN
        if rate is None and write.laid_in:
            write.assumed.append(f"{where}: heated at {RAMP_C_MIN:g} C a minute.")
        if write.laid_in:
            write.events.append(ev.Heat(end_c, max(per_min, 1e-3) / 60))
        write.temp_c = end_c
    if time is not None and write.laid_in:
        write.events.append(ev.Wait(time.value))


def _cool(write: Writing, step: ReadStep, where: str) -> None:
    to, time = step.quantity("to"), step.quantity("time")
    end = to.value if to else max(START_C, write.temp_c - COOLING_C_MIN * time.value / 60) if time else min(COOLED_C, write.temp_c)
    if write.laid_in and end < write.temp_c:
        rate = (write.temp_c - end) / time.value if time and time.value > 0 else COOLING_C_MIN / 60
        write.events.append(ev.Heat(end, rate))
    write.temp_c = min(write.temp_c, end)


def _wait(write: Writing, step: ReadStep, where: str) -> None:
    time = step.quantity("time")
    if time is not None and write.laid_in:
        write.events.append(ev.Wait(time.value))


def _steam(write: Writing, step: ReadStep, where: str) -> None:
    time = step.quantity("time")
    write.events.append(ev.Steam(time.value if time else 1800.0))


def _squeeze(write: Writing, step: ReadStep, where: str) -> None:
    leave = step.quantity("leave")
    write.events.append(ev.Squeeze(leave.value if leave else SQUEEZED_G_G))


def _open_up(write: Writing, step: ReadStep, where: str) -> None:
    width = step.quantity("width")
    laid_cm = write.width_cm or USUAL_WIDTH_CM
    lies_cm = laid_cm * write.opened
    wider = width.value / 10 / lies_cm if width else 1.25
    floor = floor_mm2(write.vessel) / 100
    room = floor / min(floor, write.skeins * write.round_cm * lies_cm / 2)
    wider, wished = max(0.2, min(wider, room)), wider
    write.events.append(ev.OpenUp(wider))
    write.width_cm, write.opened = laid_cm, write.opened * wider
    if wished > room:
        write.notes.append(f"{where}: the pan has no room for it; it is opened as far as the floor goes.")


def _ice(write: Writing, step: ReadStep, where: str) -> None:
    amount = step.quantity("amount")
    if amount is not None and amount.kind == "mass":
        write.events.append(ev.Ice(amount.value))
        write.water_ml += amount.value
    else:
        write.notes.append(f"{where}: ice is weighed; it is left out.")


def _thicken(write: Writing, step: ReadStep, where: str) -> None:
    write.thick = True


def _add_salt(write: Writing, step: ReadStep, where: str) -> None:
    """Salt changes where dye comes to rest; when it comes in is not followed."""
    amount = step.quantity("amount")
    if amount is None or amount.kind not in ("mass", "fraction"):
        write.notes.append(f"{where}: salt is weighed; it is left out.")
        return
    write.salt_g += amount.value * (write.fibre_g if amount.kind == "fraction" else 1.0)


def _add_leveller(write: Writing, step: ReadStep, where: str) -> None:
    write.notes.append(f"{where}: a leveller slows the strike; by how much is not known here, so it is not counted.")


def _top_up(write: Writing, step: ReadStep, where: str) -> None:
    """Its share of the dye that a leftover is known to hold, even in the free water."""
    name, volume = step.name("leftover"), _volume_of(step)
    found = write.shelf.get(("leftover", name.casefold()))
    brings = found.dyes_in(volume) if isinstance(found, Leftover) else ()
    if not brings:
        write.notes.append(f"{where}: what dye {name or 'the leftover'} holds is not known, so it counts as water.")
        return _add_water(write, volume)
    mg = {dye: 1000 * grams * write.strengths.get(dye.casefold(), 1.0) for dye, grams in brings}
    write.water_ml += volume
    write.notes.append(f"{where}: what acid the leftover holds is not counted.")
    write.events.append(Said(take(write, mg), ev.Bath(dyes_mg=(), volume_ml=volume if write.laid_in else 0.0)))
    return None


def _volume_of(step: ReadStep) -> float:
    said = step.quantity("amount")
    return said.value if said else 0.0


def _tie_off(write: Writing, step: ReadStep, where: str) -> None:
    bands, _ = _bands(write, step, where)
    if bands:
        write.events.append(ev.TieOff(bands))
    else:
        write.notes.append(f"{where}: name a band, such as 40-45 cm; it is left out.")


def _withdraw(write: Writing, step: ReadStep, where: str) -> None:
    time = step.quantity("time")
    write.events.append(ev.Withdraw(time.value if time else 600.0))


def _rinse(write: Writing, step: ReadStep, where: str) -> None:
    write.events.append(ev.Rinse())
    write.temp_c, write.thick = START_C, False


def _volume(step: ReadStep) -> float:
    said = step.quantity("volume")
    return said.value if said else 0.0


_ACTS: dict[str, Callable[[Writing, ReadStep, str], None]] = {
    "soak": _soak,
    "fill": _fill,
    "add water": lambda write, step, where: _add_water(write, _volume(step)),
    "pour off": _pour_off,
    "add acid": _add_acid,
    "add dye": _add_dye,
    "add thickener": _thicken,
    "add salt": _add_salt,
    "add leveller": _add_leveller,
    "top up": _top_up,
    "lay in": lay_in,
    "pour": _pour,
    "paint": _pour,
    "sprinkle": _sprinkle,
    "dip": _dip,
    "turn": lambda write, step, where: write.events.append(ev.Turn()),
    "open up": _open_up,
    "lid on": lambda write, step, where: write.events.append(ev.Lid(True)),
    "lid off": lambda write, step, where: write.events.append(ev.Lid(False)),
    "heat": _heat,
    "hold": _heat,
    "wait": _wait,
    "cool": _cool,
    "steam": _steam,
    "ice": _ice,
    "squeeze": _squeeze,
    "tie off": _tie_off,
    "withdraw": _withdraw,
    "rinse": _rinse,
    "spin": lambda write, step, where: write.events.append(ev.Squeeze(SPUN_G_G)),
}
