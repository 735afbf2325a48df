"""`skeinwright process`: what happens in the pot that a colourway's file describes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import read_file
from skeinwright.cli.options import Facts, Json, Spoons, facts_of, habits_of

if TYPE_CHECKING:
    from skeinwright.services.run_process import ProcessFigures


def process(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A colourway's .toml file, with steps that fill, heat and hold.", show_default=False)],
    seed: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of the draws that the bands are taken from.")] = 1,
    spoons: Spoons = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Run a pot: temperature, pH, water and the uptake of each dye over time, with their bands."""
    from skeinwright.services.run_process import ProcessRequest, run_process

    data = read_file(file, "FILE")
    with facts_of(context, studio) as opened:
        found = run_process(ProcessRequest(data=data, name=file.name, habits=habits_of(spoons, opened), seed=seed), opened)
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _lines(found: ProcessFigures) -> list[str]:
    from skeinwright.core.bath.strike import summary
    from skeinwright.core.foundations.quantities import say

    course = found.course
    first, last = float(course.time_s[0]), float(course.time_s[-1])
    pairs = [("Yarn", ", ".join(found.inputs["fibres"])), ("Time in the pot", say("time", last - first))]
    for dye in course.uptake:
        one = summary(course, dye)
        end = one.exhaustion
        half = f", half of it {say('time', round((one.t50_s - first) / 60) * 60)} after the pot was filled" if one.t50_s is not None else ""
        pairs.append((dye, f"{100 * end.value:.0f} % on the yarn ({100 * end.low:.0f} to {100 * end.high:.0f} %){half}"))
    ph, water, energy = course.ph, course.water_l, course.energy_kwh
    pairs.append(("pH at the end", f"{ph.centre[-1]:.1f} ({ph.low[-1]:.1f} to {ph.high[-1]:.1f})"))
    pairs.append(("Liquor at the end", f"{water.centre[-1]:.2g} l of {water.centre.max():.2g} l ({water.low[-1]:.2g} to {water.high[-1]:.2g} l)"))
    pairs.append(("Energy", f"{energy.value:.2g} kWh ({energy.low:.2g} to {energy.high:.2g})"))
    return [*rows(pairs), *found.sentences, *(f"Rests on: {sentence}" for sentence in course.run.measured)]
