"""A thing as the studio keeps it: the fact, and where it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Generic, TypeVar

T = TypeVar("T")
TOOK_BACK = "Took back: "
AGAIN = "Did again: "


@dataclass(frozen=True, slots=True)
class Kept(Generic[T]):
    """`thing` under its number in the studio. `revision` counts its changes from 1; who saves an older one is told so."""

    id: int
    thing: T
    archived: bool
    revision: int
    changed_at: datetime


@dataclass(frozen=True, slots=True)
class Change:
    """One change of the shelf or of a colourway, kept so that it can be undone.

    `before` and `after` are the thing as plain data (None: did not exist); `undone` is True once it has been taken back.
    """

    id: int
    at: datetime
    sentence: str
    kind: str
    thing_id: int
    before: dict[str, object] | None
    after: dict[str, object] | None
    undone: bool

    @property
    def is_again(self) -> bool:
        """Whether it did again what had been taken back."""
        return self.sentence.startswith(AGAIN)


def taken_back(sentence: str) -> str:
    """What is said of taking back what `sentence` says; of that taken back in turn, that it was done again."""
    return AGAIN + sentence.removeprefix(TOOK_BACK) if sentence.startswith(TOOK_BACK) else TOOK_BACK + sentence.removeprefix(AGAIN)
