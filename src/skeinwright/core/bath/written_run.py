"""A colourway's steps, with the doses of one pot, as a run that `process` can follow."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from skeinwright.core.bath.acids import USUAL_VINEGAR, AcidAsBought, AcidDose
from skeinwright.core.bath.fibre import Sponge, fibre_kind, nylon, wool
from skeinwright.core.bath.followed import NO_BATH, by_hand_alone, fate, pours_told, why_not
from skeinwright.core.bath.heat import Surroundings
from skeinwright.core.bath.liquor import acid_brought_ml
from skeinwright.core.bath.ph import Bath
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddSalt, AddWater, DyeInPot, Event, FibreInPot, LayIn, PotRun, PourOff
from skeinwright.core.bath.uptake_of_acid import acid_uptake
from skeinwright.core.bath.water_properties import boiling_point_c
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY
from skeinwright.core.colourway.steps import ReadStep
from skeinwright.core.colourway.timing import COOLED_C, START_C
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.shelf.items import NOT_KNOWN, Acid, Base, Blend, Dye, Item, Leftover, Parts, Solution, Vessel

T = TypeVar("T")

WET_YARN_ML_G = 1.5
"""Water in squeezed presoaked yarn, ml to a gram [assumed]."""
CRYSTALS_G_ML = {"citric": 0.85, "ammonium sulphate": 0.9}
"""Heaped weight of crystals, +-30 % [assumed]."""

LEVELLER_NOTE = "A leveller slows the strike and evens it out; by how much is not known here, so the forecast is that of the pot without it."
LAID_ON_NOTE = "Dye that is sprinkled, poured, painted or dipped counts as if it went into the liquor whole; where it lands is another forecast."
_LAID_ON = ("sprinkle", "pour", "paint", "dip")


@dataclass(frozen=True, kw_only=True, slots=True)
class Given:
    """What a step puts into this pot: a dye, solution, blend, acid, auxiliary, leftover or "water", in g or ml."""

    kind: str
    name: str
    amount: float
    unit: str


@dataclass(frozen=True, kw_only=True, slots=True)
class StepInPot:
    """A step as read, what it gives to this pot, and when it starts and how long it takes (min)."""

    read: ReadStep
    start_min: float
    minutes: float
    given: tuple[Given, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """So much dry yarn of a base in the pot."""

    base: Base
    mass_g: float


def fibres_of(loads: Iterable[Load]) -> tuple[FibreInPot, ...]:
    """The fibres that dye goes on, base by base; what acid dye does not go on is left out."""
    found = []
    for load in loads:
        kinds: dict[str, float] = {}
        for name, share in load.base.fibres:
            kind = fibre_kind(name)
            kind = "superwash" if kind == "wool" and load.base.superwash else kind
            kinds[kind] = kinds.get(kind, 0.0) + share * load.mass_g
        for kind, mass_g in kinds.items():
            if kind != "inert" and mass_g > 0:
                speed = load.base.strike_factor if kind != "nylon" else None
                found.append(FibreInPot(base=load.base.name, kind=kind, mass_g=mass_g, speed=speed))
    return tuple(found)


def written_run(
    steps: Sequence[StepInPot],
    loads: Sequence[Load],
    things: Iterable[Item],
    *,
    vessel: Vessel | None = None,
    alkalinity: Estimate = ASSUMED_ALKALINITY,
    around: Surroundings | None = None,
) -> PotRun:
    """The run that the steps describe, from the first water to the rinse. `things` are dyes, solutions, blends and acids of the shelf, or the file's own.

    Powder that is sprinkled, poured or painted counts as if it went into the liquor whole: where it lands is not this forecast's matter. A step that nothing is
    known of ends the run: status "not forecast after this step". Raises BadInput where there is no water, or an acid or dye cannot be told.
    """
    writer = _Writer(steps, loads, things, vessel, alkalinity, around or Surroundings())
    return writer.run()


@dataclass(slots=True)
class _Written:
    events: list[Event] = field(default_factory=list)
    points: list[tuple[float, float]] = field(default_factory=list)
    heated: list[tuple[float, float]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)
    dyes: dict[str, str] = field(default_factory=dict)
    laid_on: set[str] = field(default_factory=set)
    presoak: tuple[tuple[str, float], ...] = ()
    temp_c: float = START_C
    end_s: float = 0.0
    hot_since: float | None = None
    lids: list[tuple[float, bool]] = field(default_factory=list)
    status: str = "ok"


class _Writer:
    """Follows the steps one by one."""

    def __init__(
        self, steps: Sequence[StepInPot], loads: Sequence[Load], things: Iterable[Item], vessel: Vessel | None, alkalinity: Estimate, around: Surroundings
    ) -> None:
        self.steps, self.loads, self.vessel, self.alkalinity, self.around = steps, loads, vessel, alkalinity, around
        self.fibres = fibres_of(loads)
        self.things: dict[tuple[str, str], Item] = {(item.kind, item.name.casefold()): item for item in things}
        self.written = _Written()
        self.boils_c = boiling_point_c(around.altitude_m)

    def run(self) -> PotRun:
        written = self.written
        for number, step in enumerate(self.steps, start=1):
            becomes = fate(step.read.do, [one.read.do for one in self.steps[number:]], filled=self._has_water(), dyed=bool(written.dyes))
            if becomes == "pass over":
                written.presoak = () if step.read.do == "rinse" else written.presoak
                continue
            if becomes == "stop":
                written.status = "not forecast after this step"
                written.notes.append(why_not(number, step.read.do))
            if becomes != "follow":
                break
            self._step(step, number)
        if not self._has_water() and by_hand_alone([one.read.do for one in self.steps]):
            raise BadInput(NO_BATH, where="steps")
        self._lay_in_if_never()
        self._say_of_bases()
        if not written.points:
            raise BadInput("No step gives the pot any time: put a 'fill', a 'heat' or a 'hold' in.", where="steps")
        if written.hot_since is not None:
            written.heated.append((written.hot_since, written.end_s))
        dyes = tuple(DyeInPot(name=name, dye_class=kind) for name, kind in written.dyes.items())
        return PotRun(
            fibres=self.fibres,
            dyes=dyes,
            events=tuple(written.events),
            programme=tuple(written.points),
            alkalinity=self.alkalinity,
            vessel=self.vessel,
            lid=bool(self.vessel is not None and self.vessel.lid),
            lids=tuple(written.lids),
            heated=tuple(written.heated),
            around=self.around,
            laid_on=frozenset(written.laid_on),
            status=written.status,
            notes=tuple(dict.fromkeys(written.notes)),
            assumed=tuple(dict.fromkeys(written.assumed)),
        ).checked()

    def _has_water(self) -> bool:
        return any(isinstance(event, AddWater) for event in self.written.events)

    def _step(self, step: StepInPot, number: int) -> None:
        written, do = self.written, step.read.do
        at_s, end_s = 60 * step.start_min, 60 * (step.start_min + step.minutes)
        before_c = written.temp_c
        match do:
            case "soak":
                self._soak(step)
            case "fill" if self._has_water():
                written.notes.append(f"Step {number} fills the pot again; its water is added to what is in it.")
                self._water(step, at_s)
            case "fill" | "add water" | "top up":
                self._water(step, at_s)
            case "pour off":
                written.events.append(PourOff(at_s=at_s, volume_ml=sum(one.amount for one in step.given)))
            case "add acid":
                time = step.read.quantity("time")
                self._acids(step, at_s, 0.0 if time is None else time.value)
            case "add dye" | "sprinkle" | "pour" | "paint" | "dip":
                self._dye(step, at_s)
            case "add salt":
                written.events += [AddSalt(at_s=at_s, mass_g=one.amount) for one in step.given if one.unit == "g"]
            case "add leveller":
                written.notes.append(LEVELLER_NOTE)
            case "lay in":
                written.events.append(LayIn(at_s=at_s, presoak_mol=written.presoak))
            case "lid on" | "lid off":
                written.lids.append((at_s, do == "lid on"))
            case _:
                pass
        self._warm(step, at_s, end_s, before_c)

    def _warm(self, step: StepInPot, at_s: float, end_s: float, before_c: float) -> None:
        """The step's piece of the temperature programme."""
        written, do = self.written, step.read.do
        to = step.read.quantity("to")
        time = step.read.quantity("time")
        if do in ("heat", "hold") and to is not None:
            after_c = min(to.value, self.boils_c)
            if after_c < to.value - 0.05:
                written.notes.append(f"Water boils at {self.boils_c:.1f} °C here, so {to.value:.0f} °C is not reached.")
        elif do == "cool":
            after_c = min(before_c, to.value if to is not None else COOLED_C if time is None else max(START_C, before_c - 0.5 * time.value / 60))
        else:
            after_c = before_c
        if do in ("heat", "hold") and written.hot_since is None:
            written.hot_since = at_s
        if do == "cool" and written.hot_since is not None:
            written.heated.append((written.hot_since, at_s))
            written.hot_since = None
        written.points.append((at_s, before_c))
        if do == "hold" and time is not None and end_s - at_s > time.value + 1e-6:
            written.points.append((end_s - time.value, after_c))
        written.points.append((end_s, after_c))
        written.temp_c, written.end_s = after_c, end_s

    def _water(self, step: StepInPot, at_s: float) -> None:
        volume = sum(one.amount for one in step.given if one.unit == "ml")
        self.written.events.append(AddWater(at_s=at_s, volume_ml=volume))
        if step.read.do == "top up":
            self._leftover(step, at_s)

    def _leftover(self, step: StepInPot, at_s: float) -> None:
        """The dye that leftover liquor is known to hold."""
        grams = self._grams_of([one for one in step.given if one.kind == "leftover"], at_s)
        if grams:
            self.written.events.append(AddDye(at_s=at_s, grams=tuple(grams.items())))
        self.written.notes.append(
            "What acid leftover liquor holds is not counted."
            if grams
            else "Leftover liquor counts as water: what dye and acid it holds is not known to this run."
        )

    def _soak(self, step: StepInPot) -> None:
        """Acid that the yarn takes out of its soaking bath: what its water holds, and what its sites have bound."""
        acids = [(self._acid_of(one.name), one) for one in step.given if one.kind in ("acid", "auxiliary") and self._is_acid(one.name)]
        soak_ml = sum(one.amount for one in step.given if one.kind == "water")
        if not acids or soak_ml <= 0:
            return
        fibre_g = sum(load.mass_g for load in self.loads)
        bath = Bath(volume_ml=soak_ml, alkalinity=self.alkalinity, doses=tuple(AcidDose(acid, one.amount) for acid, one in acids))
        taken = acid_uptake(bath, sponges_in(self.fibres))
        mol: dict[str, float] = {}
        for acid, one in acids:
            brought = acid.in_bath(acid_brought_ml(min(WET_YARN_ML_G * fibre_g, soak_ml), soak_ml, one.amount), 1000.0)
            for name in ("acetate", "citrate", "ammonium", "sulphate"):
                mol[name] = mol.get(name, 0.0) + getattr(brought, name)
        family = "citrate" if acids[0][0].kind == "citric" else "acetate"
        mol[family] = mol.get(family, 0.0) + (taken.bound_mmol.value + taken.held_mmol) / 1000
        self.written.presoak = tuple((name, amount) for name, amount in mol.items() if amount > 0)
        wet = f"the yarn brings {1000 * sum(mol.values()):.2g} mmol of acid with it"
        self.written.assumed.append(f"presoak: {wet}, squeezed to {WET_YARN_ML_G:g} ml of water to a gram")

    def _acids(self, step: StepInPot, at_s: float, over_s: float) -> None:
        for one in step.given:
            acid = self._acid_of(one.name)
            amount = one.amount
            if one.unit == "ml" and acid.unit == "g":
                amount = one.amount * CRYSTALS_G_ML[acid.kind]
                self.written.assumed.append(f"{one.name}: a millilitre of crystals weighs {CRYSTALS_G_ML[acid.kind]:g} g (+-30 %)")
            self.written.events.append(AddAcid(at_s=at_s, acid=acid, amount=amount, over_s=over_s))

    def _dye(self, step: StepInPot, at_s: float) -> None:
        grams = self._grams_of(step.given, at_s)
        volume = sum(one.amount for one in step.given if one.unit == "ml")
        if grams:
            self.written.events.append(AddDye(at_s=at_s, grams=tuple(grams.items()), volume_ml=volume))
        if step.read.do in _LAID_ON:
            self.written.notes.append(LAID_ON_NOTE)
            self.written.laid_on |= set(grams)

    def _grams_of(self, given: Sequence[Given], at_s: float) -> dict[str, float]:
        """The dyes in some doses, in grams at their standard strength; from here on the run knows their classes."""
        grams: dict[str, float] = {}
        for one in given:
            self._add(grams, one, at_s)
        for name in grams:
            dye = self._find(Dye, name)
            self.written.dyes.setdefault(name, dye.dye_class if dye is not None else NOT_KNOWN)
        return grams

    def _add(self, grams: dict[str, float], one: Given, at_s: float) -> None:
        """The dyes in a dose, in grams at their standard strength; citric acid in a dry blend goes in as acid."""
        solution, blend = self._find(Solution, one.name), self._find(Blend, one.name)
        powder_g = one.amount
        parts: Parts = ((one.name, 1.0),)
        if one.kind == "solution" and solution is not None:
            powder_g, parts = one.amount * solution.strength, solution.parts
        elif one.kind == "blend" and blend is not None:
            parts = blend.parts
        elif one.kind == "leftover":
            found = self._find(Leftover, one.name)
            powder_g, parts = 1.0, () if found is None else found.dyes_in(one.amount)
        elif one.unit == "ml":
            raise BadInput(f"{one.amount:.3g} ml of {one.name}: say of what strength, as a solution on the shelf.", where="add dye")
        for name, share in parts:
            if self._find(Dye, name) is None and self._is_acid(name):
                self.written.events.append(AddAcid(at_s=at_s, acid=self._acid_of(name), amount=share * powder_g))
                continue
            dye = self._find(Dye, name)
            known = name if dye is None else dye.name
            grams[known] = grams.get(known, 0.0) + share * powder_g * (1.0 if dye is None else dye.strength)

    def _find(self, cls: type[T], name: str) -> T | None:
        found = self.things.get((cls.kind, name.strip().casefold()))  # type: ignore[attr-defined]
        return found if isinstance(found, cls) else None

    def _is_acid(self, name: str) -> bool:
        words = name.casefold()
        return self._find(Acid, name) is not None or any(sign in words for sign in ("vinegar", "acetic", "citric", "ammonium"))

    def _acid_of(self, name: str) -> AcidAsBought:
        kept = self._find(Acid, name)
        words = (kept.acid if kept is not None else name).casefold()
        strength = kept.strength if kept is not None else _strength_in(name)
        if "vinegar" in words or "acetic" in words:
            return AcidAsBought("vinegar", USUAL_VINEGAR if strength is None else strength)
        if "citric" in words:
            return AcidAsBought("citric", 1.0 if strength is None else strength, bool(kept is not None and kept.monohydrate) or "monohydrate" in words)
        if "ammonium" in words:
            return AcidAsBought("ammonium sulphate", 1.0 if strength is None else strength)
        raise BadInput(f"What acid '{name}' is, is not known; write vinegar, citric or ammonium sulphate, or put it on the shelf.", where="add acid")

    def _lay_in_if_never(self) -> None:
        written = self.written
        if any(isinstance(event, LayIn) for event in written.events):
            return
        start = next((event.at_s for event in written.events if isinstance(event, AddWater)), 0.0)
        written.events.insert(0, LayIn(at_s=start, presoak_mol=written.presoak))
        written.assumed.append("the yarn lies in the pot from the start, as no step lays it in")

    def _say_of_bases(self) -> None:
        for load in self.loads:
            if load.base.superwash is None and any(fibre_kind(name) == "wool" for name, _ in load.base.fibres):
                self.written.assumed.append(f"{load.base.name}: not superwash, as it is not said")
            inert = [name for name, share in load.base.fibres if fibre_kind(name) == "inert" and share > 0]
            if inert:
                self.written.notes.append(f"Acid dye does not go on {' and '.join(inert)}: that part of {load.base.name} is left out.")
        self.written.notes += pours_told(self.written.events)
        if not self.fibres:
            raise BadInput("There is no wool, silk or nylon in the pot: acid dye goes on nothing else.", where="base")


def sponges_in(fibres: Iterable[FibreInPot]) -> tuple[Sponge, ...]:
    """The fibres as sponges of acid."""
    return tuple(nylon(one.mass_g) if one.kind == "nylon" else wool(one.mass_g) for one in fibres)


def _strength_in(name: str) -> float | None:
    """The per cent that an acid's name says: "vinegar 5 %" is 0.05."""
    found = re.search(r"(\d+(?:[.,]\d+)?)\s*%", name)
    return float(found[1].replace(",", ".")) / 100 if found else None


def with_yarn_in_later(run: PotRun, at_s: float) -> PotRun:
    """The same run with the yarn going in at another time: when it meets acid and heat matters."""
    return replace(run, events=tuple(replace(event, at_s=at_s) if isinstance(event, LayIn) else event for event in run.events))
