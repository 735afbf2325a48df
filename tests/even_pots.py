"""A pot whose dye is even from the start, as core/bath runs it: what the spread model is held against."""

from __future__ import annotations

from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddWater, DyeInPot, FibreInPot, LayIn, PotRun
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.spread.derive import Pot


def even_run(pot: Pot, programme: tuple[tuple[float, float], ...]) -> PotRun:
    """The pot in core/bath's own words: water, acids and dye at once, the yarn in it from the start."""
    return PotRun(
        fibres=tuple(FibreInPot(base="yarn", kind=kind, mass_g=pot.fibre_g * share) for kind, share in pot.kinds),
        dyes=tuple(DyeInPot(name=name, dye_class=cls) for name, cls, _ in pot.dyes),
        events=(
            AddWater(at_s=0, volume_ml=pot.water_ml - sum(dose.amount for dose in pot.acids)),
            *(AddAcid(at_s=0, acid=dose.acid, amount=dose.amount) for dose in pot.acids),
            AddDye(at_s=0, grams=tuple((name, mass) for name, _, mass in pot.dyes)),
            LayIn(at_s=0),
        ),
        programme=programme,
        alkalinity=Estimate.exact(pot.alkalinity_mg_l, "mg/L"),
    )
