"""One line of a drawer: what is drawn, what it says of itself in a sentence, and how much of it is on hand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from skeinwright.core.foundations.say import say
from skeinwright.core.shelf.items import NOT_KNOWN, Acid, Auxiliary, Base, Blend, Dye, Heat, Item, Leftover, Parts, Solution, Vessel, Water
from skeinwright.core.shelf.kept import Kept

if TYPE_CHECKING:
    from skeinwright.web.ladders import Ladder

TITLES: dict[str, tuple[str, str]] = {
    "dye": ("Dyes", "a dye"),
    "solution": ("Solutions", "a solution"),
    "blend": ("Dry blends", "a dry blend"),
    "auxiliary": ("Auxiliaries", "an auxiliary"),
    "leftover": ("Leftover liquor", "leftover liquor"),
    "base": ("Bases", "a base"),
    "acid": ("Acids", "an acid"),
    "water": ("Water", "a water"),
    "vessel": ("Pots, pans and jars", "a pot"),
    "heat": ("Burners and other heat", "a burner"),
}
"""For each kind: its heading, and one of it."""

COUNTS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")


@dataclass(frozen=True, slots=True)
class Row:
    """A thing on the shelf as one line. `drawn` is "ladder", "strand", "outline" or "" where nothing real can be drawn."""

    id: int
    kind: str
    name: str
    says: str
    amount: str
    archived: bool
    revision: int
    drawn: str
    item: Item
    ladder: Ladder | None = None


def row_of(kept: Kept[Item], today: date, ladder: Ladder | None = None) -> Row:
    """The line for one kept thing; a dye's comes with its `ladder`."""
    item = kept.thing
    says, amount = says_of(item, today)
    return Row(kept.id, item.kind, item.name, ladder.rests_on if ladder else says, amount, kept.archived, kept.revision, DRAWN.get(item.kind, ""), item, ladder)


DRAWN = {"dye": "ladder", "base": "strand", "vessel": "outline"}


def says_of(item: Item, today: date) -> tuple[str, str]:
    """(what it says of itself, how much is on hand), "" where it is not known."""
    match item:
        case Dye():
            return swatches_say(len(item.swatches)), _on_hand("mass", item.on_hand_g)
        case Solution():
            return _join(_percent(item.strength), parts_say(item.parts), _age(item, today)), _on_hand("volume", item.on_hand_ml)
        case Blend():
            return parts_say(item.parts), _on_hand("mass", item.on_hand_g)
        case Auxiliary():
            return item.does, _on_hand("mass", item.on_hand_g)
        case Leftover():
            kept_on = f"kept {item.kept_on.isoformat()}" if item.kept_on else ""
            return _join(kept_on, f"pH {item.ph:g}" if item.ph is not None else ""), say("volume", item.volume_ml)
        case Base():
            return _base(item), "" if item.on_hand is None else "1 skein" if item.on_hand == 1 else f"{item.on_hand} skeins"
        case Acid():
            return _join(item.acid, _percent(item.strength) if item.strength is not None else ""), _on_hand("mass", item.on_hand_g)
        case Water():
            return _water(item), ""
        case Vessel():
            lid = {True: "with a lid", False: "no lid", None: ""}[item.lid]
            return _join(_size(item), item.material if item.material != NOT_KNOWN else "", lid, f"on {item.stands_on}" if item.stands_on else ""), ""
        case Heat():
            power = say("power", item.power_w) if item.power_w else ""
            return _join(item.does, item.energy if item.energy != NOT_KNOWN else "", power, f"holds {item.holds}" if item.holds != 1 else ""), ""


def swatches_say(count: int) -> str:
    """What a dye's ladder rests on."""
    if count == 0:
        return "No swatch yet: one, at 1 or 2 %, paints this strip"
    number = COUNTS[count] if count < len(COUNTS) else str(count)
    return f"{number} swatch" if count == 1 else f"{number} swatches"


def parts_say(parts: Parts) -> str:
    """ "75 % wool, 25 % nylon"."""
    if len(parts) == 1:
        return parts[0][0]
    return ", ".join(f"{_percent(share)} {name}" for name, share in parts)


def _base(item: Base) -> str:
    superwash = {True: "superwash", False: "not superwash", None: ""}[item.superwash]
    plies = f"{item.plies} plies" if item.plies and item.plies > 1 else "one ply" if item.plies == 1 else ""
    return _join(parts_say(item.fibres), superwash, f"{say('mass', item.skein_g)} runs {say('length', item.length_mm)}", f"{item.tex:.0f} tex", plies)


def _water(item: Water) -> str:
    if item.alkalinity_mg_l is None:
        return "Alkalinity not known: 120 mg/L is assumed"
    return _join(f"alkalinity {say('alkalinity', item.alkalinity_mg_l)}", f"pH {item.ph:g}" if item.ph is not None else "", item.source)


def _size(item: Vessel) -> str:
    if item.shape == "round":
        return f"{item.length_mm / 10:g} cm across, {item.height_mm / 10:g} cm high"
    return f"{item.length_mm / 10:g} x {(item.width_mm or item.length_mm) / 10:g} cm, {item.height_mm / 10:g} cm high".replace(" x ", " × ")


def _age(item: Solution, today: date) -> str:
    days = item.age_days(today)
    if days is None:
        return ""
    if days > item.keeps_days:
        return f"made {days} days ago, past its {item.keeps_days}: test it first"
    return f"made {days} days ago" if days > 1 else "made yesterday" if days == 1 else "made today"


def _on_hand(kind: str, amount: float | None) -> str:
    return "" if amount is None else f"{say(kind, amount)} on hand"


def _percent(share: float) -> str:
    return say("fraction", share)


def _join(*words: str) -> str:
    return ", ".join(word for word in words if word)
