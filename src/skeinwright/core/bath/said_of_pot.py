"""What a course says besides strike: how the fibres of a blend share the dye, and the water that steams away."""

from __future__ import annotations

from skeinwright.core.bath.course import PotCourse
from skeinwright.core.bath.heat import Falling, falling_line, hot_pot

SIMMERS_FROM_C = 60.0
"""Cooler than this a pot hardly steams: no falling line is told."""
TELLS_FROM = 1.15
"""Depths nearer than this are called alike [assumed: about what an eye tells apart on two fibres]."""
LEAST_G_KG = 1e-4


def blend_sentences(course: PotCourse) -> tuple[str, ...]:
    """For each dye on a base of wool and nylon, which of the two it lies deeper on at the end, by the centre line. Nothing where a base is of one kind."""
    found = []
    fibres = course.run.fibres
    for base in dict.fromkeys(one.base for one in fibres):
        kinds = {one.kind == "nylon": place for place, one in enumerate(fibres) if one.base == base}
        if len(kinds) < 2:
            continue
        tested = fibres[kinds[True]].preference is not None
        for dye, grams in zip(course.run.dyes, course.by_fibre, strict=True):
            nylon, wool = float(grams[kinds[True]]), float(grams[kinds[False]])
            if min(nylon, wool) > LEAST_G_KG:
                found.append(f"{_shared(dye.name, base, nylon / wool)}{'' if tested else ', by what is usual of nylon'}.")
    return tuple(found)


def _shared(dye: str, base: str, ratio: float) -> str:
    if 1 / TELLS_FROM < ratio < TELLS_FROM:
        return f"{dye} lies about as deep on the nylon of {base} as on its wool"
    more, less, times = ("nylon", "wool", ratio) if ratio > 1 else ("wool", "nylon", 1 / ratio)
    return f"{dye} lies {times:.2g} times as deep on the {more} of {base} as on its {less}"


def falling_of(course: PotCourse) -> Falling | None:
    """The falling line at the hottest that the pot gets, with the most liquor that it is hot with; None where it stays cool or its vessel is not known."""
    run, hottest = course.run, float(course.temp_c.max())
    if run.vessel is None or not run.heated or hottest < SIMMERS_FROM_C:
        return None
    fullest_l = float(course.water_l.centre[course.temp_c >= SIMMERS_FROM_C].max())
    return falling_line(run.vessel, hot_pot(run.vessel, fullest_l, run.fibre_g, lid=run.lid), hottest, run.around)


def water_sentences(course: PotCourse) -> tuple[str, ...]:
    """The top-up plan and when to look; where the whole run takes less than the first top-up, only what steams away in it."""
    falling = falling_of(course)
    if falling is None:
        return ()
    heated_s = sum(end - start for start, end in course.run.heated)
    if falling.every_s < heated_s:
        return (falling.sentence,)
    line = course.water_l.centre
    lost_ml = 1000 * max(0.0, float(line.max() - line[-1]))
    lid = "with the lid on, " if course.run.lid else ""
    return (f"About {max(10, round(lost_ml, -1)):.0f} ml steams away, {lid}so it needs no topping up; {LIFT if course.run.lid else LOOK}.",)


LIFT = "without its lid it may need some"
LOOK = "a draught or a hotter pot takes twice that"
