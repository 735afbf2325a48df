"""A test of the dyer's own: how fast colour strikes in her pan, from strands lifted after some seconds. It goes to the base."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.calibration import SPREAD_LENGTH, STRIKE_85, calibration_from, newest
from skeinwright.core.shelf.field import ask
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class LiftedStrands:
    """As typed: the base, the pan's temperature, and lines of a time and the share of the finished strand's depth that the strand had got."""

    base: str = ask("Which base", "choice", need=True)
    temp: str = ask("The pan's temperature", "temperature", default="85 C", need=True)
    strands: str = ask(
        "Strands", "long text", need=True, help="One a line: a time after they went in, and how deep it is against the finished strand: '30 s 35 %'."
    )


def measure_strand_strike(studio: Studio, tested: LiftedStrands) -> Tested:
    """The rate of strike with its spread; with a spread length of the base, how fast dye spreads too. Raises ManyBadInputs, or NotFound."""
    from skeinwright.core.spread.calibrate import at_85, diffusion_from, strike_rate

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        base = reading.item("base", tested.base).thing
        length = newest((kept.thing for kept in reading.calibrations(of_kind="base", of=base.name)), SPREAD_LENGTH)
    temp = typed.amount("temp", "temperature", least=19.9, most=100.0, sentence="A pan is held between 20 and 100 °C.")
    lines = typed.lines("strands", "30 s 35 %")
    if not typed.problems and len(lines) < 2:
        typed.wrong("strands", "Lift two strands at least, for example after 30, 60 and 120 s.")
    if any(share > 1.5 for _, share in lines):
        typed.wrong("strands", "A strand cannot be much deeper than the finished one; look again at which is which.")
    typed.check()
    found = strike_rate(lines, temp_c=temp)
    note = f"{temp:.0f} °C{'; ' + found.note if found.note else ''}"
    kept = calibration_from(at_85(found, temp), test="strike", of_kind="base", of=base.name, quantity=STRIKE_85, made_on=studio.now().date(), note=note)
    half = Estimate(0.693 / found.value, 0.693 / found.high, 0.693 / found.low, "s", Origin.MEASURED)
    sentences = [
        f"On {base.name}, {100 * found.value:.2g} % of what is left strikes in a second ({100 * found.low:.2g} to {100 * found.high:.2g} %) at {temp:.0f} °C.",
        f"Half has struck after {half.value:.0f} s ({half.low:.0f} to {half.high:.0f} s).",
    ]
    if found.note:
        sentences.append(f"{found.note[:1].upper()}{found.note[1:]}.")
    if length is not None and length.value > 0:
        spreads = diffusion_from(found, length.estimate)
        sentences.append(f"With the spread length of {length.made_on.isoformat()}, dye spreads at {_scientific(spreads)} cm²/s along the strands.")
    assumed = ("Before the test: 3 % in a second (0.3 to 15 %) at 85 °C.", "A depth read beside the finished strand is right within 3 %.")
    return keep_test(studio, [kept], sentences=sentences, assumed=assumed)


def _scientific(one: Estimate) -> str:
    return f"{one.value:.1e} ({one.low:.1e} to {one.high:.1e})"
