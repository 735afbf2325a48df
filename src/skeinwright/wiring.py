"""The one place that names concrete parts: the studio file and its folder, the clock, the seed, the workers."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from skeinwright.services.studio import Studio

FILE = "studio.skeinwright"
SEED = 1
FARM = "SKEINWRIGHT_FARM"
"""The address of a scheduler of more machines, "tcp://192.168.1.30:8786", in the environment."""
MOST_PROCESSES = 8
"""Each takes about 200 MB."""
_NO_CTRL_C = (signal.SIGINT, signal.SIG_IGN)
"""Ctrl-C reaches every process of a terminal; the studio ends its workers itself."""


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
    return Studio(path=file, store=Store.open(file), photos=photo_folder(file), now=now, seed=SEED, workers=workers)


@contextmanager
def workers() -> Iterator[Executor]:
    """Processes of this machine, one for each core up to `MOST_PROCESSES`; or the machines behind the scheduler that the environment names."""
    address = os.environ.get(FARM, "").strip()
    with _farm(address) if address else _processes() as executor:
        yield executor


@contextmanager
def _processes() -> Iterator[Executor]:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    pool = ProcessPoolExecutor(
        max_workers=min(os.cpu_count() or 1, MOST_PROCESSES), mp_context=get_context("spawn"), initializer=signal.signal, initargs=_NO_CTRL_C
    )
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def _farm(address: str) -> Iterator[Executor]:
    from skeinwright.core.foundations.errors import BadInput

    try:
        from distributed import Client
    except ImportError:
        raise BadInput("More machines need the extra 'farm': install it with pip install 'skeinwright[farm]', or take the setting away.", where=FARM) from None
    try:
        client = Client(address, timeout=10)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        raise BadInput(f"The scheduler at {address} does not answer: start it, or take the setting away to work on this machine.", where=FARM) from error
    with client, client.get_executor() as executor:  # type: ignore[no-untyped-call]
        yield executor


@contextmanager
def studio_opened(path: Path | None = None, must_exist: bool = False) -> Iterator[Studio]:
    """The studio at `path` for as long as the block lasts; its file is given back at the end. With `must_exist`, none is made: BadInput."""
    if must_exist and not studio_path(path).exists():
        from skeinwright.cli.called import called
        from skeinwright.core.foundations.errors import BadInput

        raise BadInput(f"There is no studio here: name another with --studio, or begin one with '{called()} open'.", where=str(studio_path(path)))
    studio = open_studio(path)
    try:
        yield studio
    finally:
        studio.store.close()


def serve(studio: Studio, host: str, port: int, open_browser: bool, names: Sequence[str]) -> None:
    """Serves the studio's pages until it is stopped, and then stops what works in the background; other machines may reach them under `names`."""
    from skeinwright.services.stop_jobs import stop_jobs
    from skeinwright.web import server

    try:
        server.serve(studio, host, port, open_browser, allowed_hosts=names)
    finally:
        stop_jobs(studio)


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
    wait_without_burning()
    return run(sys.argv[1:], Parts(open_studio=studio_opened, serve=serve, place=place))


def one_thread_for_small_matrices() -> None:
    """Tells numpy's linear algebra, before it is loaded, to keep to one thread.

    The matrices here are small and many: on two busy cores, threads made the search over 2,024 recipes twenty times slower.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def wait_without_burning() -> None:
    """Tells threads of the compiled loops, before they are made, to sleep while they wait for each other.

    By default they spin: on two cores that others used too, a full forecast took ten times as long with two threads as with one.
    """
    os.environ.setdefault("OMP_WAIT_POLICY", "passive")
