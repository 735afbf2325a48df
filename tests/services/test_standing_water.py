"""A file with its own pan and water, from the import to the forecast and the lot."""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.draft_lot import draft_lot
from skeinwright.services.forecast_colourway import forecast_colourway
from skeinwright.services.import_colourway import import_colourway
from skeinwright.services.start_lot import StartLot, start_lot
from skeinwright.services.studio import Studio

FILE = """
name = "Tidewrack"
[fibre]
mass = "200 g"
[base]
wool = 0.75
nylon = 0.25
superwash = true
skein = "100 g"
length = "400 m"
[water]
volume = "VOLUME"
alkalinity = "80 mg/L"
[vessel]
shape = "rectangle"
size = "50 x 30 x 10 cm"
[[dye]]
name = "Kelp"
[[step]]
do = "soak"
time = "30 min"
[[step]]
do = "add acid"
acid = "vinegar 5 %"
amount = "44 ml"
[[step]]
do = "lay in"
[[step]]
do = "heat"
to = "88 C"
[[step]]
do = "sprinkle"
dye = "Kelp"
amount = "0.15 g"
"""


def test_amounts_ph_and_room_are_forecast_and_planned(studio: Studio) -> None:
    kept, _ = import_colourway(studio, FILE.replace("VOLUME", "1.9 L").encode(), name="tidewrack.toml")
    sheet = forecast_colourway(studio, kept.thing)
    assert sheet.problems == ()
    assert ("water in the vessel", 1900) in [(one.name, one.amount) for one in sheet.amounts]
    assert sheet.bath is not None
    assert sheet.bath.volume_ml == pytest.approx(1900 + 300 + 44)  # the soaked yarn brings 1.5 ml/g, assumed
    assert sheet.bath.head_room_mm is not None
    drafted = draft_lot(studio, StartLot(colourway="Tidewrack"))  # not started: powder over hot vinegar is refused
    assert [(dose.name, dose.amount) for dose in drafted.lot.plan[1].doses] == [("water in the vessel", 1900), ("vinegar 5 %", 44)]


def test_a_lot_is_not_started_in_a_pan_that_would_run_over(studio: Studio) -> None:
    kept, _ = import_colourway(studio, FILE.replace("VOLUME", "16 L").encode(), name="tidewrack.toml")
    assert any(problem.slot == "vessel" and "brim" in problem.sentence for problem in forecast_colourway(studio, kept.thing).problems)
    with pytest.raises(BadInput, match="brim"):
        start_lot(studio, StartLot(colourway="Tidewrack"))
