"""Facts that exist only because the studio keeps things: a lot as one line of a list, and a kept photo."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class LotLine:
    """A lot in a list. `status` is "planned", "under way", "finished" or "from the notebook"; `done` is the share of planned steps that are done, 0-1."""

    code: str
    day: date
    title: str
    status: str
    skeins: int
    bases: tuple[str, ...]
    done: float
    colourway: str = ""
    photo: int | None = None
    """The number of the newest photo in its record, if there is one."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PhotoFact:
    """A photo as it was kept: re-encoded, turned upright, without place or other metadata.

    `file` and `preview` are names inside the studio's photo folder; both come from the hash of the kept bytes.
    """

    id: int
    file: str
    preview: str
    width_px: int
    height_px: int
    size_bytes: int
    added_at: datetime
    said_name: str = ""
    """The name that the file had when it came in."""
