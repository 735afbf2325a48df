"""`skeinwright forecast`: the colour that doses of dyes give on a base."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, Seed, facts_from
from skeinwright.cli.options import Facts, Json, facts_of

if TYPE_CHECKING:
    from skeinwright.services.forecast_dyes import DyesForecast


def forecast(
    context: typer.Context,
    dose: Annotated[list[str], typer.Option(metavar="'NAME=PER CENT'", help="A dye and its depth of shade: 'Kelp=0.5 %'; may be repeated.")],
    dyes: Dyes = None,
    base_lab: BaseLab = "",
    base: BaseName = "",
    seed: Seed = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Forecast the colour of doses of dyes from their swatches, with its spread."""
    from skeinwright.services.forecast_dyes import DyesRequest, forecast_dyes

    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
    found = forecast_dyes(DyesRequest(doses=dose, base_lab=base_lab, base=base, seed=seed), facts)
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _lines(found: DyesForecast) -> list[str]:
    lab = ", ".join(f"{value:.1f}" for value in found.lab.values)
    hex_ = "#" + "".join(f"{value:02x}" for value in found.srgb)
    pairs = [(name, said) for name, said in found.inputs["doses"].items()]
    pairs += [
        ("Base", str(found.inputs["base"])),
        ("Lab", f"{lab} ({found.lab.illuminant}, {found.lab.observer} degree)"),
        ("sRGB", f"{hex_}{' (the nearest that a screen can show)' if found.clipped else ''}"),
        ("Spread", f"{found.spread_de00:.1f} (CIEDE2000, 90 %)"),
        ("Rests on", found.rests_on.removeprefix("Rests on ")),
    ]
    return rows(pairs)
