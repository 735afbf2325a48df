"""A test of the dyer's own: the alkalinity of a water from one pH of it with a known dose of vinegar. It goes to the water on the shelf."""

from __future__ import annotations

from dataclasses import dataclass, replace

from skeinwright.core.shelf.calibration import ALKALINITY, calibration_from
from skeinwright.core.shelf.field import ask
from skeinwright.core.shelf.items import Water
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.studio import Studio

READ_WITH = ("strip", "meter")


@dataclass(frozen=True, kw_only=True, slots=True)
class TestedWater:
    """As typed: which water, how much of it, vinegar's strength and amount, the pH, and what it was read with."""

    water: str = ask("Which water", "choice", need=True)
    volume: str = ask("How much water", "volume", default="4 l", need=True)
    vinegar: str = ask("Vinegar", "volume", default="15 ml", need=True)
    strength: str = ask("Its strength, from the label", "fraction", default="5 %", need=True)
    ph: str = ask("pH", "ph", need=True, help="As it was read, after a minute; best between 4 and 5.5.")
    read_with: str = ask("Read with", "choice", default="strip", need=True, choices=READ_WITH)


def measure_alkalinity(studio: Studio, tested: TestedWater) -> Tested:
    """The alkalinity with its spread, kept with the water. Raises ManyBadInputs with `where` the fields, or NotFound for an unknown water."""
    from skeinwright.core.bath.acids import AcidAsBought, AcidDose
    from skeinwright.core.bath.calibrate import alkalinity_from_ph
    from skeinwright.core.bath.ph import Bath
    from skeinwright.core.bath.uptake_of_acid import METER_HALF_WIDTH, STRIP_HALF_WIDTH
    from skeinwright.core.bath.waters import ASSUMED_ALKALINITY

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        water = reading.item("water", tested.water).thing
    assert isinstance(water, Water)
    some = "It takes some water and some vinegar."
    volume, vinegar = typed.amount("volume", "volume", sentence=some), typed.amount("vinegar", "volume", sentence=some)
    strength = typed.amount("strength", "fraction", most=1.0, sentence="A vinegar has between 0 and 100 % of acid.")
    ph = typed.amount("ph", "ph", least=2.0, most=9.0, sentence="A pH here is a figure between 2 and 9, such as 5.1.")
    read_with = typed.choice("read_with", READ_WITH)
    typed.check()
    bath = Bath(volume_ml=volume + vinegar, alkalinity=ASSUMED_ALKALINITY, doses=(AcidDose(AcidAsBought("vinegar", strength), vinegar),))
    found = alkalinity_from_ph(bath, ph, STRIP_HALF_WIDTH if read_with == "strip" else METER_HALF_WIDTH)
    today = studio.now().date()
    said = f"{found.value:.0f} mg/L ({found.low:.0f} to {found.high:.0f}), from one pH by {read_with}"
    changed = replace(water, alkalinity_mg_l=float(round(found.value)), source=f"own test: {said}", measured_on=today)
    kept = calibration_from(found, test="alkalinity", of_kind="water", of=water.name, quantity=ALKALINITY, made_on=today, note=f"from one pH by {read_with}")
    return keep_test(studio, [kept], item=changed, sentences=(f"{water.name}: {said}.",), assumed=("The vinegar is as its label says, within 5 %.",))
