"""`skeinwright backup` and `restore`, on a real studio file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from skeinwright.cli.parts import Parts
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.list_shelf import list_shelf


def _dyes(parts: Parts, path: Path) -> list[str]:
    with parts.open_studio(path) as studio:
        return [str(kept.thing.name) for kept in list_shelf(studio, "dye")]


def _add_dye(parts: Parts, path: Path, name: str) -> None:
    with parts.open_studio(path) as studio:
        add_to_shelf(studio, "dye", {"name": name})


def test_what_was_backed_up_comes_back_and_the_other_is_kept_aside(ask: Any, real: Parts, studio_file: Path, tmp_path: Path) -> None:
    _add_dye(real, studio_file, "Kelp")
    made = ask("backup", "--studio", str(studio_file), "--to", str(tmp_path / "safe.skeinwright-backup"), "--json", parts=real)
    assert (made.code, made.err) == (0, "")
    assert made.json["size_bytes"] == (tmp_path / "safe.skeinwright-backup").stat().st_size
    _add_dye(real, studio_file, "Ember")
    done = ask("restore", made.json["path"], "--studio", str(studio_file), "--json", parts=real)
    assert (done.code, done.err) == (0, "")
    assert _dyes(real, studio_file) == ["Kelp"]
    assert sorted(_dyes(real, Path(done.json["kept_aside"]))) == ["Ember", "Kelp"]


def _cut_short(studio: Path) -> None:
    studio.write_bytes(studio.read_bytes()[:20_000])


def _overwritten(studio: Path) -> None:
    studio.write_bytes(b"milk was spilt over this disk" * 1000)


def _torn(studio: Path) -> None:
    content = bytearray(studio.read_bytes())
    content[100:9000] = b"\x07" * 8900
    studio.write_bytes(bytes(content))


@pytest.mark.parametrize("damage", [_cut_short, _overwritten, _torn, Path.unlink])
def test_a_backup_goes_over_a_damaged_studio(ask: Any, real: Parts, studio_file: Path, tmp_path: Path, damage: Callable[[Path], None]) -> None:
    _add_dye(real, studio_file, "Kelp")
    safe = tmp_path / "safe.skeinwright-backup"
    assert ask("backup", "--studio", str(studio_file), "--to", str(safe), parts=real).code == 0
    damage(studio_file)
    damaged = studio_file.read_bytes() if studio_file.exists() else None
    done = ask("restore", str(safe), "--studio", str(studio_file), "--json", parts=real)
    assert (done.code, done.err) == (0, "")
    assert _dyes(real, studio_file) == ["Kelp"]
    kept = done.json["kept_aside"]
    assert (Path(kept).read_bytes() if kept else None) == damaged


def test_a_backup_goes_where_no_studio_ever_was(ask: Any, real: Parts, studio_file: Path, tmp_path: Path) -> None:
    _add_dye(real, studio_file, "Kelp")
    safe = tmp_path / "safe.skeinwright-backup"
    assert ask("backup", "--studio", str(studio_file), "--to", str(safe), parts=real).code == 0
    there = tmp_path / "another machine" / "studio.skeinwright"
    assert ask("restore", str(safe), "--studio", str(there), "--json", parts=real).code == 0
    assert _dyes(real, there) == ["Kelp"]


def test_a_backup_without_a_place_goes_beside_the_studio(ask: Any, real: Parts, studio_file: Path) -> None:
    answer = ask("backup", "--studio", str(studio_file), parts=real)
    assert answer.code == 0
    (made,) = (studio_file.parent / "backups").iterdir()
    assert str(made) in answer.out


def test_no_studio_is_made_only_to_back_it_up(ask: Any, real: Parts, tmp_path: Path) -> None:
    answer = ask("backup", "--studio", str(tmp_path / "none.skeinwright"), parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("content", [None, b"", b"not a backup", b"PK\x03\x04 nearly"])
def test_what_is_no_backup_changes_nothing(ask: Any, real: Parts, studio_file: Path, tmp_path: Path, content: bytes | None) -> None:
    _add_dye(real, studio_file, "Kelp")
    backup = tmp_path / "odd.skeinwright-backup"
    if content is not None:
        backup.write_bytes(content)
    answer = ask("restore", str(backup), "--studio", str(studio_file), parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert len(answer.err.splitlines()) == 1
    assert _dyes(real, studio_file) == ["Kelp"]
