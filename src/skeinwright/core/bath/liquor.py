"""How much water to run in, once the wet yarn and the solutions have brought theirs; and whether the pot holds it."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.bath.vessels import BED_SHARE, bed_mm, brim_ml, level_mm, liquor_for_level_ml
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.items import Vessel


@dataclass(frozen=True, kw_only=True, slots=True)
class Brought:
    """Liquid that comes into the bath with something else: "wet yarn" 180 ml, "Kelp 1 %" 45 ml, "vinegar 5 %" 30 ml."""

    what: str
    volume_ml: float


@dataclass(frozen=True, slots=True)
class Liquor:
    """The bath's liquid: all of it, what others bring, what is left to run in, and what is too much.

    water_to_add_ml + sum of brought = total_ml + too_much_ml, always; the last is 0 unless the others bring more than was asked for.
    """

    total: Estimate
    brought: tuple[Brought, ...]
    water_to_add_ml: float
    too_much_ml: float
    fibre_g: float

    @property
    def ratio(self) -> float:
        """Liquor ratio: millilitres of all the liquid for a gram of fibre."""
        return (self.total.value + self.too_much_ml) / self.fibre_g

    @property
    def in_pot_ml(self) -> float:
        """What will really be in the pot."""
        return self.total.value + self.too_much_ml


@dataclass(frozen=True, slots=True)
class Fit:
    """A bath in a vessel: its level with the yarn under it, the room above, the brim's volume, and how high the yarn itself lies (mm, ml)."""

    vessel: str
    level_mm: float
    head_room_mm: float
    brim_ml: float
    yarn: Estimate

    @property
    def fits(self) -> bool:
        """False where it would run over."""
        return self.head_room_mm >= 0


def pick_up_ml(wet_g: float, dry_g: float) -> float:
    """Water in presoaked yarn, from the scale: wet_g - dry_g (1 g of water = 1 ml). A skein of 100 g that weighs 260 g wet brings 160 ml."""
    if wet_g < dry_g:
        raise BadInput(f"Wet yarn cannot weigh less ({wet_g:g} g) than dry ({dry_g:g} g); look again at the two weights.", where="wet weight")
    return wet_g - dry_g


def acid_brought_ml(pick_up: float, soak_ml: float, soak_acid: float) -> float:
    """Acid that comes along in the wet yarn: its share of the soaking bath, soak_acid x pick_up / soak_ml (in the unit of `soak_acid`).

    Yarn lifted with 160 ml out of 2000 ml with 40 ml of vinegar brings 3.2 ml of it. What wool has bound is not counted.
    """
    if not soak_ml > 0 or pick_up > soak_ml:
        raise BadInput("The yarn cannot carry more than the soaking bath held.", where="soak")
    return soak_acid * pick_up / soak_ml


def liquor_for_ratio(fibre_g: float, ratio: float) -> Estimate:
    """All the liquid for a liquor ratio: fibre_g x ratio, in ml (a litre to a kilogram). 100 g at 30:1 is 3000 ml."""
    return Estimate.exact(fibre_g * ratio, "ml")


def liquor_to_cover(vessel: Vessel, fibre_g: float, cover_mm: float) -> Estimate:
    """All the liquid that covers loose yarn by `cover_mm` in a vessel.

        (bed + cover) x floor - fibre/1.31,  bed = fibre/(1.31 share floor)

    The share of fibre in loose wet yarn is 0.12 (0.06-0.20) [assumed], hence the spread: pour until it is so, and write down what it took.
    """
    value, most, least = (max(0.0, liquor_for_level_ml(vessel, bed_mm(vessel, fibre_g, share) + cover_mm, fibre_g)) for share in BED_SHARE)
    return Estimate(value, least, most, "ml", Origin.ASSUMED, "how loosely wet yarn lies in the pot")


def water_to_add(total: Estimate, fibre_g: float, brought: tuple[Brought, ...] = ()) -> Liquor:
    """The water to run in: all the liquid less what wet yarn, acid and solutions bring; never less than nothing."""
    if not fibre_g > 0:
        raise BadInput("A bath needs some fibre.", where="fibre")
    if any(one.volume_ml < 0 for one in brought):
        raise BadInput("Nothing can bring less than no liquid.", where="water")
    missing = total.value - sum(one.volume_ml for one in brought)
    return Liquor(total, brought, max(0.0, missing), max(0.0, -missing), fibre_g)


def fit_in(vessel: Vessel, liquor_ml: float, fibre_g: float) -> Fit:
    """How so much liquid and yarn stand in a vessel."""
    level = level_mm(vessel, liquor_ml, fibre_g)
    usual, high, low = (bed_mm(vessel, fibre_g, share) for share in BED_SHARE)
    return Fit(vessel.name, level, vessel.height_mm - level, brim_ml(vessel), Estimate(usual, low, high, "mm", Origin.ASSUMED))
