"""How far two colours lie apart (the command line's `difference`)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.colour.eye import difference_sentence
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.lab_text import parse_lab, write_lab
from skeinwright.core.shelf.swatch import Lab

METHODS = ("ciede2000", "cmc")


@dataclass(frozen=True, kw_only=True, slots=True)
class ColourDifference:
    """The difference by the method asked for, and CIEDE2000 in the words of an eye."""

    difference: float
    method: str
    words: str
    standard: Lab
    sample: Lab

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "difference": round(self.difference, 4),
            "method": self.method,
            "words": self.words,
            "illuminant": self.standard.illuminant,
            "observer": self.standard.observer,
            "inputs": {"standard": write_lab(self.standard), "sample": write_lab(self.sample)},
            "warnings": [],
            "assumed": [],
        }


def compare_colours(standard: str, sample: str, method: str = "ciede2000") -> ColourDifference:
    """The difference of two colours as typed, Lab or hex; the first is the standard. CMC is 2:1 and not symmetric. Raises BadInput.

    Colours of different lights or observers are refused: only a spectrum could bring them together.
    """
    from skeinwright.core.colour.difference import ciede2000, cmc

    if method not in METHODS:
        raise BadInput(f"The method is one of {', '.join(METHODS)}, not '{method}'.", where="method")
    one, other = _colour(standard, "standard"), _colour(sample, "sample")
    if (one.illuminant, one.observer) != (other.illuminant, other.observer):
        seen = [f"{lab.illuminant}, {lab.observer} degree" for lab in (one, other)]
        raise BadInput(f"One colour is for {seen[0]} and the other for {seen[1]}: they cannot be compared.", where="sample")
    import numpy as np

    first, second = np.array(one.values), np.array(other.values)
    eye = float(ciede2000(first, second))
    value = eye if method == "ciede2000" else float(cmc(first, second))
    return ColourDifference(difference=value, method=method, words=difference_sentence(eye), standard=one, sample=other)


def _colour(text: str, where: str) -> Lab:
    from skeinwright.core.colour.spaces import hex_to_lab

    return hex_to_lab(text) if text.strip().startswith("#") else parse_lab(text, where=where)
