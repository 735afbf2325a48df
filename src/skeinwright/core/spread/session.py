"""A colourway's steps as a session: words into events, with the pan, the yarn and the dyes of this pot.

What no event stands for (salt, leveller, ties, a second vessel) is named in `notes`; what was not said and had to be taken is in `assumed`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import sqrt

from skeinwright.core.bath.acids import AcidAsBought, AcidDose, AcidKind
from skeinwright.core.bath.amounts import powder_in_solution_g
from skeinwright.core.bath.fibre import nylon, wool
from skeinwright.core.bath.ph import Bath
from skeinwright.core.bath.uptake_of_acid import acid_for_ph_after
from skeinwright.core.bath.vessels import floor_mm2
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY, MG_L_PER_EQ_L
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.steps import ReadStep, read_steps
from skeinwright.core.colourway.timing import COOLED_C, COOLING_C_MIN, RAMP_C_MIN, START_C
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.quantities import HABITS, Habits, Quantity, parse_fibre, parse_water
from skeinwright.core.shelf.items import NOT_KNOWN, Acid, Base, Blend, Dye, Item, Parts, Solution, Vessel, Water
from skeinwright.core.spread import events as ev
from skeinwright.core.spread.acid import half_mobile
from skeinwright.core.spread.derive import Pot, dye_parameters, kinds_of, sites_filled_in, sites_mmol_g
from skeinwright.core.spread.events import Bands, Event, Laid, Session
from skeinwright.core.spread.parameters import Parameters, PowderParameters, YarnParameters

PROTONS: dict[str, float] = {"vinegar": 1.0, "citric": 2.0, "ammonium sulphate": 0.2}
"""Acid that a mole brings to a dyebath of pH 4-5 [assumed; core/bath solves the pH itself]."""
USUAL_WIDTH_CM = 12.0
USUAL_SKEIN = (100.0, 400_000.0, 1500.0)
"""g, mm of yarn, mm once round [assumed] where a base does not say."""
USUAL_PAN = Vessel(name="a pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100)
THICK = 0.3
"""Thickened liquor spreads and changes places at this share of the speed of water [assumed]."""
SQUEEZED_G_G = 1.2
PAINT_EDGE_CM, POUR_EDGE_CM, THICK_EDGE_CM = 0.2, 0.4, 0.1
_ENDS = ("rinse", "spin", "hang", "re-skein")
_SILENT = ("note", *_ENDS)
_KINDS = {"vinegar": "vinegar", "citric": "citric", "ammonium sulphate": "ammonium sulphate"}


@dataclass(slots=True)
class _Write:
    """A session being written down."""

    colourway: Colourway
    vessel: Vessel
    base: Base | None
    fibre_g: float
    skeins: int
    habits: Habits
    dyes: dict[str, str]
    shelf: dict[tuple[str, str], Item]
    strengths: dict[str, float]
    alkalinity_mg_l: float
    events: list[Event | _Said] = field(default_factory=list)
    grams: dict[str, float] = field(default_factory=dict)
    acids: list[AcidDose] = field(default_factory=list)
    water_ml: float = 0.0
    laid_in: bool = False
    laid_at: int = 0
    before_ml: float = 0.0
    acids_before: int = 0
    width_cm: float | None = None
    temp_c: float = START_C
    thick: bool = False
    start_c: float = START_C
    notes: list[str] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)


def session_of(
    colourway: Colourway, *, shelf: Iterable[Item] = (), base: Base | None = None, vessel: Vessel | None = None, water: Water | None = None,
    habits: Habits = HABITS,
) -> Session:  # fmt: skip
    """The session of a colourway; what the colourway carries itself comes before what is given. Raises BadInput where a step cannot be."""
    items = {(item.kind, item.name.casefold()): item for item in (*shelf, *colourway.own_dyes)}
    base, vessel = colourway.own_base or base, colourway.own_vessel or vessel
    fibre = parse_fibre(colourway.fibre, skein_g=base.skein_g if base else None, where="fibre", habits=habits)
    skein_g = fibre.skein_g or (base.skein_g if base else USUAL_SKEIN[0])
    write = _Write(
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
    if colourway.water_volume:
        write.water_ml += _water_ml(write, parse_water(colourway.water_volume, where="water", habits=habits))
    for number, step in enumerate(read_steps(colourway.steps, habits=habits), start=1):
        if step.do in _ENDS:
            break
        _step(write, step, f"step {number} ({step.do})")
    return _finish(write)


def _alkalinity(water: Water | None) -> float:
    return ASSUMED_ALKALINITY.value if water is None or water.alkalinity_mg_l is None else water.alkalinity_mg_l


def _finish(write: _Write) -> Session:
    if not write.laid_in:
        _lay_in(write, None)
    laid = _laid(write)
    kinds = kinds_of(write.base)
    yarn = YarnParameters(half_mg_cm2=laid.half_mg_cm2, sites_mmol_g=sites_mmol_g(kinds), strand_cm=_strand_cm(write.base))
    held_ml = yarn.held_g_g * write.fibre_g
    free_ml = max(0.0, write.before_ml - held_ml)
    held_g_g = min(yarn.held_g_g, write.before_ml / write.fibre_g) if write.before_ml else yarn.held_g_g
    names = tuple(write.grams)
    if not names:
        raise BadInput("No step lays any dye on the yarn.", where="step")
    water_ml = max(write.water_ml, held_ml)
    pot = Pot(
        kinds=kinds, fibre_g=write.fibre_g, water_ml=water_ml, alkalinity_mg_l=write.alkalinity_mg_l, acids=tuple(write.acids),
        dyes=tuple((name, write.dyes.get(name, NOT_KNOWN), write.grams[name]) for name in names),
    )  # fmt: skip
    phi = sites_filled_in(pot)
    alkaline = write.alkalinity_mg_l / MG_L_PER_EQ_L * write.water_ml
    total_mmol = _mmol(write.acids)
    net = max(total_mmol - alkaline, 1.05 * phi * yarn.sites_mmol_g * write.fibre_g)
    share = net / total_mmol if total_mmol else 0.0
    per_half = net / laid.area_cm2 / 2 * (2 * yarn.soaked_cm / (2 * yarn.soaked_cm + max(0.0, water_ml - held_ml) / laid.floor_cm2))
    per_half = max(per_half, 1.02 * phi * yarn.b_max)
    a_half = half_mobile(per_half, phi, yarn.b_max) if 0 < phi < 1 else None
    dyes = dye_parameters(pot, yarn.held_g_g, phi)
    order = {name: place for place, name in enumerate(names)}
    events = tuple(_ordered(one, order, share) for one in write.events)
    assumed = [*write.assumed, *(sentence for dye in dyes for sentence in dye.assumed)]
    assumed.append("How dye spreads on wet yarn (diffusion, stirring, exchange, grain, what the yarn holds) is assumed throughout: measure your own.")
    return Session(
        dyes=dyes, laid=laid, events=events, free_ml=free_ml, held_g_g=held_g_g, temp_c=write.start_c, lid=bool(write.vessel.lid),
        acid_mmol=share * _mmol(write.acids[: write.acids_before]), half_mobile=a_half,
        parameters=Parameters(yarn=yarn, powder=PowderParameters()), names=names, assumed=tuple(assumed), notes=tuple(write.notes),
    )  # fmt: skip


def _mmol(acids: Sequence[AcidDose]) -> float:
    return sum(1000 * dose.amount * dose.acid.mol_per_unit * PROTONS[dose.acid.kind] for dose in acids)


def _laid(write: _Write) -> Laid:
    """Once round x half of the width (a loop laid flat lies double) x skeins, at most the floor."""
    floor = floor_mm2(write.vessel) / 100
    base = write.base
    round_cm = (base.round_mm if base and base.round_mm else USUAL_SKEIN[2]) / 10
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


def _step(write: _Write, step: ReadStep, where: str) -> None:
    act = _ACTS.get(step.do)
    if act is not None:
        act(write, step, where)
    elif step.do not in _SILENT:
        write.notes.append(f"{where}: not forecast; it is left out.")


def _soak(write: _Write, step: ReadStep, where: str) -> None:
    water = step.quantity("water")
    if water is not None:
        write.water_ml += _water_ml(write, water)


def _fill(write: _Write, step: ReadStep, where: str) -> None:
    volume = step.quantity("volume")
    if volume is not None:
        _add_water(write, _water_ml(write, volume))


def _water_ml(write: _Write, said: Quantity) -> float:
    if said.kind == "ratio":
        return said.value * write.fibre_g
    if said.kind == "cover":
        return said.value / 10 * floor_mm2(write.vessel) / 100 + YarnParameters().held_g_g * write.fibre_g
    return said.value


def _add_water(write: _Write, volume_ml: float, acid_mmol: float = 0.0) -> None:
    write.water_ml += volume_ml
    if write.laid_in:
        write.events.append(ev.AddWater(volume_ml, acid_mmol))


def _add_acid(write: _Write, step: ReadStep, where: str) -> None:
    amount = step.quantity("amount")
    if amount is None or step.acid is None:
        return
    bought = _bought(write, step.acid.acid, step.acid.strength, step.acid.name, where)
    dose = AcidDose(bought, _acid_amount(write, bought, amount, where))
    write.acids.append(dose)
    _add_water(write, dose.amount if bought.unit == "ml" else 0.0, _mmol([dose]) if write.laid_in else 0.0)


def _bought(write: _Write, kind: str | None, strength: float | None, name: str, where: str) -> AcidAsBought:
    found = write.shelf.get(("acid", name.casefold()))
    if isinstance(found, Acid):
        kind, strength = found.acid, found.strength if found.strength is not None else strength
    if kind is None or kind not in PROTONS:
        raise BadInput(f"There is no acid {name} on the shelf. Write vinegar, citric or ammonium sulphate.", where=where)
    usual = 0.05 if kind == "vinegar" else 1.0
    known: AcidKind = "vinegar" if kind == "vinegar" else "citric" if kind == "citric" else "ammonium sulphate"
    return AcidAsBought(known, strength if strength is not None else usual, bool(getattr(found, "monohydrate", False)))


def _acid_amount(write: _Write, acid: AcidAsBought, amount: Quantity, where: str) -> float:
    if amount.kind == "ph":
        sponges = tuple(nylon(write.fibre_g * share) if kind == "nylon" else wool(write.fibre_g * share) for kind, share in kinds_of(write.base))
        alkalinity = Estimate.exact(write.alkalinity_mg_l, "mg/L")
        bath = Bath(volume_ml=max(write.water_ml, write.fibre_g * 3), temp_c=25.0, alkalinity=alkalinity, doses=tuple(write.acids))
        return acid_for_ph_after(bath, acid, amount.value, sponges).amount.value
    if amount.kind in ("mass", "volume") and (amount.kind == "mass") != (acid.unit == "g") and acid.kind != "vinegar":
        raise BadInput(f"Weigh {acid.kind}: its amount is in grams.", where=where)
    if amount.kind == "fraction":
        return amount.value * write.fibre_g
    return amount.value * (write.skeins if "per_skein" in amount.kind else 1)


def _lay_in(write: _Write, step: ReadStep | None, where: str = "") -> None:
    width = step.quantity("width") if step else None
    write.width_cm = width.value / 10 if width else write.width_cm
    if not write.laid_in:
        write.laid_in, write.before_ml, write.acids_before, write.start_c = True, write.water_ml, len(write.acids), write.temp_c


def _dyes_mg(write: _Write, step: ReadStep, where: str) -> tuple[dict[str, float], float, float, float | None]:
    """({dye: mg}, ml of liquor, mmol of acid in the powder, grain in mm) of a step that lays dye on."""
    amount = step.quantity("amount") or step.quantity("depth")
    solution = step.name("solution")
    if solution:
        return _of_solution(write, solution, amount, where)
    volume = amount.value if amount is not None and amount.kind == "volume" else 0.0
    if step.recipe is not None and step.recipe.doses:
        return {name: 1000 * _grams(write, name, dose, where) for name, dose in step.recipe.doses}, 0.0, 0.0, None
    parts, grain = _parts(write, step, where)
    if amount is None:
        raise BadInput("How much?", where=f"{where}: amount")
    if volume:
        raise BadInput("Give the weight of dye, or name a solution on the shelf: a volume of a dye says nothing of its strength.", where=f"{where}: amount")
    whole = _grams(write, "", amount, where)
    acid = sum(share for name, share in parts if "citric" in name.casefold())
    mmol = 1000 * whole * acid * AcidAsBought("citric").mol_per_unit * PROTONS["citric"]
    if acid:
        write.acids.append(AcidDose(AcidAsBought("citric"), whole * acid))
    return {name: 1000 * whole * share * _strength(write, name) for name, share in parts if "citric" not in name.casefold()}, 0.0, mmol, grain


def _strength(write: _Write, name: str) -> float:
    return write.strengths.get(name.casefold(), 1.0)


def _parts(write: _Write, step: ReadStep, where: str) -> tuple[Parts, float | None]:
    if step.recipe is not None:
        return step.recipe.parts, None
    if step.mix is None:
        return ((step.name("dye"), 1.0),), None
    if step.mix.parts:
        return step.mix.parts, None
    blend = write.shelf.get(("blend", step.mix.name.casefold()))
    if not isinstance(blend, Blend):
        raise BadInput(f"There is no blend {step.mix.name} on the shelf. Write its parts: '3 Kelp : 1 Ember'.", where=where)
    return blend.parts, blend.grain_mm


def _grams(write: _Write, name: str, dose: Quantity, where: str) -> float:
    if dose.kind == "fraction":
        return dose.value * write.fibre_g
    if dose.kind == "per_skein":
        return dose.value * write.skeins
    if dose.kind == "mass":
        return dose.value
    raise BadInput(f"'{dose.text}' is no amount of powder. Give grams or a depth.", where=f"{where}: amount")


def _of_solution(write: _Write, name: str, amount: Quantity | None, where: str) -> tuple[dict[str, float], float, float, float | None]:
    solution = write.shelf.get(("solution", name.casefold()))
    if not isinstance(solution, Solution):
        raise BadInput(f"There is no solution {name} on the shelf. Add it there, with its strength, or name a dye and its weight.", where=where)
    if amount is None:
        return {dye: 1000 * solution.strength * share * _strength(write, dye) for dye, share in solution.parts}, 0.0, 0.0, None
    each = write.skeins if "per_skein" in amount.kind else 1
    if amount.kind == "fraction":
        grams = amount.value * write.fibre_g
        volume = grams / solution.strength
    elif "volume" in amount.kind:
        volume = amount.value * each
        grams = powder_in_solution_g(volume, solution.strength)
    else:
        raise BadInput(f"'{amount.text}' of the solution {name} is no volume. Give millilitres or a depth.", where=where)
    return {dye: 1000 * grams * share * _strength(write, dye) for dye, share in solution.parts}, volume, 0.0, None


def _take(write: _Write, mg: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    """The amounts by the dyes' own spelling, counted."""
    found = []
    for name, amount in mg.items():
        known = next((one for one in write.dyes if one.casefold() == name.casefold()), name)
        write.dyes.setdefault(known, NOT_KNOWN)
        write.grams[known] = write.grams.get(known, 0.0) + amount / 1000
        found.append((known, amount))
    return tuple(found)


