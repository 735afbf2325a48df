"""Guards against slips: the figure that is ten times too much, the pot that cannot hold it, the solution that is not the one meant.

A guard that refuses is overcome only by changing the number; one that warns is shown beside it. Limits are common practice unless a source is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from skeinwright.core.bath.acids import AcidAsBought
from skeinwright.core.bath.liquor import Fit, Liquor
from skeinwright.core.shelf.reading import MOST_ALKALINITY_MG_L
from skeinwright.core.shelf.settings import DRAIN_HIGH_PH, DRAIN_LOW_PH

Severity = Literal["refuse", "warn"]

DEEPEST, PALEST = 0.06, 0.00005
"""Black is 3-6 % on weight of fibre; the palest pastel that anyone writes down is some hundredths of a per cent."""

STRENGTHS_APART = 5.0
"""Solutions whose strengths differ by more than this in one recipe are taken for a slip."""

SPOON_SPREAD = 0.30
"""A spoon of powder may be off by so much either way (90 %)."""

SMALLEST_WEIGHED_G = 0.1
MOST_DONOR_G_L = 10.0
LEAST_HEAD_ROOM_MM = 25.0
HARD_ALKALINITY_MG_L = 600.0
LEAST_ML_G = 1.5


@dataclass(frozen=True, slots=True)
class Guard:
    """A sentence for the dyer (what, and what to do), whether it refuses or warns, and where it belongs."""

    sentence: str
    severity: Severity
    where: str


Guards = tuple[Guard, ...]

_NOT_VERIFIED = "not verified against today's text"


def refusals(guards: Iterable[Guard]) -> Guards:
    """Those that refuse."""
    return tuple(guard for guard in guards if guard.severity == "refuse")


def warnings(guards: Iterable[Guard]) -> tuple[str, ...]:
    """The sentences of those that warn."""
    return tuple(guard.sentence for guard in guards if guard.severity == "warn")


def depth_guards(depth: float, name: str = "", where: str = "depth") -> Guards:
    """Refuses a depth over 6 % or under 0.005 % (nothing at all is let through)."""
    said = f"{depth * 100:.3g} %" + (f" of {name}" if name else "")
    if depth > DEEPEST:
        return (Guard(f"{said} is deeper than any shade is dyed: black takes 3 to 6 %. Did you mean {depth * 10:.3g} %?", "refuse", where),)
    if 0 < depth < PALEST:
        return (Guard(f"{said} is paler than an eye can see: the palest pastels take 0.05 to 0.1 %. Did you mean {depth * 1000:.3g} %?", "refuse", where),)
    return ()


def recipe_guards(depths: Sequence[tuple[str, float]], where: str = "depth") -> Guards:
    """The depth guards of each dye of a recipe, and of all of them together."""
    each = tuple(guard for name, depth in depths for guard in depth_guards(depth, name, where))
    return each or depth_guards(sum(depth for _, depth in depths), "all dyes together", where)


def strength_guards(strength: float, name: str = "", where: str = "strength") -> Guards:
    """Refuses a powder strength under 10 % or over 400 %; 100 % is the usual one."""
    of = f" of {name}" if name else ""
    if strength < 0.10 or strength > 4.0:
        near = strength * (10 if strength < 0.10 else 0.1)
        sentence = f"A strength{of} of {strength * 100:.3g} % cannot be right; powders lie between 10 and 400 % of the usual. Did you mean {near * 100:.3g} %?"
        return (Guard(sentence, "refuse", where),)
    return ()


def solution_guards(strength: float, where: str = "solution") -> Guards:
    """Refuses a solution over 10 % or under 0.01 %; warns above 4 %, where acid dyes may not dissolve."""
    said = f"A {strength * 100:.3g} % solution"
    if strength > 0.10:
        return (Guard(f"{said} is more than water takes up of an acid dye; usual are 0.1 to 4 %. Did you mean {strength * 10:.3g} %?", "refuse", where),)
    if strength < 0.0001:
        return (Guard(f"{said} has hardly any dye in it; usual are 0.1 to 4 %. Did you mean {strength * 1000:.3g} %?", "refuse", where),)
    if strength > 0.04:
        return (Guard(f"{said} is strong: many acid dyes do not dissolve so far, and keep less well. See that nothing is left on the bottom.", "warn", where),)
    return ()


def mixed_strength_guards(solutions: Sequence[tuple[str, float]], where: str = "solution") -> Guards:
    """Refuses one recipe with solutions of very different strengths (1 % beside 10 %): the commonest tenfold slip at the stove."""
    if len(solutions) < 2:
        return ()
    weak, strong = min(solutions, key=lambda one: one[1]), max(solutions, key=lambda one: one[1])
    if strong[1] <= weak[1] * STRENGTHS_APART:
        return ()
    sentence = (
        f"This recipe mixes a {strong[1] * 100:.3g} % solution ({strong[0]}) with a {weak[1] * 100:.3g} % one ({weak[0]}); make them alike, "
        "or weigh one of them as powder."
    )
    return (Guard(sentence, "refuse", where),)


def weighing_guards(grams: float, name: str = "dye", where: str = "dye") -> Guards:
    """Warns where so little powder is wanted that a kitchen scale cannot tell it."""
    if 0 < grams < SMALLEST_WEIGHED_G:
        return (Guard(f"{grams:.2g} g of {name} is less than most scales can tell: measure it as a solution.", "warn", where),)
    return ()


def spoon_guards(unit: str, what: str, where: str) -> Guards:
    """Warns where a powder is measured by the spoon or cup."""
    if unit not in {"tsp", "tbsp", "cup", "cups"}:
        return ()
    return (Guard(f"A spoon of {what} may be off by 30 % either way: a scale is better.", "warn", where),)


def pot_guards(fit: Fit, where: str = "vessel") -> Guards:
    """Refuses a bath that would run over; warns of little head room and of yarn that stands above the brim."""
    if not fit.fits:
        sentence = (
            f"{fit.vessel} cannot hold it: with the yarn it would stand {-fit.head_room_mm / 10:.1f} cm over the brim. Take less water, less "
            "yarn or a larger pot."
        )
        return (Guard(sentence, "refuse", where),)
    found = []
    if fit.head_room_mm < LEAST_HEAD_ROOM_MM:
        sentence = f"Only {fit.head_room_mm / 10:.1f} cm are left to the brim of {fit.vessel}: it can slop over when it simmers or the yarn is turned."
        found.append(Guard(sentence, "warn", where))
    if fit.yarn.low > fit.level_mm + fit.head_room_mm:
        found.append(Guard(f"So much yarn hardly goes into {fit.vessel}: lying loose it would stand above the brim.", "warn", where))
    return tuple(found)


def liquor_guards(liquor: Liquor, where: str = "water") -> Guards:
    """Warns where wet yarn and solutions bring more than was asked for, and refuses a ratio that nobody dyes at."""
    found = []
    if liquor.too_much_ml > 0:
        sentence = f"Wet yarn, acid and solutions bring {liquor.too_much_ml:.0f} ml more than the bath was to have: squeeze the yarn or use stronger solutions."
        found.append(Guard(sentence, "warn", where))
    if liquor.ratio > 300 or liquor.ratio < 0.3:
        sentence = (
            f"A liquor ratio of {liquor.ratio:.3g}:1 is outside anything dyed: pots take 20:1 to 40:1, painting about 1:1. Look again at water and fibre."
        )
        found.append(Guard(sentence, "refuse", where))
    return tuple(found)


def acid_guards(acid: AcidAsBought, where: str = "acid") -> Guards:
    """Refuses a vinegar weaker than any that is sold; cautions for acid that is strong in the bottle.

    No vinegar is sold below 4 % in the United States (fda-cpg-525825).
    """
    if acid.kind != "vinegar":
        return ()
    said = f"Vinegar of {acid.strength * 100:.3g} %"
    if acid.strength < 0.03:
        return (Guard(f"{said} is weaker than any that is sold (4 % and more). Did you mean {acid.strength * 1000:.3g} %?", "refuse", where),)
    if acid.strength > 1.05:
        return (Guard(f"{said} cannot be: pure acetic acid has 105 g in 100 ml.", "refuse", where),)
    if acid.strength > 0.25:
        sentence = (
            f"{said} burns skin and eyes: goggles and gloves, ventilate, and pour the acid into the water, never water into it (common practice; "
            "follow its safety sheet)."
        )
        return (Guard(sentence, "warn", where),)
    if acid.strength > 0.12:
        sentence = f"{said} is stronger than table vinegar: look again at the label, and add it to the water, not water to it (common practice)."
        return (Guard(sentence, "warn", where),)
    return ()


def donor_guards(acid: AcidAsBought, grams: float, volume_ml: float, where: str = "acid") -> Guards:
    """Warns of more ammonium sulphate than anyone dyes with: over 10 g/l. A blend of wool and nylon is given 4 % of its weight, 2 g/l at 20:1 (trade sheet)."""
    if acid.kind != "ammonium sulphate" or grams <= MOST_DONOR_G_L * volume_ml / 1000:
        return ()
    sentence = (
        f"{grams:.3g} g of ammonium sulphate is far more than is used (about 2 g a litre): by itself it does not bring this water there. "
        "Take the water's hardness away with a little vinegar first, or aim for a higher pH."
    )
    return (Guard(sentence, "warn", where),)


def alkalinity_guards(mg_l: float, where: str = "alkalinity") -> Guards:
    """Refuses an alkalinity over 2000 mg/L as calcium carbonate, which no tap water has, and warns above 600 (another unit, or ten times too much)."""
    said = f"{mg_l:.0f} mg/L as calcium carbonate is more than"
    if mg_l > MOST_ALKALINITY_MG_L:
        return (Guard(f"{said} any tap water has: 20 to 400 are usual. Did you mean {mg_l / 10:.0f} mg/L?", "refuse", where),)
    if mg_l > HARD_ALKALINITY_MG_L:
        return (Guard(f"{said} nearly any tap water has (20 to 400 are usual): look again at the figure and its unit.", "warn", where),)
    return ()


def wetting_guards(volume_ml: float, fibre_g: float, where: str = "water") -> Guards:
    """Warns of a bath that holds less than the yarn soaks up (1.5 ml to a gram, assumed): there is no liquor round it then."""
    if volume_ml >= LEAST_ML_G * fibre_g:
        return ()
    return (
        Guard(
            f"{volume_ml:.0f} ml is less than {fibre_g:.0f} g of yarn soak up (about {LEAST_ML_G * fibre_g:.0f} ml): no liquor stands round it.", "warn", where
        ),
    )


def ph_guards(ph: float, where: str = "acid") -> Guards:
    """Warns of a bath below pH 3, and at 2 or less of the law on waste.

    40 CFR 261.22 (United States): water of pH 2 or less is hazardous waste when it is thrown away.
    """
    if ph <= 2.0:
        sentence = (
            f"pH {ph:.1f} is a strong acid: wool baths are not taken below 3 by hand, and in the United States water of pH 2 or less is "
            f"hazardous waste when thrown away (law, 40 CFR 261.22, {_NOT_VERIFIED}; ask locally). Look again at the amount."
        )
        return (Guard(sentence, "warn", where),)
    if ph < 3.0:
        return (Guard(f"pH {ph:.1f} is lower than hand dyeing of wool asks for (3.5 to 6): look again at the amount of acid and the water.", "warn", where),)
    return ()


def drain_guards(ph: float, low_ph: float = DRAIN_LOW_PH, high_ph: float = DRAIN_HIGH_PH, where: str = "drain") -> Guards:
    """Warns of a bath that the drain should not have: outside the dyer's own limits, and of the law where it is below pH 5.0.

    40 CFR 403.5(b) (United States, law, businesses): nothing below pH 5.0 into a public sewer unless the works is built for it.
    """
    if low_ph <= ph <= high_ph:
        return ()
    law = f" (businesses in the United States: not below 5.0 to a public sewer; law, 40 CFR 403.5(b), {_NOT_VERIFIED})" if ph < 5.0 else ""
    sentence = (
        f"pH {ph:.1f} lies outside {low_ph:g} to {high_ph:g} and is not for the drain as it is{law}; neutralise slowly, cool, and defer to your local code."
    )
    return (Guard(sentence, "warn", where),)
