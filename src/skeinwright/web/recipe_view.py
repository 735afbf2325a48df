"""Recipes as the pages show them: amounts, words for how near and how sure, the colour in every light, one sentence why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from skeinwright.core.colour.eye import difference_sentence, spread_in_words
from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.forecast.dyeing import BaseForecast
from skeinwright.core.forecast.found_recipe import FoundRecipe
from skeinwright.core.foundations.say import say
from skeinwright.core.picture.describe import colour_words
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.shelf.items import Solution
from skeinwright.services.find_target import Target
from skeinwright.services.match_target import MatchesFound
from skeinwright.services.show_under_lamps import show_under_lamps
from skeinwright.web.recipe_form import said_doses_of

LIKE = 0.005
"""Recipes whose doses differ by less than this share are the same to a dyer."""


@dataclass(frozen=True, slots=True)
class Line:
    """One dose: what is measured out, of what, and its depth of shade."""

    amount: str
    of: str
    depth: str
    coarse: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Card:
    """A recipe as it is shown and sent on."""

    key: str
    title: str
    lines: tuple[Line, ...]
    near: str
    de00: str
    sure: str
    light: str
    cost: str
    why: str
    doses: tuple[str, ...]
    name: str
    hex: str
    ends: tuple[tuple[str, str], ...]
    """The colours at the ends of what is likely, each with its words."""
    notes: tuple[str, ...] = ()
    same_as: str = ""


@dataclass(frozen=True, slots=True)
class Squares:
    """The colours of target, nearest, most repeatable and cheapest ("" where there is none) in one light."""

    light: str
    words: str
    target: str
    recipes: tuple[str, ...]


def hex_of(srgb: Sequence[int]) -> str:
    """sRGB (0-255) as "#rrggbb"."""
    return "#" + "".join(f"{channel:02x}" for channel in srgb)


def ends_of(forecast: BaseForecast) -> tuple[tuple[str, str], ...]:
    """The colours between which nine in ten come out, as (hex, "could be as dull as this")."""
    return tuple((hex_of(edge.srgb), edge.words) for edge in forecast.edges)


def look_text(look: StrandLook) -> str:
    """A strand's look as the addresses of pictures carry it."""
    return f"{look.plies}_{look.angle_deg:g}_{look.diameter_mm:g}_{look.halo:g}"


def picture_url(look: StrandLook, srgb: Sequence[int], *, view: str = "twisted", size: str = "middling") -> str:
    """Where yarn of this look is drawn in this colour."""
    return f"/pictures/skein.png?{urlencode({'look': look_text(look), 'colour': hex_of(srgb)[1:], 'view': view, 'size': size})}"


def chip_url(look: StrandLook, srgb: Sequence[int]) -> str:
    """Where a chip of yarn is drawn."""
    return f"/pictures/chip.png?{urlencode({'look': look_text(look), 'colour': hex_of(srgb)[1:]})}"


def lines_of(recipe: FoundRecipe, facts: DyeFacts) -> tuple[Line, ...]:
    """The doses, as weighed or pipetted where the fibre's weight is known."""
    solutions = solution_names(facts)
    if not recipe.amounts:
        return tuple(Line(say("fraction", depth), name, "") for name, depth in recipe.match.doses.items())
    return tuple(
        Line(
            say("mass" if dose.unit == "g" else "volume", dose.amount),
            dose.dye if dose.unit == "g" else solutions.get(dose.dye, dose.dye),
            say("fraction", recipe.match.doses.get(dose.dye, 0.0)),
            dose.coarse,
        )
        for dose in recipe.amounts
    )


def solution_names(facts: DyeFacts) -> dict[str, str]:
    """{dye: its solution}, of the solutions of one dye."""
    return {one.parts[0][0]: one.name for one in facts.solutions if isinstance(one, Solution) and len(one.parts) == 1}


def money(minor: float | None, currency: str) -> str:
    """An amount of money, "" where it is not known; never finer than a minor unit."""
    if minor is None:
        return ""
    if minor == 0:
        return f"{currency} 0".strip()
    return f"{currency} {say('money', round(minor))}".strip() if minor >= 1 else f"less than {currency} {say('money', 1)}".replace("  ", " ")


