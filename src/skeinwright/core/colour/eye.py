"""Differences and depths in words, as an eye and a dyer would say them."""

from __future__ import annotations

NOBODY_BELOW = 1.0
"""CIEDE2000 below which nobody sees a difference between two skeins [assumed]."""
SIDE_BY_SIDE_FROM = 2.0
"""CIEDE2000 from which most people see it with the skeins side by side [assumed]. Between the two, only a careful eye does."""

_DEPTHS = ((0.001, "a hint"), (0.004, "pale"), (0.01, "middling"), (0.02, "full"), (0.04, "deep"))
"""Words of our own up to each depth (fraction of the fibre's weight); beyond the last, "very deep"."""


def difference_in_words(de00: float) -> str:
    """Who would see a difference of `de00` (CIEDE2000, >= 0): "nobody", "only a careful eye" or "side by side you would see it".

    The limits, 1 and 2, are assumed: what is seen depends on light, size, texture and the person.
    """
    if de00 < NOBODY_BELOW:
        return "nobody"
    return "only a careful eye" if de00 < SIDE_BY_SIDE_FROM else "side by side you would see it"


def difference_sentence(de00: float) -> str:
    """The same as a sentence."""
    words = difference_in_words(de00)
    if words == "side by side you would see it":
        return "Side by side you would see the difference."
    return f"{words.capitalize()} would see the difference."


def spread_in_words(de00: float) -> str:
    """A forecast's spread: "likely within 1.8: only a careful eye would see the difference", to one decimal below 10."""
    number = f"{de00:.1f}" if de00 < 10 else f"{de00:.0f}"
    sentence = difference_sentence(de00)
    return f"likely within {number}: {sentence[0].lower()}{sentence[1:].rstrip('.')}"


def depth_in_words(depth: float) -> str:
    """A depth of shade (fraction of the fibre's weight) in a word, with the per cent: "middling (0.8 %)"."""
    if depth <= 0:
        return "none (0 %)"
    word = next((word for limit, word in _DEPTHS if depth <= limit), "very deep")
    return f"{word} ({100 * depth:.2g} %)"
