"""Backups: one file that holds the studio and its photos, checked when it is made and again before it is trusted.

A `.skeinwright-backup` is a ZIP archive of `studio.sqlite` (made by VACUUM INTO, so it is whole even while the studio is open), `photos/...`
and `manifest.json` with the SHA-256 and the size of each file.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import sqlite3
import tempfile
import zipfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.store import engine as engines
from skeinwright.store import versions

FORMAT = 1
DATABASE = "studio.sqlite"
MANIFEST = "manifest.json"
ENDING = "skeinwright-backup"
LIMIT_MANIFEST = 50_000_000
_MEMBER = re.compile(r"photos/[0-9a-f]{32}(-small)?\.jpg|studio\.sqlite")
_BLOCK = 1 << 20


@dataclass(frozen=True, slots=True)
class BackedUp:
    """What a backup holds. `missing` names photos that the studio knows but whose files are gone."""

    path: Path
    size_bytes: int
    photos: int
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Restored:
    """What was restored, from when, and where the studio that was there before is kept (None: there was none)."""

    path: Path
    made_at: str
    photos: int
    kept_aside: Path | None


def back_up(studio: Path, photos: Path, target: Path, *, now: datetime) -> BackedUp:
    """Writes a backup of the studio file and its photos to `target`, whole or not at all. Raises BadInput where the studio itself is damaged."""
    if not studio.is_file():
        raise BadInput("There is no studio here to back up.", where=str(studio))
    target.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup-") as folder:
        copy, draft = Path(folder) / DATABASE, Path(folder) / "draft.zip"
        try:
            versions.copy_to(studio, copy)
            wrong = engines.problems(copy)
        except sqlite3.DatabaseError as error:
            wrong = [str(error)]
        if wrong:
            raise BadInput(f"The studio file is damaged ({wrong[0]}). Restore an older backup; nothing was written.", where=str(studio))
        names = _photo_names(copy)
        present = [name for name in names if (photos / name).is_file()]
        with zipfile.ZipFile(draft, "w", allowZip64=True) as archive:
            files = {DATABASE: _put(archive, copy, DATABASE, zipfile.ZIP_DEFLATED)}
            files |= {f"photos/{name}": _put(archive, photos / name, f"photos/{name}", zipfile.ZIP_STORED) for name in present}
            manifest = {"format": FORMAT, "made_at": now.isoformat(), "revision": _revision(copy), "files": files}
            archive.writestr(MANIFEST, json.dumps(manifest, indent=1), zipfile.ZIP_DEFLATED)
        _to_disk(draft)
        draft.replace(target)
        _name_to_disk(target)
    originals = [name for name in names if not name.endswith("-small.jpg")]
    missing = tuple(name for name in originals if name not in present)
    return BackedUp(target, target.stat().st_size, len(originals) - len(missing), missing)


def restore(backup: Path, studio: Path, photos: Path) -> Restored:
    """Puts the studio in `backup` in the place of `studio`; the one that was there is kept beside it under another name.

    Everything is unpacked and checked first, and the studio file is exchanged in one step at the end. Raises BadInput where the backup is damaged,
    is no backup, or was made by a newer Skeinwright; Conflict where the studio is open elsewhere. Then nothing has been changed.
    """
    if not backup.is_file():
        raise BadInput("There is no such file.", where=str(backup))
    studio.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=studio.parent, prefix=".restore-") as folder:
        manifest = _unpack(backup, Path(folder))
        fresh = Path(folder) / DATABASE
        _check_database(fresh, backup)
        aside = _set_aside(studio)
        names = [name.removeprefix("photos/") for name in manifest["files"] if name != DATABASE]
        photos.mkdir(parents=True, exist_ok=True)
        for name in names:  # named by their hash: what is there already under this name is the same picture
            _to_disk(Path(folder) / "photos" / name)
            (Path(folder) / "photos" / name).replace(photos / name)
        _name_to_disk(photos / DATABASE)
        _to_disk(fresh)
        fresh.replace(studio)
        _name_to_disk(studio)
    return Restored(studio, str(manifest["made_at"]), sum(not name.endswith("-small.jpg") for name in names), aside)


def _unpack(backup: Path, folder: Path) -> dict[str, Any]:
    """Unpacks only what the manifest names, only under names that we make ourselves, and never more bytes than it announces."""
    try:
        with zipfile.ZipFile(backup) as archive:
            members = archive.infolist()
            manifest = _manifest(archive, members, backup)
            free = shutil.disk_usage(folder).free
            if (needed := sum(int(fact["size"]) for fact in manifest["files"].values())) > free:
                raise BadInput(f"The backup needs {needed / 1e6:.0f} MB, but only {free / 1e6:.0f} MB are free on this disk.", where=str(backup))
            (folder / "photos").mkdir()
            for name, fact in manifest["files"].items():
                _take(archive, name, fact, folder / name, backup)
            return manifest
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, RuntimeError, EOFError, OSError, ValueError) as error:
        raise BadInput("The backup is damaged or is not a Skeinwright backup. Nothing was changed.", where=str(backup)) from error


def _manifest(archive: zipfile.ZipFile, members: list[zipfile.ZipInfo], backup: Path) -> dict[str, Any]:
    sizes = {member.filename: member.file_size for member in members}
    if len(sizes) != len(members) or sizes.get(MANIFEST, LIMIT_MANIFEST) >= LIMIT_MANIFEST:
        raise BadInput("This is not a Skeinwright backup. Nothing was changed.", where=str(backup))
    with archive.open(MANIFEST) as file:
        manifest: Any = json.loads(file.read(LIMIT_MANIFEST))
    if not isinstance(manifest, dict) or not isinstance(manifest.get("files"), dict) or not isinstance(manifest.get("made_at"), str):
        raise BadInput("This is not a Skeinwright backup. Nothing was changed.", where=str(backup))
    if manifest.get("format") != FORMAT:
        raise BadInput("This backup was made by a newer Skeinwright. Bring the program up to date first. Nothing was changed.", where=str(backup))
    files = manifest["files"]
    if set(files) | {MANIFEST} != set(sizes) or DATABASE not in files or not all(_MEMBER.fullmatch(name) for name in files):
        raise BadInput("The backup holds files that do not belong in one, or lacks some. Nothing was changed.", where=str(backup))
    if any(not isinstance(fact, dict) or fact.get("size") != sizes[name] for name, fact in files.items()):
        raise BadInput("The backup is damaged: its files are not as long as it says. Nothing was changed.", where=str(backup))
    return manifest


def _take(archive: zipfile.ZipFile, name: str, fact: dict[str, Any], target: Path, backup: Path) -> None:
    digest, left = hashlib.sha256(), int(fact["size"])
    with archive.open(name) as source, target.open("wb") as file:
        while block := source.read(_BLOCK):
            left -= len(block)
            if left < 0:
                break
            digest.update(block)
            file.write(block)
    if left or digest.hexdigest() != fact.get("sha256"):
        raise BadInput(f"The backup is damaged: {name} is not what was put in. Nothing was changed.", where=str(backup))


def _check_database(path: Path, backup: Path) -> None:
    engines.check_is_studio(path)
    if wrong := engines.problems(path):
        raise BadInput(f"The studio in the backup is damaged ({wrong[0]}). Nothing was changed.", where=str(backup))
    if _revision(path) not in versions.KNOWN:
        raise BadInput("This backup was made by a newer Skeinwright. Bring the program up to date first. Nothing was changed.", where=str(backup))


def _set_aside(studio: Path) -> Path | None:
    """A copy of the present studio beside it; its log is folded in and gone, so that no old log can meet the new file."""
    if not studio.exists():
        _drop_log(studio)
        return None
    aside, number = studio.with_name(f"{studio.stem}.before-restore{studio.suffix}"), 2
    while aside.exists():
        aside, number = studio.with_name(f"{studio.stem}.before-restore-{number}{studio.suffix}"), number + 1
    connection = sqlite3.connect(studio, timeout=2.0)
    try:
        connection.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise Conflict("The studio is open elsewhere. Close it there, then restore again. Nothing was changed.") from error
        # otherwise the present file is damaged: that is why somebody restores; it is kept as it is
    finally:
        connection.close()
    shutil.copyfile(studio, aside)
    _to_disk(aside)
    _drop_log(studio)
    return aside


def _drop_log(studio: Path) -> None:
    """Removes what is left of the log of a studio that is folded in, damaged or gone: it must never be read into another file."""
    for ending in ("-wal", "-shm"):
        studio.with_name(studio.name + ending).unlink(missing_ok=True)


def _photo_names(database: Path) -> list[str]:
    connection = sqlite3.connect(database)
    try:
        found = connection.execute("SELECT file, preview FROM photo ORDER BY id").fetchall()
    finally:
        connection.close()
    return [name for pair in found for name in pair if _MEMBER.fullmatch(f"photos/{name}")]


def _revision(database: Path) -> str:
    connection = sqlite3.connect(database)
    try:
        return str(connection.execute("SELECT version_num FROM alembic_version").fetchone()[0])
    except (sqlite3.DatabaseError, TypeError):
        return ""
    finally:
        connection.close()


def _put(archive: zipfile.ZipFile, source: Path, name: str, how: int) -> dict[str, Any]:
    digest, size = hashlib.sha256(), 0
    info = zipfile.ZipInfo(name)
    info.compress_type = how
    with source.open("rb") as file, archive.open(info, "w", force_zip64=True) as target:
        while block := file.read(_BLOCK):
            digest.update(block)
            size += len(block)
            target.write(block)
    return {"sha256": digest.hexdigest(), "size": size}


def _to_disk(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())


def _name_to_disk(path: Path) -> None:
    """The entry of `path` in its folder; only POSIX systems need to be told."""
    if os.name == "posix":
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
