"""`skeinwright process`: what happens in the pot that a colourway's file describes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import read_file
from skeinwright.cli.options import Facts, Json, Spoons, facts_of, habits_of

if TYPE_CHECKING:
    from skeinwright.core.lot.in_pot import ReadPh
    from skeinwright.services.run_process import ProcessFigures


def process(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A colourway's .toml file, with steps that fill, heat and hold.", show_default=False)],
    seed: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of the draws that the bands are taken from.")] = 1,
    base: Annotated[str, typer.Option(metavar="NAME", help="Follow it on this base instead of the file's first one.")] = "",
    ph_read: Annotated[str, typer.Option(metavar="PH", help="A pH that you read in this pot: it corrects the model by its error. Say after which step.")] = "",
    read_with: Annotated[str, typer.Option(metavar="strip|meter", help="What it was read with: a strip is +-0.5, a meter set today +-0.1.")] = "strip",
    after_step: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The step, counted from 1, after which it was read.", show_default=False)] = 0,
    all_dye: Annotated[float, typer.Option(metavar="TIMES", help="What if: all the dye times so much, 0 to 5.")] = 1.0,
    all_acid: Annotated[float, typer.Option(metavar="TIMES", help="What if: all the acid times so much, 0 to 5.")] = 1.0,
    hottest: Annotated[float, typer.Option(metavar="C", help="What if: the pot so much hotter at its hottest, cooler with a minus, 40 at most.")] = 0.0,
    spoons: Spoons = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Run a pot: temperature, pH, water and the uptake of each dye over time, with their bands."""
    from skeinwright.core.bath.what_if import WhatIf
    from skeinwright.services.follow_pot import PotQuestion
    from skeinwright.services.run_process import ProcessRequest, run_process

    data = read_file(file, "FILE")
    asked = PotQuestion(what=WhatIf(all_dye, all_acid, hottest), read=_read(ph_read, read_with, after_step))
    with facts_of(context, studio) as opened:
        found = run_process(ProcessRequest(data=data, name=file.name, habits=habits_of(spoons, opened), seed=seed, base=base, asked=asked), opened)
    show(found.to_plain(), [] if json else lines_of(found), as_json=json)


def _read(ph: str, by: str, step: int) -> ReadPh | None:
    from skeinwright.core.foundations.errors import BadInput
    from skeinwright.core.lot.ph_read import typed_ph

    if not ph.strip():
        if step:
            raise BadInput("A step is named after which a pH was read, but no pH: say it with --ph-read.", where="--after-step")
        return None
    return typed_ph(ph, by, str(step or ""))


def lines_of(found: ProcessFigures) -> list[str]:
    """A pot that was followed, for a person."""
    from skeinwright.core.bath.strike import ends_said, share_said, summary
    from skeinwright.core.foundations.quantities import say

    course = found.course
    first, last = float(course.time_s[0]), float(course.time_s[-1])
    pairs = [("Yarn", ", ".join(found.inputs["fibres"])), ("Time in the pot", say("time", last - first))]
    for dye in course.uptake:
        one = summary(course, dye)
        end = one.exhaustion
        half = f", half of it {say('time', round((one.t50_s - first) / 60) * 60)} after the pot was filled" if one.t50_s is not None else ""
        ends = ends_said(end)
        pairs.append((dye, f"{share_said(end.value)} on the yarn{f' ({ends})' if ends else ''}{half}"))
    ph, water, energy = course.ph, course.water_l, course.energy_kwh
    pairs.append(("pH at the end", f"{ph.centre[-1]:.1f} ({ph.low[-1]:.1f} to {ph.high[-1]:.1f})"))
    pairs.append(("Liquor at the end", f"{water.centre[-1]:.2g} l of {water.centre.max():.2g} l ({water.low[-1]:.2g} to {water.high[-1]:.2g} l)"))
    pairs.append(("Energy", f"{energy.value:.2g} kWh ({energy.low:.2g} to {energy.high:.2g})"))
    return [*rows(pairs), *found.sentences, *(f"Rests on: {sentence}" for sentence in course.run.measured)]