def _bands(step: ReadStep) -> tuple[Bands, bool]:
    place = step.place
    if place is None or place.what == "all":
        return (), False
    if place.what == "white":
        return (), True
    return tuple((low / 10, high / 10) for low, high in place.bands_mm), False


def _sprinkle(write: _Write, step: ReadStep, where: str) -> None:
    mg, _, mmol, grain = _dyes_mg(write, step, where)
    said = step.quantity("grain")
    bands, white = _bands(step)
    write.events.append(_Said(_take(write, mg), ev.Sprinkle(dyes_mg=(), acid_mmol=mmol, bands=bands, white=white, grain_mm=said.value if said else grain)))


def _pour(write: _Write, step: ReadStep, where: str) -> None:
    mg, volume, mmol, _ = _dyes_mg(write, step, where)
    bands, white = _bands(step)
    if white:
        write.notes.append(f"{where}: liquor cannot keep to what is white; it is poured over all.")
    edge = THICK_EDGE_CM if write.thick else PAINT_EDGE_CM if step.do == "paint" else POUR_EDGE_CM
    write.water_ml += volume
    write.events.append(
        _Said(_take(write, mg), ev.Pour(dyes_mg=(), volume_ml=volume, acid_mmol=mmol, bands=bands, edge_cm=edge, thick=THICK if write.thick else 1.0))
    )


