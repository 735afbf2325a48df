"""`skeinwright colourway knit`: how a kept colourway knits up on one of its bases, in figures and as a picture."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of


def knitted(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The colourway's name.", show_default=False)],
    base: Annotated[str, typer.Option(metavar="NAME", help="A base of the shelf; the colourway's first if not said.")] = "",
    gauge: Annotated[str, typer.Option(metavar="GAUGE", help="'30 sts/10cm'; an ordinary one is assumed.")] = "",
    ravelled: Annotated[str, typer.Option(metavar="LENGTH", help="What 20 stitches of your swatch gave when ravelled, in place of the gauge.")] = "",
    stitches: Annotated[str, typer.Option(metavar="NUMBER", help="Stitches in a round or row; usual for the piece if not said.")] = "",
    step: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=30, help="How many stitches the strips lie apart.")] = 2,
    piece: Annotated[str, typer.Option(metavar="PIECE", help="sock, hat, shawl or panel.")] = "sock",
    rows_: Annotated[str, typer.Option("--rows", metavar="NUMBER", help="Rows of a hat or panel, or of a sock's leg and foot each.")] = "",
    alternate: Annotated[str, typer.Option(metavar="ROWS", help="Knit two skeins in turn, so many rows of each.")] = "",
    flat: Annotated[bool | None, typer.Option("--flat/--round", help="To and fro, or in the round; as the piece is if not said.")] = None,
    out: Annotated[Path | None, typer.Option(metavar="FILE", help="Draw it, as PNG.")] = None,
    what: Annotated[str, typer.Option(metavar="WHAT", help="What is drawn: strip, patch or piece.")] = "piece",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Tell how a kept colourway knits up: strips, verdict, yarn for a piece."""
    from contextlib import suppress
    from dataclasses import replace

    from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
    from skeinwright.services.draw_knitted import KnittedPicture, draw_knitted
    from skeinwright.services.get_colourway import get_colourway
    from skeinwright.services.knit_colourway import KnittingRequest, knit_colourway
    from skeinwright.services.skein_to_knit import skein_to_knit

    asked = KnittingRequest(
        colourway=name, base=base, gauge=gauge, ravelled=ravelled, stitches=stitches, step=str(step), piece=piece, rows=rows_, alternate=alternate, flat=flat
    )
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        found = knit_colourway(opened, asked)
        with suppress(BadInput, ManyBadInputs):  # a skein that cannot be drawn; how stitches fall is told all the same
            found = replace(found, is_even=skein_to_knit(opened, found.colourway, found.base.name).is_even)
        if out is not None:
            picture = KnittedPicture(
                colourway=get_colourway(opened, name).id,
                base=found.base.name,
                what=what,
                stitch_mm=found.stitch_mm,
                stitches=found.chosen.stitches,
                flat=found.flat,
                alternate=found.alternate,
                piece=found.piece.name,
                rows=found.rows,
                size="large",
            )
            write_file(out, draw_knitted(opened, picture))
    made = found.piece
    told = found.words(found.chosen)
    pairs = [("Knits up", told.sentence)] if found.is_even else [(f"{one.stitches} stitches", f"{one.seen}: {one.sentence}") for one in found.strips]
    skeins = f"{made.skeins} each, {made.pair_skeins}" if made.pair_skeins not in (None, made.skeins) else str(made.skeins)
    pairs += [
        ("Piece", f"{made.name}, {made.wide_mm / 10:.0f} x {made.high_mm / 10:.0f} cm lying flat"),
        ("Yarn", f"{made.all_yarn_mm / 1000:.0f} m within {made.yarn_spread_mm / 1000:.0f} m, {made.mass_g:.0f} g"),
        ("Skeins", f"{skeins} for a pair" if made.pair_skeins else skeins),
    ]
    show(found.to_plain(), [] if json else rows(pairs), as_json=json)
