"""A session on the way from words to events: what has been written, and the amounts that a step says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from skeinwright.core.bath.acids import AcidAsBought, AcidDose, AcidKind
from skeinwright.core.bath.amounts import powder_in_solution_g
from skeinwright.core.bath.fibre import nylon, wool
from skeinwright.core.bath.ph import Bath
from skeinwright.core.bath.uptake_of_acid import acid_for_ph_after
from skeinwright.core.bath.vessels import floor_mm2
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.steps import ReadStep
from skeinwright.core.colourway.timing import START_C
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.quantities import Habits, Quantity
from skeinwright.core.shelf.items import NOT_KNOWN, Acid, Base, Blend, Item, Parts, Solution, Vessel
from skeinwright.core.spread import events as ev
from skeinwright.core.spread.derive import kinds_of
from skeinwright.core.spread.events import Bands, Event
from skeinwright.core.spread.parameters import YarnParameters
from skeinwright.core.spread.soaking import Level
from skeinwright.core.spread.water import KETTLE_CM

PROTONS: dict[str, float] = {"vinegar": 1.0, "citric": 2.0, "ammonium sulphate": 0.2}
"""Acid that a mole brings to a dyebath of pH 4-5 [assumed; core/bath solves the pH itself]."""
USUAL_WIDTH_CM = 12.0
USUAL_SKEIN = (100.0, 400_000.0, 1500.0)
"""g, mm of yarn, mm once round [assumed] where a base does not say."""
USUAL_PAN = Vessel(name="a pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100)
THICK = 0.3
"""Thickened liquor spreads and changes places at this share of the speed of water [assumed]."""
DEEP_CM, KETTLE_POINTS, KETTLE_SPOT_CM = KETTLE_CM, 5, 3.0
"""Free water over the yarn from which a pour goes into the water and no longer onto the yarn; where it goes in, and how wide each place is [assumed]."""
SQUEEZED_G_G = 1.2
PAINT_EDGE_CM, POUR_EDGE_CM, THICK_EDGE_CM = 0.2, 0.4, 0.1
SPUN_G_G = 0.8
"""Water that spun yarn holds, g/g [assumed]."""
ENDS = ("rinse", "spin", "hang", "re-skein")
LAYS = ("add dye", "pour", "paint", "sprinkle", "dip", "ice", "top up")
"""Steps that bring dye, or what dye is sprinkled on: after a rinse, they begin a new round."""
ON_YARN = ("pour", "paint", "sprinkle", "dip", "ice", "pour off", "turn", "open up", "squeeze", "steam", "withdraw", "rinse", "spin")
"""Steps that can only be done with the yarn in the vessel: it is laid in by then, said or not."""
SILENT = ("note", "add wetter", *ENDS)


@dataclass(slots=True)
class Writing:
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
    events: list[Event | Said] = field(default_factory=list)
    grams: dict[str, float] = field(default_factory=dict)
    acids: list[AcidDose] = field(default_factory=list)
    water_ml: float = 0.0
    salt_g: float = 0.0
    laid_in: bool = False
    lays_in_later: bool = False
    """A step still to come lays the yarn in."""
    laid_at: int = 0
    before_ml: float = 0.0
    acids_before: int = 0
    width_cm: float | None = None
    opened: float = 1.0
    """How many times as wide as it was laid in the yarn lies by now."""
    temp_c: float = START_C
    thick: bool = False
    start_c: float = START_C
    numbers: list[int] = field(default_factory=list)
    """For each event, the number of its step."""
    notes: list[str] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)

    @property
    def round_cm(self) -> float:
        """Once round the skein, the usual one where the base does not say it."""
        return (self.base.round_mm if self.base and self.base.round_mm else USUAL_SKEIN[2]) / 10


@dataclass(frozen=True, slots=True)
class Said:
    """An event whose dyes are still by name."""

    by_name: tuple[tuple[str, float], ...]
    event: ev.Sprinkle | ev.Pour | ev.Kettle | ev.Bath | ev.Dip


def acid_mmol(acids: Sequence[AcidDose]) -> float:
    return sum(1000 * dose.amount * dose.acid.mol_per_unit * PROTONS[dose.acid.kind] for dose in acids)


def acid_bought(write: Writing, kind: str | None, strength: float | None, name: str, where: str) -> AcidAsBought:
    found = write.shelf.get(("acid", name.casefold()))
    if isinstance(found, Acid):
        kind, strength = found.acid, found.strength if found.strength is not None else strength
    if kind is None or kind not in PROTONS:
        raise BadInput(f"There is no acid {name} on the shelf. Write vinegar, citric or ammonium sulphate.", where=where)
    usual = 0.05 if kind == "vinegar" else 1.0
    known: AcidKind = "vinegar" if kind == "vinegar" else "citric" if kind == "citric" else "ammonium sulphate"
    return AcidAsBought(known, strength if strength is not None else usual, bool(getattr(found, "monohydrate", False)))


def acid_amount(write: Writing, acid: AcidAsBought, amount: Quantity, where: str) -> float:
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


def dyes_mg(write: Writing, step: ReadStep, where: str) -> tuple[dict[str, float], float, float, float | None]:
    """({dye: mg}, ml of liquor, mmol of acid in the powder, grain in mm) of a step that lays dye on."""
    amount = step.quantity("amount") or step.quantity("depth")
    solution = step.name("solution")
    if solution:
        return of_solution(write, solution, amount, where)
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


def _strength(write: Writing, name: str) -> float:
    return write.strengths.get(name.casefold(), 1.0)


def _parts(write: Writing, step: ReadStep, where: str) -> tuple[Parts, float | None]:
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


def _grams(write: Writing, name: str, dose: Quantity, where: str) -> float:
    if dose.kind == "fraction":
        return dose.value * write.fibre_g
    if dose.kind == "per_skein":
        return dose.value * write.skeins
    if dose.kind == "mass":
        return dose.value
    raise BadInput(f"'{dose.text}' is no amount of powder. Give grams or a depth.", where=f"{where}: amount")


def of_solution(write: Writing, name: str, amount: Quantity | None, where: str) -> tuple[dict[str, float], float, float, float | None]:
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


def take(write: Writing, mg: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    """The amounts by the dyes' own spelling, counted."""
    found = []
    for name, amount in mg.items():
        known = next((one for one in write.dyes if one.casefold() == name.casefold()), name)
        write.dyes.setdefault(known, NOT_KNOWN)
        write.grams[known] = write.grams.get(known, 0.0) + amount / 1000
        found.append((known, amount))
    return tuple(found)


