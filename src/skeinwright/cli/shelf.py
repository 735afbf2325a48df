"""`skeinwright shelf`: the shelf out of and into files that other programs read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import Beside, read_file, write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.services.preview_shelf_import import ImportPreview, ImportRow, ShelfFile

shelf = typer.Typer(name="shelf", help="The shelf as CSV and TOML files.", rich_markup_mode=None)


@shelf.command("import")
def import_(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A .csv or .toml file.", show_default=False)],
    kind: Annotated[str, typer.Option(metavar="KIND", help="What the rows of a CSV file are (dye, base, swatches ...), where its name does not say.")] = "",
    preview: Annotated[bool, typer.Option("--preview", help="Only show what would be done.")] = False,
    leave_out_wrong: Annotated[bool, typer.Option("--leave-out-wrong", help="Take the good rows although others are wrong.")] = False,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Put the things of a file on the shelf; where a row is wrong, none of them."""
    from skeinwright.services.import_shelf import import_shelf
    from skeinwright.services.preview_shelf_import import ShelfFile, preview_shelf_import

    given = ShelfFile(data=read_file(file, "FILE"), name=file.name, kind=kind, beside=Beside(file.parent))
    with parts_of(context).open_studio(studio, must_exist=preview) as opened:
        found = preview_shelf_import(opened, given) if preview else import_shelf(opened, given, leave_out_wrong=leave_out_wrong).preview
    show(_answer(found, given), _lines(found), as_json=json)


@shelf.command("export")
def export(
    context: typer.Context,
    out: Annotated[Path, typer.Option(metavar="FILE", help="Where to write: CSV for one kind or swatches, TOML for everything.")],
    what: Annotated[str, typer.Option(metavar="KIND", help="A kind (dye, base, vessel ...) or swatches; everything if not said.")] = "",
    archived: Annotated[bool, typer.Option("--archived", help="With what was archived.")] = False,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Write the shelf to a file that `shelf import` reads back as the same."""
    from skeinwright.services.export_shelf import export_shelf

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        made = export_shelf(opened, what, archived=archived)
    suffix = Path(made.name).suffix
    if out.suffix.casefold() != suffix:
        whole = what or "everything"
        raise BadInput(f"'{out.name}' would not be read back: {whole} is written as {suffix[1:].upper()}, so the name ends in {suffix}.", where="--out")
    write_file(out, made.data)
    show({"inputs": {"what": what or "everything"}, "path": out, "size_bytes": len(made.data)}, [f"Written: {out}"], as_json=json)


def _answer(found: ImportPreview, given: ShelfFile) -> dict[str, Any]:
    said = [
        {"number": row.number, "kind": row.kind, "name": row.name, "status": row.status, "differs": row.differs, "problems": [str(one) for one in row.problems]}
        for row in found.rows
    ]
    counts = {"new": found.count("new"), "changed": found.count("changed"), "same": found.count("same"), "wrong": found.count("wrong")}
    return {"inputs": {"file": given.name, "kind": given.kind}, **counts, "rows": said, "warnings": found.notes}


def _lines(found: ImportPreview) -> list[str]:
    counts = ", ".join(f"{found.count(status)} {status}" for status in ("new", "changed", "same", "wrong"))
    return [*rows([(f"{row.status} {row.kind}", _said(row)) for row in found.rows]), f"{found.name}: {counts}."]


def _said(row: ImportRow) -> str:
    more = [*row.differs, *(str(problem) for problem in row.problems)]
    return f"{row.name or f'row {row.number}'}{': ' if more else ''}{'; '.join(more)}"
