"""A test of the dyer's own: how fast a dye goes on and how much of it, from samples of liquor over time. It goes to the dye."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.shelf.calibration import PARTITION, RATE, calibration_from
from skeinwright.core.shelf.field import ask
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.studio import Studio

MOVED = ("kept moving", "still")


@dataclass(frozen=True, kw_only=True, slots=True)
class SampledLiquor:
    """As typed: the dye, the yarn, the pot, and lines of a time and the share of the fresh liquor's dye that the sample still had."""

    dye: str = ask("Which dye", "choice", need=True)
    base: str = ask("On which base", "choice", need=True)
    fibre: str = ask("Yarn in the pot", "mass", default="10 g", need=True)
    water: str = ask("Liquor", "volume", default="300 ml", need=True)
    depth: str = ask("Dye on the yarn's weight", "fraction", default="1 %", need=True)
    temp: str = ask("Temperature held", "temperature", default="80 C", need=True)
    ph: str = ask("pH before the dye", "ph", default="4.5", need=True, help="By strip or meter, before the dye: coloured liquor cannot be read.")
    moved: str = ask("The yarn was", "choice", default="kept moving", need=True, choices=MOVED)
    samples: str = ask(
        "Samples", "long text", need=True, help="One a line: a time after the yarn went in, and how strong it still was against the fresh liquor: '5 min 62 %'."
    )


def measure_liquor(studio: Studio, tested: SampledLiquor) -> Tested:
    """Speed and partition over the dye's class, with their spread. Raises ManyBadInputs with `where` the fields, or NotFound for an unknown dye or base."""
    from skeinwright.core.bath.calibrate import LiquorSample, rate_and_partition
    from skeinwright.core.bath.calibrate_class import SampledPot, class_factors

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        dye, base = reading.item("dye", tested.dye).thing, reading.item("base", tested.base).thing
    assert isinstance(dye, Dye)
    assert isinstance(base, Base)
    fibre, water = typed.amount("fibre", "mass"), typed.amount("water", "volume")
    depth = typed.amount("depth", "fraction", most=0.2, sentence="A depth here lies above nothing and below 20 %.")
    temp = typed.amount("temp", "temperature", least=19.9, most=100.0, sentence="A bath is held between 20 and 100 °C.")
    ph = typed.amount("ph", "ph", least=2.0, most=9.0, sentence="A pH here is a figure between 2 and 9, such as 4.5.")
    moved = typed.choice("moved", MOVED)
    lines = typed.lines("samples", "5 min 62 %")
    if not typed.problems and len(lines) < 2:
        typed.wrong("samples", "Two samples of the liquor at least, an early one and a late one.")
    if any(share > 1.25 for _, share in lines):
        typed.wrong("samples", "A sample cannot be much stronger than the fresh liquor; look again at which is which.")
    typed.check()
    samples = [LiquorSample(time_s, share) for time_s, share in lines]
    pot = SampledPot(
        dye_class=dye.dye_class, superwash=bool(base.superwash), ratio_l_kg=water / fibre, dose_g_kg=1000 * depth, temp_c=temp, ph=ph, stirred=moved == MOVED[0]
    )
    found, plain = class_factors(pot, samples), rate_and_partition([LiquorSample(one.time_s, min(one.left, 1.0)) for one in samples], pot.ratio_l_kg)
    today, note = studio.now().date(), f"on {base.name}, {temp:.0f} °C, pH {ph:g}"
    kept = [
        calibration_from(one, test="liquor", of_kind="dye", of=dye.name, quantity=quantity, made_on=today, note=note)
        for one, quantity in ((found.rate, RATE), (found.partition, PARTITION))
    ]
    end = plain.kp_l_kg.value / (plain.kp_l_kg.value + pot.ratio_l_kg)
    the_class = f"a dye of its class, {dye.dye_class}"
    rate, partition = found.rate, found.partition
    sentences = (
        f"{dye.name} goes into the fibre {rate.value:.2g} times as fast ({rate.low:.2g} to {rate.high:.2g}) as {the_class}.",
        f"It belongs on the fibre {partition.value:.2g} times as much ({partition.low:.2g} to {partition.high:.2g}).",
        f"In this bath {f'about {100 * end:.0f} %' if end < 0.985 else 'nearly all'} goes on in the end, half of it within {_minutes(plain.half_time_s)}.",
    )
    assumed = (
        "Before the test: once, times or divided by 5 in speed and by 3 in partition.",
        "A share read against the fresh liquor is right within 5 % of it; water at the yarn's face is as usual, times or divided by 2.",
    )
    return keep_test(studio, kept, sentences=sentences, assumed=assumed)


def _minutes(time_s: float) -> str:
    return f"{time_s:.0f} s" if time_s < 90 else f"{time_s / 60:.0f} min"
