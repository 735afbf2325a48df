"""How the program was called, so that what it says to type can be typed as it stands."""

from __future__ import annotations

import os

CALLED = "SKEINWRIGHT_CALLED"
"""The environment variable in which run.py says so."""


def called() -> str:
    """What stands before a command: "skeinwright", or as run.py was called, "python3 run.py"."""
    return os.environ.get(CALLED, "").strip() or "skeinwright"


def quoted(text: str) -> str:
    """A path as it is typed in a terminal: in quotation marks where it has a space. These are read alike by the usual shells."""
    return f'"{text}"' if " " in text else text
