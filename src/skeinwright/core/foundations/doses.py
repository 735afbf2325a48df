"""What a dyer may say in more than one way: a dose, a weight of fibre, how much water, a size."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.measured import Quantity, parse
from skeinwright.core.foundations.numbers import MINUSES, read_number, skip_space
from skeinwright.core.foundations.say import say
from skeinwright.core.foundations.units import HABITS, Habits, find_unit

_TO_PH = re.compile(r"\s*(?:to\s+)?ph\b|\s*(?:to\s+)?ph\s*(?=[0-9])", re.IGNORECASE)
_COVER = re.compile(r"\s*(?:to\s+)?cover", re.IGNORECASE)
_RATIO = re.compile(r"[^:]*[0-9]\s*(?::|\bto\b)\s*[0-9]", re.IGNORECASE)
_SKEINS = re.compile(r"\s*(?:skeins?\b|[x×](?=\s|[0-9])|\*)\s*(?:(?:of|at|a|à|@|with)\b|[x×])?\s*", re.IGNORECASE)
_PER_SKEIN = re.compile(r"(?:/|\bper\b|\ba\b)\s*skein|\beach\b", re.IGNORECASE)
_WEIGHED = re.compile(r"\s*(?:shaker\s+)?from\s+(?P<before>.+?)\s+to\s+(?P<after>.+?)\s*", re.IGNORECASE)
_DOSE_KINDS = ("fraction", "mass", "volume", "per_skein", "volume_per_skein")


@dataclass(frozen=True, slots=True)
class FibreMass:
    """A weight of fibre: in all, and skein by skein where it was said so (total_g = skeins * skein_g)."""

    total_g: float
    skeins: int | None
    skein_g: float | None
    text: str

    @property
    def echo(self) -> str:
        """What was understood: "2 skeins of 115 g = 230 g"."""
        return self.text if self.skeins in (None, 1) else f"{self.text} = {say('mass', self.total_g, 'g', digits=6)}"


def parse_dose(text: str, *, where: str | None = None, habits: Habits = HABITS) -> Quantity:
    """How much of something: the result's `kind` says which way it was said.

    "fraction" (depth of shade, 0-1), "mass" (g), "volume" (ml), "per_skein" (g), "volume_per_skein" (ml), or "ph" ("to pH 4.5").
    A shaker or jar weighed before and after, "from 84.20 g to 83.95 g", is the mass between.
    """
    if weighed := _WEIGHED.fullmatch(text):
        return _weighed(text, weighed["before"], weighed["after"], where, habits)
    if _TO_PH.match(text):
        return parse("ph", text, where=where, habits=habits)
    kind = _dose_kind(text, habits)
    if kind is not None:
        return parse(kind, text, where=where, habits=habits)
    return parse_any(
        ("fraction", "mass", "volume"), text, what="An amount", accepted="%, g, oz, ml, tsp, tbsp, 'g per skein' or 'to pH 4.5'", where=where, habits=habits
    )


def _weighed(text: str, before: str, after: str, where: str | None, habits: Habits) -> Quantity:
    full, left = (parse("mass", said, where=where, habits=habits) for said in (before, after))
    if left.value >= full.value:
        raise BadInput(f"It weighs {after} after and {before} before: nothing came out. Write the heavier weight first.", where=where, position=0, text=text)
    return Quantity("mass", round(full.value - left.value, 9), "weighed twice", text.strip())


def _dose_kind(text: str, habits: Habits) -> str | None:
    if _PER_SKEIN.search(text):
        volume = re.search(r"ml|\bl\b|tsp|tbsp|cup|drop|spoon|fl", text, re.IGNORECASE)
        return "volume_per_skein" if volume else "per_skein"
    return None


def parse_any(kinds: tuple[str, ...], text: str, *, what: str, accepted: str, where: str | None = None, habits: Habits = HABITS) -> Quantity:
    """The quantity in `text`, whose unit decides which of `kinds` it is."""
    if not text.strip():
        raise BadInput(f"{what} is needed here; nothing was written. Accepted: {accepted}.", where=where, position=0, text=text)
    problems: list[BadInput] = []
    for kind in kinds:
        try:
            return parse(kind, text, where=where, habits=habits)
        except BadInput as problem:
            problems.append(problem)
    furthest = max(problems, key=lambda problem: problem.position or 0)
    number = _number_end(text)
    if number is None or (furthest.position or 0) > number[1]:
        raise furthest
    if number[1] < len(text) and text[number[1]] in MINUSES:
        raise BadInput(f"'{text.strip()}' is a range; {what.lower()} must be one number.", where=where, position=number[1], text=text)
    rest = text[number[0] :].strip()
    if not rest:
        said = text[: number[0]].strip()
        raise BadInput(f"'{said}' has no unit: {said} of what? Accepted here: {accepted}.", where=where, position=number[0], text=text)
    hints = [p for p in problems if "Did you mean" in p.sentence or "not clear" in p.sentence or "less than" in p.sentence or "grains" in p.sentence]
    if hints:
        raise hints[0]
    raise BadInput(f"{what} is needed here; the unit '{rest[:40]}' is not accepted. Accepted: {accepted}.", where=where, position=number[1], text=text)


def _number_end(text: str) -> tuple[int, int] | None:
    """Where the first number ends and where its unit starts, or None where the number itself is wrong."""
    try:
        end = read_number(text).end
    except BadInput:
        return None
    return end, skip_space(text, end)


def parse_amount(text: str, *, where: str | None = None, habits: Habits = HABITS) -> Quantity:
    """A mass or a volume."""
    return parse_any(("mass", "volume"), text, what="A weight or a volume", accepted="g, kg, oz, lb, ml, l, tsp, tbsp or cups", where=where, habits=habits)


def parse_fibre(text: str, *, skein_g: float | None = None, where: str | None = None, habits: Habits = HABITS) -> FibreMass:
    """A weight of fibre as weighed: "200 g", "2 skeins of 115 g", "2 x 115 g"; "3 skeins" alone only where the base's `skein_g` is given."""
    if not text.strip():
        raise BadInput("A weight of fibre is needed here, for example '200 g' or '2 skeins of 115 g'.", where=where, position=0, text=text)
    number = read_number(text, where=where)
    between = _SKEINS.match(text, number.end)
    if between is None:
        total = parse("mass", text, where=where, habits=habits)
        return _some(FibreMass(total.value, None, None, text.strip()), where)
    if number.value.denominator != 1 or number.value < 1:
        raise BadInput("The number of skeins must be whole, 1 or more.", where=where, position=number.start, text=text)
    skeins = int(number.value)
    if between.end() >= len(text.rstrip()):
        if skein_g is None:
            raise BadInput(
                f"What does one skein weigh? Write for example '{skeins} skeins of 100 g'.", where=where, position=min(between.end(), len(text)), text=text
            )
        return _some(FibreMass(skeins * skein_g, skeins, skein_g, text.strip()), where)
    each = _within("mass", text, between.end(), where, habits)
    return _some(FibreMass(float(skeins * Fraction(each.value)), skeins, each.value, text.strip()), where)


