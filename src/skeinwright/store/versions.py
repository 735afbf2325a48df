"""Which revision a studio file has, and how an older one is brought up to date.

The file is backed up beside itself first, then all steps run in one transaction, so that a migration that fails leaves the file as it was.
Foreign keys are off while tables are rebuilt (a rebuilt parent would take its children with it) and are all checked before the commit.
"""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa

from skeinwright.core.foundations.errors import BadInput
from skeinwright.store import engine as engines

HEAD = "0007"
"""The newest revision. A test holds it to the migration scripts."""
KNOWN = ("0001", "0002", "0003", "0004", "0005", "0006", "0007")


def revision(connection: sa.Connection) -> str | None:
    """The file's revision, or None where it is empty."""
    if not connection.execute(sa.text("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'alembic_version'")).first():
        return None
    found = connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def bring_up_to_date(engine: sa.Engine, path: Path, target: str = HEAD) -> None:
    """Makes the tables of a new file, or migrates an older one after a backup beside it. Raises BadInput for a file of a newer program."""
    with engines.transaction(engine, writing=False) as connection:
        found = revision(connection)
    if found == target:
        return
    if found is not None and found not in KNOWN:
        raise BadInput(
            "This studio was written by a newer Skeinwright. Bring the program up to date, then open it again. Nothing was changed.", where=str(path)
        )
    if found is not None:
        copy_to(path, _free_name(path, target))
    migrate(path, target)


def migrate(path: Path, target: str = HEAD) -> None:
    """Runs the migrations in one transaction of their own. Raises BadInput where rows would be left pointing at nothing."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    engine = engines.make_engine(path, foreign_keys=False)
    try:
        with engines.transaction(engine, writing=True) as connection:
            connection.exec_driver_sql(f"PRAGMA application_id = {engines.APPLICATION_ID}")
            config.attributes["connection"] = connection
            command.upgrade(config, target)
            if connection.exec_driver_sql("PRAGMA foreign_key_check").first():
                raise BadInput("This studio could not be brought up to date: its tables do not fit together. Nothing was changed.", where=str(path))
    finally:
        engine.dispose()


def copy_to(path: Path, target: Path) -> None:
    """A whole, compact copy of the studio file at `target`, made while it is open (copying the file itself would miss what is in the log)."""
    import sqlite3

    connection = sqlite3.connect(path, timeout=engines.BUSY_MS / 1000)
    try:
        connection.execute("VACUUM INTO ?", (str(target),))
    finally:
        connection.close()


def _free_name(path: Path, target: str) -> Path:
    name, number = path.with_name(f"{path.stem}.before-{target}{path.suffix}"), 2
    while name.exists():
        name, number = path.with_name(f"{path.stem}.before-{target}-{number}{path.suffix}"), number + 1
    return name
