"""`skeinwright recipe keep`, `trial` and `correct`: a recipe kept as a colourway, tried first, corrected after a measured trial."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, Over, facts_from, ground_from
from skeinwright.cli.options import Facts, Json, StudioFile, facts_of, habits_of
from skeinwright.cli.parts import parts_of
from skeinwright.cli.recipe import doses_of, recipe
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.services.correct_recipe import CorrectedRecipe
    from skeinwright.services.keep_recipe import KeepRecipe
    from skeinwright.services.studio import Studio

__all__ = ["recipe"]
Name = Annotated[str, typer.Argument(metavar="NAME", help="What the colourway is called; a name that is taken gets a number.", show_default=False)]
Doses = Annotated[list[str] | None, typer.Option("--dose", metavar="'NAME=PER CENT'", help="A dye and its depth of shade: 'Kelp=0.5 %'; may be repeated.")]
Target = Annotated[str, typer.Option("--target", metavar="L,a,b", help="The colour that was wanted; it stands in the notes.")]
LiquorRatio = Annotated[str, typer.Option("--liquor-ratio", metavar="RATIO", help="The bath's liquor ratio, as 60:1; 30:1 if not said.")]
KeptFibre = Annotated[str, typer.Option("--fibre", metavar="MASS", help="The fibre's weight; 100 g if not said.")]


@recipe.command("keep")
def keep(
    context: typer.Context,
    name: Name,
    dose: Doses = None,
    fibre: KeptFibre = "100 g",
    base: BaseName = "",
    over: Over = "",
    target: Target = "",
    liquor_ratio: LiquorRatio = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Keep a recipe as a colourway: a bath written out with its doses."""
    from skeinwright.services.keep_recipe import keep_recipe

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        kept, _ = keep_recipe(opened, _asked(opened, name, dose, fibre, base, over, target, liquor_ratio))
    answer = {"inputs": {"name": name, "doses": dose}, "colourway": kept.thing.name, "id": kept.id, "warnings": [], "assumed": []}
    show(answer, [f"Kept as {kept.thing.name}."], as_json=json)


@recipe.command("trial")
def trial(
    context: typer.Context,
    name: Name,
    dose: Doses = None,
    skein: Annotated[str, typer.Option(metavar="MASS", help="The trial skein's weight, 2 to 50 g; 10 g if not said.")] = "10 g",
    base: BaseName = "",
    over: Over = "",
    target: Target = "",
    liquor_ratio: LiquorRatio = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Trial first: keep a recipe for a small skein, and start a lot of it."""
    from skeinwright.services.start_trial import start_trial

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        try:
            lot = start_trial(opened, _asked(opened, name, dose, "100 g", base, over, target, liquor_ratio), trial=skein)
        except BadInput as problem:
            raise problem if problem.where != "trial" else BadInput(problem.sentence, where="--skein") from problem
    inputs = {"name": name, "doses": dose, "skein": skein}
    answer = {"inputs": inputs, "lot": lot.code, "title": lot.title, "warnings": lot.warnings, "assumed": lot.assumed}
    show(answer, [f"Lot {lot.code}, {lot.title}."], as_json=json)


@recipe.command("correct")
def correct(
    context: typer.Context,
    measured: Annotated[str, typer.Option(metavar="L,a,b", help="The dry trial's colour; without it the lot's newest reading of a dry skein.")] = "",
    target: Annotated[str, typer.Option(metavar="L,a,b", help="The colour that was wanted; without it what the lot's notes say, or its forecast.")] = "",
    lot: Annotated[str, typer.Option(metavar="CODE", help="The lot that was tried; needs --studio. Or give its doses.")] = "",
    wet: Annotated[bool, typer.Option("--wet", help="The lot's skein was still wet when it was read.")] = False,
    dose: Doses = None,
    dyes: Dyes = None,
    base_lab: BaseLab = "",
    base: BaseName = "",
    over: Over = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Correct a recipe after a measured trial: what to add to that skein, and the recipe for the next."""
    from dataclasses import replace

    from skeinwright.services.correct_lot import WET, CorrectLot, correct_lot
    from skeinwright.services.correct_recipe import CorrectRequest, correct_recipe

    with facts_of(context, studio) as opened:
        if lot.strip():
            if opened is None or dose:
                raise BadInput("A lot is looked up in a studio (--studio) and brings its own doses: leave --dose away.", where="--lot")
            whole = correct_lot(opened, CorrectLot(lot=lot, measured=measured, target=target, state=WET if wet else "dry"))
            found = replace(whole.found, assumed=(*whole.found.assumed, *whole.notes, *whole.assumed))
        else:
            if wet or not measured.strip() or not target.strip():
                raise BadInput("Say what was wanted and how the dry trial came out: --target and --measured. Only a lot can be read wet.", where="--measured")
            facts = facts_from(dyes, opened, base_lab)
            ground, _ = ground_from(facts, opened, base_lab, base, over)
            found = correct_recipe(facts, CorrectRequest(doses=doses_of(dose or []), target=target, measured=measured, ground=ground))
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _asked(studio: Studio, name: str, dose: list[str] | None, fibre: str, base: str, over: str, target: str, liquor: str) -> KeepRecipe:
    from skeinwright.core.forecast.liquor_scale import liquor_ratio_of
    from skeinwright.core.shelf.lab_text import parse_lab, write_lab
    from skeinwright.services.gather_dyes import gather_dyes
    from skeinwright.services.keep_recipe import KeepRecipe

    depths = gather_dyes(studio).depths(doses_of(dose or []), where="--dose", habits=habits_of("", studio))
    wanted = write_lab(parse_lab(target, where="--target")) if target.strip() else ""
    liquor_ratio_of(liquor, where="--liquor-ratio")
    return KeepRecipe(name=name, doses=depths, fibre=fibre, base=base, over=over, target=wanted, liquor=liquor)


def _lines(found: CorrectedRecipe) -> list[str]:
    from skeinwright.core.forecast.dye_facts import said_doses

    one = found.correction
    return [
        f"The trial came out {one.trial_de00:.1f} away.",
        *(f"{name} acted {value:.2f} times as strongly as expected." for name, value in one.strengths.items()),
        f"Add to this skein: {said_doses(one.top_up)}; then {one.top_up_de00:.1f} away{_sure(one.top_up_spread_de00)}.",
        f"The next pot: {said_doses(one.recipe)}; then {one.recipe_de00:.1f} away{_sure(one.recipe_spread_de00)}.",
    ]


def _sure(spread_de00: float | None) -> str:
    return "" if spread_de00 is None else f", itself likely within {spread_de00:.1f}"
