"""Keep a fade: a colourway for each skein, and the set that puts them in order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skeinwright.core.colourway.colourway import ColourwaySet
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.reading import read_name
from skeinwright.services.keep_recipe import KeepRecipe, recipe_colourway
from skeinwright.services.save_colourway import checked
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class KeepFade:
    """The skeins in order, each as depths {dye: fraction}; `fibre` is that of one skein."""

    name: str
    skeins: Sequence[Mapping[str, float]]
    fibre: str = "100 g"
    base: str = ""
    over: str = ""
    liquor: str = ""
    """The liquor ratio of their baths ("60:1"); the usual one where it is not said."""


def keep_fade(studio: Studio, request: KeepFade) -> tuple[Kept[ColourwaySet], tuple[Change, ...]]:
    """The set and all changes, in one transaction: "Shore 1", "Shore 2" ... in "Shore". Raises BadInput or Conflict, and nothing is written."""
    name = read_name(request.name)
    if len(request.skeins) < 2:
        raise BadInput("A fade has two skeins or more.", where="skeins")
    with studio.store.writing() as writing:
        habits, names = writing.settings().habits(), []
        for number, doses in enumerate(request.skeins, start=1):
            wanted = KeepRecipe(name=f"{name} {number}", doses=doses, fibre=request.fibre, base=request.base, over=request.over, liquor=request.liquor)
            names.append(writing.add_colourway(checked(recipe_colourway(writing, wanted), habits), now=studio.now()).thing.name)
        kept = writing.add_set(ColourwaySet(name=name, colourways=tuple(names)), now=studio.now())
        return kept, tuple(writing.made)
