"""What the command line is given by the wiring, because only the wiring may name concrete parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, cast

if TYPE_CHECKING:
    import typer

    from skeinwright.services.studio import Studio


class Serve(Protocol):
    """Serves a studio's pages until it is stopped; other machines may reach it under `names`."""

    def __call__(self, studio: Studio, host: str, port: int, open_browser: bool, names: Sequence[str]) -> None: ...


@dataclass(frozen=True, slots=True)
class Parts:
    """`open_studio` opens the studio file named (None: the usual one) and closes it at the end; `serve` shows it, on `port` unless told otherwise."""

    open_studio: Callable[[Path | None], AbstractContextManager[Studio]]
    serve: Serve
    port: int = 8470


def parts_of(context: typer.Context) -> Parts:
    """The parts that `run` was given."""
    return cast("Parts", context.obj)
