"""The last resort: a fault of the program is written to a file, and the person gets one sentence instead of a traceback."""

from __future__ import annotations

import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Sequence

FAULT = "This is a fault of the program, not of what you typed"
DEBUG = "SKEINWRIGHT_DEBUG"
"""Set this environment variable to anything to see the traceback as well."""


def crash_note(error: BaseException, arguments: Sequence[str]) -> str:
    """The text of the note: what was asked, of which program, on which machine, and the traceback."""
    story = "".join(traceback.format_exception(error))
    return f"Asked: {' '.join(arguments)}\nPython: {platform.python_version()} on {platform.platform()}\n\n{story}"


def report(error: BaseException, arguments: Sequence[str]) -> str:
    """Write the note to the folder for temporary files; return the sentence for the person."""
    note = crash_note(error, arguments)
    if os.environ.get(DEBUG):
        print(note, file=sys.stderr)
    try:
        handle, name = tempfile.mkstemp(prefix="skeinwright-fault-", suffix=".txt")
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as file:
            file.write(note)
    except OSError:
        return f"{FAULT} ({type(error).__name__}); it could not be written down, so set {DEBUG}=1 and try again to see it."
    return f"{FAULT}: what happened is written in {name}."
