"""What the command line is given by the wiring, because only the wiring may name concrete parts."""

from __future__ import annotations

from collections.abc import Sequence
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


class OpenStudio(Protocol):
    """Opens the studio file named (None: the usual one) and closes it at the end; makes it where there is none, unless it `must_exist`."""

    def __call__(self, path: Path | None, must_exist: bool = False) -> AbstractContextManager[Studio]: ...


class Place(Protocol):
    """The studio file that `path` means (None: the usual one) and its folder of photos, whether or not anything is there."""

    def __call__(self, path: Path | None) -> tuple[Path, Path]: ...


@dataclass(frozen=True, slots=True)
class Parts:
    """Where a studio lies, how it is opened, and how it is served: on `port` unless told otherwise."""

    open_studio: OpenStudio
    serve: Serve
    place: Place
    port: int = 8470


def parts_of(context: typer.Context) -> Parts:
    """The parts that `run` was given."""
    return cast("Parts", context.obj)
