"""`skeinwright colourway`: colourways listed, and as files of their own."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import Beside, read_file, write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of

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
