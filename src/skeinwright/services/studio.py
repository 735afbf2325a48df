"""What every service is given: the open studio."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from skeinwright.store.store import Store


Workers = Callable[[], AbstractContextManager[Executor]]
"""Where many alike pieces of work are done: opens workers for as long as a block lasts. The wiring names the real ones."""


def one_worker() -> AbstractContextManager[Executor]:
    """A thread of this process, one piece of work after another."""
    return ThreadPoolExecutor(max_workers=1)


@dataclass(frozen=True, slots=True)
class Studio:
    """One dyer's studio: one file, a folder of photos beside it, a clock, the seed that all chance comes from, and workers for what is done many times."""

    path: Path
    store: Store
    photos: Path
    now: Callable[[], datetime]
    seed: int = 1
    workers: Workers = one_worker
