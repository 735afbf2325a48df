"""The step words: what a dyer can write down, and what each step may say.

One table for every rim: the parser of colourway files, the editor, the sentences on slip and screen, the cautions and the forecast all read it.
A word that no model covers yet is marked so by `forecast`, and a forecast stops before it with "not forecast after this step".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

ValueKind = Literal[
    "mass",
    "volume",
    "amount",
    "dose",
    "length",
    "size",
    "time",
    "temperature",
    "rate",
    "strength",
    "count",
    "text",
    "choice",
    "dye",
    "solution",
    "blend",
    "acid",
    "auxiliary",
    "leftover",
    "vessel",
    "recipe",
    "place",
]
"""What a step's value is. `amount` is a mass or a volume; `dose` is a depth of shade, a mass, a volume, or grams per skein;
`recipe` is several dyes with doses, or parts with a total depth; `place` is `all`, `white`, or a band ("20-60 cm")."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One value that a step may carry."""

    key: str
    kind: ValueKind
    need: bool = False
    default: str = ""
    choices: tuple[str, ...] = ()
    help: str = ""


@dataclass(frozen=True, slots=True)
class Word:
    """One step word.

    `sentence` is the step in words; a part in [square brackets] is left out when a slot in it is empty.
    `hands_s` is how long the step keeps the hands where it says no time of its own [assumed].
    """

    do: str
    sentence: str
    slots: tuple[Slot, ...] = ()
    forecast: bool = False
    powder: bool = False
    hot: bool = False
    hands_s: float = 60.0


def _s(key: str, kind: ValueKind, *, need: bool = False, default: str = "", choices: tuple[str, ...] = (), help: str = "") -> Slot:
    return Slot(key, kind, need, default, choices, help)


_TIME = _s("time", "time")
_AMOUNT = _s("amount", "amount")
_VESSEL = _s("vessel", "vessel")
_AUX = (_s("what", "auxiliary"), _s("amount", "dose"))

