"""What is said of a stitch count: once, and only what holds."""

from __future__ import annotations

import pytest

from skeinwright.core.yarn.knit_words import EVEN, knit_words
from skeinwright.core.yarn.pooling import pooling


@pytest.mark.parametrize(("stitches", "flat"), [(64, False), (105, False), (60, True)])
def test_the_shares_are_all_of_it(stitches: int, flat: bool) -> None:
    """The bar under a strip is as long as what is sure and the others together."""
    one = pooling(stitches, 104.7, flat=flat)
    said = knit_words(one)
    assert said.word == one.verdict
    assert said.sentence == one.sentence
    if said.band:
        assert sum(share for _, share in said.band) == pytest.approx(1.0, abs=0.01)
        assert [name for name, _ in said.band if name != one.verdict] == [part.rsplit(" ", 2)[0] for part in said.others.split(", ")]
    else:
        assert said.sure == "sure"
    assert dict(said.facts)["Shift"].endswith("in two rows" if flat else "a round")


def test_stripes_have_no_shift() -> None:
    said = knit_words(pooling(64, 1048.4))
    assert (said.word, said.band, said.others) == ("stripes", (), "")
    assert dict(said.facts) == {"One repeat": "1048.4 stitches", "That is": "16.4 rounds"}


def test_one_colour_pools_nowhere() -> None:
    said = knit_words(pooling(64, 104.7), is_even=True)
    assert (said.word, said.sure, said.others, said.band, said.facts) == ("", "", "", (), ())
    assert said.sentence == EVEN
