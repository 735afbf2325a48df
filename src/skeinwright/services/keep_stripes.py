"""Keep a self-striping plan as a colourway: it is wound on the long loop, each stripe is a painted band, and afterwards it is wound back."""

from __future__ import annotations

from types import MappingProxyType

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.foundations.say import write
from skeinwright.core.shelf.items import Acid, Solution
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.plan_stripes import StripePlanRequest, StripePlanSheet, plan_stripes
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.studio import Studio

VINEGAR_ML_PER_G = 0.3
"""Vinegar of 5 % in the soak, for each gram of fibre: common practice for painted skeins."""
SOAK, STEAM = "30 min", "45 min"
"""Common practice."""


def keep_stripes(studio: Studio, name: str, request: StripePlanRequest, *, vessel: str = "") -> tuple[Kept[Colourway], Change | None]:
    """The colourway as kept, and the change that can be taken back. Raises as `plan_stripes` and `save_colourway` do."""
    sheet = plan_stripes(studio, request)
    solutions = [kept.thing for kept in list_shelf(studio, "solution") if isinstance(kept.thing, Solution)]
    acids = [kept.thing for kept in list_shelf(studio, "acid") if isinstance(kept.thing, Acid)]
    colourway = Colourway(
        name=name,
        steps=stripe_steps(sheet, solutions, next((one for one in acids if one.acid == "vinegar"), None)),
        fibre=write("mass", sheet.base.skein_g),
        bases=(sheet.base.name,),
        vessel=vessel,
        notes=f"Self-striping: {len(sheet.bands)} stripes, one repeat {sheet.sheet.plan.loop_mm / 1000:.2f} m as wound, for {sheet.stitches} stitches.",
    )
    return save_colourway(studio, colourway)


def stripe_steps(sheet: StripePlanSheet, solutions: list[Solution], vinegar: Acid | None) -> tuple[Step, ...]:
    """The steps: wind, soak with acid, paint every band on one side and, turned, on the other, steam, rinse, wind back.

    Half of a band's dye goes on each side: what is painted on one side hardly reaches the other, and every second stripe would come out pale.
    """
    steps = [_step("re-skein", round=_cm(sheet.dyed_round_mm)), _step("soak", time=SOAK)]
    if vinegar is not None:
        strength = vinegar.strength or 0.05
        steps.append(_step("add acid", acid=vinegar.name, amount=f"{VINEGAR_ML_PER_G * sheet.base.skein_g * 0.05 / strength:.0f} ml"))
    painted = _painted(sheet, solutions)
    steps += [*painted, *((_step("turn"), *painted) if painted else ())]
    back = sheet.base.round_mm
    last = [_step("steam", time=STEAM), _step("cool"), _step("rinse"), _step("hang")]
    return (*steps, *last, *((_step("re-skein", round=write("length", back)),) if back else ()))


def _painted(sheet: StripePlanSheet, solutions: list[Solution]) -> list[Step]:
    """Every dyed band once, with half of its dye."""
    plan, steps = sheet.sheet.plan, list[Step]()
    for band, wound in zip(sheet.bands, plan.stripes, strict=True):
        if not band.dye:
            continue
        grams = band.depth * sheet.base.skein_g * wound.length_mm / plan.loop_mm / 2.0
        place = f"{wound.start_mm / 10:.1f}-{(wound.start_mm + wound.length_mm) / 10:.1f} cm"
        solution = next((one for one in solutions if len(one.parts) == 1 and one.parts[0][0].casefold() == band.dye.casefold()), None)
        if solution is not None:
            steps.append(_step("paint", solution=solution.name, amount=f"{grams / solution.strength:.1f} ml", over=place))
        else:
            steps.append(_step("paint", dye=band.dye, amount=f"{grams:.3f} g", over=place))
    return steps


def _step(do: str, **said: str) -> Step:
    return Step(do, MappingProxyType(said))


def _cm(length_mm: float) -> str:
    return f"{length_mm / 10:.1f} cm"
