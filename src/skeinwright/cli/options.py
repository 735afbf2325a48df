"""Options that several commands share, so that they are named and explained in one way."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, cast

import typer

from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.foundations.quantities import Habits
    from skeinwright.services.studio import Studio

SPOONS = ("us", "metric", "au")
Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
Facts = Annotated[Path | None, typer.Option("--studio", metavar="FILE", help="Take what is not said from this studio; without it no studio is read.")]
StudioFile = Annotated[Path | None, typer.Option("--studio", metavar="FILE", help="The studio file to use; without it, the usual one of this machine.")]
Spoons = Annotated[str, typer.Option("--spoons", metavar="us|metric|au", help="Whose spoons and cups: a tablespoon is 14.8, 15 or 20 ml; us if not said.")]


def habits_of(spoons: str, studio: Studio | None = None) -> Habits:
    """How amounts are read: the spoons that were named, or the studio's, or the US ones. Raises BadInput for spoons that are not known."""
    from skeinwright.core.foundations.quantities import Habits

    habits = Habits()
    if studio is not None:
        from skeinwright.services.get_settings import get_settings

        habits = get_settings(studio).habits()
    if spoons and spoons not in SPOONS:
        raise BadInput(f"'{spoons}' is not known; choose us (tablespoon 14.8 ml), metric (15 ml) or au (20 ml).", where="--spoons")
    return replace(habits, spoons=cast("Literal['us', 'metric', 'au']", spoons)) if spoons else habits


@contextmanager
def facts_of(context: typer.Context, studio: Path | None) -> Iterator[Studio | None]:
    """The studio that a computing command may take facts from: the one named, or none."""
    if studio is None:
        yield None
        return
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        yield opened
