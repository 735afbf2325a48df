"""The one place that names concrete parts: the studio file and its folder, the clock, the seed."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from skeinwright.services.studio import Studio

FILE = "studio.skeinwright"
SEED = 1


def default_studio_path() -> Path:
    """The studio file in the platform's folder for a person's own data."""
    import platformdirs

    return Path(platformdirs.user_data_dir("skeinwright", appauthor=False)) / FILE


def studio_path(path: Path | None) -> Path:
    """The studio file that `path` means: the default for None, the usual file in it for a folder."""
    if path is None:
        return default_studio_path()
    path = path.expanduser()
    return path / FILE if path.is_dir() else path


def photo_folder(path: Path) -> Path:
    """The folder of photos that belongs to the studio file at `path`: beside it, of the same name."""
    return path.with_name(f"{path.stem}.photos")


def place(path: Path | None) -> tuple[Path, Path]:
    """The studio file that `path` means and its folder of photos, whether or not anything is there."""
    file = studio_path(path)
    return file, photo_folder(file)


def now() -> datetime:
    """This moment by the clock of this machine, with its offset from UTC."""
    return datetime.now().astimezone()


def open_studio(path: Path | None = None) -> Studio:
    """Opens the studio at `path` (see `studio_path`), making it where there is none. Raises BadInput where it cannot be opened."""
    from skeinwright.services.studio import Studio
    from skeinwright.store.store import Store

    file = studio_path(path)
    return Studio(path=file, store=Store.open(file), photos=photo_folder(file), now=now, seed=SEED)


@contextmanager
def studio_opened(path: Path | None = None, must_exist: bool = False) -> Iterator[Studio]:
    """The studio at `path` for as long as the block lasts; its file is given back at the end. With `must_exist`, none is made: BadInput."""
    if must_exist and not studio_path(path).exists():
        from skeinwright.core.foundations.errors import BadInput

        raise BadInput("There is no studio here: name another with --studio, or begin one with 'skeinwright open'.", where=str(studio_path(path)))
    studio = open_studio(path)
    try:
        yield studio
    finally:
        studio.store.close()


def serve(studio: Studio, host: str, port: int, open_browser: bool, names: Sequence[str]) -> None:
    """Serves the studio's pages until it is stopped; other machines may reach them under `names`."""
    from skeinwright.web import server

    server.serve(studio, host, port, open_browser, allowed_hosts=names)


def keep_compiled_code() -> None:
    """Lets the compiled inner loops be kept from run to run, in the platform's cache folder, unless the person said otherwise."""
    import platformdirs

    os.environ.setdefault("NUMBA_CACHE_DIR", str(Path(platformdirs.user_cache_dir("skeinwright", appauthor=False)) / "compiled"))


def main() -> int:
    """The command `skeinwright`; returns its exit code."""
    from skeinwright.cli.app import run
    from skeinwright.cli.parts import Parts

    keep_compiled_code()
    one_thread_for_small_matrices()
    return run(sys.argv[1:], Parts(open_studio=studio_opened, serve=serve, place=place))


def one_thread_for_small_matrices() -> None:
    """Tells numpy's linear algebra, before it is loaded, to keep to one thread.

    The matrices here are small and many: on two busy cores, threads made the search over 2,024 recipes twenty times slower.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