def _add_dye(write: _Write, step: ReadStep, where: str) -> None:
    if not write.laid_in:
        write.notes.append(f"{where}: dye goes in before the yarn; it counts as added when the yarn is laid in.")
        _lay_in(write, None)
    mg, volume, _, _ = _dyes_mg(write, step, where)
    write.water_ml += volume
    write.events.append(_Said(_take(write, mg), ev.Bath(dyes_mg=(), volume_ml=volume)))


def _dip(write: _Write, step: ReadStep, where: str) -> None:
    solution, time = step.name("solution"), step.quantity("time")
    if not solution:
        write.notes.append(f"{where}: the strength of the dip is not known; name a solution on the shelf. It is left out.")
        return
    mg, _, _, _ = _of_solution(write, solution, None, where)
    bands, _ = _bands(step)
    held_ml = YarnParameters().held_g_g * write.fibre_g
    _take(write, {name: value * held_ml / 1000 for name, value in mg.items()})
    mg = {next((one for one in write.dyes if one.casefold() == name.casefold()), name): value for name, value in mg.items()}
    dip = ev.Dip(dyes_mg_cm3=(), bands=bands, time_s=time.value if time else 60.0)
    write.events.append(_Said(tuple((name, value / 1000) for name, value in mg.items()), dip))


