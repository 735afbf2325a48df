"""Files of other versions: an older one opens, a newer or foreign one is refused untouched."""

import shutil
import sqlite3
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.operations import Operations
from alembic.script import ScriptDirectory

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.settings import Settings
from skeinwright.store import engine, tables, versions
from skeinwright.store.store import Store
from store.things import LOT, NOW, OWN, TIDEWRACK, USE, tick

FIRST = Path(__file__).parent / "data" / "studio_0001.sql"


@pytest.fixture(params=[revision for revision in versions.KNOWN if revision != versions.HEAD])
def old(path: Path, request: pytest.FixtureRequest) -> Path:
    """A file of each older revision: the stored one of revision 0001, brought as far as that."""
    connection = sqlite3.connect(path)
    connection.executescript(FIRST.read_text(encoding="utf-8"))
    connection.close()
    versions.migrate(path, request.param)
    return path


def test_an_older_file_opens_with_all_that_was_in_it(old: Path) -> None:
    store = Store.open(old)
    with store.reading() as reading:
        assert versions.revision(reading.connection) == versions.HEAD
        assert reading.settings() == Settings(studio="An old studio", spoons="au", drain_low_ph=6.0, drain_high_ph=9.0)  # as it stood there
        assert [kept.thing.name for kept in reading.items("dye")] == ["Kelp"]
        assert (reading.colourway("Tidewrack").thing, reading.colourway("Carried").thing) == (TIDEWRACK, OWN)
        assert reading.lot(LOT.code) == LOT
        assert [entry.what for entry in reading.entries(LOT.code)] == [tick().what]
        assert reading.uses(LOT.code)[0].amount == USE.amount
        assert len(reading.changes()) == 4
        assert [line.code for line in reading.lots(search="NELL tidewrack pier")] == [LOT.code]
        assert [kept.thing.name for kept in reading.colourways(search="GREY kelp deep")] == ["Tidewrack"]
    store.close()
    assert engine.problems(old) == []


def test_the_older_file_was_backed_up_beside_itself_first(old: Path) -> None:
    connection = sqlite3.connect(old)
    before = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    connection.close()
    Store.open(old).close()
    kept = old.with_name(f"studio.before-{versions.HEAD}.skeinwright")
    connection = sqlite3.connect(kept)
    assert connection.execute("SELECT version_num FROM alembic_version").fetchone() == before
    assert connection.execute("SELECT code FROM lot").fetchall() == [(LOT.code,)]
    connection.close()
    shutil.copy(kept, old)  # it is a studio of its own: going back is copying it
    Store.open(old).close()
    assert old.with_name(f"studio.before-{versions.HEAD}-2.skeinwright").exists()


def test_the_record_stays_append_only_after_migration(old: Path) -> None:
    Store.open(old).close()
    connection = sqlite3.connect(old)
    with pytest.raises(sqlite3.IntegrityError, match="only be added to"):
        connection.execute("DELETE FROM entry")
    connection.close()


def test_a_migration_that_fails_leaves_the_file_as_it_was(old: Path) -> None:
    connection = sqlite3.connect(old)
    connection.execute("ALTER TABLE vessel ADD COLUMN stands_on TEXT")  # the name that the last migration wants: it fails after all the others
    connection.commit()
    broken = list(connection.iterdump())
    connection.close()
    with pytest.raises(sa.exc.OperationalError, match="duplicate column"):
        Store.open(old)
    connection = sqlite3.connect(old)
    assert list(connection.iterdump()) == broken
    connection.close()


def test_a_rebuilt_table_keeps_its_children(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite cannot alter much: Alembic makes a new table and drops the old one, whose children would go with it if foreign keys were on."""
    with store.writing() as writing:
        writing.add_colourway(TIDEWRACK, now=NOW)
    store.close()

    def rebuild(config: Config, _target: str) -> None:
        operations = Operations(MigrationContext.configure(config.attributes["connection"]))
        with operations.batch_alter_table("colourway", recreate="always") as batch:
            batch.alter_column("notes", nullable=True)

    monkeypatch.setattr("alembic.command.upgrade", rebuild)
    versions.migrate(store.path)
    with store.reading() as reading:
        assert reading.colourway("Tidewrack").thing == TIDEWRACK


def test_the_migrations_end_in_the_tables_of_today(store: Store) -> None:
    with store.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection, opts={"compare_type": True}), tables.metadata) == []


def test_the_newest_revision_is_known() -> None:
    config = Config()
    config.set_main_option("script_location", str(Path(versions.__file__).parent / "migrations"))
    scripts = ScriptDirectory.from_config(config)
    assert scripts.get_current_head() == versions.HEAD
    assert {script.revision for script in scripts.walk_revisions()} == set(versions.KNOWN)


def test_a_file_of_a_newer_program_is_refused_and_left_alone(store: Store) -> None:
    store.close()
    connection = sqlite3.connect(store.path)
    connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.commit()
    connection.close()
    with pytest.raises(BadInput, match="newer Skeinwright"):
        Store.open(store.path)
    assert [file.name for file in store.path.parent.iterdir()] == [store.path.name]


@pytest.mark.parametrize("content", [b"not a database at all", b"SQLite format 3\0 and then nothing"])
def test_another_file_is_refused_and_left_alone(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    with pytest.raises(BadInput, match="not a studio file"):
        Store.open(path)
    assert path.read_bytes() == content


def test_another_programs_database_is_refused(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE dye (name TEXT)")
    connection.close()
    with pytest.raises(BadInput, match="another program"):
        Store.open(path)


@pytest.mark.parametrize("name", ["Åsa's stüdio #1 100%?.skeinwright", "a b/c.skeinwright"])
def test_any_path_will_do(tmp_path: Path, name: str) -> None:
    for _ in range(2):
        store = Store.open(tmp_path / name)
        with store.writing() as writing:
            if not writing.items("dye"):
                writing.add_item(Dye(name="Kelp"), now=NOW)
        store.close()
    assert [file.name for file in (tmp_path / name).parent.iterdir()] == [Path(name).name]


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"x")
    (tmp_path / "folder").mkdir()
    for place in (tmp_path / "file" / "studio.skeinwright", tmp_path / "folder"):
        with pytest.raises(BadInput):
            Store.open(place)


def test_a_full_disk_is_said_and_nothing_is_kept(store: Store) -> None:
    with store.reading() as reading:
        pages = reading.connection.exec_driver_sql("PRAGMA page_count").scalar()
        reading.connection.exec_driver_sql(f"PRAGMA max_page_count={pages}")  # stays in force on the one pooled connection
    with pytest.raises(BadInput, match="full"), store.writing() as writing:
        writing.add_item(Dye(name="Kelp", notes="x" * 100_000), now=NOW)
    with store.reading() as reading:
        assert reading.items("dye") == []


def test_a_studio_whose_making_was_cut_short_is_made_anew(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("PRAGMA user_version=0")
    connection.close()
    store = Store.open(path)
    with store.reading() as reading:
        assert reading.items("dye") == []
    store.close()
