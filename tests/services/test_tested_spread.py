"""Dye that is laid on yarn goes as far as the dyer's own test says, on the page's way and from a file, and the day of the test is named."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np

from lot_studio import step, studio_in
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.reading import colourway_document
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Base
from skeinwright.files.documents import write_document
from skeinwright.services.keep_calibration import keep_calibration
from skeinwright.services.lay_dye import LayRequest, lay_dye
from skeinwright.services.map_colourway import MappedColourway, map_colourway

SMALL = Base(name="Small", fibres=(("wool", 1.0),), skein_g=15, length_mm=48_000, round_mm=800)
STEPS = (
    step("add acid", acid="White vinegar", amount="8 ml"),
    step("lay in", width="12 cm"),
    step("heat", to="80 C", rate="20 C/min"),
    step("sprinkle", dye="Kelp", amount="0.05 g"),
    step("wait", time="4 min"),
)
SAID = "Rests on your test of 2026-11-03"


def _bounds(laid: MappedColourway) -> float:
    """How bright the dye's edges are: mean of the squared slope along, over the mean squared."""
    face = laid.skein.dye[0, 0]
    return float((np.diff(face, axis=-1) ** 2).mean() / face.mean() ** 2)


def test_a_test_of_spread_length_moves_the_map_and_is_named(tmp_path: Path) -> None:
    with studio_in(tmp_path) as (studio, _):
        with studio.store.writing() as writing:
            writing.add_item(SMALL, now=studio.now())
        colourway = Colourway(name="Test", fibre="15 g", bases=("Small",), water="Tap", water_volume="60 ml", steps=STEPS)
        before = map_colourway(studio, colourway)
        keep_calibration(studio, Calibration("spread-length", "base", "Small", "spread_length_mm", 3.0, 2.4, 3.75, "mm", date(2026, 11, 3)))
        after = map_colourway(studio, colourway)
        assert not any("Rests on" in note for note in before.notes)
        assert any(note.startswith(SAID) and "of Small" in note for note in after.notes)
        assert _bounds(after) < 0.7 * _bounds(before), "dye that goes 3 mm along the strands leaves softer edges than dye that goes 0.5 mm or so"
        assert np.allclose(after.skein.dye.sum(), before.skein.dye.sum(), rtol=0.05)
        document = write_document(colourway_document(colourway)).encode()
        laid = lay_dye(LayRequest(document=document, quick=True), studio)
        assert any(note.startswith(SAID) for note in laid.warnings)
