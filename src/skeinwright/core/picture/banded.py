"""Rows shared out between a few threads; the compiled loops let each other run."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache
from itertools import pairwise

MOST_THREADS = 4
LEAST_ROWS = 64


@lru_cache(maxsize=1)
def threads() -> int:
    """How many threads are used: one for each core, at most four."""
    return max(1, min(MOST_THREADS, os.cpu_count() or 1))


@lru_cache(maxsize=1)
def _pool() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(MOST_THREADS, thread_name_prefix="picture")


def banded(rows: int, work: Callable[[int, int], object], *, several: int = 3) -> None:
    """Calls `work(first, last + 1)` for bands that cover 0..rows; `several` bands a thread, since bands take unlike times."""
    count = 1 if rows < 2 * LEAST_ROWS or threads() == 1 else threads() * several
    if count == 1:
        work(0, rows)
        return
    cuts = [rows * k // count for k in range(count + 1)]
    for done in [_pool().submit(work, first, last) for first, last in pairwise(cuts)]:
        done.result()