def _heat(write: _Write, step: ReadStep, where: str) -> None:
    to, rate, time = step.quantity("to"), step.quantity("rate"), step.quantity("time")
    if to is not None and abs(to.value - write.temp_c) > 1e-9:
        per_min = rate.value if rate else RAMP_C_MIN
        if rate is None and write.laid_in:
            write.assumed.append(f"{where}: heated at {RAMP_C_MIN:g} C a minute.")
        if write.laid_in:
            write.events.append(ev.Heat(to.value, max(per_min, 1e-3) / 60))
        write.temp_c = to.value
    if time is not None and write.laid_in:
        write.events.append(ev.Wait(time.value))


def _cool(write: _Write, step: ReadStep, where: str) -> None:
    to, time = step.quantity("to"), step.quantity("time")
    end = to.value if to else max(START_C, write.temp_c - COOLING_C_MIN * time.value / 60) if time else min(COOLED_C, write.temp_c)
    if write.laid_in and end < write.temp_c:
        rate = (write.temp_c - end) / time.value if time and time.value > 0 else COOLING_C_MIN / 60
        write.events.append(ev.Heat(end, rate))
    write.temp_c = min(write.temp_c, end)


def _wait(write: _Write, step: ReadStep, where: str) -> None:
    time = step.quantity("time")
    if time is not None and write.laid_in:
        write.events.append(ev.Wait(time.value))