def _within(kind: str, text: str, start: int, where: str | None, habits: Habits) -> Quantity:
    """The quantity from `start` on, its errors placed in the whole text."""
    try:
        return parse(kind, " " * start + text[start:], where=where, habits=habits)
    except BadInput as problem:
        raise BadInput(problem.sentence, where=where, position=problem.position, text=text) from None


def _some(fibre: FibreMass, where: str | None) -> FibreMass:
    if fibre.total_g > 0:
        return fibre
    raise BadInput("The fibre must weigh more than nothing.", where=where, position=0, text=fibre.text)


def parse_water(text: str, *, where: str | None = None, habits: Habits = HABITS) -> Quantity:
    """How much water: kind "volume" (ml), "cover" (mm of water over the yarn) or "ratio" (ml of liquor per g of fibre)."""
    if _COVER.match(text):
        return parse("cover", text, where=where, habits=habits)
    if _RATIO.match(text):
        return parse("ratio", text, where=where, habits=habits)
    if not text.strip():
        raise BadInput(
            "An amount of water is needed here: a volume ('4 l'), 'to cover by 2 cm', or a liquor ratio ('30:1').", where=where, position=0, text=text
        )
    number = _number_end(text)
    if number is not None and number[1] >= len(text):
        said = text.strip()
        raise BadInput(
            f"'{said}' has no unit. Do you mean '{said} l' or '{said} ml'? Or write 'to cover by 2 cm', or a liquor ratio such as 30:1.",
            where=where,
            position=number[0],
            text=text,
        )
    return parse("volume", text, where=where, habits=habits)


def parse_size(text: str, *, where: str | None = None, habits: Habits = HABITS) -> tuple[float, ...]:
    """Two or three lengths in mm: "50 x 30 x 10 cm" (a bare number takes the next unit that is named), "28 cm x 9 in"."""
    pieces = list(re.finditer(r"[^x×*]+", text, re.IGNORECASE))
    if not 2 <= len(pieces) <= 3:
        raise BadInput("A size is written like '50 x 30 x 10 cm', or '28 x 20 cm' for a round pot (across x high).", where=where, position=0, text=text)
    sizes: list[float] = []
    unit = ""
    for piece in reversed(pieces):
        end = read_number(text, piece.start(), where=where).end
        unit = text[end : piece.end()].strip() or unit
        padded = " " * piece.start() + text[piece.start() : end] + (f" {unit}" if unit else "")
        try:
            sizes.insert(0, parse("length", padded, where=where, habits=habits).value)
        except BadInput as problem:
            raise BadInput(problem.sentence, where=where, position=min(problem.position or 0, len(text)), text=text) from None
    if min(sizes) <= 0:
        raise BadInput("Each length must be more than nothing.", where=where, position=0, text=text)
    return tuple(sizes)


def is_unit(text: str, habits: Habits = HABITS) -> bool:
    """True where `text` is the spelling of a unit in which doses are given; used to keep a unit from being taken for a name."""
    return any(find_unit(kind, text, habits) is not None for kind in _DOSE_KINDS)
