"""What this studio takes as given: how the dyer measures, and figures of the place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal, cast

from skeinwright.core.shelf.field import ask

if TYPE_CHECKING:
    from skeinwright.core.foundations.quantities import Habits

SPOONS = ("us", "metric", "au")


@dataclass(frozen=True, kw_only=True, slots=True)
class Settings:
    """One studio's settings. Defaults are assumptions that the dyer may correct.

    `drain_low_ph` and `drain_high_ph` are the limits of the local sewer works, which only the local code can give: the defaults are a common
    range and count as not verified until `drain_source` names where the dyer's own figures come from. Altitude lowers the boiling point.
    """

    kind: ClassVar[str] = "settings"
    studio: str = ask("Name of the studio", "text", default="")
    spoons: str = ask("Spoons and cups", "choice", default="us", choices=SPOONS, help="A tablespoon is 14.8 ml (us), 15 ml (metric) or 20 ml (au).")
    drop_ml: float = ask("One drop", "volume", default=0.05, unit="ml", help="Count twenty drops into a small measure and divide.")
    currency: str = ask("Currency", "text", default="", help="The sign or letters that stand before a price.")
    altitude_m: float = ask("Height above sea level in metres", "count", default=0.0, unit="m", help="Water boils about 1 C lower for each 300 m.")
    energy_price_minor: int | None = ask("Price of one kilowatt-hour", "money", default=None)
    drain_low_ph: float = ask("Drain: lowest pH", "ph", default=6.0, help="Your sewer works' own limit. Not verified until you enter it.")
    drain_high_ph: float = ask("Drain: highest pH", "ph", default=9.0, help="Your sewer works' own limit. Not verified until you enter it.")
    drain_source: str = ask("Where the drain limits come from", "text", default="", help="The paper and its date. Empty means not verified.")
    demo: bool = False
    """True for the invented studio that is shipped to look around in."""

    def habits(self) -> Habits:
        """How this dyer writes quantities, for the parser."""
        from skeinwright.core.foundations.quantities import Habits

        return Habits(spoons=cast("Literal['us', 'metric', 'au']", self.spoons), drop_ml=self.drop_ml, currency=self.currency)
