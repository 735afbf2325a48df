"""SQLite, opened so that what was said to be written is written.

WAL lets pages be read while an entry is written; synchronous=FULL waits for the disk at each commit, so an entry that was acknowledged
survives a power cut; foreign keys are enforced; a writer waits up to ten seconds for another. Transactions are begun by us, not by the driver:
BEGIN IMMEDIATE for a writer (it holds the pen from the start, so nothing it read can change before it writes), BEGIN for a reader.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from skeinwright.core.foundations.errors import BadInput, Conflict

APPLICATION_ID = 0x736B6E77
"""The four letters "sknw" in the file's header say that it is a studio file."""

BUSY_MS = 10_000


def make_engine(path: Path, *, foreign_keys: bool = True) -> sa.Engine:
    """An engine on the studio file at `path` with the pragmas above in force on every connection. `foreign_keys` is False only while migrating."""
    engine = sa.create_engine(sa.URL.create("sqlite", database=str(path)), connect_args={"timeout": BUSY_MS / 1000})
    keys = f"foreign_keys={'ON' if foreign_keys else 'OFF'}"
    # recursive_triggers: without it INSERT OR REPLACE would slip past the triggers that keep the record append-only
    pragmas = (f"busy_timeout={BUSY_MS}", "journal_mode=WAL", "synchronous=FULL", keys, "recursive_triggers=ON", "trusted_schema=OFF")

    def prepare(connection: Any, _record: object) -> None:
        connection.isolation_level = None
        cursor = connection.cursor()
        for pragma in pragmas:
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    sa.event.listen(engine, "connect", prepare)
    sa.event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: sa.Connection) -> None:
    writing = connection.get_execution_options().get("writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


@contextmanager
def transaction(engine: sa.Engine, *, writing: bool) -> Iterator[sa.Connection]:
    """One transaction: committed when the block ends, rolled back when it raises."""
    try:
        with engine.connect() as connection:
            connection = connection.execution_options(writing=writing)
            with connection.begin():
                yield connection
    except sa.exc.OperationalError as error:
        if "locked" in str(error) or "busy" in str(error):
            raise Conflict("Another window is writing to this studio; nothing was changed. Try again in a moment.") from error
        if any(sign in str(error) for sign in ("disk is full", "readonly", "disk I/O", "unable to open")):
            sentence = f"The studio file cannot be written ({error.orig}); nothing was changed. Look at the disk and at who may write to the folder."
            raise BadInput(sentence) from error
        raise


def check_is_studio(path: Path) -> None:
    """Raises BadInput unless `path` is a readable SQLite file that says it is a studio (or has no table yet: a studio whose making was cut short)."""
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            found = connection.execute("PRAGMA application_id").fetchone()[0]
            tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    except sqlite3.DatabaseError as error:
        raise BadInput("This file is not a studio file, or it is damaged. Name another file, or restore a backup.", where=str(path)) from error
    if found != APPLICATION_ID and (found or tables):
        raise BadInput("This is a database of another program, not a studio file. Name another file.", where=str(path))


def problems(path: Path) -> list[str]:
    """What SQLite's own integrity and foreign key checks find wrong in the file; empty where it is sound."""
    connection = sqlite3.connect(path)
    try:
        found = [str(row[0]) for row in connection.execute("PRAGMA integrity_check") if row[0] != "ok"]
        found += [f"a row of {row[0]} points at a missing row of {row[2]}" for row in connection.execute("PRAGMA foreign_key_check")]
    except sqlite3.DatabaseError as error:
        return [str(error)]
    finally:
        connection.close()
    return found
