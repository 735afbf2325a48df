"""A test of the dyer's own: the alkalinity of a water from one pH of it with a known dose of vinegar. It goes to the water on the shelf."""

from __future__ import annotations

from dataclasses import dataclass, replace

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.shelf.items import Item, Water
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.studio import Studio

READ_WITH = ("strip", "meter")


@dataclass(frozen=True, kw_only=True, slots=True)
class TestedWater:
    """As typed: which water, how much of it, vinegar's strength and amount, the pH, and what it was read with."""

    water: str
    volume: str
    strength: str
    vinegar: str
    ph: str
    read_with: str = "strip"


def measure_alkalinity(studio: Studio, tested: TestedWater) -> tuple[Kept[Item], Change, Estimate]:
    """The water with its alkalinity, the change that can be taken back, and the value with its spread.

    Value, spread and date are kept with the water. Raises BadInput with `where` the field, or NotFound for an unknown water.
    """
    from skeinwright.core.bath.acids import AcidAsBought, AcidDose
    from skeinwright.core.bath.calibrate import alkalinity_from_ph
    from skeinwright.core.bath.ph import Bath
    from skeinwright.core.bath.uptake_of_acid import METER_HALF_WIDTH, STRIP_HALF_WIDTH
    from skeinwright.core.bath.waters import ASSUMED_ALKALINITY

    with studio.store.writing() as writing:
        habits = writing.settings().habits()
        volume, vinegar = (parse("volume", said, where=where, habits=habits).value for said, where in ((tested.volume, "volume"), (tested.vinegar, "vinegar")))
        strength = parse("fraction", tested.strength, where="strength", habits=habits).value
        ph = _ph(tested.ph)
        if tested.read_with not in READ_WITH:
            raise BadInput("Say whether it was a strip or a meter.", where="read_with")
        if volume <= 0 or vinegar <= 0:
            raise BadInput("It takes some water and some vinegar.", where="vinegar" if volume > 0 else "volume")
        bath = Bath(volume_ml=volume + vinegar, alkalinity=ASSUMED_ALKALINITY, doses=(AcidDose(AcidAsBought("vinegar", strength), vinegar),))
        found = alkalinity_from_ph(bath, ph, STRIP_HALF_WIDTH if tested.read_with == "strip" else METER_HALF_WIDTH)
        kept = writing.item("water", tested.water)
        assert isinstance(kept.thing, Water)
        now = studio.now()
        source = f"own test: {found.value:.0f} mg/L ({found.low:.0f} to {found.high:.0f}), from one pH by {tested.read_with}"
        thing = replace(kept.thing, alkalinity_mg_l=float(round(found.value)), source=source, measured_on=now.date())
        return writing.replace_item("water", kept.id, thing, revision=kept.revision, now=now), writing.made[-1], found


def _ph(said: str) -> float:
    try:
        found = float(said.strip().replace(",", "."))
    except ValueError:
        found = float("nan")
    if not 2 <= found <= 9:
        raise BadInput("A pH here is a figure between 2 and 9, such as 5.1.", where="ph", text=said)
    return found
