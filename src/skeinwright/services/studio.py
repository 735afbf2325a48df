"""What every service is given: the open studio."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from skeinwright.store.store import Store


@dataclass(frozen=True, slots=True)
class Studio:
    """One dyer's studio: one file, a folder of photos beside it, a clock, and the seed that all chance comes from."""

    path: Path
    store: Store
    photos: Path
    now: Callable[[], datetime]
    seed: int = 1
