"""Trial first: keep a recipe as a colourway for a small skein, and start a lot of it."""

from __future__ import annotations

from dataclasses import replace

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse_fibre
from skeinwright.core.lot.lot import Lot
from skeinwright.services.draft_lot import StartLot, draft_with
from skeinwright.services.find_started import find_started
from skeinwright.services.keep_recipe import KeepRecipe, recipe_colourway
from skeinwright.services.save_colourway import checked
from skeinwright.services.studio import Studio

LEAST_G, MOST_G = 2.0, 50.0
"""Below 2 g a skein can hardly be tied and dosed; above 50 g it is no trial [assumed]."""


def start_trial(studio: Studio, request: KeepRecipe, *, trial: str = "10 g", key: str = "") -> Lot:
    """The lot of one trial skein of `trial`; colourway and lot are written together. The same `key` sent again gives the same lot.

    Raises BadInput for a trial of 50 g or more, or where the plan is refused: then nothing is written.
    """
    with studio.store.writing() as writing:
        if first := find_started(writing, key):
            return first[0]
        habits = writing.settings().habits()
        grams = parse_fibre(trial, skein_g=None, where="trial", habits=habits).total_g
        if not LEAST_G <= grams <= MOST_G:
            raise BadInput(f"A trial skein weighs {LEAST_G:g} to {MOST_G:g} g; 5 to 10 g is enough to judge a colour.", where="trial", text=trial)
        colourway = checked(recipe_colourway(writing, replace(request, fibre=f"{grams:g} g", small=True)), habits)
        kept = writing.add_colourway(colourway, now=studio.now())
        drafted = draft_with(writing, studio, StartLot(colourway=kept.id, title=colourway.name, key=key))
        if drafted.refused:
            raise BadInput(" ".join(drafted.refused), where="steps")
        return writing.add_lot(drafted.lot)
