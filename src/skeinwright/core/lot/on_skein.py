"""A colourway's steps as they come to lie on one base: which of them a model covers, the session they make, or the even bath they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from skeinwright.core.colourway.colourway import Colourway, SkeinGeometry, Step
from skeinwright.core.colourway.steps import read_step
from skeinwright.core.colourway.winding import wound_for_dyeing
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, first_of
from skeinwright.core.lot.depths import step_depths
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.sketch import LEFT_OUT, WHILE_UNKNOWN, Sketch, problem_at
from skeinwright.core.shelf.items import NOT_KNOWN, Base, Dye, Vessel
from skeinwright.core.spread.events import Session
from skeinwright.core.spread.from_steps import LaidStep, skein_after
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.session import session_of
from skeinwright.core.spread.skein import ground_from
from skeinwright.core.spread.skein_map import SkeinMap
from skeinwright.core.spread.tested import with_tests
from skeinwright.core.spread.writing import LAYS, USUAL_WIDTH_CM

ASSUMED_ROUND_MM = 1500.0


def readable(colourway: Colourway, sketch: Sketch) -> Colourway:
    """The colourway without what cannot be read yet: such steps stand as notes."""
    steps = tuple(LEFT_OUT if number in sketch.left_out else step for number, step in enumerate(colourway.steps, start=1))
    wrong = any(problem.step == 0 and problem.slot == "fibre" for problem in sketch.problems)
    return replace(colourway, steps=steps, fibre=WHILE_UNKNOWN if wrong else colourway.fibre)


def covered(steps: tuple[Step, ...]) -> tuple[tuple[Step, ...], int | None]:
    """The steps before the first that no model covers, and that one's number (from 1; None: all are covered).

    A word that is not `forecast` ends them, and so does dye that is laid on after the yarn was wound anew.
    """
    dyed = wound = False
    for number, step in enumerate(steps, start=1):
        if not WORDS[step.do].forecast or (wound and step.do in LAYS):
            return steps[: number - 1], number
        dyed = dyed or step.do in LAYS
        wound = wound or (dyed and step.do == "re-skein")
    return steps, None


def wound_first(base: Base, steps: tuple[Step, ...], shelf: OnShelf) -> Base:
    """The base as it lies in the vessel: wound on another circumference where a step says so before any dye."""
    wound_mm = wound_for_dyeing(steps, habits=shelf.habits)
    return base if wound_mm is None else replace(base, round_mm=wound_mm)


def geometry_of(base: Base) -> SkeinGeometry:
    """The loop, 1.5 m once round [assumed] where the base does not say it."""
    return SkeinGeometry(skein_g=base.skein_g, length_mm=base.length_mm, round_mm=base.round_mm or ASSUMED_ROUND_MM)


def applied_depths(sketch: Sketch, shelf: OnShelf, steps: int) -> dict[str, float]:
    """What the first `steps` steps add of each dye, fraction of the fibre's weight as applied."""
    applied: dict[str, float] = {}
    for _, added in step_depths(sketch.draft.plan[:steps], sketch.fibre.total_g, shelf):
        for name, amount in added.items():
            applied[name] = applied.get(name, 0.0) + amount
    return applied


def classes_of(names: Mapping[str, float], shelf: OnShelf) -> dict[str, str]:
    """The class of each dye, "not known" for one that is not on the shelf."""
    return {name: NOT_KNOWN if (dye := shelf.find(Dye, name)) is None else dye.dye_class for name in names}


def session_on(colourway: Colourway, base: Base, shelf: OnShelf, below_mg: Mapping[str, float]) -> tuple[Session, tuple[str, ...]]:
    """The session on this base, and a sentence for each step that cannot be run and is left out of it. Raises BadInput where no dye is laid at all."""
    steps, said = list(colourway.steps), list[str]()
    vessel = shelf.find(Vessel, colourway.vessel) or colourway.own_vessel
    for _ in range(len(steps) + 1):
        try:
            asked = replace(colourway, steps=tuple(steps), own_base=None)
            found = session_of(asked, shelf=shelf.things.values(), base=base, vessel=vessel, water=shelf.water, habits=shelf.habits, below_mg=below_mg)
            return with_tests(found, shelf.calibrations, base=base, vessel=colourway.vessel), tuple(said)
        except (BadInput, ManyBadInputs) as error:
            problem = problem_at(first_of(error), steps)
            if problem.step == 0 or steps[problem.step - 1] is LEFT_OUT:
                raise
            said.append(f"Step {problem.step}, {steps[problem.step - 1].do}, is left out of the picture: {problem.sentence}")
            steps[problem.step - 1] = LEFT_OUT
    raise AssertionError("each round leaves a step out")


def ideally(sketch: Sketch, steps: tuple[Step, ...], shelf: OnShelf, blank: SkeinMap, on_yarn: Mapping[str, float], seed: int) -> SkeinMap:
    """A bath that is kept out of ties and graded by a withdrawal, with idealised edges. `on_yarn` is what of each dye, as applied, is on the yarn (0-1)."""
    laid = []
    for step, (_, added) in zip(steps, step_depths(sketch.draft.plan[: len(steps)], sketch.fibre.total_g, shelf), strict=True):
        place = read_step(step, habits=shelf.habits).place
        if step.do != "re-skein":
            laid.append(LaidStep(do=step.do, doses={name: depth * on_yarn[name] for name, depth in added.items()}, place=place))
    return skein_after(laid, blank, seed=seed).skein


def joined(below: SkeinMap, above: SkeinMap) -> SkeinMap:
    """Two maps of one skein, one over the other, on the cells of the upper one."""
    names = tuple(dict.fromkeys((*below.names, *above.names)))
    dye = ground_from(below, names, Grid(above.rows, above.cells, above.ds_mm / 10, above.row_mm / 10, True))
    for plane, name in zip(above.dye, above.names, strict=True):
        dye[names.index(name)] += plane
    return replace(above, dye=dye, names=names)


def over(below: SkeinMap, on_yarn: Mapping[str, float]) -> SkeinMap:
    """The same amounts everywhere (g/g by dye) over an earlier map."""
    names = tuple(dict.fromkeys((*below.names, *on_yarn)))
    dye = np.zeros((len(names), *below.dye.shape[1:]), dtype=np.float32)
    for plane, name in zip(below.dye, below.names, strict=True):
        dye[names.index(name)] += plane
    for name, amount in on_yarn.items():
        dye[names.index(name)] += np.float32(amount)
    return replace(below, dye=dye, names=names)


def breadth_mm(colourway: Colourway, shelf: OnShelf) -> float:
    """How wide one limb of the loop is laid: half of what a step says, or of the usual."""
    widths = (read_step(step, habits=shelf.habits).quantity("width") for step in colourway.steps if step.do == "lay in")
    return next((width.value / 2 for width in widths if width is not None), 10 * USUAL_WIDTH_CM / 2)


def reskeined_mm(colourway: Colourway, shelf: OnShelf) -> float:
    """Once round after the last "re-skein" that follows dye; 0 where the dyed yarn is not wound anew."""
    first = next((place for place, step in enumerate(colourway.steps) if step.do in LAYS), len(colourway.steps))
    for step in reversed(colourway.steps[first:]):
        if step.do == "re-skein":
            wound = read_step(step, habits=shelf.habits).quantity("round")
            return ASSUMED_ROUND_MM if wound is None else wound.value
    return 0.0
