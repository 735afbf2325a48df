"""A test of the dyer's own: what nylon takes beside wool, from pieces dyed in one pot. It goes to the base that has nylon in it."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.shelf.calibration import NYLON, NYLON_FULL, calibration_from
from skeinwright.core.shelf.field import ask
from skeinwright.core.shelf.items import Base
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class NylonPieces:
    """As typed: the base that it is for, the weights, and nylon's depth over wool's in a pale and, where it was made, a deep dyeing."""

    base: str = ask("For which base", "choice", need=True, help="A base with nylon in it.")
    wool: str = ask("Wool in the pot", "mass", default="10 g", need=True)
    nylon: str = ask("Nylon in the pot", "mass", default="10 g", need=True)
    pale_depth: str = ask("Pale: dye on the weight of both", "fraction", default="0.2 %", need=True)
    pale_ratio: str = ask("Pale: the nylon is as deep as the wool, times", "text", need=True, help="'3 times'; as deep is '1', half as deep is '0.5'.")
    deep_depth: str = ask("Deep: dye on the weight of both", "fraction", default="3 %", more=True)
    deep_ratio: str = ask("Deep: the nylon is as deep as the wool, times", "text", default="", more=True)


def measure_nylon(studio: Studio, tested: NylonPieces) -> Tested:
    """Nylon's preference with its spread, and what it holds where a deep dyeing was made. Raises ManyBadInputs, or NotFound for an unknown base."""
    from skeinwright.core.bath.calibrate_pairs import NylonReading, nylon_pair

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        base = reading.item("base", tested.base).thing
    assert isinstance(base, Base)
    wool, nylon = typed.amount("wool", "mass"), typed.amount("nylon", "mass")
    between = "A depth here lies above nothing and below 20 %."
    dyeings = [("pale_depth", "pale_ratio")] + ([("deep_depth", "deep_ratio")] if tested.deep_ratio.strip() else [])
    read = [(typed.amount(depth, "fraction", most=0.2, sentence=between), typed.times(ratio)) for depth, ratio in dyeings]
    if len(read) > 1 and read[1][0] <= read[0][0]:
        typed.wrong("deep_depth", "The deep dyeing has more dye than the pale one.")
    typed.check()
    share = nylon / (wool + nylon)
    found = nylon_pair(tuple(NylonReading(1000 * depth, share, ratio) for depth, ratio in read))
    today, slope, full = studio.now().date(), found.slope, found.saturation_g_kg
    note = ", ".join(f"{100 * depth:.2g} %: {ratio:.2g} times" for depth, ratio in read)
    kept = [calibration_from(slope, test="nylon", of_kind="base", of=base.name, quantity=NYLON, made_on=today, note=note)]
    sentences = [f"{base.name}: of a trace of dye its nylon takes {slope.value:.2g} times what its wool takes ({slope.low:.2g} to {slope.high:.2g})."]
    if len(read) > 1:
        kept.append(calibration_from(full, test="nylon", of_kind="base", of=base.name, quantity=NYLON_FULL, made_on=today, note=note))
        sentences.append(f"Its nylon is full at {full.value / 10:.2g} % of its own weight ({full.low / 10:.2g} to {full.high / 10:.2g} %).")
    else:
        sentences.append("What nylon holds at most is still assumed: a deep dyeing of the same two would tell.")
    assumed = ("Before the test: 5 times (2 to 15); full at 2 % (1 to 3.5 %).", "The liquor was clear, and a depth seen is right within a factor of 1.25.")
    return keep_test(studio, kept, sentences=sentences, assumed=assumed)
