"""The form for an act that was not planned: the fields of its step word, and what of the shelf can stand in them."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.colourway.words import WORDS, Slot
from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.studio import Studio

COMMON = ("add water", "add dye", "add acid", "sprinkle", "pour", "heat", "hold", "wait", "turn", "lid on", "lid off", "cool", "rinse", "hang")
"""Acts that stand as large buttons; the others are in the list."""
_KINDS = {"dye": "dye", "solution": "solution", "blend": "blend", "acid": "acid", "auxiliary": "auxiliary", "leftover": "leftover", "vessel": "vessel"}
_LABELS = {
    "to": "To what temperature", "time": "For how long", "volume": "How much water", "amount": "How much", "over": "Over what", "times": "How many times",
    "depth": "Depth of shade", "round": "Once round", "leave": "Water left, of the fibre's weight", "text": "What",
}  # fmt: skip
_LEFT_OUT = {"fill": ("vessel",), "lay in": ("vessel",), "add dye": ("depth", "recipe"), "heat": ("rate",), "sprinkle": ("grain",)}
"""Slots that are not asked at the stove: the pot is known, and what went in was an amount."""


@dataclass(frozen=True, slots=True)
class ExtraField:
    """One field: its name, what it is called, an example, and what of the shelf can be chosen."""

    key: str
    label: str
    hint: str
    choices: tuple[str, ...] = ()
    need: bool = False


@dataclass(frozen=True, slots=True)
class ExtraForm:
    """The form for one step word."""

    do: str
    fields: tuple[ExtraField, ...]


@dataclass(frozen=True, slots=True)
class ExtraWord:
    """A step word as it is offered: with fields to fill in first, or done with one tap."""

    do: str
    common: bool
    one_tap: bool


EXTRA_WORDS = tuple(ExtraWord(do, do in COMMON, not WORDS[do].slots) for do in (*COMMON, *(do for do in sorted(WORDS) if do not in COMMON and do != "note")))


def extra_form(studio: Studio, do: str) -> ExtraForm:
    """The fields of a step word. Raises BadInput for a word that is none."""
    if do not in WORDS:
        raise BadInput(f"'{do[:40]}' is no step word.", where="do")
    slots = [slot for slot in WORDS[do].slots if slot.key not in _LEFT_OUT.get(do, ())]
    return ExtraForm(do, tuple(_field(studio, slot) for slot in slots))


def _field(studio: Studio, slot: Slot) -> ExtraField:
    kind = _KINDS.get(slot.kind)
    names = tuple(kept.thing.name for kept in list_shelf(studio, kind)) if kind else slot.choices
    return ExtraField(slot.key, _LABELS.get(slot.key, slot.key[:1].upper() + slot.key[1:]), slot.default, names, slot.need)
