"""What a test of the dyer's own found: a figure with its spread and its day, kept beside the thing that was tested.

A newer calibration of the same quantity of the same thing takes the place of an older one, which stays to be read. The quantities in use:

======================  ======  =============================================================================================================
quantity                of      what it is
======================  ======  =============================================================================================================
alkalinity              water   mg/L as calcium carbonate
evaporation_factor      vessel  what the pan loses to the air over what still air would take, lid off
evaporation_factor_lid  vessel  the same with the lid on, over what still air would take under a usual lid
strike_factor           base    speed of strike over that of untreated wool at 60 C
nylon_preference        base    depth of a trace of dye on the base's nylon over that on its wool
nylon_full_g_kg         base    dye that the base's nylon holds at most
rate_factor             dye     speed of diffusion in the fibre over that of the dye's class
partition_factor        dye     partition between fibre and water over that of the dye's class
footprint_mm            dye     standard deviation of the stain of one median grain on wet paper
grain_mm                dye     median radius of a grain of the powder
grain_sd                dye     geometric standard deviation of the grains' radii
spread_length_mm        base    how far dye went along the strands before it struck, sqrt(D/k)
spread_across_mm        base    the same across the strands
strike_85_per_s         base    rate of strike in the pan, carried to 85 C
wet_match               base    how much deeper the yarn looks wet
relax_length            base    length of a strand after washing over its wet length
relax_width             base    thickness of a strand after washing over its wet thickness
stitch_mm               base    yarn in a stitch of the dyer's own plain knit, from a ravelled swatch
wet_length_mm           base    the wet half of that test, until the dry half comes; also wet_wraps, wet_width_mm
======================  ======  =============================================================================================================
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import isfinite
from typing import ClassVar

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin

ALKALINITY = "alkalinity"
EVAPORATION = "evaporation_factor"
EVAPORATION_LID = "evaporation_factor_lid"
STRIKE = "strike_factor"
NYLON = "nylon_preference"
NYLON_FULL = "nylon_full_g_kg"
RATE = "rate_factor"
PARTITION = "partition_factor"
FOOTPRINT = "footprint_mm"
GRAIN = "grain_mm"
GRAIN_SD = "grain_sd"
SPREAD_LENGTH = "spread_length_mm"
SPREAD_ACROSS = "spread_across_mm"
STRIKE_85 = "strike_85_per_s"
WET = "wet_match"


@dataclass(frozen=True, slots=True)
class Calibration:
    """One figure from one test: `low` to `high` hold it nine times in ten.

    `of_kind` is a kind of the shelf ("water", "base", "dye", "vessel", ...) and `of` the name there; both are "" for the studio as a whole.
    `quantity` is one of the words above, `test` the name of the test as the page has it, `lot` the code of the lot where the test was one.
    """

    test: str
    of_kind: str
    of: str
    quantity: str
    value: float
    low: float
    high: float
    unit: str
    made_on: date
    lot: str = ""
    note: str = ""
    kind: ClassVar[str] = "calibration"

    def __post_init__(self) -> None:
        if not all(isfinite(one) for one in (self.value, self.low, self.high)) or not self.low <= self.value <= self.high:
            raise BadInput("A calibration is a figure that lies inside its own interval; look at what was typed.", where=self.quantity)

    @property
    def name(self) -> str:
        """What the journal calls it: "evaporation_factor of Blue pot"."""
        return f"{self.quantity} of {self.of}" if self.of else self.quantity

    @property
    def estimate(self) -> Estimate:
        """The figure as an estimate that rests on the dyer's own measurement."""
        return Estimate(self.value, self.low, self.high, self.unit, Origin.MEASURED, f"{self.test}, {self.made_on.isoformat()}")


def calibration_from(found: Estimate, *, test: str, of_kind: str, of: str, quantity: str, made_on: date, lot: str = "", note: str = "") -> Calibration:
    """The estimate `found` as a calibration of `quantity` of one thing; its own note is kept where none is given."""
    return Calibration(test, of_kind, of, quantity, found.value, found.low, found.high, found.unit, made_on, lot, note or found.note)


def newest(calibrations: Iterable[Calibration], quantity: str) -> Calibration | None:
    """The one that counts for `quantity` among calibrations of one thing listed newest first (as the store lists them), or None."""
    return next((one for one in calibrations if one.quantity == quantity), None)
