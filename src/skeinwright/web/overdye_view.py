"""The overdyes of a skein as the page shows them."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.colour.eye import difference_sentence, spread_in_words
from skeinwright.core.forecast.dye_facts import DyeFacts, fibre_g_of, said_doses
from skeinwright.core.foundations.say import say
from skeinwright.core.picture.describe import colour_words
from skeinwright.services.find_overdyes import FoundOverdye, OverdyesFound
from skeinwright.web.measure_view import Colour, colour_of
from skeinwright.web.overdye_ask import Asked
from skeinwright.web.recipe_form import said_doses_of
from skeinwright.web.recipe_view import Line, money, solution_names

PLAIN = 1.5
"""Colours that part by less than this look like one on yarn. [assumed]"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Card:
    """One overdye in words, and what is sent to keep it."""

    number: int
    title: str
    alt: str
    lines: tuple[Line, ...]
    colour: Colour
    near: str
    even: str
    sure: str
    cost: str
    doses: tuple[str, ...]
    name: str
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Skein:
    """The skein, its overdyes, where their pictures are, what to say."""

    pictures: tuple[str, ...]
    width: int
    height: int
    colours: tuple[Colour, ...]
    ground: str
    spreads: tuple[str, ...]
    rests_on: str
    is_relative: bool
    cards: tuple[Card, ...]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]


def view_of(found: OverdyesFound, asked: Asked, facts: DyeFacts, place: str, currency: str) -> Skein:
    """What was found, for the page; pictures are under `place`."""
    order = [0, *sorted(range(1, len(found.colours)), key=lambda place: -found.shares[place])]  # the ground, then the commonest, as where it was measured
    colours = tuple(colour_of(found.colours[place].values, found.shares[place]) for place in order)
    fibre_g = fibre_g_of(asked.fibre) or 100.0
    return Skein(
        pictures=tuple(f"{place}/{number}.jpg" for number in range(len(found.shown) + 1)),
        width=found.size_px[0],
        height=found.size_px[1],
        colours=colours,
        ground=f"ground L, a, b {colours[0].says}",
        spreads=tuple(f"\u00b1 {one:.1f}" for one in found.spreads_de00),
        rests_on=found.rests_on,
        is_relative=bool(asked.frame),
        cards=tuple(_card(number, one, found, facts, fibre_g, currency) for number, one in enumerate(found.shown, 1)),
        warnings=found.warnings,
        assumed=found.assumed,
    )


def _card(number: int, one: FoundOverdye, found: OverdyesFound, facts: DyeFacts, fibre_g: float, currency: str) -> Card:
    words = colour_words(one.mean.values)
    cost = None if one.cost_minor is None else one.cost_minor * fibre_g / 100
    return Card(
        number=number,
        title=one.why,
        alt=f"Overdye {number}: the skein {words}, with {said_doses(one.doses)}",
        lines=_lines(one, facts),
        colour=colour_of(one.mean.values),
        near=difference_sentence(one.away_de00) if found.target is not None else f"It moves by {one.away_de00:.0f} (CIEDE2000) from what it is.",
        even=_even(one, found),
        sure="" if one.spread_de00 is None else spread_in_words(one.spread_de00),
        cost=money(cost, currency),
        doses=tuple(said_doses_of(one.doses)),
        name=f"{words.capitalize()} overdye",
        notes=one.notes,
    )


def _even(one: FoundOverdye, found: OverdyesFound) -> str:
    if len(found.colours) == 1:
        return ""
    if one.uneven_de00 <= PLAIN:
        return "Its colours become one."
    return f"Its colours then part by {one.uneven_de00:.1f}, now by {found.uneven_de00:.1f}."


def _lines(one: FoundOverdye, facts: DyeFacts) -> tuple[Line, ...]:
    solutions = solution_names(facts)
    if not one.amounts:
        return tuple(Line(say("fraction", depth), name, "") for name, depth in one.doses.items())
    return tuple(
        Line(
            say("mass" if dose.unit == "g" else "volume", dose.amount),
            dose.dye if dose.unit == "g" else solutions.get(dose.dye, dose.dye),
            say("fraction", one.doses.get(dose.dye, 0.0)),
            dose.coarse,
        )
        for dose in one.amounts
    )