def _steam(write: _Write, step: ReadStep, where: str) -> None:
    time = step.quantity("time")
    write.events.append(ev.Steam(time.value if time else 1800.0))


def _squeeze(write: _Write, step: ReadStep, where: str) -> None:
    leave = step.quantity("leave")
    write.events.append(ev.Squeeze(leave.value if leave else SQUEEZED_G_G))


def _open_up(write: _Write, step: ReadStep, where: str) -> None:
    width = step.quantity("width")
    before = write.width_cm or USUAL_WIDTH_CM
    wider = width.value / 10 / before if width else 1.25
    floor = floor_mm2(write.vessel) / 100
    round_cm = (write.base.round_mm if write.base and write.base.round_mm else USUAL_SKEIN[2]) / 10
    room = floor / min(floor, write.skeins * round_cm * before / 2)
    write.events.append(ev.OpenUp(max(0.2, min(wider, room))))
    write.width_cm = before
    if wider > room:
        write.notes.append(f"{where}: the pan has no room for it; it is opened as far as the floor goes.")


def _ice(write: _Write, step: ReadStep, where: str) -> None:
    amount = step.quantity("amount")
    if amount is not None and amount.kind == "mass":
        write.events.append(ev.Ice(amount.value))
        write.water_ml += amount.value
    else:
        write.notes.append(f"{where}: ice is weighed; it is left out.")


def _thicken(write: _Write, step: ReadStep, where: str) -> None:
    write.thick = True


def _volume(step: ReadStep) -> float:
    said = step.quantity("volume")
    return said.value if said else 0.0


@dataclass(frozen=True, slots=True)
class _Said:
    """An event whose dyes are still by name."""

    by_name: tuple[tuple[str, float], ...]
    event: ev.Sprinkle | ev.Pour | ev.Bath | ev.Dip


def _ordered(one: Event | _Said, order: Mapping[str, int], acid_share: float) -> Event:
    """Amounts in the session's order of dyes; what the water's alkalinity takes of an acid is taken from all its additions alike."""
    if not isinstance(one, _Said):
        return ev.AddWater(one.volume_ml, one.acid_mmol * acid_share) if isinstance(one, ev.AddWater) else one
    amounts = [0.0] * len(order)
    for name, value in one.by_name:
        amounts[order[name]] += value
    if isinstance(one.event, ev.Dip):
        return replace(one.event, dyes_mg_cm3=tuple(amounts))
    return replace(one.event, dyes_mg=tuple(amounts))


_ACTS = {
    "soak": _soak,
    "fill": _fill,
    "add water": lambda write, step, where: _add_water(write, _volume(step)),
    "pour off": lambda write, step, where: write.events.append(ev.PourOff(_volume(step))),
    "add acid": _add_acid,
    "add dye": _add_dye,
    "add thickener": _thicken,
    "lay in": _lay_in,
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
}
