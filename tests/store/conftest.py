from pathlib import Path

import pytest

from skeinwright.store.store import Store


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "studio.skeinwright"


@pytest.fixture
def store(path: Path):
    opened = Store.open(path)
    yield opened
    opened.close()
