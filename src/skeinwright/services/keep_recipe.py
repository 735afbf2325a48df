"""Keep a recipe as a colourway: a bath written out with its doses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.usual_bath import USUAL_VOLUME, usual_bath
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Acid, Solution, Vessel
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.save_colourway import checked
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.store import Reading

TARGET = "Target: "
"""A line of the notes that begins so says the colour that was wanted."""


@dataclass(frozen=True, kw_only=True, slots=True)
class KeepRecipe:
    """Depths {dye: fraction of the fibre} under a name; a name that is taken gets a number. `target` is the colour that was wanted, as typed Lab."""

    name: str
    doses: Mapping[str, float]
    fibre: str = "100 g"
    base: str = ""
    over: str = ""
    target: str = ""
    small: bool = False
    """True for a trial: the smallest round pot instead of the largest."""
    notes: str = ""
    liquor: str = ""
    """The liquor ratio of its bath ("60:1"); the usual one where it is not said."""


def keep_recipe(studio: Studio, request: KeepRecipe) -> tuple[Kept[Colourway], Change]:
    """The colourway as kept, and the change. Raises BadInput for a recipe without dye or a name that cannot be."""
    with studio.store.writing() as writing:
        kept = writing.add_colourway(checked(recipe_colourway(writing, request), writing.settings().habits()), now=studio.now())
        return kept, writing.made[-1]


def recipe_colourway(reading: Reading, request: KeepRecipe, taken: Sequence[str] = ()) -> Colourway:
    """The colourway that `keep_recipe` keeps; `taken` are names that are in use besides those kept already."""
    if not request.doses:
        raise BadInput("A recipe without dye is the undyed yarn: there is nothing to keep.", where="doses")
    solutions = {thing.parts[0][0]: thing.name for kept in reading.items("solution") if isinstance(thing := kept.thing, Solution) and len(thing.parts) == 1}
    dyes = [_add(name, depth, solutions) for name, depth in request.doses.items()]
    vessels = [thing for kept in reading.items("vessel") if isinstance(thing := kept.thing, Vessel)]
    vessels.sort(key=lambda one: (one.shape != "round", one.length_mm if request.small else -one.length_mm))
    waters = reading.items("water")
    return Colourway(
        name=free_name(reading, request.name, taken),
        steps=usual_bath(dyes, _acid(reading), request.liquor.strip() or USUAL_VOLUME),
        fibre=request.fibre,
        bases=(request.base,) if request.base else (),
        vessel=vessels[0].name if vessels else "",
        water=waters[0].thing.name if len(waters) == 1 else "",
        over=request.over,
        notes="\n".join(line for line in (f"{TARGET}{request.target}" if request.target else "", request.notes) if line),
    )


def target_of(colourway: Colourway | None) -> str:
    """The colour that was wanted, from the notes; "" where they do not say."""
    lines = colourway.notes.splitlines() if colourway is not None else []
    return next((line.removeprefix(TARGET).strip() for line in lines if line.startswith(TARGET)), "")


def free_name(reading: Reading, wanted: str, taken: Sequence[str] = ()) -> str:
    """The name, with a number behind it where a colourway, archived or not, has it already."""
    name = " ".join(wanted.split()) or "Matched"
    used = {kept.thing.name.casefold() for kept in reading.colourways(archived=True)} | {one.casefold() for one in taken}
    number, free = 2, name
    while free.casefold() in used:
        free, number = f"{name} {number}", number + 1
    return free


def _add(name: str, depth: float, solutions: Mapping[str, str]) -> Step:
    said = f"{100 * depth:.5g} %"
    what = {"solution": solutions[name]} if name in solutions else {"dye": name}
    return Step("add dye", MappingProxyType({**what, "depth": said}))


def _acid(reading: Reading) -> str:
    acids = [thing for kept in reading.items("acid") if isinstance(thing := kept.thing, Acid)]
    acids.sort(key=lambda acid: acid.acid != "vinegar")
    return acids[0].name if acids else "vinegar 5 %"
