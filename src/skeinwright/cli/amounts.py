"""`skeinwright amounts`: dye and solution for a depth of shade."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import rows, show, understood
from skeinwright.cli.options import Facts, Json, Spoons, facts_of, habits_of

if TYPE_CHECKING:
    from skeinwright.services.work_out_amounts import Amounts


def amounts(
    context: typer.Context,
    fibre: Annotated[str, typer.Option(metavar="MASS", help="The dry fibre as weighed: '300 g', '2 skeins of 115 g'.")],
    depth: Annotated[str, typer.Option(metavar="PER CENT", help="Depth of shade on the weight of the fibre: '3 %'.")],
    solution: Annotated[str, typer.Option(metavar="PER CENT", help="Strength of the solution, grams of powder in 100 ml: '1 %'.")] = "",
    strength: Annotated[str, typer.Option(metavar="PER CENT", help="Strength of the powder: '80 %'.")] = "",
    parts: Annotated[str, typer.Option(metavar="PARTS", help="Several dyes that share the depth: '3 Kelp : 1 Ember : 1/2 Rosehip'.")] = "",
    spoons: Spoons = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Work out the dye, and the solution, for a depth of shade: fibre x depth / strength."""
    from skeinwright.services.work_out_amounts import AmountsRequest, work_out_amounts

    with facts_of(context, studio) as opened:
        habits = habits_of(spoons, opened)
    found = work_out_amounts(AmountsRequest(fibre=fibre, depth=depth, solution=solution, strength=strength, parts=parts, habits=habits))
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _lines(found: Amounts) -> list[str]:
    from skeinwright.core.foundations.quantities import say

    pairs = [*understood(found.inputs), ("Powder to weigh", say("mass", found.dye_g, digits=4))]
    pairs += [(f"  {name}", say("mass", grams, digits=4)) for name, grams in found.dyes.items()]
    if found.solution_ml is not None:
        pairs.append(("Solution to measure", say("volume", found.solution_ml, digits=4)))
    return rows(pairs)
