"""Names of files that leave the studio: readable, and valid on every system."""

from __future__ import annotations

import re
import unicodedata
from datetime import date

_RESERVED = {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(1, 10)), *(f"lpt{n}" for n in range(1, 10))}


def file_name(title: str, ending: str, day: date | None = None) -> str:
    """A file name made from `title`: letters, digits, dot and hyphen, at most 80 signs, then `ending`; "Tide & Wrack" -> "Tide-Wrack.toml"."""
    plain = unicodedata.normalize("NFKC", title)
    stem = re.sub(r"[^\w.]+", "-", plain).strip("-._")[:80].strip("-._") or "skeinwright"
    if stem.casefold() in _RESERVED:
        stem = f"{stem}-"
    return f"{stem}{'' if day is None else '-' + day.isoformat()}.{ending}"