def name_of(lab: tuple[float, float, float]) -> str:
    """A first name for a colourway of this colour; she gives it a better one."""
    return f"{colour_words(lab).capitalize()} match"


def card_of(recipe: FoundRecipe, facts: DyeFacts, *, key: str = "", title: str = "", why: str = "", fibre_g: float, currency: str) -> Card:
    """One recipe."""
    match, spread = recipe.match, recipe.forecast.spread_de00
    cost = None if match.cost_minor is None else match.cost_minor * fibre_g / 100
    drift = f"the two part by {match.light:.1f}" if match.metamerism else f"it shifts by {match.light:.1f}"
    return Card(
        key=key,
        title=title,
        lines=lines_of(recipe, facts),
        near=difference_sentence(match.de00),
        de00=f"{match.de00:.1f}",
        sure="" if spread is None else spread_in_words(spread),
        light=f"Under the worst lamp {drift}.",
        cost=money(cost, currency),
        why=why,
        doses=tuple(said_doses_of(match.doses)),
        name=name_of(match.lab.values),
        hex=hex_of(recipe.forecast.srgb or (214, 214, 214)),
        ends=ends_of(recipe.forecast),
        notes=recipe.forecast.notes,
    )


def cards_of(found: MatchesFound, facts: DyeFacts, *, fibre_g: float, fibre: str, currency: str) -> list[Card]:
    """Nearest, most repeatable and cheapest, each with why one would choose it; one that is another's twin says so."""
    near, steady, cheap = found.nearest, found.most_repeatable, found.cheapest
    cards = [card_of(near, facts, key="nearest", title="Nearest", why=_why_nearest(found), fibre_g=fibre_g, currency=currency)]
    if is_like(steady, near):
        cards.append(_twin(cards[0], "repeatable", "Most repeatable", "The nearest is also what weighing and the pot disturb least."))
    else:
        why = f"When weighing and the pot stray, it moves by about {steady.match.robustness:.1f}; the nearest by {near.match.robustness:.1f}."
        cards.append(card_of(steady, facts, key="repeatable", title="Most repeatable", why=why, fibre_g=fibre_g, currency=currency))
    if cheap is None:
        return cards
    twin = next((card for card, one in zip(cards, (near, steady), strict=True) if is_like(cheap, one)), None)
    if twin is not None:
        cards.append(_twin(twin, "cheapest", "Cheapest", f"The {twin.title.lower()} also costs least."))
        return cards
    price = "" if near.match.cost_minor is None else f"; the nearest costs {money(near.match.cost_minor * fibre_g / 100, currency)}"
    why = f"The least money that still looks as near{price}, for {fibre}."
    cards.append(card_of(cheap, facts, key="cheapest", title="Cheapest", why=why, fibre_g=fibre_g, currency=currency))
    return cards


def _why_nearest(found: MatchesFound) -> str:
    others = len(found.recipes) - 1
    first = is_like(found.nearest, found.recipes[0])
    why = "Nothing on this shelf comes nearer" if first else "Of those that come as near, this one suffers least under other lamps"
    if not others:
        return f"{why}."
    return f"{why}; {f'{others} others are' if others > 1 else 'one other is'} in the table below."


def _twin(card: Card, key: str, title: str, why: str) -> Card:
    from dataclasses import replace

    return replace(card, key=key, title=title, why=why, same_as=card.title)


def is_like(one: FoundRecipe, other: FoundRecipe) -> bool:
    """True where two recipes are the same to a dyer."""
    a, b = one.match.doses, other.match.doses
    return a.keys() == b.keys() and all(abs(a[name] - b[name]) <= LIKE * max(a[name], b[name]) for name in a)


def squares_of(target: Target, found: MatchesFound) -> list[Squares]:
    """The squares in every light."""
    recipes = [found.nearest, found.most_repeatable, *([] if found.cheapest is None else [found.cheapest])]
    seen = show_under_lamps([target.spectrum, *(one.match.spectrum for one in recipes)])
    return [Squares(one.light, one.words, hex_of(one.colours[0]), tuple(hex_of(colour) for colour in one.colours[1:])) for one in seen]


def dose_words(doses: Mapping[str, float]) -> str:
    """Doses in words: "0.5 % Kelp, 0.2 % Ember"."""
    return ", ".join(f"{say('fraction', depth)} {name}" for name, depth in doses.items()) or "no dye"
