"""Options that several commands share, so that they are named and explained in one way."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, cast

import typer

from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.foundations.quantities import Habits

Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
StudioFile = Annotated[Path | None, typer.Option("--studio", metavar="FILE", help="The studio file to use; without it, the usual one of this machine.")]
Spoons = Annotated[str, typer.Option("--spoons", metavar="us|metric|au", help="Whose spoons and cups are meant: a tablespoon is 14.8, 15 or 20 ml.")]


def habits_of(spoons: str) -> Habits:
    """How amounts are read: whose spoons, and a drop of 0.05 ml. Raises BadInput for spoons that are not known."""
    from skeinwright.core.foundations.quantities import Habits

    if spoons not in ("us", "metric", "au"):
        raise BadInput(f"'{spoons}' is not known; choose us (tablespoon 14.8 ml), metric (15 ml) or au (20 ml).", where="--spoons")
    return Habits(spoons=cast("Literal['us', 'metric', 'au']", spoons))
