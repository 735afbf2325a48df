"""What this studio takes as given: how the dyer measures, and figures of the place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, ClassVar, Literal, cast

from skeinwright.core.shelf.field import ask

if TYPE_CHECKING:
    from skeinwright.core.foundations.quantities import Habits

SPOONS = ("us", "metric", "au")
DRAIN_LOW_PH, DRAIN_HIGH_PH = 5.0, 10.0
"""Outside of these a studio is warned where it has entered no limit of its own.

Below 5.0 is what 40 CFR 403.5(b) (United States, law for all but households) keeps out of public sewers; 10 is assumed. Local limits vary and go first.
"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Printer:
    """What a printer makes of the photo sheet's two rulers of 200 mm: the lengths that a real ruler shows, and when it was laid beside them."""

    name: str
    across_mm: float
    upright_mm: float
    checked_on: date


@dataclass(frozen=True, kw_only=True, slots=True)
class Settings:
    """One studio's settings. Defaults are assumptions that the dyer may correct.

    `drain_low_ph` and `drain_high_ph` are the limits of the local sewer works, which only the local code can give: the defaults are
    a warning and no limit, and count as not verified until `drain_source` names where the dyer's own figures come from. Altitude lowers the boiling point.
    """

    kind: ClassVar[str] = "settings"
    studio: str = ask("Name of the studio", "text", default="")
    spoons: str = ask("Spoons and cups", "choice", default="us", choices=SPOONS, help="A tablespoon is 14.8 ml (US), 15 ml (metric) or 20 ml (Australian).")
    drop_ml: float = ask("One drop", "volume", default=0.05, unit="ml", help="Count twenty drops into a small measure and divide.")
    currency: str = ask("Currency", "text", default="", help="The sign or letters that stand before a price.")
    altitude_m: float = ask("Height above sea level in metres", "count", default=0.0, unit="m", help="Water boils about 1 C lower for each 300 m.")
    energy_price_minor: int | None = ask("Price of one kilowatt-hour", "money", default=None)
    drain_low_ph: float = ask("Drain: lowest pH", "ph", default=DRAIN_LOW_PH, help="Your sewer works' own limit; not verified until you say whose.")
    drain_high_ph: float = ask("Drain: highest pH", "ph", default=DRAIN_HIGH_PH, help="Your sewer works' own limit; not verified until you say whose.")
    drain_source: str = ask("Where the drain limits come from", "text", default="", help="The paper and its date. Empty means not verified.")
    printers: tuple[Printer, ...] = ()
    """Printers whose photo sheet was checked with a ruler, the last one first."""
    demo: bool = False
    """True for the invented studio that is shipped to look around in."""
    begun: bool = False
    """True once it was set up or a setting was kept, even where all else is as at first: nobody is asked again how to begin."""

    def habits(self) -> Habits:
        """How this dyer writes quantities, for the parser."""
        from skeinwright.core.foundations.quantities import Habits

        return Habits(spoons=cast("Literal['us', 'metric', 'au']", self.spoons), drop_ml=self.drop_ml, currency=self.currency)
