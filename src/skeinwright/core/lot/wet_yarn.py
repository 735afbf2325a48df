"""Presoaked yarn brings water, and what was in the soak, into the bath: assumed while the lot is planned, from the scale once the wet yarn was weighed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.bath.liquor import pick_up_ml
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.foundations.quantities import parse_water, say
from skeinwright.core.lot.lot import Entered, Entry, Lot, Planned
from skeinwright.core.lot.state import LotState, vessels_of

SQUEEZED_ML_G = (1.5, 1.0, 2.2)
"""Water in squeezed yarn, ml for a gram of fibre: usual, least, most [assumed]."""
SPUN_ML_G = (0.6, 0.4, 0.9)
"""The same after a spin dryer [assumed]."""
_WETS = ("soak", "rinse")


def wet_yarn_ml(before: Sequence[Step], fibre_g: float) -> Estimate | None:
    """Water that yarn brings after these steps, fibre_g x `SQUEEZED_ML_G` (or `SPUN_ML_G`), in ml; None where it comes dry."""
    wet: tuple[float, float, float] | None = None
    for step in before:
        if step.do in _WETS:
            wet = SQUEEZED_ML_G
        elif step.do == "spin" and wet is not None:
            wet = SPUN_ML_G
        elif step.do == "hang":
            wet = None
    if wet is None:
        return None
    value, low, high = (fibre_g * each for each in wet)
    return Estimate(value, low, high, "ml", Origin.ASSUMED, "how wet the yarn is when it goes in")


def is_all_of_it(volume: str) -> bool:
    """True where a "fill" names all the liquid (a liquor ratio, "to cover"), of which others bring their part; False for a volume of water."""
    try:
        return parse_water(volume).kind != "volume"
    except BadInput:
        return False


@dataclass(frozen=True, slots=True)
class Weighed:
    """Wet yarn as weighed for one vessel: what was on the scale, what all the yarn of the vessel brings, and the water to run in for each fill by its step.

    Where only some rows were weighed, all the yarn of the vessel is taken to be as wet as those.
    """

    wet_g: float
    brings_ml: float
    water_ml: dict[int, float]

    @property
    def said(self) -> str:
        """weighed wet 262 g: brings 162 ml; run in 4.72 l"."""
        run_in = "".join(f"; run in {say('volume', water_ml)}" for water_ml in self.water_ml.values())
        return f"weighed wet {say('mass', self.wet_g, digits=4)}: brings {say('volume', self.brings_ml)}{run_in}"


def weighed_wet(lot: Lot, state: LotState) -> dict[str, Weighed | str]:
    """By vessel, what its standing wet weights come to; a sentence where they cannot be right. Vessels without any are left out.

    water = planned water + assumed wet yarn - weighed wet yarn, never below nothing; only fills that name all the liquid are put right.
    """
    found: dict[str, Weighed | str] = {}
    for vessel in vessels_of(lot):
        mine = [entry for entry in state.readings if entry.what is Entered.WET_WEIGHT and vessel_of(lot, entry) == vessel]
        if mine:
            try:
                found[vessel] = _weighed(lot, vessel, mine)
            except BadInput as problem:
                found[vessel] = problem.sentence
    return found


def vessel_of(lot: Lot, entry: Entry) -> str:
    """The vessel that a reading is of: the one that it names, its row's, or the only one."""
    row = next((row.vessel for row in lot.rows if row.number == entry.row), "")
    vessels = vessels_of(lot)
    return entry.vessel or row or (vessels[0] if len(vessels) == 1 else "")


def _weighed(lot: Lot, vessel: str, entries: Sequence[Entry]) -> Weighed:
    rows = [row for row in lot.rows if row.vessel == vessel]
    fibre_g = sum(row.fibre_g for row in rows)
    whole = [entry for entry in entries if entry.row is None]
    by_row = {entry.row: entry for entry in entries if entry.row is not None}
    newest = [whole[-1]] if whole and (not by_row or (whole[-1].id or 0) > max(entry.id or 0 for entry in by_row.values())) else list(by_row.values())
    wet_g = sum(entry.value or 0.0 for entry in newest)
    dry_g = fibre_g if newest[0].row is None else sum(row.fibre_g for row in rows if row.number in by_row)
    if not dry_g > 0:
        raise BadInput("What the yarn weighs dry is not known, so its water is not either.")
    brings_ml = pick_up_ml(wet_g, dry_g) * fibre_g / dry_g
    return Weighed(wet_g, brings_ml, _put_right(lot.plan, vessel, fibre_g, brings_ml))


def _put_right(plan: Sequence[Planned], vessel: str, fibre_g: float, brings_ml: float) -> dict[int, float]:
    """The first fill that was planned with wet yarn, with the water as it should be."""
    for place, planned in enumerate(plan):
        if planned.step.do != "fill":
            continue
        assumed = wet_yarn_ml([one.step for one in plan[:place]], fibre_g)
        water = next((dose.amount for dose in planned.doses if dose.vessel == vessel and dose.kind == "water"), None)
        if water and assumed is not None and is_all_of_it(planned.step.get("volume")):
            return {planned.number: max(0.0, water + assumed.value - brings_ml)}
        return {}
    return {}
