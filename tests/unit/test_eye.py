"""Words for differences and depths."""

from __future__ import annotations

import pytest

from skeinwright.core.colour.eye import depth_in_words, difference_in_words, difference_sentence, spread_in_words


@pytest.mark.parametrize(
    ("de00", "words"),
    [(0, "nobody"), (0.99, "nobody"), (1.0, "only a careful eye"), (1.99, "only a careful eye"), (2.0, "side by side you would see it")],
)
def test_difference(de00: float, words: str) -> None:
    assert difference_in_words(de00) == words


def test_sentences() -> None:
    assert difference_sentence(0.5) == "Nobody would see the difference."
    assert difference_sentence(1.5) == "Only a careful eye would see the difference."
    assert difference_sentence(5) == "Side by side you would see the difference."
    assert spread_in_words(1.83) == "likely within 1.8: only a careful eye would see the difference"
    assert spread_in_words(12.4).startswith("likely within 12:")


def test_depth_has_its_per_cent_and_deepens() -> None:
    said = [depth_in_words(depth) for depth in (0.0, 0.0005, 0.003, 0.008, 0.015, 0.03, 0.08)]
    assert said == ["none (0 %)", "a hint (0.05 %)", "pale (0.3 %)", "middling (0.8 %)", "full (1.5 %)", "deep (3 %)", "very deep (8 %)"]
