"""Invented things to keep: hypothesis strategies for every shelf kind, and one lot that uses every field."""

import dataclasses
from datetime import date, datetime, timedelta, timezone
from types import MappingProxyType
from typing import Any

from hypothesis import strategies as st

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot, Planned, Row, ShelfFact, Use
from skeinwright.core.shelf.field import Ask
from skeinwright.core.shelf.items import KINDS, Base, Dye, Vessel, Water
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

NOW = datetime(2026, 11, 24, 9, 30, 5, 250, tzinfo=timezone(timedelta(hours=1)))

words = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=12)
names = st.text(st.characters(codec="utf-8", categories=("L", "N")), min_size=1, max_size=12)
numbers = st.floats(min_value=1e-6, max_value=1e9, allow_nan=False)
dates = st.dates(date(1950, 1, 1), date(2100, 1, 1))
counts = st.integers(1, 10**9)
labs = st.builds(Lab, st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120), st.sampled_from(["D65", "A"]), st.sampled_from([2, 10]))
parts = st.lists(st.tuples(names, st.floats(0, 1)), min_size=1, max_size=4, unique_by=lambda part: part[0]).map(tuple)
swatches = st.builds(
    Swatch,
    depth=st.floats(0, 0.1),
    lab=labs,
    reading=st.sampled_from(Reading),
    base=words,
    said=words,
    spectrum=st.just(()) | st.just(((400.0, 0.25), (410.0, 0.3125))),
    repeats=st.integers(1, 9),
    read_on=st.none() | dates,
    own_sd=st.none() | st.floats(0.1, 9),
)
BY_KIND: dict[str, Any] = {
    "text": words, "long text": words, "link": words, "twist": words, "date": dates, "count": counts, "money": counts, "yes no": st.booleans(),
    "lab": labs, "parts": parts, "amounts": parts, "swatches": st.lists(swatches, max_size=3).map(tuple),
}  # fmt: skip


def items(kind: str) -> st.SearchStrategy[Any]:
    """Any thing of a shelf kind, field by field as its `Ask` describes it."""
    values: dict[str, Any] = {}
    for field in dataclasses.fields(KINDS[kind]):
        how: Ask = field.metadata["ask"]
        value = names if field.name == "name" else st.sampled_from(how.choices) if how.choices else BY_KIND.get(how.kind, numbers)
        values[field.name] = value | st.none() if field.default is None else value
    return st.builds(KINDS[kind], **values)


TIDEWRACK = Colourway(
    name="Tidewrack",
    steps=(
        Step("fill", MappingProxyType({"volume": "4 l"})),
        Step("add dye", MappingProxyType({"dye": "Kelp", "depth": "0.8 %"})),
        Step("add dye", MappingProxyType({"recipe": "Kelp 0.5 %, Kelp Deep 0.2 %"})),
        Step("sprinkle", MappingProxyType({"blend": "Foam", "amount": "0.15 g", "over": "all"})),
        Step("note", MappingProxyType({"text": "Kelp smells"})),
    ),
    fibre="2 skeins of 115 g",
    bases=("Quay Sock", "Pier DK"),
    water="Tap",
    vessel="Pan",
    notes="Grey like the sea.",
    over="2026-11-20-A",
    water_volume="",
)
OWN = Colourway(
    name="Carried",
    steps=(Step("soak"),),
    own_base=Base(name="Loose", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=4e5, undyed=Lab(92, 0, 8)),
    own_water=Water(name="Rain", alkalinity_mg_l=5.0, measured_on=date(2026, 1, 2)),
    own_vessel=Vessel(name="Tray", shape="rectangle", length_mm=500, width_mm=300, height_mm=100, lid=False),
    own_dyes=(Dye(name="Ember", swatches=(Swatch(depth=0.02, lab=Lab(45, 50, 40), reading=Reading.HEX, spectrum=((400.0, 0.1),)),)),),
    water_volume="1.9 l",
)

LOT = Lot(
    code="2026-11-24-A",
    day=date(2026, 11, 24),
    title="Tidewrack for the fair",
    colourway=TIDEWRACK,
    rows=(
        Row(number=1, base="Quay Sock", skeins=3, skein_g=100.0, vessel="Pan", mark="2 ties", over="2026-11-20-A"),
        Row(number=2, base="Pier DK", skeins=1, skein_g=115.0, vessel="Pot"),
    ),
    plan=(
        Planned(
            number=1,
            step=TIDEWRACK.steps[1],
            sentence="Add 0.8 % of Kelp",
            doses=(
                Dose(vessel="Pan", kind="dye", name="Kelp", amount=2.4, unit="g", said="2.40 g"),
                Dose(vessel="Pot", kind="dye", name="Kelp", amount=0.92, unit="g"),
            ),
            start_min=12.5,
            minutes=2.0,
            cautions=("powder",),
            cautions_in=(("Pan", "heavy"),),
            notes=("Assumed 100 %.",),
        ),
        Planned(number=2, step=Step("turn"), sentence="Turn the yarn over"),
    ),
    unplanned=True,
    copied_from="2026-11-01-A",
    old=False,
    notes="for Nell",
    when_said="24 November",
    assumed=("The water is 120 mg/L.",),
    warnings=("The pot is small.",),
    shelf=(ShelfFact("dye", "Kelp", "batch 12, 80 %"),),
)
KEYED = dataclasses.replace(LOT, code="2026-11-24-B", key="form-1")


def tick(lot: str = LOT.code, step: int = 1, vessel: str = "Pan", **more: Any) -> Entry:
    """A tick of one step in one vessel."""
    return Entry(lot=lot, what=more.pop("what", Entered.TICK), at=NOW, entered_at=NOW + timedelta(minutes=10), step=step, vessel=vessel, **more)


USE = Use(lot=LOT.code, kind="dye", name="Kelp", amount=2.4, unit="g")