_TABLE = (
    Word("soak", "Soak[ in {water}][ with {amount} of {what}][ for {time}]", (_TIME, _s("water", "volume"), *_AUX), forecast=True, hands_s=180),
    Word(
        "fill",
        "Fill[ {vessel}] with {volume} of water",
        (_s("volume", "volume", need=True, default="4 l", help="Volume, 'to cover by 2 cm', or a liquor ratio '30:1'."), _VESSEL),
        forecast=True,
        hands_s=180,
    ),
    Word("add water", "Add {volume} of water", (_s("volume", "volume", need=True, default="500 ml"),), forecast=True),
    Word("pour off", "Pour off {volume}", (_s("volume", "volume", need=True, default="500 ml"),), forecast=True, hot=True),
    Word(
        "add acid",
        "Add {amount} of {acid}[ over {time}]",
        (_s("acid", "acid", need=True, default="vinegar 5 %"), _s("amount", "dose", need=True, default="30 ml", help="An amount, or 'to pH 4.5'."), _TIME),
        forecast=True,
    ),
    Word(
        "add dye",
        "Add [{amount} of ][{depth} of ][{recipe}][{dye}][{solution}]",
        (
            _s("dye", "dye"),
            _s("solution", "solution"),
            _s("recipe", "recipe", help="'Kelp 0.5 %, Ember 0.2 %', or '3 Kelp : 1 Ember' with a depth."),
            _s("depth", "dose"),
            _s("amount", "dose"),
        ),
        forecast=True,
        hands_s=120,
    ),
    Word("add salt", "Add {amount} of [{what}]", _AUX, forecast=True),
    Word("add leveller", "Add {amount} of [{what}]", _AUX, forecast=True),
    Word("add wetter", "Add {amount} of [{what}]", _AUX, forecast=True),
    Word("add thickener", "Add {amount} of [{what}]", _AUX, forecast=True),
    Word("add soda", "Add {amount} of [{what}]", _AUX),
    Word("lay in", "Lay the yarn in[ {width} wide][ in {vessel}]", (_s("width", "length"), _VESSEL), forecast=True, hands_s=120),
    Word(
        "pour",
        "Pour {amount} of [{solution}][{dye}] over {over}",
        (_s("solution", "solution"), _s("dye", "dye"), _s("amount", "dose", need=True, default="50 ml"), _s("over", "place", default="all")),
        forecast=True,
    ),
    Word(
        "paint",
        "Paint {amount} of [{solution}][{dye}] on {over}",
        (_s("solution", "solution"), _s("dye", "dye"), _s("amount", "dose", need=True, default="30 ml"), _s("over", "place", default="0-40 cm")),
        forecast=True,
        hands_s=300,
    ),
    Word(
        "sprinkle",
        "Sprinkle {amount} of [{dye}][{blend}] over {over}[, grain {grain}][, in lumps {lumps} grains wide]",
        (
            _s("dye", "dye"),
            _s("blend", "blend"),
            _s("amount", "dose", need=True, default="0.15 g", help="An amount, or the shaker weighed before and after: 'from 84.20 g to 83.95 g'."),
            _s("over", "place", default="all"),
            _s("grain", "length"),
            _s("lumps", "count", help="Powder from a damp jar falls in lumps, 2 to 4 grains wide."),
        ),
        forecast=True,
        powder=True,
        hands_s=120,
    ),
    Word(
        "dip",
        "Dip {over} in [{solution}][{dye}][ for {time}]",
        (_s("solution", "solution"), _s("dye", "dye"), _s("over", "place", default="0-40 cm"), _TIME),
        forecast=True,
        hot=True,
        hands_s=120,
    ),
    Word("withdraw", "Withdraw the skein over {time}", (_s("time", "time", need=True, default="10 min"),), forecast=True, hot=True, hands_s=600),
    Word("tie off", "Tie off {over}", (_s("over", "place", default="40-45 cm"),), forecast=True, hands_s=300),
    Word("turn", "Turn the yarn over", forecast=True, hot=True),
    Word("open up", "Open the yarn up[ to {width}]", (_s("width", "length"),), forecast=True, hot=True),
    Word("lid on", "Put the lid on", forecast=True, hands_s=10),
    Word("lid off", "Take the lid off", forecast=True, hot=True, hands_s=10),
    Word("heat", "Heat to {to}[ at {rate}]", (_s("to", "temperature", need=True, default="88 C"), _s("rate", "rate")), forecast=True, hot=True, hands_s=30),
    Word("hold", "Hold [at {to} ]for {time}", (_s("to", "temperature"), _s("time", "time", need=True, default="30 min")), forecast=True, hot=True, hands_s=0),
    Word("wait", "Wait {time}", (_s("time", "time", need=True, default="10 min"),), forecast=True, hands_s=0),
    Word("steam", "Steam for {time}", (_s("time", "time", need=True, default="30 min"),), forecast=True, hot=True, hands_s=60),
    Word("ice", "Cover with {amount} of ice", (_s("amount", "amount", need=True, default="500 g"),), forecast=True),
    Word("squeeze", "Squeeze out[ to {leave} of the fibre's weight in water]", (_s("leave", "strength"),), forecast=True, hands_s=120),
    Word("move", "Move to {vessel}", (_s("vessel", "vessel", need=True),), hot=True, hands_s=120),
    Word(
        "top up",
        "Top up with {amount} of {leftover}",
        (_s("leftover", "leftover", need=True), _s("amount", "volume", need=True, default="500 ml")),
        forecast=True,
    ),
    Word("remove colour", "Remove colour with {amount} of {what}[ for {time}]", (*_AUX, _TIME)),
    Word("cool", "Let it cool[ to {to}][ for {time}]", (_s("to", "temperature"), _TIME), forecast=True, hands_s=0),
    Word("rinse", "Rinse[ {times} times]", (_s("times", "count"),), forecast=True, hands_s=300),
    Word("spin", "Spin[ for {time}]", (_TIME,), forecast=True, hands_s=60),
    Word("hang", "Hang to dry", forecast=True, hands_s=120),
    Word("re-skein", "Re-skein[ on {round} once round]", (_s("round", "length"),), forecast=True, hands_s=600),
    Word("note", "{text}", (_s("text", "text", need=True, default="Note"),), forecast=True, hands_s=0),
)

WORDS: dict[str, Word] = {word.do: word for word in _TABLE}
"""Every step word, in the order in which an editor offers them."""

UNEVEN = frozenset({"sprinkle", "pour", "paint", "dip", "withdraw", "tie off", "ice"})
"""Steps after which dye does not lie the same all over the skein."""

PLACED = frozenset({"tie off", "withdraw"})
"""Those of them that only keep a bath out, or grade it: the bath itself is followed as a pot."""


def is_even(words: Iterable[str]) -> bool:
    """True where none of these steps lays dye unevenly: a bath, with all that is done to it."""
    return not any(do in UNEVEN for do in words)


def is_placed_bath(words: Iterable[str]) -> bool:
    """True where some of these steps keep a bath out of a place or grade it, and none lays dye in a place of its own."""
    uneven = {do for do in words if do in UNEVEN}
    return bool(uneven) and uneven <= PLACED
