"""`skeinwright colourway`: colourways listed, and as files of their own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import Fifths, rows, show
from skeinwright.cli.files import Beside, read_file, write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of

if TYPE_CHECKING:
    from skeinwright.services.forecast_colourway import OnBase

colourways = typer.Typer(name="colourway", help="Colourways: list them, read one from a file, write one to a file.", rich_markup_mode=None)


@colourways.command("list")
def list_(
    context: typer.Context,
    search: Annotated[str, typer.Option(metavar="WORDS", help="Words to look for.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """List the colourways by name."""
    from skeinwright.services.list_colourways import list_colourways

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        found = [kept.thing for kept in list_colourways(opened, search)]
    said = [{"name": one.name, "fibre": one.fibre, "bases": one.bases, "steps": len(one.steps)} for one in found]
    lines = rows([(one.name, f"{len(one.steps)} steps, {one.fibre}") for one in found]) or ["No colourways."]
    show({"inputs": {"search": search}, "colourways": said}, lines, as_json=json)


@colourways.command("forecast")
def forecast(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The colourway's name.", show_default=False)],
    base: Annotated[list[str] | None, typer.Option("--base", metavar="NAME", help="The base; repeat it for several.")] = None,
    full: Annotated[bool, typer.Option("--full", help="The full forecast in place of the quick one.")] = False,
    picture: Annotated[Path | None, typer.Option(metavar="FILE.png", help="Write a picture of the first base.")] = None,
    view: Annotated[str, typer.Option(metavar="VIEW", help="pan, open, twisted, reskeined, knitted or close.")] = "twisted",
    map_: Annotated[Path | None, typer.Option("--map", metavar="FILE.npz", help="Write the skein map of the first base.")] = None,
    film: Annotated[Path | None, typer.Option(metavar="FILE.webp", help="Write the session as a loop: .webp, .gif or .png; with --full.")] = None,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Forecast a kept colourway: amounts, the bath, its colour on each base, and where its dye lies."""
    from skeinwright.services.draw_laid import draw_laid
    from skeinwright.services.draw_picture import VIEWS
    from skeinwright.services.film_session import film_session
    from skeinwright.services.forecast_colourway import forecast_colourway
    from skeinwright.services.get_colourway import get_colourway
    from skeinwright.services.get_from_shelf import get_from_shelf
    from skeinwright.services.map_colourway import map_colourway

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        colourway = get_colourway(opened, name).thing
        for one in base or ():
            get_from_shelf(opened, "base", one)
        for one in base or colourway.bases or ("",):
            if full:
                map_colourway(opened, colourway, base=one, full=True, progress=Fifths().tell)
        sheet = forecast_colourway(opened, colourway, bases=tuple(base or ()), even_too=True)
        laid = sheet.bases[0].laid
        drawn = draw_laid(opened, laid.key, view=VIEWS.get(view, view), size="large") if picture is not None and laid is not None else None
        loop = film_session(opened, laid.key, form=film.suffix.lstrip(".").lower()) if film is not None and laid is not None else None
    for path, data, option in ((picture, drawn, "--picture"), (map_, laid.skein.to_npz() if laid is not None else None, "--map"), (film, loop, "--film")):
        if path is not None and data is not None:
            write_file(path, data, option)
    found = [(one.base.name or "yarn", _said(one)) for one in sheet.bases]
    wrong = [f"{f'Step {one.step}' if one.step else one.slot.capitalize()}: {one.sentence}" for one in sheet.problems]
    lines = [*rows(found), *wrong, *(f"A lot would not be started. {sentence}" for sentence in sheet.refused)]
    show({**sheet.to_plain(), "picture": picture, "map": map_, "film": film}, lines, as_json=json)


def _said(one: OnBase) -> str:
    """A base's forecast in a line."""
    from skeinwright.core.colour.eye import spread_in_words
    from skeinwright.core.picture.describe import colour_words

    lab, spread = one.forecast.lab, one.forecast.spread_de00
    if lab is None or spread is None:
        return " ".join(("Its colour is not known.", *one.forecast.notes))
    if one.laid is not None and len(one.main) > 1:
        each = "; ".join(f"{main.words}, {spread_in_words(main.forecast.spread_de00)}" for main in one.main if main.forecast.spread_de00 is not None)
        return f"{each} ({one.laid.how} forecast)"
    where = "" if one.laid is None or not one.laid.is_patterned else f" where it is coloured ({one.laid.how} forecast)"
    return f"{colour_words(lab.values)}{where}, {spread_in_words(spread)}"


@colourways.command("import")
def import_(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A .toml file; the swatch files that it names lie beside it.", show_default=False)],
    replace: Annotated[bool, typer.Option("--replace", help="Take the place of a colourway of the same name.")] = False,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Keep the colourway that a TOML file describes."""
    from skeinwright.services.import_colourway import import_colourway

    data = read_file(file, "FILE")
    with parts_of(context).open_studio(studio) as opened:
        kept, change = import_colourway(opened, data, name=file.name, swatches=Beside(file.parent), replace=replace)
    done = change.sentence if change is not None else f"{kept.thing.name} was there already, the same."
    show({"inputs": {"file": file.name}, "name": kept.thing.name, "steps": len(kept.thing.steps), "done": done}, [done], as_json=json)


@colourways.command("export")
def export(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The colourway's name.", show_default=False)],
    out: Annotated[Path, typer.Option(metavar="FILE", help="Where to write the TOML file.")],
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Write a colourway as a file of its own, which `colourway import` reads back as the same."""
    from skeinwright.services.export_colourway import export_colourway

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        made = export_colourway(opened, name)
    write_file(out, made.data)
    show({"inputs": {"name": name}, "path": out, "size_bytes": len(made.data)}, [f"Written: {out}"], as_json=json)
