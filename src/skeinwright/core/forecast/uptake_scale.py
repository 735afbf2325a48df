"""How much more or less of a dye this pot lays on the yarn than the bath in which its swatches were dyed.

A swatch is read by its depth *as applied*: its own uptake is in its colour already. A pot that takes up less is worth a lower depth,

    depth that counts = depth applied x uptake(this pot)/uptake(the swatch's bath)

once and never twice. Where nothing else is known, the swatch's bath is the usual one [assumed]: 30:1 in ordinary water, vinegar to pH 4.5 in the pot at 60 C,
88 C for 30 min, cooled with the yarn in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import floor, log10
from types import MappingProxyType

from skeinwright.core.bath.acids import USUAL_VINEGAR, AcidAsBought
from skeinwright.core.bath.fibre import fibre_in_bath, held_per_litre
from skeinwright.core.bath.ph import Bath, best_guess
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddWater, DyeInPot, FibreInPot, LayIn, PotRun
from skeinwright.core.bath.process import quick_course
from skeinwright.core.bath.target import amount_for
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY
from skeinwright.core.bath.written_run import sponges_in
from skeinwright.core.shelf.items import NOT_KNOWN

USUAL_RATIO = 30.0
USUAL_PH = 4.5
POINTS_A_DECADE, LEAST_DEPTH = 10, 1e-6
LEAST, MOST = 0.01, 2.0
SAME_WITHIN = 0.02
"""Pots that differ by less are the same."""
USUAL_SAID = "The swatches were dyed in a usual bath: 30:1, pH 4.5, 30 min at 88 C, one dye alone."


@dataclass(frozen=True, slots=True)
class UptakeScale:
    """For one base: `ratio` by dye (1 where it is not known), a further relative `sd` of uptake for what is not known, and what to say."""

    ratio: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    sd: float = 0.0
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    def depth(self, name: str, applied: float) -> float:
        """The depth that counts, of a depth applied."""
        return applied * self.ratio.get(name, 1.0)


def uptake_scale(run: PotRun, base: str) -> UptakeScale:
    """What the pot `run` makes of each dye on `base`, against the usual bath with the same depth of that dye alone on the same fibre.

    A dye whose class is not known keeps the ratio 1; what half-milling would give then widens the spread: sd = |1 - ratio|.
    """
    here = _shares(run, base)
    fibres = tuple(one for one in run.fibres if one.base == base)
    ratio, sd, notes = {}, 0.0, []
    for dye in run.dyes:
        if dye.name not in here:
            continue
        usual = _usual_at(_of_100_g(fibres), replace(dye, name="dye"), run.dose_g[dye.name] / run.fibre_g)
        found = min(max(here[dye.name] / usual, LEAST), MOST)
        if dye.dye_class == NOT_KNOWN:
            ratio[dye.name], sd = 1.0, max(sd, abs(1 - found))
            continue
        ratio[dye.name] = found
        if abs(1 - found) > SAME_WITHIN:
            notes.append(f"This pot lays {100 * found:.0f} % as much {dye.name} on the yarn as the bath of its swatches.")
    if sd > SAME_WITHIN:
        notes.append("This pot may take up more or less than the swatches' bath: where a dye's class is not known, that only widens the spread.")
    return UptakeScale(MappingProxyType(ratio), sd if sd > SAME_WITHIN else 0.0, tuple(notes), (USUAL_SAID,))


def _shares(run: PotRun, base: str) -> Mapping[str, float]:
    """Of each dye, what a kilogram of the base's fibre holds in the end over what there was for a kilogram of fibre."""
    course = quick_course(run)
    there = {dye: 1000 * grams / run.fibre_g for dye, grams in run.dose_g.items()}
    return MappingProxyType({dye: one.value / there[dye] for dye, one in course.on_fibre.get(base, {}).items() if there[dye] > 0})


def usual_share(fibres: tuple[FibreInPot, ...], dye: DyeInPot, depth: float) -> float:
    """The share of a dye that the swatches' usual bath lays on these fibres at a depth (fraction, as applied)."""
    return _usual_at(_of_100_g(fibres), replace(dye, name="dye"), depth)


def _of_100_g(fibres: tuple[FibreInPot, ...]) -> tuple[FibreInPot, ...]:
    """The same yarn, 100 g of it: a usual bath of any size lays the same share on the yarn."""
    mass_g = sum(one.mass_g for one in fibres)
    return tuple(replace(one, base="", mass_g=float(f"{100 * one.mass_g / mass_g:.9g}")) for one in fibres)


def _usual_at(fibres: tuple[FibreInPot, ...], dye: DyeInPot, depth: float) -> float:
    """The share at a depth, in a straight line over log depth between points a tenth of a decade apart (within 0.002): a step of a slider then finds the
    bath worked out already."""
    place = POINTS_A_DECADE * log10(max(depth, LEAST_DEPTH))
    below = round(place) if abs(place - round(place)) < 1e-9 else floor(place)
    low = _usual_share(fibres, dye, below, USUAL_RATIO)
    return low if place <= below else low + (place - below) * (_usual_share(fibres, dye, below + 1, USUAL_RATIO) - low)


def usual_share_at(fibres: tuple[FibreInPot, ...], dye: DyeInPot, point: int, ratio: float = USUAL_RATIO) -> float:
    """The share that the usual bath, of another liquor `ratio` where one is said, lays on these fibres at a depth of 10^(point/10) of their weight."""
    return _usual_share(_of_100_g(fibres), replace(dye, name="dye"), point, ratio)


@lru_cache(maxsize=1024)
def _usual_share(fibres: tuple[FibreInPot, ...], dye: DyeInPot, point: int, ratio: float) -> float:
    run = usual_run(fibres, dye, 10.0 ** (point / POINTS_A_DECADE), ratio)
    return max(_shares(run, fibres[0].base)["dye"], LEAST)


def usual_run(fibres: tuple[FibreInPot, ...], dye: DyeInPot, depth: float, ratio: float = USUAL_RATIO) -> PotRun:
    """The usual bath for one dye at a depth (fraction of the fibre's weight) on these fibres; `ratio` is its liquor ratio, acid being given to the same pH."""
    mass_g = sum(one.mass_g for one in fibres)
    volume_ml = ratio * mass_g
    minutes = ((0.0, 20.0), (40.0, 60.0), (68.0, 88.0), (98.0, 88.0), (194.0, 40.0))
    return PotRun(
        fibres=fibres,
        dyes=(dye,),
        events=(
            AddWater(at_s=0.0, volume_ml=volume_ml),
            AddDye(at_s=0.0, grams=((dye.name, depth * mass_g),)),
            LayIn(at_s=0.0),
            AddAcid(at_s=2400.0, acid=AcidAsBought("vinegar", USUAL_VINEGAR), amount=_usual_acid_ml(fibres, ratio)),
        ),
        programme=tuple((60 * minute, temp_c) for minute, temp_c in minutes),
    )


@lru_cache(maxsize=64)
def _usual_acid_ml(fibres: tuple[FibreInPot, ...], ratio: float) -> float:
    """The vinegar (ml) for pH 4.5 once these fibres have their share."""
    volume_ml = ratio * sum(one.mass_g for one in fibres)
    sponges = sponges_in(fibres)
    bath = Bath(volume_ml=volume_ml, alkalinity=ASSUMED_ALKALINITY, held=held_per_litre(sponges, volume_ml))
    return amount_for(bath, AcidAsBought("vinegar", USUAL_VINEGAR), USUAL_PH, best_guess(bath), fibre_in_bath(sponges, volume_ml)) or 0.0
