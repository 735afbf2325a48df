"""Overdyes of a photographed skein, held to the exact truth of its photograph (proofs/synthetic_photo.py) and to K/S mixing by hand."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from invented_dyes import UNDYED
from photo_proofs import speckled, synthetic
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.foundations.errors import BadInput, PhotoRefused
from skeinwright.core.measure.as_taken import RELATIVE_DE00, WHITE_DE00
from skeinwright.core.measure.reading import PhotoReading
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.services._overdye_search import NOT_DARK
from skeinwright.services.find_overdyes import DEEPER, FindOverdyes, find_overdyes
from skeinwright.services.read_skein import ReadSkein, read_skein

LADDERS = {
    "Kelp": ((80, -18, 6), (55, -30, 4), (36, -26, 2)),
    "Rosehip": ((78, 22, 6), (52, 44, 12), (37, 40, 14)),
    "Sloe": ((72, 4, -16), (44, 8, -30), (27, 8, -26)),
}
FACTS = DyeFacts(
    dyes=tuple(
        Dye(
            name=name,
            jar_g=50.0,
            price_minor=900,
            swatches=tuple(Swatch(depth=depth, lab=Lab(*lab), reading=Reading.INSTRUMENT) for depth, lab in zip((0.002, 0.01, 0.03), labs, strict=True)),
        )
        for name, labs in LADDERS.items()
    ),
    undyed={"": UNDYED},
)


@pytest.fixture(scope="module")
def reading() -> PhotoReading:
    return read_skein(ReadSkein(photo=speckled().data, reference=speckled().reference_csv))


def test_all_colours_of_the_skein_are_dyed_over_and_shown_on_its_picture(reading: PhotoReading) -> None:
    found = find_overdyes(FACTS, FindOverdyes(reading=reading, fibre="100 g"))
    truth = speckled().yarns[0]
    assert float(ciede2000(np.array(found.colours[0].values), truth.core_lab)) < 4
    assert sum(found.shares) == pytest.approx(1)
    assert len(found.shown) == 3
    before = np.array(Image.open(io.BytesIO(found.picture)).convert("L"), dtype=float)
    for one in found.shown:
        assert one.uneven_de00 <= max(2.0, 0.4 * found.uneven_de00) + 1e-9
        assert all(after.L <= was.L + 0.5 for after, was in zip(one.colours, found.colours, strict=True))
        after = np.array(Image.open(io.BytesIO(one.picture)).convert("L"), dtype=float)
        assert after.shape == before.shape == found.size_px[::-1]
        middle = (slice(after.shape[0] // 4, -after.shape[0] // 4), slice(after.shape[1] // 4, -after.shape[1] // 4))
        assert after[middle].mean() < before[middle].mean() - 10
        assert one.spread_de00 is not None
        assert one.spread_de00 > 0
        powder_g = sum(dose.amount for dose in one.amounts)
        assert powder_g == pytest.approx(100 * sum(one.doses.values()))  # full strength, nothing in solution
        assert one.cost_minor == pytest.approx(powder_g * 900 / 50)
    assert DEEPER in found.warnings


def test_a_wish_is_come_near_as_a_search_over_every_colour_finds_it(reading: PhotoReading) -> None:
    wanted = Lab(30.0, 12.0, -20.0, "D65", 2)
    found = find_overdyes(FACTS, FindOverdyes(reading=reading, target="30, 12, -20 D65/2", max_dyes=3))
    assert found.target == wanted
    first = found.shown[0]
    parts = [float(ciede2000(np.array(lab.values), np.array(wanted.values))) for lab in first.colours]
    assert first.away_de00 == pytest.approx(float(np.dot(parts, found.shares)), abs=0.05)
    assert first.away_de00 <= min(one.away_de00 for one in found.shown) + 1e-9
    lighter = find_overdyes(FACTS, FindOverdyes(reading=reading, target="95, 0, 0 D65/2"))
    assert lighter.shown[0].away_de00 > 10


def test_only_the_dyes_allowed_and_no_deeper_than_allowed(reading: PhotoReading) -> None:
    found = find_overdyes(FACTS, FindOverdyes(reading=reading, dyes=("kelp",), deepest="0.3 %"))
    assert {name for one in found.shown for name in one.doses} == {"Kelp"}
    assert max(depth for one in found.shown for depth in one.doses.values()) <= 0.003 + 1e-9
    assert NOT_DARK in found.warnings
    for wrong in ({"dyes": ("Nobody",)}, {"deepest": "40 %"}, {"target": "blue"}, {"max_dyes": 4}):
        with pytest.raises(BadInput):
            find_overdyes(FACTS, replace(FindOverdyes(reading=reading), **wrong))


def test_without_the_sheet_colours_are_relative_and_said_to_be() -> None:
    taken = synthetic.take(synthetic.skein_scene(4, specks=2, card=False), synthetic.Shot(width_px=1600, blur_px=0.5, seed=4, camera=2, no_sheet=True))
    with pytest.raises(PhotoRefused, match="frame the yarn"):
        read_skein(ReadSkein(photo=taken.data))
    reading = read_skein(ReadSkein(photo=taken.data, frame="15,25 90,70", white="50,10"))
    (piece,) = reading.pieces
    yarn = taken.yarns[0]
    assert float(ciede2000(np.array(piece.ground_lab), yarn.core_lab)) < WHITE_DE00
    assert piece.piece.mask.mean() < 0.9 * 0.75 * 0.45  # the paper in the frame is not taken for yarn
    found = find_overdyes(FACTS, FindOverdyes(reading=reading))
    assert len(found.shown) == 3
    assert any("only relative" in one for one in found.warnings)
    assert found.photo_de00 == WHITE_DE00
    assert read_skein(ReadSkein(photo=taken.data, frame="15,25 90,70")).correction.spread_de00 == RELATIVE_DE00  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("frame", "white", "where"),
    [("20,30", "", "frame"), ("20,30 21,31", "", "frame"), ("a,b c,d", "", "frame"), ("10,10 90,90", "120,5", "white"), ("10,10 90,90", "50,50", "white")],
)
def test_a_frame_or_white_that_cannot_be_meant_is_refused(frame: str, white: str, where: str) -> None:
    target = io.BytesIO()
    Image.new("RGB", (300, 200), (30, 20, 10)).save(target, "PNG")
    with pytest.raises(BadInput) as refused:
        read_skein(ReadSkein(photo=target.getvalue(), frame=frame, white=white))
    assert refused.value.where == where
