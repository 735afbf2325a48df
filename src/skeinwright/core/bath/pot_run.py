"""One pot's day, as the bath sees it: what goes in when, how warm it is, and what stands around it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import exp, hypot, log

from skeinwright.core.bath.acids import AcidAsBought
from skeinwright.core.bath.evaporation import HIGH, LID, LID_HIGH, LID_LOW, LOW
from skeinwright.core.bath.heat import Surroundings
from skeinwright.core.bath.jar import behind_c
from skeinwright.core.bath.spread import Spread
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.shelf.items import NOT_KNOWN, Vessel

FIBRE_KINDS = ("wool", "superwash", "nylon")
TESTED_WITHIN = 1.25
"""A speed that was tested is right within this factor, 90 % [assumed], where the test says no better."""
STILL_AIR = Spread(1.0, LOW, HIGH)
"""What steams away over the law of still air."""
UNDER_A_LID = Spread(1.0, exp(-hypot(log(1 / LOW), log(LID / LID_LOW))), exp(hypot(log(HIGH), log(LID_HIGH / LID))))
"""The same under a lid: what is not known of the air and of the lid, as squares of factors (0.53 to 2.0)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FibreInPot:
    """Dry fibre of one kind ("wool", "superwash" or "nylon") that belongs to a base; several bases share one pot and its dye.

    `speed` is what a test found: how fast it dyes against untreated wool at 60 C, right within the factor `speed_within`; None where it was not tested.
    `preference` and `full_g_kg` are what a test found of nylon: its partition over wool's for a trace of dye, and the dye that it holds at most.
    """

    base: str
    kind: str
    mass_g: float
    speed: float | None = None
    speed_within: float = TESTED_WITHIN
    preference: Spread | None = None
    full_g_kg: Spread | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class DyeInPot:
    """A dye by name and class. Grams are of dye at the strength its depths were worked out with. `rate` and `partition` are what a test found of it, over
    its class; None where it was not tested."""

    name: str
    dye_class: str = NOT_KNOWN
    rate: Spread | None = None
    partition: Spread | None = None


@dataclass(frozen=True, slots=True)
class PhReading:
    """A pH that was read in the pot: when, the figure, its 90 % half width, and how much of what it is off the model is believed (0-1)."""

    at_s: float
    ph: float
    half_width: float
    weight: float


@dataclass(frozen=True, kw_only=True, slots=True)
class AddWater:
    """So much water (ml) of the tap's alkalinity."""

    at_s: float
    volume_ml: float


@dataclass(frozen=True, kw_only=True, slots=True)
class PourOff:
    """So much of the liquor (ml) with what is in it."""

    at_s: float
    volume_ml: float


@dataclass(frozen=True, kw_only=True, slots=True)
class AddAcid:
    """So much of an acid (ml of vinegar, g of crystals), all at once or evenly over `over_s`."""

    at_s: float
    acid: AcidAsBought
    amount: float
    over_s: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class AddDye:
    """Grams of dyes by name, and the water that they come in."""

    at_s: float
    grams: tuple[tuple[str, float], ...]
    volume_ml: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class AddSalt:
    """So much Glauber's salt, counted as sodium sulphate without water (g)."""

    at_s: float
    mass_g: float


@dataclass(frozen=True, kw_only=True, slots=True)
class LayIn:
    """The yarn goes in: only from here on does it take up anything. What acid it soaked up before comes with it (mol by family)."""

    at_s: float
    presoak_mol: tuple[tuple[str, float], ...] = ()


Event = AddWater | PourOff | AddAcid | AddDye | AddSalt | LayIn


def litres_in(events: Iterable[Event]) -> float:
    """The liquor after these events, in their order, with nothing steamed away."""
    litres = 0.0
    for event in events:
        match event:
            case AddWater(volume_ml=volume_ml) | AddDye(volume_ml=volume_ml):
                litres += volume_ml / 1000
            case PourOff(volume_ml=volume_ml):
                litres = max(0.0, litres - volume_ml / 1000)
            case AddAcid(acid=acid, amount=amount) if acid.unit == "ml":
                litres += amount / 1000
            case _:
                pass
    return litres


