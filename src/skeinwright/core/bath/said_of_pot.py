"""What a course says besides strike: how the fibres of a blend share the dye, and the water that steams away."""

from __future__ import annotations

import numpy as np

from skeinwright.core.bath.course import PotCourse
from skeinwright.core.bath.heat import Falling, falling_line, hot_pot
from skeinwright.core.bath.isotherm import Array

SIMMERS_FROM_C = 60.0
"""Cooler than this a pot hardly steams: no falling line is told."""
TELLS_FROM = 1.15
"""Depths nearer than this are called alike [assumed: about what an eye tells apart on two fibres]."""
LEAST_G_KG = 1e-4
MOST_TOLD = 10.0
"""A fibre that holds over ten times as much as the other is simply the one that is dyed."""
COVERED_SHARE = 0.8
"""A pot counts as covered where its lid is on for so much of the time in which it steams."""


def blend_sentences(course: PotCourse) -> tuple[str, ...]:
    """For each dye on a base of wool and nylon, which of the two it lies deeper on at the end, by the centre line, with the 90 % interval of the draws.

    Nothing where a base is of one kind.
    """
    found = []
    fibres = course.run.fibres
    for base in dict.fromkeys(one.base for one in fibres):
        kinds = {one.kind == "nylon": place for place, one in enumerate(fibres) if one.base == base}
        if len(kinds) < 2:
            continue
        tested = fibres[kinds[True]].preference is not None
        for place, dye in enumerate(course.run.dyes):
            nylon, wool = course.fibre_draws[:, place, kinds[True]], course.fibre_draws[:, place, kinds[False]]
            if min(nylon[0], wool[0]) > LEAST_G_KG:
                found.append(f"{_shared(dye.name, base, nylon / np.maximum(wool, LEAST_G_KG))}{'' if tested else ', by what is usual of nylon'}.")
    return tuple(found)


def bases_sentences(course: PotCourse) -> tuple[str, ...]:
    """For each dye of a pot with several bases, on which it lies deepest and on which palest at the end, with the 90 % interval of the draws.

    Nothing where there is one base, where a dye hardly goes on, or where no eye would tell the bases apart.
    """
    fibres = course.run.fibres
    bases = tuple(dict.fromkeys(one.base for one in fibres))
    if len(bases) < 2:
        return ()
    usual = ", by what is usual of superwash" if any(one.kind == "superwash" and one.speed is None for one in fibres) else ""
    found = []
    for number, dye in enumerate(course.run.dyes):
        on = {base: _mean_g_kg(course, number, base) for base in bases}
        deep, pale = max(bases, key=lambda base: float(on[base][0])), min(bases, key=lambda base: float(on[base][0]))
        if on[pale][0] <= LEAST_G_KG:
            continue
        ratios = on[deep] / np.maximum(on[pale], LEAST_G_KG)
        if max(float(ratios[0]), float(np.percentile(ratios, 95.0))) < TELLS_FROM:
            continue
        lies = "lies about as deep" if ratios[0] < TELLS_FROM else f"lies {_times(float(ratios[0]))} times as deep"
        found.append(f"In one pot, {dye.name} {lies} on {deep} as on {pale}{_between(ratios)}{usual}.")
    return tuple(found)


def _mean_g_kg(course: PotCourse, dye: int, base: str) -> Array:
    """What a base holds of a dye in every draw, its kinds of fibre together."""
    places = [place for place, one in enumerate(course.run.fibres) if one.base == base]
    masses = np.array([course.run.fibres[place].mass_g for place in places])
    return np.asarray(course.fibre_draws[:, dye, places] @ masses / masses.sum())


def _shared(dye: str, base: str, ratios: Array) -> str:
    ratio = float(ratios[0])
    if 1 / TELLS_FROM < ratio < TELLS_FROM:
        return f"{dye} lies about as deep on the nylon of {base} as on its wool{_between(ratios)}"
    more, less, times = ("nylon", "wool", ratios) if ratio > 1 else ("wool", "nylon", 1 / np.maximum(ratios, 1e-6))
    return f"{dye} lies {_times(float(times[0]))} times as deep on the {more} of {base} as on its {less}{_between(times)}"


def _between(times: Array) -> str:
    """The 90 % interval of the draws; nothing where there is only the centre line."""
    if len(times) < 2:
        return ""
    low, high = np.percentile(times[1:], [5.0, 95.0])
    return f" ({_times(min(low, float(times[0])))} to {_times(max(high, float(times[0])))} times)"


def _times(value: float) -> str:
    return "over 10" if value > MOST_TOLD else f"{value:.1f}"


def falling_of(course: PotCourse) -> Falling | None:
    """The falling line at the hottest that the pot gets, with the most liquor that it is hot with; None where it stays cool or its vessel is not known."""
    run, hottest = course.run, float(course.temp_c.max())
    if run.vessel is None or not run.heated or hottest < SIMMERS_FROM_C:
        return None
    fullest_l = float(course.water_l.centre[course.temp_c >= SIMMERS_FROM_C].max())
    lid = covered_when_hot(course)
    steam = run.steam(lid)
    pot = hot_pot(run.vessel, fullest_l, run.fibre_g, lid=lid, steam=steam.value)
    return falling_line(run.vessel, pot, hottest, run.around, ends=(steam.low / steam.value, steam.high / steam.value))


def covered_when_hot(course: PotCourse) -> bool:
    """Whether the lid is on for most of the time in which the pot steams."""
    spans = np.diff(course.time_s) * (course.temp_c[1:] >= SIMMERS_FROM_C)
    middles = 0.5 * (course.time_s[1:] + course.time_s[:-1])
    on = sum(float(span) for span, middle in zip(spans, middles, strict=True) if course.run.covered(float(middle)))
    return on >= COVERED_SHARE * float(spans.sum()) > 0


def water_sentences(course: PotCourse) -> tuple[str, ...]:
    """The top-up plan and when to look; where the whole run takes less than the first top-up, only what steams away in it."""
    falling = falling_of(course)
    if falling is None:
        return ()
    heated_s = sum(end - start for start, end in course.run.heated)
    if falling.every_s < heated_s:
        return (falling.sentence,)
    lost = [max(10, round(1000 * float(line[-1]), -1)) for line in (course.steamed_l.centre, course.steamed_l.low, course.steamed_l.high)]
    between = f" ({lost[1]:.0f} to {lost[2]:.0f})" if lost[2] > lost[1] else ""
    lidded = covered_when_hot(course)
    lid = "with the lid on, " if lidded else ""
    return (f"About {lost[0]:.0f} ml{between} steams away, {lid}so it needs no topping up; {LIFT if lidded else LOOK}.",)


LIFT = "without its lid it may need some"
LOOK = "a draught or a hotter pot takes twice that"
