"""`skeinwright fade`: skeins evenly spaced to the eye between two recipes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, Fibre, Seed, facts_from
from skeinwright.cli.options import Facts, Json, facts_of

if TYPE_CHECKING:
    from skeinwright.services.make_fade import Fade


def fade(
    context: typer.Context,
    start: Annotated[list[str], typer.Option("--from", metavar="'NAME=PER CENT'", help="A dye of the first skein and its depth; may be repeated.")],
    end: Annotated[list[str], typer.Option("--to", metavar="'NAME=PER CENT'", help="A dye of the last skein and its depth; may be repeated.")],
    skeins: Annotated[int, typer.Option(metavar="NUMBER", min=2, max=50, help="How many skeins, the first and the last among them.")],
    dyes: Dyes = None,
    base_lab: BaseLab = "",
    base: BaseName = "",
    fibre: Fibre = "",
    seed: Seed = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Make a fade: the doses of skeins that lie evenly spaced to the eye between two recipes."""
    from skeinwright.services.make_fade import FadeRequest, make_fade

    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
    found = make_fade(facts, FadeRequest(start=start, end=end, skeins=skeins, base_lab=base_lab, base=base, fibre=fibre, seed=seed))
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _lines(found: Fade) -> list[str]:
    from skeinwright.core.forecast.dye_facts import said_doses

    lines = []
    for number, skein in enumerate(found.skeins, start=1):
        lab = "" if skein.forecast.lab is None else ", ".join(f"{value:.1f}" for value in skein.forecast.lab.values)
        amounts = ", ".join(f"{dose.amount:g} {dose.unit} {dose.dye}" for dose in skein.amounts)
        lines.append(f"{number}: {said_doses(skein.doses)}{f' ({amounts})' if amounts else ''}  Lab {lab} (D65, 10 degree)")
    steps = ", ".join(f"{step:.1f}" for step in found.steps_de00)
    return [*lines, f"From each to the next: {steps} (CIEDE2000)"]
