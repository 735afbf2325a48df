"""`skeinwright forecast`: the colour that doses of dyes give on a base."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import read_file
from skeinwright.cli.options import Facts, Json, facts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.services.forecast_dyes import DyesForecast
    from skeinwright.services.studio import Studio


def forecast(
    context: typer.Context,
    dose: Annotated[list[str], typer.Option(metavar="'NAME=PER CENT'", help="A dye and its depth of shade: 'Kelp=0.5 %'; may be repeated.")],
    dyes: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="The table of swatches: dye, depth_pct, and L,a,b or hex or R400 to R700. Needed without --studio.")
    ] = None,
    base_lab: Annotated[str, typer.Option(metavar="L,a,b", help="The undyed base's Lab, as --base-lab=92,0,8.")] = "",
    base: Annotated[str, typer.Option(metavar="NAME", help="The base's name, in the table or on the studio's shelf.")] = "",
    seed: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of the draws that the spread is taken from.")] = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Forecast the colour of doses of dyes from their swatches, with its spread."""
    from skeinwright.services.forecast_dyes import DyesRequest, forecast_dyes

    with facts_of(context, studio) as opened:
        table = _text(dyes) if dyes is not None else _swatches_of(opened)
        base_lab = base_lab or _undyed_of(opened, base)
    found = forecast_dyes(DyesRequest(table=table, doses=dose, base_lab=base_lab, base=base, seed=seed))
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _text(path: Path) -> str:
    content = read_file(path, "--dyes")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput(f"{path} is not text in UTF-8: save it as UTF-8 and try again.", where="--dyes") from error


def _swatches_of(studio: Studio | None) -> str:
    """The swatches of the studio's dyes as a table."""
    if studio is None:
        raise BadInput("Give a table of swatches, or a studio with --studio.", where="--dyes")
    from skeinwright.services.export_shelf import export_shelf

    return export_shelf(studio, "swatches").data.decode("utf-8-sig")


def _undyed_of(studio: Studio | None, base: str) -> str:
    """The undyed colour of a base on the studio's shelf, in words; nothing where it is not known."""
    if studio is None or not base:
        return ""
    from skeinwright.core.shelf.items import Base
    from skeinwright.core.shelf.lab_text import write_lab
    from skeinwright.services.get_from_shelf import get_from_shelf

    thing = get_from_shelf(studio, "base", base).thing
    return write_lab(thing.undyed) if isinstance(thing, Base) and thing.undyed is not None else ""


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
