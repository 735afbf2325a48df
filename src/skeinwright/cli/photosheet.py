"""`skeinwright photosheet`: the sheet that yarn is photographed on."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import write_file
from skeinwright.cli.options import Json


def photosheet(
    out: Annotated[Path, typer.Option(metavar="FILE.pdf", help="Where to write the PDF.")],
    paper: Annotated[str, typer.Option(metavar="a4|letter", help="The paper it is printed on; a4 if not said.")] = "a4",
    json: Json = False,
) -> None:
    """Write the photo sheet, its grey insert and instructions as PDF, to be printed at 100 %."""
    from skeinwright.services.make_photo_sheet import make_photo_sheet

    content = make_photo_sheet(paper)
    write_file(out, content)
    chosen = paper.strip().casefold()
    answer = {"inputs": {"paper": chosen}, "out": out, "bytes": len(content)}
    show(answer, rows([("Written", str(out)), ("Paper", chosen), ("Print", "at 100 %, then check both rulers")]), as_json=json)
