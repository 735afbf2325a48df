"""What is kept for the page that is shown next: the note with its Undo, and a file that was looked at but not yet taken in.

Both are conveniences of an open page. They live in memory, a few of them, and are gone when the studio is closed.
"""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass
from threading import Lock
from typing import Generic, TypeVar

from skeinwright.core.shelf.kept import Change

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence for the undo bar; `changes` are taken back by Undo, the last one first. Without any there is nothing to take back."""

    sentence: str
    changes: tuple[int, ...] = ()


def note_of(change: Change | None) -> Note | None:
    """The note of one change; None where nothing changed."""
    return None if change is None else Note(change.sentence, (change.id,))


def note_of_many(changes: Iterable[Change], sentence: str) -> Note:
    """One note for several changes that were made at once."""
    return Note(sentence, tuple(change.id for change in changes))


class ForLater(Generic[T]):
    """The last `most` things kept, each under a key that nobody can guess."""

    def __init__(self, most: int) -> None:
        self.most = most
        self._kept: OrderedDict[str, T] = OrderedDict()
        self._lock = Lock()

    def keep(self, thing: T) -> str:
        """The key under which it can be read."""
        key = secrets.token_urlsafe(12)
        with self._lock:
            self._kept[key] = thing
            while len(self._kept) > self.most:
                self._kept.popitem(last=False)
        return key

    def read(self, key: str) -> T | None:
        """The thing, or None where it is unknown or forgotten."""
        with self._lock:
            return self._kept.get(key)
