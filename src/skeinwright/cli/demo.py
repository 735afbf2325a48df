"""`skeinwright demo`: a studio file with the invented studio in it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.called import called, quoted
from skeinwright.cli.options import Json
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

FILE = Path("demo.skeinwright")


def demo(
    context: typer.Context,
    to: Annotated[Path, typer.Option(metavar="FILE", help="The studio file to make.")] = FILE,
    json: Json = False,
) -> None:
    """Make a studio file with the invented demo studio in it, to look around in."""
    from skeinwright.services.set_up_studio import set_up_studio

    if to.exists():
        raise BadInput(f"{to} is there already, and nothing of yours is written over: choose another name with --to.", where="--to")
    with parts_of(context).open_studio(to) as opened:
        settings = set_up_studio(opened, demo=True)
    again = f"{called()} open --studio {quoted(str(to))}"
    show({"inputs": {"to": to}, "path": to, "studio": settings.studio}, rows([("Made", f"{to}, {settings.studio}"), ("Open it", again)]), as_json=json)
