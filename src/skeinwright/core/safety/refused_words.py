"""Words that a label or listing does not carry unless a test is on file."""

from __future__ import annotations

import re

REFUSED = {
    "non-toxic": r"non[\s-]?toxic",
    "food-safe": r"food[\s-]?safe",
    "hypoallergenic": r"hypo[\s-]?allergenic",
    "colourfast": r"colou?r[\s-]?fast",
}
"""The word as it is named to the person, and how it is found (any case; with hyphen, space or neither)."""


def refused_words(text: str, *, tests_on_file: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Which refused words stand in `text`; a word in `tests_on_file` is allowed. Common practice: such a claim needs a test behind it."""
    return tuple(word for word, pattern in REFUSED.items() if word not in tests_on_file and re.search(rf"\b{pattern}\b", text, re.IGNORECASE))
