"""`skeinwright match`: recipes for a target colour."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, Fibre, Seed, facts_from, text_of
from skeinwright.cli.options import Facts, Json, facts_of

if TYPE_CHECKING:
    from skeinwright.services.match_target import FoundRecipe, MatchesFound


def match(
    context: typer.Context,
    dyes: Dyes = None,
    target: Annotated[str, typer.Option(metavar="L,a,b", help="The colour to reach, as --target=40,20,10 (D65, 10 degree).")] = "",
    target_hex: Annotated[str, typer.Option(metavar="#RRGGBB", help="The colour to reach, as a screen shows it (D65, 2 degree).")] = "",
    target_spectrum: Annotated[
        Path | None, typer.Option(metavar="FILE", help="The colour to reach, as a spectrum: rows of wavelength and reflectance, or an instrument's file.")
    ] = None,
    base_lab: BaseLab = "",
    base: BaseName = "",
    max_dyes: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=4, help="The most dyes in a recipe, 1 to 4.")] = 3,
    must: Annotated[list[str] | None, typer.Option(metavar="NAME", help="A dye that has to be in the recipe; may be repeated.")] = None,
    without: Annotated[list[str] | None, typer.Option(metavar="NAME", help="A dye to leave out; may be repeated.")] = None,
    deepest: Annotated[str, typer.Option(metavar="PER CENT", help="The most of any one dye; 4 % if not said.")] = "",
    fibre: Fibre = "",
    seed: Seed = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Find recipes for a colour: all combinations of the dyes, the nearest first."""
    from skeinwright.services.match_target import MatchRequest, match_target
    from skeinwright.services.read_spectrum import read_spectrum

    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
    request = MatchRequest(
        target=target,
        target_hex=target_hex,
        target_spectrum=read_spectrum(text_of(target_spectrum, "--target-spectrum")) if target_spectrum is not None else (),
        base_lab=base_lab,
        base=base,
        max_dyes=max_dyes,
        must=must or (),
        without=without or (),
        deepest=deepest,
        fibre=fibre,
        seed=seed,
    )
    found = match_target(facts, request)
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _lines(found: MatchesFound) -> list[str]:
    lines = ["Reachable." if found.reachable else "Not reachable with these dyes."]
    for label, recipe in (("Nearest", found.nearest), ("Most repeatable", found.most_repeatable), ("Cheapest", found.cheapest)):
        if recipe is not None:
            lines.append(f"{label}: {_said(recipe)}")
    lines.append("All, the nearest first:")
    lines.extend(f"  {_said(recipe)}" for recipe in found.recipes)
    return lines


def _said(recipe: FoundRecipe) -> str:
    from skeinwright.services.match_target import recipe_sentence

    spread = "" if recipe.forecast.spread_de00 is None else f", itself within {recipe.forecast.spread_de00:.1f}"
    amounts = ", ".join(f"{dose.amount:g} {dose.unit} {dose.dye}" for dose in recipe.amounts)
    return f"{recipe_sentence(recipe)}{f' ({amounts})' if amounts else ''}: {recipe.match.de00:.2f} away{spread}"
