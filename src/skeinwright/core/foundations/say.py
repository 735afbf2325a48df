"""Quantities written out: `say` for the eye, never finer than the digits asked; `write` exactly, so that it reads back as the same value."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from skeinwright.core.foundations.numbers import say_number, write_number
from skeinwright.core.foundations.units import HABITS, Habits, Unit, find_unit, units_of

_BY_SIZE: dict[str, tuple[tuple[float, str], ...]] = {
    "mass": ((1000, "kg"), (0.01, "g"), (0, "mg")),
    "volume": ((1000, "l"), (0, "ml")),
    "length": ((1000, "m"), (10, "cm"), (0, "mm")),
    "cover": ((1000, "m"), (10, "cm"), (0, "mm")),
    "power": ((1000, "kW"), (0, "W")),
}
"""The unit that is chosen at or above each value in the base unit."""

_USUAL = {
    "temperature": "C",
    "fraction": "%",
    "strength": "%",
    "rate": "C/min",
    "alkalinity": "mg/L",
    "energy": "kWh",
    "per_skein": "g per skein",
    "volume_per_skein": "ml per skein",
    "twist": "turns per metre",
}

_PLAIN = frozenset({"g", "kg", "mg", "ml", "l", "mm", "cm", "m", "C", "%", "C/min", "mg/L", "W", "kW", "kWh", "g per skein", "ml per skein", "turns per metre"})
"""Units that are understood as they stand, without an echo in another unit."""


def joined(words: Iterable[object]) -> str:
    """Words or numbers in one phrase: "a, b and c"; "" where there are none."""
    *before, last = [str(one) for one in words] or [""]
    return f"{', '.join(before)} and {last}" if before else last


def say(kind: str, value: float, unit: str | None = None, digits: int = 3, *, pad: bool = False, habits: Habits = HABITS) -> str:
    """A value (base unit of its kind) in words: say("mass", 11.25) is "11.3 g".

    At most `digits` significant digits; zeros at the end are dropped unless `pad` ("1.50 g", for columns). Without `unit` the usual one for the size is taken;
    times become "90 s", "25 min" or "1 h 30 min". Money always has two decimals and counts are whole.
    """
    if kind == "money":
        return f"{round(value) // 100}.{round(value) % 100:02d}" + (f" {unit}" if unit else "")
    if kind == "count":
        return str(round(value))
    if kind == "ph":
        return f"pH {say_number(value, digits, pad=pad)}"
    if kind == "ratio":
        return f"{say_number(value, digits, pad=pad)}:1"
    if kind == "cover":
        return f"to cover by {say('length', value, unit, digits, pad=pad)}"
    if kind == "time" and unit is None:
        return _say_time(value, digits)
    chosen = _unit(kind, unit or _usual(kind, value), habits)
    return f"{say_number(float((Fraction(value) - chosen.offset) / chosen.size), digits, pad=pad)} {_plural(chosen, value)}"


def _say_time(time_s: float, digits: int) -> str:
    if time_s < 120 and (time_s % 60 or time_s == 0):
        return f"{say_number(time_s, digits)} s"
    minutes = float(say_number(time_s / 60, digits))
    if minutes < 120 and minutes != 60:
        return f"{say_number(minutes, digits)} min"
    hours, left = divmod(round(minutes), 60)
    return f"{hours} h {left} min" if left else f"{hours} h"


def write(kind: str, value: float | Fraction, unit: str | None = None, *, habits: Habits = HABITS) -> str:
    """The same, exactly: parse(kind, write(kind, x)) has the value x. For files and forms, where nothing may be lost."""
    if kind == "money":
        return say("money", float(value), unit)
    if kind == "count":
        return str(int(value))
    if kind == "ph":
        return write_number(value)
    if kind == "ratio":
        return f"{write_number(value)}:1"
    if kind == "cover":
        return f"to cover by {write('length', value, unit)}"
    exact = value if isinstance(value, Fraction) else Fraction(write_number(value))
    chosen = _unit(kind, unit or ("s" if kind == "time" and exact % 60 else "min" if kind == "time" else _usual(kind, float(value))), habits)
    inside = (exact - chosen.offset) / chosen.size
    if not _is_decimal(inside):
        chosen = next(u for u in units_of(kind, habits) if u.size == 1 and not u.offset)
        inside = exact
    return f"{_decimal(inside)} {_plural(chosen, float(inside))}"


def echo_of(kind: str, value: float, unit: str, text: str) -> str:
    """What was understood, beside what was typed where the two differ: "3 tbsp = 44.4 ml", "88 C"."""
    plain = unit in _PLAIN or kind in ("time", "count", "money", "ph", "ratio", "cover")
    return text if plain else f"{text} = {say(kind, value)}"


def _usual(kind: str, value: float) -> str:
    if kind in _BY_SIZE and value == 0:
        return {"mass": "g", "volume": "ml", "power": "W"}.get(kind, "cm")
    if kind in _BY_SIZE:
        return next(name for least, name in _BY_SIZE[kind] if value >= least)
    return _USUAL[kind]


def _unit(kind: str, said: str, habits: Habits) -> Unit:
    unit = find_unit(kind, said, habits)
    if unit is None:
        raise ValueError(f"{said!r} is no unit of {kind}")
    return unit


def _plural(unit: Unit, value: float) -> str:
    return "cups" if unit.name == "cup" and value != 1 else unit.name


def _is_decimal(value: Fraction) -> bool:
    left = value.denominator
    for prime in (2, 5):
        while left % prime == 0:
            left //= prime
    return left == 1


def _decimal(value: Fraction) -> str:
    """An exact decimal; the value must have one."""
    places = 0
    while (value * 10**places).denominator != 1:
        places += 1
    whole = int(value * 10**places)
    digits = str(abs(whole)).rjust(places + 1, "0")
    sign = "-" if whole < 0 else ""
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)
