"""What several of these tests share."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from types import ModuleType

import pytest

PROOFS = Path(__file__).parents[2] / "proofs"


@pytest.fixture(scope="session")
def proof() -> ModuleType:
    """The proof of dyes from swatches, of which tests run a part."""
    sys.path.insert(0, str(PROOFS))
    try:
        return importlib.import_module("dyes_from_swatches")
    finally:
        sys.path.remove(str(PROOFS))
