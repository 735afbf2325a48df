"""`skeinwright colourway what-if`: a kept colourway tried with other values of any two of its steps."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import progress, rows, show
from skeinwright.cli.files import write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of

if TYPE_CHECKING:
    from skeinwright.services.try_what_if import WhatIf

MANY = "repeat it for two to five; values near its own if not said."


def what_if(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The colourway's name.", show_default=False)],
    down: Annotated[str, typer.Option(metavar="WHAT", help="Tried down: water, acid, temperature, grain or wait; 'temperature 6' for step 6.")] = "water",
    across: Annotated[str, typer.Option(metavar="WHAT", help="What is tried across.")] = "acid",
    down_value: Annotated[list[str] | None, typer.Option("--down-value", metavar="VALUE", help=f"A value of it; {MANY}")] = None,
    across_value: Annotated[list[str] | None, typer.Option("--across-value", metavar="VALUE", help=f"A value of it; {MANY}")] = None,
    base: Annotated[str, typer.Option(metavar="NAME", help="A base of the shelf; the colourway's first if not said.")] = "",
    out: Annotated[Path | None, typer.Option(metavar="FILE.png", help="Write the grid as one picture.")] = None,
    take: Annotated[bool, typer.Option("--take", help="With one value each way: write them into the colourway, and try nothing.")] = False,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Try a kept colourway with other values of two of its steps; nothing of it is kept."""
    from skeinwright.services.try_what_if import WhatIfRequest, try_what_if

    asked = WhatIfRequest(colourway=name, base=base, down=down, across=across, down_values=tuple(down_value or ()), across_values=tuple(across_value or ()))
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        if take:
            from skeinwright.services.take_what_if import take_what_if

            kept, change = take_what_if(opened, asked)
            done = change.sentence if change is not None else f"{kept.thing.name} says so already."
            show({"inputs": {"colourway": kept.thing.name}, "done": done}, [done], as_json=json)
            return
        found = try_what_if(opened, asked, tell=_Told().tell)
    if out is not None:
        from skeinwright.files.what_if_sheet import what_if_png

        pieces = [(one.pixels, one.down, one.across, one.sentences) for row in found.rows for one in row]
        write_file(out, what_if_png(found.name, found.down.label, found.across.label, pieces, len(found.rows[0])))
    show({**found.to_plain(), "out": out}, [] if json else _lines(found), as_json=json)


class _Told:
    """Says how far it is, when that has changed."""

    def __init__(self) -> None:
        self.said = ""

    def tell(self, fraction: float, sentence: str) -> None:
        """`fraction` is 0-1."""
        if sentence != self.said:
            self.said = sentence
            progress(sentence)


def _lines(found: WhatIf) -> list[str]:
    own = " (as it is)"
    return rows([(f"{one.down}, {one.across}{own if one.as_it_is else ''}", " ".join((*one.sentences, *one.refused))) for row in found.rows for one in row])
