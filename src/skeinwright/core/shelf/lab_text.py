"""CIELAB in words: "41.2, -8, -20", "LCh 41, 22, 248", with "D65/2" where it is not D65 and 10 degree."""

from __future__ import annotations

import math
import re

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import read_number
from skeinwright.core.foundations.quantities import write_number
from skeinwright.core.shelf.swatch import Lab

ILLUMINANTS = ("D65", "D50", "A", "C", "FL2", "FL11", "LED-B3")
OBSERVERS = (2, 10)

_VIEWING = re.compile(r"[\s(,]*\b(D65|D50|A|C|FL2|FL11|LED-B3)\s*[/ ,]\s*(2|10)(?:\s*(?:°|deg))?\s*\)?\s*$", re.IGNORECASE)
_POLAR = re.compile(r"\s*(?:lch|cielch)(?:\(?ab\)?)?\s*[:=]?\s*", re.IGNORECASE)
_LEAD = re.compile(r"\s*(?:cie)?lab\s*[:=]?\s*", re.IGNORECASE)


def parse_lab(text: str, *, where: str | None = None, illuminant: str = "D65", observer: int = 10) -> Lab:
    """A colour typed as L*, a*, b* (or "LCh L, C, h" with h in degrees).

    a = C cos h, b = C sin h. Numbers are parted by commas, semicolons or spaces; with decimal commas part them by semicolons or spaces.
    """
    viewing = _VIEWING.search(text)
    body = text[: viewing.start()] if viewing else text
    if viewing:
        illuminant, observer = viewing[1].upper(), int(viewing[2])
    polar = _POLAR.match(body)
    lead = polar or _LEAD.match(body)
    start = lead.end() if lead else 0
    first, second, third = _three(text, body, start, where)
    if not 0 <= first <= 100:
        raise BadInput(f"L* lies between 0 (black) and 100 (white), not at {write_number(first)}.", where=where, position=start, text=text)
    if polar:
        if second < 0:
            raise BadInput("A chroma cannot be less than 0.", where=where, position=start, text=text)
        second, third = second * math.cos(math.radians(third)), second * math.sin(math.radians(third))
    if max(abs(second), abs(third)) > 150:
        raise BadInput("a* and b* of yarn lie between -150 and 150.", where=where, position=start, text=text)
    return Lab(first, second, third, illuminant, observer)


def _three(text: str, body: str, start: int, where: str | None) -> tuple[float, float, float]:
    said = body[start:]
    for separator in (r"\s*;\s*", r"\s*,\s+", r"\s*,\s*", r"\s+"):
        spans = _spans(said, separator)
        if len(spans) == 3:
            values = [_number(text, start + a, start + b, where) for a, b in spans]
            return values[0], values[1], values[2]
    raise BadInput("Three numbers are needed: L*, a*, b*, for example '41.2, -8, -20'.", where=where, position=min(start, len(text)), text=text)


def _spans(said: str, separator: str) -> list[tuple[int, int]]:
    spans, at, end = [], len(said) - len(said.lstrip()), len(said.rstrip())
    for between in re.finditer(separator, said[:end]):
        if between.start() < at:
            continue
        spans.append((at, between.start()))
        at = between.end()
    return [*spans, (at, end)]


def _number(text: str, start: int, end: int, where: str | None) -> float:
    try:
        number = read_number(text[:end], start, where=where)
    except BadInput as problem:
        raise BadInput(problem.sentence, where=where, position=problem.position, text=text) from None
    if number.end < end:
        raise BadInput(f"'{text[number.end : end].strip()}' cannot be read as a number of L*, a*, b*.", where=where, position=number.end, text=text)
    return float(number.value)


def write_lab(lab: Lab) -> str:
    """A colour in words that read back as the same: "92, 0, 8", with its illuminant and observer where they are not D65/10."""
    values = ", ".join(write_number(value) for value in lab.values)
    return values if (lab.illuminant, lab.observer) == ("D65", 10) else f"{values} {lab.illuminant}/{lab.observer}"
