"""A test of the dyer's own: how much faster a superwash base strikes than untreated wool, from two pieces in one bath. It goes to the base on the shelf."""

from __future__ import annotations

from dataclasses import dataclass, replace

from skeinwright.core.shelf.calibration import STRIKE, calibration_from
from skeinwright.core.shelf.field import ask
from skeinwright.core.shelf.items import Base
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.studio import Studio

STILL_ON = "Take the pieces out while both still gain: each share lies between 0 and 100 % of what it would end at."


@dataclass(frozen=True, kw_only=True, slots=True)
class TestedPair:
    """As typed: the superwash base, and the share of its full depth that the untreated and the superwash piece had got at 60 C."""

    base: str = ask("Superwash base", "choice", need=True)
    untreated: str = ask("The untreated piece has got", "fraction", need=True, help="Of its full depth: half as deep as fully dyed is 50 %.")
    superwash: str = ask("The superwash piece has got", "fraction", need=True, help="Of its own full depth, not of the other piece's.")


def measure_strike(studio: Studio, tested: TestedPair) -> Tested:
    """The factor with its spread, kept with the base. Raises ManyBadInputs with `where` the fields, or NotFound for an unknown base."""
    from skeinwright.core.bath.calibrate_pairs import superwash_pair, superwash_prior

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        base = reading.item("base", tested.base).thing
    assert isinstance(base, Base)
    untreated, superwash = (typed.amount(field, "fraction", most=0.999, sentence=STILL_ON) for field in ("untreated", "superwash"))
    if superwash <= untreated:
        typed.wrong("superwash", "The superwash piece should be the deeper one; look again at which is which.")
    typed.check()
    found, prior, today = superwash_pair(untreated, superwash), superwash_prior(), studio.now().date()
    speed, shift = found.speed, found.shift_c
    said = f"strikes {speed.value:.2g} times as fast as untreated wool at 60 °C ({speed.low:.2g} to {speed.high:.2g})"
    kept = calibration_from(speed, test="superwash", of_kind="base", of=base.name, quantity=STRIKE, made_on=today)
    sentences = (
        f"{base.name} {said}.",
        f"It is ahead by {shift.value:.0f} °C ({shift.low:.0f} to {shift.high:.0f}): it dyes as untreated wool does that much hotter.",
    )
    assumed = (
        f"Before the test: {prior.value:.2g} times ({prior.low:.2g} to {prior.high:.2g}).",
        "A depth read beside another is right within a factor of 1.25.",
    )
    return keep_test(studio, [kept], item=replace(base, strike_factor=round(speed.value, 2)), sentences=sentences, assumed=assumed)