@dataclass(frozen=True, kw_only=True, slots=True)
class PotRun:
    """A pot from first water to the end of `programme`, a line of (time_s, temp_c) points whose times never fall.

    `heated` lists (start_s, end_s) with the source on. `notes` and `assumed` come from whoever wrote the run down.
    """

    fibres: tuple[FibreInPot, ...]
    dyes: tuple[DyeInPot, ...]
    events: tuple[Event, ...]
    programme: tuple[tuple[float, float], ...]
    alkalinity: Estimate = ASSUMED_ALKALINITY
    vessel: Vessel | None = None
    lid: bool = False
    """Whether a lid is on at first; `lids` says when that changes."""
    lids: tuple[tuple[float, bool], ...] = ()
    """(at_s, on) of every lid that is put on or taken off, in order."""
    stirred: bool = False
    heated: tuple[tuple[float, float], ...] = ()
    energy: str = NOT_KNOWN
    around: Surroundings = field(default_factory=Surroundings)
    ph_offset: float = 0.0
    """Measured less modelled pH, where it is known from the start; it is kept through the run."""
    reading: PhReading | None = None
    """From its moment on the pH is moved by weight x (reading - model), in every draw by what that draw is off."""
    lag: Spread | None = None
    """Of a jar in a water bath: how far it lags behind (s). `programme` is then the water bath's."""
    evaporation: Spread | None = None
    """What steams away over what the law of still air says, as a test found it; None where it was not tested."""
    evaporation_lid: Spread | None = None
    """The same with the lid on, over a usual lid's."""
    laid_on: frozenset[str] = frozenset()
    """Dyes that are sprinkled, poured or painted: nobody asks them to be even."""
    status: str = "ok"
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    told: tuple[str, ...] = ()
    """Of its heat source and its vessel, what is good to know and nothing to be warned of."""
    measured: tuple[str, ...] = ()
    """What it rests on that the dyer has tested or read, in sentences."""

    @property
    def end_s(self) -> float:
        """When the programme ends."""
        return self.programme[-1][0]

    @property
    def fibre_g(self) -> float:
        """All the fibre that dye goes on."""
        return sum(one.mass_g for one in self.fibres)

    @property
    def dose_g(self) -> dict[str, float]:
        """Grams of each dye that go in over the whole run."""
        grams = {dye.name: 0.0 for dye in self.dyes}
        for event in self.events:
            if isinstance(event, AddDye):
                for name, mass_g in event.grams:
                    grams[name] += mass_g
        return grams

    def covered(self, time_s: float) -> bool:
        """Whether the lid is on at a time."""
        on = self.lid
        for at_s, is_on in self.lids:
            if at_s > time_s:
                break
            on = is_on
        return on

    @property
    def ever_covered(self) -> bool:
        """Whether the lid is ever on."""
        return self.lid or any(is_on for _, is_on in self.lids)

    @property
    def ever_open(self) -> bool:
        """Whether the lid is ever off."""
        return not self.lid or any(not is_on for _, is_on in self.lids)

    def steam(self, lid: bool) -> Spread:
        """What steams away over what the law says, with the lid on or off."""
        if lid:
            return self.evaporation_lid or UNDER_A_LID
        return self.evaporation or STILL_AIR

    def temp_c(self, time_s: float) -> float:
        """How warm the liquor is at a time: as the programme says, or behind it by its lag."""
        return self.programme_c(time_s) if self.lag is None else behind_c(self.programme, self.lag.value, time_s)

    def programme_c(self, time_s: float) -> float:
        """What the programme says at a time."""
        before = self.programme[0]
        for after in self.programme[1:]:
            if time_s < after[0]:
                span = after[0] - before[0]
                return before[1] + (after[1] - before[1]) * (time_s - before[0]) / span if span > 0 else after[1]
            before = after
        return before[1]

    def checked(self) -> PotRun:
        """Itself, events in order of time. Raises BadInput where it cannot be run: no water at the start, no fibre, unknown dyes, times that fall."""
        if not self.programme or any(after[0] < before[0] for before, after in pairwise(self.programme)):
            raise BadInput("A pot's temperatures need times in order.", where="programme")
        if any(one.kind not in FIBRE_KINDS or not one.mass_g > 0 for one in self.fibres):
            raise BadInput("Fibre in a pot is wool, superwash or nylon, and weighs something.", where="fibre")
        names = {dye.name for dye in self.dyes}
        for event in self.events:
            if isinstance(event, AddDye) and any(name not in names for name, _ in event.grams):
                raise BadInput("A dye goes in whose class the pot does not know.", where="add dye")
        events = tuple(sorted(self.events, key=lambda event: event.at_s))
        if not any(isinstance(event, AddWater) and event.volume_ml > 0 for event in events):
            raise BadInput("A pot needs water before anything can happen in it: put a 'fill' first, or say the water's volume.", where="water")
        first = next(place for place, event in enumerate(events) if isinstance(event, AddWater) and event.volume_ml > 0)
        if any(isinstance(event, PourOff) for event in events[:first]):
            raise BadInput("Liquor is poured off before there is any in the pot: put the 'fill' before it.", where="pour off")
        return replace(self, events=events)
