"""A new name carried to everything that refers to the old one: solutions, blends, leftovers, swatches, colourways, sets and test results.

Pure functions on core objects. A name stands alone in most places and is compared whole; in a recipe ("Kelp 0.5 %, Ember 0.2 %") it is found
among the names on the shelf, the longest first, so that renaming Kelp leaves "Kelp Deep" alone. A lot keeps the names that were true on its day.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Colourway, ColourwaySet, Step
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Blend, Dye, Item, Leftover, Parts, Solution, Vessel
from skeinwright.store.rows import fold

Thing = Item | Colourway | ColourwaySet | Calibration | KeptReading
"""What may refer to something by its name."""

MIXED = {"recipe": ("dye", "solution", "blend"), "dye": ("dye",), "solution": ("dye", "solution"), "blend": ("dye", "blend", "acid"), "acid": ("acid",)}
"""Slots whose text may hold names among other words, and the kinds that may stand in them."""


@dataclass(frozen=True, slots=True)
class Rename:
    """`old` becomes `new` within `kind`; `names` are all names of each kind, the old one among them."""

    kind: str
    old: str
    new: str
    names: Mapping[str, Sequence[str]]

    def whole(self, text: str) -> str:
        """`text`, or the new name where it is the old one."""
        return self.new if fold(text) == fold(self.old) else text

    def within(self, text: str) -> str:
        """`text` with the old name replaced wherever it stands as a name of its own."""
        names = sorted({name for group in self.names.values() for name in group} | {self.old}, key=len, reverse=True)
        pattern = r"(?<!\w)(?:" + "|".join(re.escape(name) for name in names) + r")(?!\w)"
        return re.sub(pattern, lambda found: self.whole(found.group()), text, flags=re.IGNORECASE)

    def is_known(self, kind: str, text: str) -> bool:
        """True where `text` is a name of `kind` as it stands."""
        return fold(text) in {fold(name) for name in self.names.get(kind, ())}


def in_item(item: Item, rename: Rename) -> Item:
    """`item` with the new name wherever it refers to the old one."""
    if isinstance(item, (Solution, Blend)) and rename.kind in ("dye", "acid"):
        item = dataclasses.replace(item, parts=_parts(item.parts, rename))
    if isinstance(item, Solution) and rename.kind == "acid":
        return dataclasses.replace(item, acid=rename.within(item.acid))
    if isinstance(item, Leftover) and rename.kind == "dye":
        return dataclasses.replace(item, dyes_g=_parts(item.dyes_g, rename))
    if isinstance(item, Vessel) and rename.kind == "heat":
        return dataclasses.replace(item, stands_on=rename.whole(item.stands_on))
    if isinstance(item, Dye) and rename.kind == "base":
        return dataclasses.replace(item, swatches=tuple(dataclasses.replace(swatch, base=rename.whole(swatch.base)) for swatch in item.swatches))
    return item


def in_colourway(colourway: Colourway, rename: Rename) -> Colourway:
    """`colourway` with the new name in its head and in its steps; what it carries itself keeps its own name."""
    if rename.kind == "dye" and any(fold(dye.name) == fold(rename.old) for dye in colourway.own_dyes):
        return colourway
    steps = tuple(_in_step(step, rename) for step in colourway.steps)
    if rename.kind == "base":
        return dataclasses.replace(colourway, steps=steps, bases=tuple(rename.whole(name) for name in colourway.bases))
    if rename.kind == "water":
        return dataclasses.replace(colourway, steps=steps, water=rename.whole(colourway.water))
    if rename.kind == "vessel":
        return dataclasses.replace(colourway, steps=steps, vessel=rename.whole(colourway.vessel))
    return dataclasses.replace(colourway, steps=steps)


def in_set(colourway_set: ColourwaySet, rename: Rename) -> ColourwaySet:
    """The set with the colourway's new name."""
    if rename.kind != "colourway":
        return colourway_set
    return dataclasses.replace(colourway_set, colourways=tuple(rename.whole(name) for name in colourway_set.colourways))


def in_calibration(calibration: Calibration, rename: Rename) -> Calibration:
    """The calibration with the new name of what was tested."""
    if rename.kind != calibration.of_kind:
        return calibration
    return dataclasses.replace(calibration, of=rename.whole(calibration.of))


def in_reading(reading: KeptReading, rename: Rename) -> KeptReading:
    """The kept reading of a photo with the new name of its base or dye."""
    if rename.kind == "base":
        return dataclasses.replace(reading, base=rename.whole(reading.base))
    return dataclasses.replace(reading, dye=rename.whole(reading.dye)) if rename.kind == "dye" else reading


def renamed(thing: Thing, rename: Rename) -> Thing:
    """The thing with the new name wherever it refers to what was renamed."""
    if isinstance(thing, Colourway):
        return in_colourway(thing, rename)
    if isinstance(thing, ColourwaySet):
        return in_set(thing, rename)
    if isinstance(thing, Calibration):
        return in_calibration(thing, rename)
    if isinstance(thing, KeptReading):
        return in_reading(thing, rename)
    return in_item(thing, rename)


def refers(thing: Thing, kind: str, name: str, names: Mapping[str, Sequence[str]]) -> bool:
    """True where `thing` refers to `name`: it would change if that were renamed."""
    return renamed(thing, Rename(kind, name, f"{name}?", names)) != thing


def _parts(parts: Parts, rename: Rename) -> Parts:
    return tuple((rename.whole(name), share) for name, share in parts)


def _in_step(step: Step, rename: Rename) -> Step:
    kinds = {slot.key: slot.kind for slot in WORDS[step.do].slots} if step.do in WORDS else {}
    said = {key: _in_slot(str(kinds.get(key, "")), value, rename) for key, value in step.said.items()}
    return step if said == dict(step.said) else Step(step.do, MappingProxyType(said))


def _in_slot(slot_kind: str, value: str, rename: Rename) -> str:
    if slot_kind == rename.kind and fold(value) == fold(rename.old):
        return rename.new
    if rename.kind not in MIXED.get(slot_kind, ()) or rename.is_known(slot_kind, value):
        return value
    return rename.within(value)
