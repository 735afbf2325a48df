"""`skeinwright fade`: skeins evenly spaced to the eye between two recipes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, Fibre, Over, Seed, facts_from, ground_from
from skeinwright.cli.options import Facts, Json, facts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.colourway.colourway import ColourwaySet
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
    keep: Annotated[str, typer.Option(metavar="NAME", help="Keep it in the studio under this name: a colourway for each skein, and the set.")] = "",
    seed: Seed = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Make a fade: the doses of skeins that lie evenly spaced to the eye between two recipes."""
    from skeinwright.services.make_fade import FadeRequest, make_fade

    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
        ground = ground_from(facts, opened, base_lab, base, over)[0] if over.strip() else None
        found = make_fade(facts, FadeRequest(start=start, end=end, skeins=skeins, base_lab=base_lab, base=base, ground=ground, fibre=fibre, seed=seed))
        kept = _keep(opened, keep, found, fibre, base, over) if keep.strip() else None
    answer, lines = found.to_plain(), [] if json else _lines(found)
    if kept is not None:
        answer |= {"set": kept.name, "colourways": list(kept.colourways)}
        lines.append(f"Kept as the set {kept.name}.")
    show(answer, lines, as_json=json)


def _keep(studio: Studio | None, name: str, found: Fade, fibre: str, base: str, over: str) -> ColourwaySet:
    from skeinwright.services.keep_fade import KeepFade, keep_fade

    if studio is None:
        raise BadInput("A fade is kept in a studio: name it with --studio.", where="--keep")
    wanted = KeepFade(name=name, skeins=[skein.doses for skein in found.skeins], fibre=fibre or "100 g", base=base, over=over)
    return keep_fade(studio, wanted)[0].thing


def _lines(found: Fade) -> list[str]:
    from skeinwright.core.forecast.dye_facts import said_doses

    lines = []
    for number, skein in enumerate(found.skeins, start=1):
        lab = "" if skein.forecast.lab is None else ", ".join(f"{value:.1f}" for value in skein.forecast.lab.values)
        amounts = ", ".join(f"{dose.amount:g} {dose.unit} {dose.dye}" for dose in skein.amounts)
        lines.append(f"{number}: {said_doses(skein.doses)}{f' ({amounts})' if amounts else ''}  Lab {lab} (D65, 10 degree)")
    steps = ", ".join(f"{step:.1f}" for step in found.steps_de00)
    return [*lines, f"From each to the next: {steps} (CIEDE2000)"]
