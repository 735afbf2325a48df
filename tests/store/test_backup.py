"""Backups: whole while the studio is open, checked before they are trusted, and the studio that was there is kept."""

import dataclasses
import hashlib
import json
import shutil
import sqlite3
import zipfile
from pathlib import Path

import pytest

from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.core.shelf.items import Dye
from skeinwright.store import backup
from skeinwright.store.facts import PhotoFact
from skeinwright.store.store import Store
from store.things import LOT, NOW, USE, tick

PHOTO = f"{'0a' * 16}.jpg"
SMALL = f"{'0a' * 16}-small.jpg"


@pytest.fixture
def photos(tmp_path: Path) -> Path:
    folder = tmp_path / "studio.photos"
    folder.mkdir()
    (folder / PHOTO).write_bytes(b"a large picture")
    (folder / SMALL).write_bytes(b"a small one")
    (folder / "stray.txt").write_bytes(b"not ours")
    return folder


@pytest.fixture
def made(store: Store, photos: Path, tmp_path: Path) -> Path:
    """A backup of a studio that is open, with an entry that is still in its log."""
    with store.writing() as writing:
        writing.add_item(Dye(name="Kelp"), now=NOW)
        writing.add_photo(PhotoFact(id=0, file=PHOTO, preview=SMALL, width_px=1, height_px=1, size_bytes=15, added_at=NOW))
        writing.add_lot(LOT)
        writing.add_entry(tick(photo=1), (USE,))
    assert store.path.with_name(store.path.name + "-wal").stat().st_size > 0
    told = backup.back_up(store.path, photos, tmp_path / "kept.skeinwright-backup", now=NOW)
    assert (told.photos, told.missing) == (1, ())
    return told.path


def names(path: Path) -> list[str]:
    store = Store.open(path)
    with store.reading() as reading:
        found = [kept.thing.name for kept in reading.items("dye")]
    store.close()
    return found


def test_restored_elsewhere_it_is_the_same_studio(made: Path, tmp_path: Path) -> None:
    there = tmp_path / "other" / "studio.skeinwright"
    told = backup.restore(made, there, tmp_path / "other" / "studio.photos")
    assert (told.photos, told.kept_aside, told.made_at) == (1, None, NOW.isoformat())
    store = Store.open(there)
    with store.reading() as reading:
        assert reading.lot(LOT.code) == LOT
        assert reading.entries(LOT.code) == [dataclasses.replace(tick(photo=1), id=1)]
        assert reading.uses(LOT.code)[0].name == "Kelp"
    store.close()
    assert (tmp_path / "other" / "studio.photos" / PHOTO).read_bytes() == b"a large picture"
    assert sorted(file.name for file in (tmp_path / "other").iterdir()) == ["studio.photos", "studio.skeinwright"]


def test_what_was_there_is_kept_beside_it(store: Store, made: Path, photos: Path) -> None:
    with store.writing() as writing:
        writing.add_item(Dye(name="Later"), now=NOW)
    store.close()
    told = backup.restore(made, store.path, photos)
    assert names(store.path) == ["Kelp"]
    assert told.kept_aside is not None
    assert names(told.kept_aside) == ["Kelp", "Later"]
    assert (photos / "stray.txt").exists()


def test_a_studio_that_is_open_elsewhere_is_not_replaced(store: Store, made: Path, photos: Path) -> None:
    with store.writing() as writing:
        writing.add_item(Dye(name="Later"), now=NOW)
    with store.reading() as reading:
        reading.items("dye")
        with pytest.raises(Conflict, match="open elsewhere"):
            backup.restore(made, store.path, photos)
    with store.reading() as reading:
        assert [kept.thing.name for kept in reading.items("dye")] == ["Kelp", "Later"]


def test_a_damaged_present_studio_can_be_replaced(store: Store, made: Path, photos: Path) -> None:
    store.close()
    store.path.write_bytes(b"rubbish" * 1000)
    told = backup.restore(made, store.path, photos)
    assert names(store.path) == ["Kelp"]
    assert told.kept_aside is not None
    assert told.kept_aside.read_bytes() == b"rubbish" * 1000


def test_a_damaged_studio_is_not_backed_up_over_a_good_backup(store: Store, made: Path, photos: Path) -> None:
    store.close()
    good = made.read_bytes()
    data = bytearray(store.path.read_bytes())
    for page in range(4096, len(data), 4096):
        data[page : page + 64] = b"\xff" * 64
    store.path.write_bytes(data)
    with pytest.raises(BadInput, match="damaged"):
        backup.back_up(store.path, photos, made, now=NOW)
    assert made.read_bytes() == good
    assert not list(made.parent.glob(".backup-*"))


