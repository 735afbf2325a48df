"""What a lot is planned with: the things on the shelf by name, the water, and how this dyer writes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TypeVar

from skeinwright.core.foundations.quantities import Habits, say
from skeinwright.core.lot.lot import ShelfFact
from skeinwright.core.safety.drain import DrainLimits
from skeinwright.core.safety.for_step import Jars
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Acid, Base, Blend, Dye, Item, Leftover, Solution, Vessel, Water
from skeinwright.core.shelf.swatch import Lab

T = TypeVar("T")
HABITS = Habits()
DRAIN = DrainLimits()


@dataclass(frozen=True, kw_only=True, slots=True)
class OnShelf:
    """Things by (kind, name in lower case)."""

    things: Mapping[tuple[str, str], Item] = field(default_factory=lambda: MappingProxyType({}))
    water: Water | None = None
    habits: Habits = HABITS
    drain: DrainLimits = DRAIN
    """What the dyer's drain may have; printed where liquor goes down it."""
    calibrations: tuple[Calibration, ...] = ()
    """What the dyer's own tests found, newest first."""

    def find(self, cls: type[T], name: str) -> T | None:
        """The thing of this class with this name, in any case; None where the shelf has none."""
        found = self.things.get((cls.kind, name.strip().casefold()))  # type: ignore[attr-defined]
        return found if isinstance(found, cls) else None

    def all_of(self, cls: type[T]) -> dict[str, T]:
        """All things of a class by their name as written."""
        return {item.name: item for item in self.things.values() if isinstance(item, cls)}

    def undyed(self) -> dict[str, Lab]:
        """The undyed colour of each base that has one, by the base's name."""
        return {base.name: base.undyed for base in self.all_of(Base).values() if base.undyed is not None}

    @property
    def jars(self) -> Jars:
        """What the cautions look at."""
        return Jars(dyes=self.all_of(Dye), solutions=self.all_of(Solution), blends=self.all_of(Blend), acids=self.all_of(Acid))


def on_shelf(
    items: Iterable[Item], *, water: Water | None = None, habits: Habits = HABITS, drain: DrainLimits = DRAIN, calibrations: Iterable[Calibration] = ()
) -> OnShelf:
    """A shelf of these things; a later one takes the place of an earlier one of the same kind and name."""
    things = MappingProxyType({(item.kind, item.name.casefold()): item for item in items})
    return OnShelf(things=things, water=water, habits=habits, drain=drain, calibrations=tuple(calibrations))


def fact_of(item: Item) -> ShelfFact:
    """What two lots may differ in: batch, strength, date and the like, as one line."""
    said: list[str] = []
    batch = getattr(item, "batch", "")
    if batch:
        said.append(f"batch {batch}")
    if isinstance(item, Dye | Solution) or (isinstance(item, Acid) and item.strength is not None):
        said.append(say("fraction", item.strength or 0.0))
    if isinstance(item, Solution | Blend) and item.made_on is not None:
        said.append(f"made {item.made_on.isoformat()}")
    if isinstance(item, Leftover) and item.kept_on is not None:
        said.append(f"kept {item.kept_on.isoformat()}")
    if isinstance(item, Water):
        said.append("alkalinity not known" if item.alkalinity_mg_l is None else f"alkalinity {item.alkalinity_mg_l:g} mg/L")
        said += [item.source] if item.source else []
    if isinstance(item, Base) and item.superwash is not None:
        said.append("superwash" if item.superwash else "not superwash")
    if isinstance(item, Vessel):
        said.append(item.material)
        said += [f"on {item.stands_on}"] if item.stands_on else []
    return ShelfFact(item.kind, item.name, ", ".join(said))
