"""`skeinwright difference`: how far two colours lie apart."""

from __future__ import annotations

from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.options import Json


def difference(
    standard: Annotated[str, typer.Argument(metavar="STANDARD", help="The colour to be met: 'L,a,b' or '#rrggbb'.")],
    sample: Annotated[str, typer.Argument(metavar="SAMPLE", help="The colour that is compared with it.")],
    method: Annotated[str, typer.Option(metavar="ciede2000|cmc", help="CIEDE2000, or CMC 2:1 in which the first colour sets the tolerance.")] = "ciede2000",
    json: Json = False,
) -> None:
    """Work out the difference of two colours, by CIEDE2000 or CMC."""
    from skeinwright.services.compare_colours import compare_colours

    found = compare_colours(standard, sample, method)
    show(found.to_plain(), rows([("Difference", f"{found.difference:.2f} ({found.method})"), ("Seen", found.words)]), as_json=json)
