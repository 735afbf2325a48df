"""Lot codes: the day and a letter, 2026-11-24-B."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import count, product
from string import ascii_uppercase

from skeinwright.core.foundations.errors import BadInput

_CODE = re.compile(r"(\d{4}-\d{2}-\d{2})-([A-Z]+)")


def letters() -> Iterator[str]:
    """A, B, ..., Z, AA, AB, ..., ZZ, AAA, ..."""
    for width in count(1):
        for signs in product(ascii_uppercase, repeat=width):
            yield "".join(signs)


def next_code(day: date, taken: Iterable[str]) -> str:
    """The first code of `day` that is not in `taken`."""
    used = set(taken)
    return next(code for code in (f"{day.isoformat()}-{letter}" for letter in letters()) if code not in used)


def read_code(text: str) -> str:
    """A lot code as typed, in its standard form ("2026-11-24-b" is understood); BadInput where it is none."""
    typed = text.strip().upper()
    found = _CODE.fullmatch(typed)
    if found is None:
        raise BadInput(f"'{text}' is not a lot code; one looks like 2026-11-24-B.", where="lot", text=text)
    try:
        date.fromisoformat(found.group(1))
    except ValueError:
        raise BadInput(f"'{text}' names a day that does not exist.", where="lot", text=text) from None
    return typed
