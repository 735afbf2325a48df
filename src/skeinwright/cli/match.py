"""`skeinwright match`: recipes for a target colour."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, Fibre, LiquorRatio, Over, Seed, facts_from, ground_from, text_of, yarn_from
from skeinwright.cli.options import Facts, Json, facts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.forecast.found_recipe import FoundRecipe
    from skeinwright.services.find_target import Target
    from skeinwright.services.match_target import MatchesFound
    from skeinwright.services.studio import Studio


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
    over: Over = "",
    like_lot: Annotated[str, typer.Option(metavar="CODE", help="The colour of a lot: as measured, else as forecast; needs --studio.")] = "",
    like_colourway: Annotated[str, typer.Option(metavar="NAME", help="The colour of a colourway; needs --studio.")] = "",
    on: Annotated[str, typer.Option(metavar="BASE", help="The base that the colourway is taken on; its first if not said.")] = "",
    max_dyes: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=4, help="The most dyes in a recipe, 1 to 4.")] = 3,
    must: Annotated[list[str] | None, typer.Option(metavar="NAME", help="A dye that has to be in the recipe; may be repeated.")] = None,
    without: Annotated[list[str] | None, typer.Option(metavar="NAME", help="A dye to leave out; may be repeated.")] = None,
    deepest: Annotated[str, typer.Option(metavar="PER CENT", help="The most of any one dye; 4 % if not said.")] = "",
    fibre: Fibre = "",
    liquor_ratio: LiquorRatio = "",
    seed: Seed = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Find recipes for a colour: all combinations of the dyes, the nearest first."""
    from skeinwright.core.shelf.lab_text import write_lab
    from skeinwright.services.match_target import MatchRequest, match_target
    from skeinwright.services.read_spectrum import read_spectrum

    like = like_lot.strip() or like_colourway.strip()
    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
        ground = ground_from(facts, opened, base_lab, base, over)[0] if over.strip() else None
        wanted = _like(opened, like_lot, like_colourway, on) if like else None
        yarn = yarn_from(opened, base, liquor_ratio)
    given = read_spectrum(text_of(target_spectrum, "--target-spectrum")) if target_spectrum is not None else ()
    if wanted is not None and (target or target_hex or given):
        raise BadInput("Give the target once: as a colour, or as that of a lot or a colourway.", where="--target")
    request = MatchRequest(
        target=target if wanted is None or wanted.is_known else write_lab(wanted.lab),
        target_hex=target_hex,
        target_spectrum=given if wanted is None or not wanted.is_known else wanted.pairs,
        base_lab=base_lab,
        base=base,
        ground=ground,
        max_dyes=max_dyes,
        must=must or (),
        without=without or (),
        deepest=deepest,
        fibre=fibre,
        liquor=liquor_ratio,
        yarn=yarn,
        seed=seed,
    )
    found = match_target(facts, request)
    answer = found.to_plain()
    if wanted is not None:
        answer["inputs"] |= {"target": wanted.said}
    if over.strip():
        answer["inputs"] |= {"over": over.strip().upper()}
    show(answer, [] if json else _lines(found), as_json=json)


def _like(studio: Studio | None, lot: str, colourway: str, on: str) -> Target:
    from skeinwright.services.find_target import TargetWanted, find_target

    if studio is None:
        raise BadInput("Lots and colourways are looked up in a studio: name it with --studio.", where="--studio")
    if lot.strip() and colourway.strip():
        raise BadInput("Give the target once: as a lot or as a colourway.", where="--like-lot")
    return find_target(studio, TargetWanted(way="lot" if lot.strip() else "colourway", lot=lot, colourway=colourway.strip(), base=on))


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
