"""Numbers as people write them: "1 1/2", "1½", "0,5", "0.5". Exact until the very end, and never guessed.

A comma and a point both mark decimals. Between one to three digits and exactly three digits a *comma* could also group thousands, so "1,500" is
refused. "1.500" is 1.5: the point is the decimal mark of scales, of files and of this program's own output. Groups of more than one mark are refused.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from skeinwright.core.foundations.errors import BadInput

VULGAR = {
    "¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4), "⅐": Fraction(1, 7), "⅑": Fraction(1, 9), "⅒": Fraction(1, 10),
    "⅓": Fraction(1, 3), "⅔": Fraction(2, 3), "⅕": Fraction(1, 5), "⅖": Fraction(2, 5), "⅗": Fraction(3, 5), "⅘": Fraction(4, 5),
    "⅙": Fraction(1, 6), "⅚": Fraction(5, 6), "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
"""The fractions that have a character of their own."""

DIGITS = "0123456789"
NUMBER_STARTS = DIGITS + "".join(VULGAR)
MINUSES = "-−–"
MOST_DIGITS = 15

_FRACTION = re.compile(r"([0-9]+)\s*[/⁄]\s*([0-9]+)(?![0-9.,])")
_MIXED = re.compile(r"([0-9]+)(?:\s+|\s*-\s*)([0-9]+)[/⁄]([0-9]+)(?![0-9.,])")
_GROUPED = re.compile(r"[0-9]{1,3}(?:[\s'’][0-9]{3})+(?![0-9/⁄])")
_DECIMAL = re.compile(r"[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+")
_BARE = re.compile(rf"[\s{NUMBER_STARTS}.,/⁄{re.escape(MINUSES)}]+")


@dataclass(frozen=True, slots=True)
class Number:
    """A number that was read: its exact value and where its text ends."""

    value: Fraction
    start: int
    end: int


def skip_space(text: str, at: int) -> int:
    """The place of the first character at or after `at` that is no space."""
    while at < len(text) and text[at].isspace():
        at += 1
    return at


def read_number(text: str, at: int = 0, *, where: str | None = None) -> Number:
    """The number that starts at `at` (spaces before it are skipped). Raises `BadInput` with the position where reading stopped."""
    start = at = skip_space(text, at)
    sign = 1
    if at < len(text) and text[at] in "+" + MINUSES:
        sign = -1 if text[at] in MINUSES else 1
        at = skip_space(text, at + 1)
    value, end = _unsigned(text, at, where)
    return Number(sign * value, start, end)


def _unsigned(text: str, at: int, where: str | None) -> tuple[Fraction, int]:
    if at < len(text) and text[at] in VULGAR:
        return VULGAR[text[at]], at + 1
    if mixed := _MIXED.match(text, at):
        whole, part = _digits(mixed[1], text, at, where), _divided(mixed[2], mixed[3], text, mixed.start(2), where)
        if part >= 1:
            raise BadInput(
                f"'{mixed[0]}' is not clear: the fraction after a whole number must be less than one.", where=where, position=mixed.start(2), text=text
            )
        return whole + part, mixed.end()
    if fraction := _FRACTION.match(text, at):
        return _divided(fraction[1], fraction[2], text, fraction.start(2), where), fraction.end()
    decimal = _DECIMAL.match(text, at)
    if decimal is None:
        found = f"'{text[at:].strip()[:40]}'" if text[at:].strip() else "nothing"
        raise BadInput(f"A number is needed here, such as 2, 1.5, 1/2 or 1 1/2; {found} was read.", where=where, position=min(at, len(text)), text=text)
    if grouped := _GROUPED.match(text, at):
        plain = "".join(ch for ch in grouped[0] if ch in DIGITS)
        raise BadInput(f"Leave thousands ungrouped: if '{grouped[0]}' is one number, write {plain}.", where=where, position=at, text=text)
    value = _decimal(decimal[0], text, at, where)
    end = decimal.end()
    after = skip_space(text, end)
    if after < len(text) and text[after] in VULGAR:
        if value.denominator != 1:
            raise BadInput(f"'{text[at : after + 1]}' mixes a decimal with a fraction; write one of them.", where=where, position=after, text=text)
        return value + VULGAR[text[after]], after + 1
    return value, end


def _decimal(digits: str, text: str, at: int, where: str | None) -> Fraction:
    marks = [mark for mark in digits if mark in ".,"]
    if len(marks) > 1:
        plain = (
            digits[: digits.rfind(marks[-1])].replace(",", "").replace(".", "") + "." + digits[digits.rfind(marks[-1]) + 1 :]
            if len(set(marks)) > 1
            else digits.replace(marks[0], "")
        )
        raise BadInput(
            f"'{digits}' has more than one decimal mark. Leave thousands ungrouped: if that is what you mean, write {plain}.",
            where=where,
            position=at,
            text=text,
        )
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", digits):
        small = digits.replace(",", ".").rstrip("0").rstrip(".")
        raise BadInput(
            f"'{digits}' could be {small} or {digits.replace(',', '')}: write {digits.replace(',', '')} or {small}.", where=where, position=at, text=text
        )
    return _digits(digits.replace(",", "."), text, at, where)


def _digits(plain: str, text: str, at: int, where: str | None) -> Fraction:
    if len(plain) > 2 * MOST_DIGITS or len(plain.split(".", 1)[0].lstrip("0")) > MOST_DIGITS:
        raise BadInput("The number is too long to be meant.", where=where, position=at, text=text)
    return Fraction(plain if plain[0] != "." else "0" + plain)


def _divided(top: str, bottom: str, text: str, at: int, where: str | None) -> Fraction:
    divisor = _digits(bottom, text, at, where)
    if divisor == 0:
        raise BadInput("A fraction cannot have 0 below the line.", where=where, position=at, text=text)
    return _digits(top, text, at, where) / divisor


def say_number(value: float, digits: int = 3, *, pad: bool = False) -> str:
    """`value` with at most `digits` significant digits, halves rounded away from zero, never in powers of ten; `pad` keeps the trailing zeros."""
    exact = Decimal(repr(float(value)))
    if exact == 0:
        return "0" if not pad else f"{Decimal(0):.{max(digits - 1, 0)}f}"
    rounded = _rounded(exact, digits)
    if rounded.adjusted() > exact.adjusted():
        rounded = _rounded(rounded, digits)
    text = format(rounded, "f")
    return text if pad or "." not in text else text.rstrip("0").rstrip(".")


def _rounded(exact: Decimal, digits: int) -> Decimal:
    step = Decimal(1).scaleb(exact.adjusted() - digits + 1)
    rounded = (exact / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step
    return rounded.quantize(step) if step < 1 else rounded.quantize(Decimal(1))


def write_number(value: float | Fraction) -> str:
    """The shortest decimal that reads back as the same float, never in powers of ten."""
    text = format(Decimal(repr(float(value))), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("", "-0") else text


def with_unit(text: str, unit: str) -> str:
    """The text, with `unit` after it where it is a bare number ("14", "1,5", "1 1/2"): for fields whose unit is already known."""
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) and any(sign in NUMBER_STARTS for sign in text) else text
