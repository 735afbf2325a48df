"""What was just done, kept for the page that is shown next, so that it can be taken back from there for as long as that page is open."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

MOST = 500


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence for the undo bar; `change` is the change that Undo takes back, None where there is nothing to take back."""

    sentence: str
    change: int | None = None


class Notes:
    """The last few hundred notes, by a key that stands in the address of the page. They are a convenience of the open page and are not kept on disk."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, Note] = OrderedDict()
        self._lock = Lock()

    def keep(self, note: Note) -> str:
        """The key under which the note can be read."""
        key = secrets.token_urlsafe(9)
        with self._lock:
            self._kept[key] = note
            while len(self._kept) > MOST:
                self._kept.popitem(last=False)
        return key

    def read(self, key: str) -> Note | None:
        """The note, or None where it is unknown or forgotten."""
        with self._lock:
            return self._kept.get(key)
