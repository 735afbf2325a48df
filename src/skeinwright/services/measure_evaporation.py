"""A test of the dyer's own: how fast a pot loses water, from its weight before and after. It goes to the pot, for its lid on or off."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.shelf.calibration import EVAPORATION, EVAPORATION_LID, calibration_from
from skeinwright.core.shelf.field import ask
from skeinwright.core.shelf.items import Vessel
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.studio import Studio

LID = ("off", "on")
LEAST_MIN = 5.0
OPEN_LID = 5.0
"""A usual lid lets 8 % through (5-15 %): five times that is hardly covered."""


@dataclass(frozen=True, kw_only=True, slots=True)
class WeighedPot:
    """As typed: which pot, its lid, temperature and minutes held, both weights, the room's temperature, and how finely the scale reads."""

    vessel: str = ask("Which pot", "choice", need=True)
    lid: str = ask("Its lid while you held the heat", "choice", default="off", need=True, choices=LID)
    temp: str = ask(
        "Temperature held", "temperature", need=True, help="Below the simmer: at a boil the loss says what the burner gives, not what the pot loses."
    )
    time: str = ask("For how long", "time", need=True)
    before: str = ask("Weight before", "mass", need=True, help="Pot, water and cover, cold.")
    after: str = ask("Weight after", "mass", need=True, help="The same things on the scale, cooled below 45 °C.")
    room: str = ask("Room", "temperature", default="21 C", more=True)
    scale: str = ask("The scale reads to", "mass", default="2 g", more=True)


def measure_evaporation(studio: Studio, tested: WeighedPot) -> Tested:
    """The pot's loss over that of still air, with its spread. Raises ManyBadInputs with `where` the fields, or NotFound for an unknown pot."""
    from skeinwright.core.bath.calibrate import evaporation_factor
    from skeinwright.core.bath.evaporation import BOIL_OFF_FROM_C
    from skeinwright.core.bath.heat import Surroundings, evaporation_kg_s, hot_pot
    from skeinwright.core.bath.pot_run import STILL_AIR, UNDER_A_LID

    with studio.store.reading() as reading:
        settings = reading.settings()
        typed = Typed(tested, settings.habits())
        vessel = reading.item("vessel", tested.vessel).thing
    assert isinstance(vessel, Vessel)
    lid = typed.choice("lid", LID)
    hottest = f"Hold it between 40 and {BOIL_OFF_FROM_C:.0f} °C: cooler, a scale cannot tell; hotter, it boils off what the burner gives."
    temp = typed.amount("temp", "temperature", least=39.9, most=BOIL_OFF_FROM_C, sentence=hottest)
    time = typed.amount("time", "time", least=60 * LEAST_MIN - 1, most=8 * 3600, sentence="Hold it for five minutes at least; half an hour is better.")
    before, after = typed.amount("before", "mass"), typed.amount("after", "mass")
    if after > before:
        typed.wrong("after", "The pot weighs more than before; look again at which is which, and what stood on the scale.")
    room = typed.amount("room", "temperature", least=-10.0, most=45.0, sentence="A room lies between -10 and 45 °C.")
    scale = typed.amount("scale", "mass")
    typed.check()
    pot, around = hot_pot(vessel, 1.0, 0.0, lid=lid == "on"), Surroundings(room_c=room, altitude_m=settings.altitude_m)
    found = evaporation_factor(pot, temp, time / 60, before - after, around, scale)
    per_h = 1000 * 3600 * evaporation_kg_s(pot, temp, around)
    quantity = EVAPORATION_LID if lid == "on" else EVAPORATION
    note = f"lid {lid}, {temp:.0f} °C, {time / 60:.0f} min"
    kept = calibration_from(found, test="evaporation", of_kind="vessel", of=vessel.name, quantity=quantity, made_on=studio.now().date(), note=note)
    hourly = f"{found.value * per_h:.0f} ml an hour at {temp:.0f} °C ({found.low * per_h:.0f} to {found.high * per_h:.0f})"
    over = "a usual lid lets through" if lid == "on" else "still air takes"
    sentences: tuple[str, ...] = (
        f"{vessel.name}, lid {lid}: {found.value:.2g} times what {over} ({found.low:.2g} to {found.high:.2g}).",
        f"That is {hourly}.",
    )
    if lid == "on" and found.value > OPEN_LID:
        sentences = (*sentences, "That is about what the open pot loses: look again whether the lid was on, and take this back if it was not.")
    usual = UNDER_A_LID if lid == "on" else STILL_AIR
    loss = "a usual lid's loss (8 % of the open pot's)" if lid == "on" else "still air's loss"
    assumed = (
        f"Before the test: {loss}, times {usual.low:.2g} to {usual.high:.2g}.",
        "The thermometer is right within 2 °C, the room's air half full of moisture.",
    )
    return keep_test(studio, [kept], sentences=sentences, assumed=assumed)
