"""The studio file: opened, brought up to date, read and written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa

from skeinwright.core.foundations.errors import BadInput
from skeinwright.store import engine as engines
from skeinwright.store.reading import Reading
from skeinwright.store.versions import bring_up_to_date
from skeinwright.store.writing import Writing

__all__ = ["Reading", "Store", "Writing"]


class Store:
    """One open studio file. May be used from several threads; each `reading` or `writing` has a connection of its own."""

    def __init__(self, path: Path, engine: sa.Engine) -> None:
        self.path = path
        self.engine = engine

    @classmethod
    def open(cls, path: Path) -> Store:
        """Opens the file, making it (and its folder) where there is none, and migrating an older one after a backup beside it.

        Raises BadInput where the file is not a studio, is damaged, or was written by a newer Skeinwright.
        """
        path = Path(path)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            is_there = path.stat().st_size > 0 if path.exists() else False
        except OSError as error:
            raise BadInput(f"The studio cannot be opened there ({error.strerror or error}). Name another place.", where=str(path)) from error
        if is_there:
            engines.check_is_studio(path)
        engine = engines.make_engine(path)
        try:
            bring_up_to_date(engine, path)
        except BaseException:
            engine.dispose()
            raise
        return cls(path, engine)

    def close(self) -> None:
        """Gives the file back; its write-ahead log is folded in."""
        self.engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Reading]:
        """Questions to one unchanging state of the studio."""
        with engines.transaction(self.engine, writing=False) as connection:
            yield Reading(connection)

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """One transaction: kept on disk when the block ends, undone as a whole when it raises. Raises Conflict where another holds the pen too long."""
        with engines.transaction(self.engine, writing=True) as connection:
            yield Writing(connection)
