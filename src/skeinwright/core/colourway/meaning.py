"""What the slots of a step mean: places along the skein, acids, recipes, mixes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import NUMBER_STARTS
from skeinwright.core.foundations.quantities import HABITS, Habits, Parts, Quantity, parse, parse_doses, parse_parts

PLACES = ("all", "white")


@dataclass(frozen=True, slots=True)
class Place:
    """Where on the skein: all of it, what is still white, or bands in mm along the loop from the tie."""

    what: Literal["all", "white", "band"]
    bands_mm: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class AcidSaid:
    """An acid as written in a step: `name` as typed; `acid` and `strength` where the words say them (None: look the name up on the shelf)."""

    name: str
    acid: str | None
    strength: float | None


@dataclass(frozen=True, slots=True)
class Recipe:
    """Several dyes: each with its own dose, or parts (shares that add up to 1) of the step's `depth` or `amount`."""

    doses: tuple[tuple[str, Quantity], ...] = ()
    parts: Parts = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The dyes in the order said."""
        return tuple(name for name, _ in self.doses) or tuple(name for name, _ in self.parts)


@dataclass(frozen=True, slots=True)
class Mix:
    """A dry blend: the `name` of one on the shelf, or `parts` (shares that add up to 1) given here."""

    name: str = ""
    parts: Parts = ()


_TO = re.compile(r"\s*(?:-|–|−|\bto\b)\s*")
_ACID = re.compile(r"\s*(vinegar|citric(?:\s+acid)?(?:\s+(?:anhydrous|monohydrate))?|ammonium\s+sul(?:ph|f)ate)\b\s*", re.IGNORECASE)


def parse_place(text: str, *, where: str | None = None, habits: Habits = HABITS) -> Place:
    """ "all", "white", or bands along the loop from the tie: "20-60 cm", "0-20 cm, 60-80 cm"."""
    plain = text.strip().casefold()
    if plain in ("all", "white"):
        return Place("all" if plain == "all" else "white")
    if not plain:
        raise BadInput("Where on the skein? Write all, white, or a band such as '20-60 cm' from the tie.", where=where, position=0, text=text)
    bands, at = [], 0
    for piece in [*re.finditer(r"\s*(?:;|(?<![0-9]),|,(?![0-9])|\band\b)\s*", text), None]:
        end = piece.start() if piece else len(text)
        bands.append(_band(text, at, end, where, habits))
        at = piece.end() if piece else end
    return Place("band", tuple(bands))


def _band(text: str, start: int, end: int, where: str | None, habits: Habits) -> tuple[float, float]:
    said = text[start:end]
    between = _TO.search(said)
    if between is None or not any(ch in NUMBER_STARTS for ch in said):
        raise BadInput(
            f"'{said.strip()[:40]}' is no place; write all, white, or a band such as '20-60 cm' from the tie.",
            where=where,
            position=min(start, len(text)),
            text=text,
        )
    second = _length(text, start + between.end(), end, "", where, habits)
    unit = "" if said[: between.start()].rstrip()[-1:] not in NUMBER_STARTS else second.unit.split(" ")[0]
    first = _length(text, start, start + between.start(), unit, where, habits)
    if first.value >= second.value:
        raise BadInput("A band runs from its smaller to its larger distance; across the tie write two bands.", where=where, position=start, text=text)
    return (first.value, second.value)


def _length(text: str, start: int, end: int, unit: str, where: str | None, habits: Habits) -> Quantity:
    try:
        return parse("length", " " * start + text[start:end] + (f" {unit}" if unit else ""), where=where, habits=habits)
    except BadInput as problem:
        raise BadInput(problem.sentence, where=where, position=min(problem.position or 0, len(text)), text=text) from None


def parse_acid(text: str, *, where: str | None = None, habits: Habits = HABITS) -> AcidSaid:
    """ "vinegar 5 %", "citric", "ammonium sulphate", or the name of an acid on the shelf."""
    name = " ".join(text.split())
    if not name:
        raise BadInput("Which acid? Write for example 'vinegar 5 %', 'citric' or 'ammonium sulphate'.", where=where, position=0, text=text)
    known = _ACID.match(text)
    if known is None:
        return AcidSaid(name, None, None)
    acid = "vinegar" if known[1].lower() == "vinegar" else "citric" if known[1].lower().startswith("citric") else "ammonium sulphate"
    rest = text[known.end() :].strip()
    if not rest:
        return AcidSaid(name, acid, None)
    if not any(ch in NUMBER_STARTS for ch in rest):
        return AcidSaid(name, None, None)
    try:
        strength = parse("strength", " " * known.end() + text[known.end() :], where=where, habits=habits).value
    except BadInput as problem:
        raise BadInput(problem.sentence, where=where, position=problem.position, text=text) from None
    if not 0 < strength <= 1:
        raise BadInput("An acid's strength lies between 0 and 100 %.", where=where, position=known.end(), text=text)
    return AcidSaid(name, acid, strength)


def parse_recipe(text: str, *, has_total: bool, where: str | None = None, habits: Habits = HABITS) -> Recipe:
    """Dyes with a dose each ("Kelp 0.5 %, Ember 0.2 %"), or parts ("3 Kelp : 1 Ember") of the step's depth or amount (`has_total`)."""
    if has_total:
        return Recipe(parts=parse_parts(text, where=where))
    if ":" in text:
        parse_parts(text, where=where)
        raise BadInput("Parts need a depth for all of them together, for example depth '1.5 %'.", where=where, position=0, text=text)
    return Recipe(doses=parse_doses(text, where=where, habits=habits))


def parse_mix(text: str, *, where: str | None = None) -> Mix:
    """The name of a dry blend, or its parts: "3 Kelp : 1 Ember"."""
    if not text.strip():
        raise BadInput("Which blend? Write its name, or parts such as '3 Kelp : 1 Ember'.", where=where, position=0, text=text)
    if ":" in text or "," in text or ";" in text:
        return Mix(parts=parse_parts(text, where=where))
    return Mix(name=" ".join(text.split()))
