"""`skeinwright fade`: skeins evenly spaced to the eye between two recipes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, Fibre, LiquorRatio, Over, Seed, facts_from, ground_from, yarn_from
from skeinwright.cli.options import Facts, Json, facts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.colourway.colourway import ColourwaySet
    from skeinwright.services.keep_fade import KeepFade
    from skeinwright.services.make_fade import Fade
    from skeinwright.services.studio import Studio


def fade(
    context: typer.Context,
    start: Annotated[list[str], typer.Option("--from", metavar="'NAME=PER CENT'", help="A dye of the first skein and its depth; may be repeated.")],
    end: Annotated[list[str], typer.Option("--to", metavar="'NAME=PER CENT'", help="A dye of the last skein and its depth; may be repeated.")],
    skeins: Annotated[int, typer.Option(metavar="NUMBER", min=2, max=50, help="How many skeins, the first and the last among them.")],
    dyes: Dyes = None,
    base_lab: BaseLab = "",
    base: BaseName = "",
    over: Over = "",
    fibre: Fibre = "",
    liquor_ratio: LiquorRatio = "",
    keep: Annotated[str, typer.Option(metavar="NAME", help="Keep it in the studio under this name: a colourway for each skein, and the set.")] = "",
    seed: Seed = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Make a fade: the doses of skeins that lie evenly spaced to the eye between two recipes."""
    from skeinwright.services.keep_fade import KeepFade
    from skeinwright.services.make_fade import FadeRequest, make_fade

    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
        ground = ground_from(facts, opened, base_lab, base, over)[0] if over.strip() else None
        asked = FadeRequest(
            start=start,
            end=end,
            skeins=skeins,
            base_lab=base_lab,
            base=base,
            ground=ground,
            fibre=fibre,
            liquor=liquor_ratio,
            yarn=yarn_from(opened, base, liquor_ratio),
            seed=seed,
        )
        found = make_fade(facts, asked)
        doses = [skein.doses for skein in found.skeins]
        wanted = KeepFade(name=keep, skeins=doses, fibre=fibre or "100 g", base=base, over=over, liquor=liquor_ratio)
        kept = _keep(opened, wanted) if keep.strip() else None
    answer, lines = found.to_plain(), [] if json else _lines(found)
    if kept is not None:
        answer |= {"set": kept.name, "colourways": list(kept.colourways)}
        lines.append(f"Kept as the set {kept.name}.")
    show(answer, lines, as_json=json)


def _keep(studio: Studio | None, wanted: KeepFade) -> ColourwaySet:
    from skeinwright.services.keep_fade import keep_fade

    if studio is None:
        raise BadInput("A fade is kept in a studio: name it with --studio.", where="--keep")
    return keep_fade(studio, wanted)[0].thing


def _lines(found: Fade) -> list[str]:
    from skeinwright.core.forecast.dye_facts import said_doses

    lines = []
    for number, skein in enumerate(found.skeins, start=1):
        lab = "" if skein.forecast.lab is None else ", ".join(f"{value:.1f}" for value in skein.forecast.lab.values)
        amounts = ", ".join(f"{dose.amount:g} {dose.unit} {dose.dye}" for dose in skein.amounts)
        spread = "" if skein.forecast.spread_de00 is None else f", likely within {skein.forecast.spread_de00:.1f}"
        lines.append(f"{number}: {said_doses(skein.doses)}{f' ({amounts})' if amounts else ''}  Lab {lab} (D65, 10 degree){spread}")
    steps = ", ".join(f"{step:.1f}" for step in found.steps_de00)
    return [*lines, f"From each to the next: {steps} (CIEDE2000)"]