def test_a_photo_that_is_gone_is_named(store: Store, made: Path, photos: Path) -> None:
    (photos / PHOTO).unlink()
    told = backup.back_up(store.path, photos, made, now=NOW)
    assert (told.photos, told.missing) == (0, (PHOTO,))


def repack(source: Path, target: Path, change) -> Path:
    """The same backup with its files and manifest changed; the manifest is made to fit unless `change` breaks that."""
    with zipfile.ZipFile(source) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    manifest = json.loads(files.pop("manifest.json"))
    files, manifest = change(files, manifest)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
        archive.writestr("manifest.json", json.dumps(manifest))
    return target


def listed(files: dict[str, bytes], manifest: dict, name: str, data: bytes):
    fact = {"sha256": hashlib.sha256(data).hexdigest(), "size": len(data)}
    return files | {name: data}, manifest | {"files": manifest["files"] | {name: fact}}


HOSTILE = {
    "a path that climbs out": lambda files, manifest: listed(files, manifest, "photos/../../evil.jpg", b"x"),
    "an absolute path": lambda files, manifest: listed(files, manifest, "/tmp/evil.jpg", b"x"),
    "a path with a backslash": lambda files, manifest: listed(files, manifest, "photos\\..\\evil.jpg", b"x"),
    "another kind of file": lambda files, manifest: listed(files, manifest, "photos/run.py", b"x"),
    "a file that is not listed": lambda files, manifest: (files | {"more.txt": b"x"}, manifest),
    "a listed file that is missing": lambda files, manifest: ({name: data for name, data in files.items() if name != f"photos/{PHOTO}"}, manifest),
    "other content than listed": lambda files, manifest: (files | {f"photos/{PHOTO}": b"A large picture"}, manifest),
    "a longer file than listed": lambda files, manifest: (files | {f"photos/{PHOTO}": b"0" * 10_000_000}, manifest),
    "a size that is no number": lambda files, manifest: (files, manifest | {"files": {name: {"sha256": "", "size": "many"} for name in manifest["files"]}}),
    "no database": lambda files, manifest: ({f"photos/{PHOTO}": b""}, manifest | {"files": {}}),
    "a manifest that is a list": lambda files, manifest: (files, []),
    "a newer form": lambda files, manifest: (files, manifest | {"format": 99}),
    "a database that is none": lambda files, manifest: listed(files, manifest, "studio.sqlite", b"SQLite format 3\0" + b"\0" * 5000),
}


@pytest.mark.parametrize("how", HOSTILE)
def test_a_hostile_or_damaged_backup_changes_nothing(store: Store, made: Path, photos: Path, tmp_path: Path, how: str) -> None:
    store.close()
    bad = repack(made, tmp_path / "bad.skeinwright-backup", HOSTILE[how])
    before = {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()}
    with pytest.raises(BadInput):
        backup.restore(bad, store.path, photos)
    assert {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()} == before


def test_the_repacking_itself_is_harmless(store: Store, made: Path, photos: Path, tmp_path: Path) -> None:
    """Without a hostile change the repacked backup is restored: so the refusals above are due to the change."""
    store.close()
    backup.restore(repack(made, tmp_path / "good.skeinwright-backup", lambda files, manifest: (files, manifest)), store.path, photos)
    assert names(store.path) == ["Kelp"]


@pytest.mark.parametrize("cut", [10, 500, -30])
def test_a_backup_that_was_cut_short_changes_nothing(store: Store, made: Path, photos: Path, cut: int) -> None:
    store.close()
    made.write_bytes(made.read_bytes()[:cut])
    with pytest.raises(BadInput):
        backup.restore(made, store.path, photos)
    assert names(store.path) == ["Kelp"]


def test_a_backup_of_a_newer_program_is_refused(store: Store, made: Path, photos: Path, tmp_path: Path) -> None:
    store.close()
    newer = tmp_path / "newer"
    shutil.copy(store.path, newer)
    connection = sqlite3.connect(newer)
    connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.commit()
    connection.execute("PRAGMA journal_mode=DELETE")
    connection.close()
    bad = repack(made, tmp_path / "bad.skeinwright-backup", lambda files, manifest: listed(files, manifest, "studio.sqlite", newer.read_bytes()))
    with pytest.raises(BadInput, match="newer Skeinwright"):
        backup.restore(bad, store.path, photos)
