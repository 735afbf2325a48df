"""Files that a command names: read with a sentence where that fails, and written whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from skeinwright.core.foundations.errors import BadInput


def write_file(path: Path, content: bytes, where: str = "--out") -> None:
    """Write a whole file or none: the content goes beside it first. Raises BadInput where that place cannot be written."""
    draft = path.with_name(f".{path.name}.part")
    try:
        draft.write_bytes(content)
        draft.replace(path)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise BadInput(f"{path} cannot be written ({error.strerror or error}): choose another place.", where=where) from error


def read_file(path: Path, where: str) -> bytes:
    """The content of a file that was named. Raises BadInput where it cannot be read."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise BadInput(f"{path} cannot be read ({error.strerror or error}): check the name.", where=where) from error


class Beside(Mapping[str, bytes]):
    """The files of one folder by name, read when they are asked for; nothing outside of the folder is reached."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def __getitem__(self, name: str) -> bytes:
        path = (self.folder / name).resolve()
        if not path.is_relative_to(self.folder.resolve()) or not path.is_file():
            raise KeyError(name)
        return read_file(path, name)

    def __iter__(self) -> Iterator[str]:
        return (path.name for path in self.folder.iterdir() if path.is_file())

    def __len__(self) -> int:
        return sum(1 for _ in self)
