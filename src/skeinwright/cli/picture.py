"""`skeinwright picture`: what a colourway's file looks like on its yarn."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import Beside, read_file, write_file
from skeinwright.cli.options import Facts, Json, facts_of


def picture(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A .toml file; the swatch files that it names lie beside it.", show_default=False)],
    out: Annotated[Path, typer.Option(metavar="FILE", help="Where to write the PNG.")],
    view: Annotated[str, typer.Option(metavar="VIEW", help="pan, open, twisted, reskeined, knitted or close.")] = "twisted",
    width: Annotated[int, typer.Option(metavar="PIXELS", min=120, max=2400, help="Width; 1200 if not said.")] = 1200,
    height: Annotated[int, typer.Option(metavar="PIXELS", min=80, max=1800, help="Height; 800 if not said.")] = 800,
    paper: Annotated[str, typer.Option(metavar="SIZE", help="A size on paper, '15 x 10 cm', for 300 dots to the inch.")] = "",
    gauge: Annotated[str, typer.Option(metavar="GAUGE", help="'30 sts/10cm'; an ordinary one is assumed.")] = "",
    stitches: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=5000, help="Stitches in a round or row; 64 if not said.")] = 64,
    flat: Annotated[bool, typer.Option("--flat", help="Knitted to and fro.")] = False,
    alternate: Annotated[int, typer.Option(metavar="ROWS", min=0, max=100, help="Knit two such skeins in turn, so many rows each.")] = 0,
    reskein: Annotated[str, typer.Option(metavar="LENGTH", help="The circumference of a skein wound anew, for --view reskeined.")] = "",
    map_: Annotated[Path | None, typer.Option("--map", metavar="FILE.npz", help="Also write the skein map that the picture shows.")] = None,
    from_map: Annotated[Path | None, typer.Option(metavar="FILE.npz", help="Draw this skein map, as spread writes it, in place of the file's steps.")] = None,
    seed: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of the yarn's unevenness.")] = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Draw a colourway's file: in the pan, laid open, twisted, re-skeined, knitted, close up."""
    from skeinwright.services.draw_picture import PictureRequest, draw_picture

    request = PictureRequest(
        document=read_file(file, "FILE"), name=file.name, swatches=Beside(file.parent), view=view, width=width, height=height, on_paper=paper, seed=seed,
        gauge=gauge, stitches=stitches, flat=flat, alternate=alternate, reskein=reskein,
        skein_map=None if from_map is None else read_file(from_map, "--from-map"),
    )  # fmt: skip
    with facts_of(context, studio) as opened:
        found = draw_picture(request, opened)
    write_file(out, found.png)
    if map_ is not None:
        write_file(map_, found.skein.to_npz(), "--map")
    answer = {**found.to_plain(), "path": out, "size_bytes": len(found.png)}
    show(answer, [] if json else rows([("Picture", str(out)), ("Shows", found.words)]), as_json=json)
