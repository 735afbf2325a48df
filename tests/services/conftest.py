from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from skeinwright.services.studio import Studio
from skeinwright.store.store import Store

START = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    """An empty studio on disk whose clock goes one second at each look."""
    seconds = count()
    path = tmp_path / "studio.skeinwright"
    store = Store.open(path)
    yield Studio(path=path, store=store, photos=tmp_path / "studio.photos", now=lambda: START + timedelta(seconds=next(seconds)))
    store.close()