def on_loop(bands: Bands, round_cm: float) -> Bands:
    """Bands as they lie on a loop of `round_cm`: what goes past the tie goes on from its start; once round or more is everywhere, ()."""
    found: list[tuple[float, float]] = []
    for low, high in bands:
        if high - low >= round_cm:
            return ()
        start = low % round_cm
        end = start + high - low
        found.append((start, min(end, round_cm)))
        if end > round_cm + 1e-9:
            found.append((0.0, end - round_cm))
    return tuple(found)


def free_cm(write: Writing) -> float:
    """Free water over the yarn as far as it was poured in and off; what steams away is not taken from it."""
    level = level_of(write)
    return level.free_ml / (floor_mm2(write.vessel) / 100)


def level_of(write: Writing) -> Level:
    """The pan's water after what has been written, without what steams away."""
    full_ml = YarnParameters().held_g_g * write.fibre_g
    held_ml = min(full_ml, write.before_ml) if write.before_ml else full_ml
    level = Level(max(0.0, write.before_ml - full_ml), held_ml, full_ml)
    for one in write.events:
        level.follow(one.event if isinstance(one, Said) else one, write.fibre_g)
    return level


def water_said_ml(write: Writing, said: Quantity) -> float:
    if said.kind == "ratio":
        return said.value * write.fibre_g
    if said.kind == "cover":
        return said.value / 10 * floor_mm2(write.vessel) / 100 + YarnParameters().held_g_g * write.fibre_g
    return said.value
