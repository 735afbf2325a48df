"""From a kept photo to what is kept of it. The photographs come from `proofs/synthetic_photo.py`, which shares no code with the reading: exact truth."""

from __future__ import annotations

import dataclasses
import io
import math
from datetime import datetime
from functools import cache

import numpy as np
import pytest
from PIL import Image, ImageCms, ImageDraw
from scipy.stats import chi2

from measured_ladder import DEPTHS, ladder, refused, skein
from photo_proofs import synthetic
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound
from skeinwright.core.measure.kept_reading import RADIUS_OVER_SD, KeptReading
from skeinwright.core.measure.reference import read_reference
from skeinwright.core.shelf.swatch import Lab, Reading
from skeinwright.core.shelf.swatch_reading import read_swatches
from skeinwright.files.tables import read_table
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.check_ruler import CheckRuler, check_ruler
from skeinwright.services.compare_photos import compare_photos
from skeinwright.services.describe_reference import HEAD, DescribeReference, describe_reference
from skeinwright.services.export_readings import export_readings
from skeinwright.services.export_shelf import export_shelf
from skeinwright.services.find_measured_colour import find_measured_colour, nearness
from skeinwright.services.forget_photo import forget_photo
from skeinwright.services.forget_reading import forget_reading
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.keep_reading import KeepReading, keep_reading
from skeinwright.services.keep_swatches import KeepSwatches, keep_swatches
from skeinwright.services.list_photos import list_photos
from skeinwright.services.list_readings import list_readings
from skeinwright.services.measure_kept_photo import MeasureKeptPhoto, PhotoFigures, measure_kept_photo
from skeinwright.services.read_swatches import lab_of_hex
from skeinwright.services.size_without_sheet import SizeWithoutSheet, size_without_sheet
from skeinwright.services.studio import Studio
from skeinwright.services.undo_change import undo_change
from skeinwright.store.store import Store

BARE = ((40, 20), (255, 20), (40, 165), (255, 165), (148, 45), (20, 100), (275, 100))
"""Places of bare paper on the sheet, in mm."""


def taken(studio: Studio, data: bytes) -> int:
    return keep_photo(studio, data, keep_wide=True).fact.id


def read(studio: Studio, made, **more) -> PhotoFigures:
    return measure_kept_photo(studio, MeasureKeptPhoto(photo=taken(studio, made.data), **more))


def apart(one, other) -> float:
    return float(ciede2000(np.array(one, dtype=float), np.array(other, dtype=float)))


@pytest.fixture(scope="module")
def read_once(tmp_path_factory: pytest.TempPathFactory) -> PhotoFigures:
    folder = tmp_path_factory.mktemp("ladder")
    store = Store.open(folder / "studio.skeinwright")
    studio = Studio(folder / "studio.skeinwright", store, folder / "photos", datetime.now)
    try:
        return read(studio, ladder(), reference=ladder().reference_csv)
    finally:
        store.close()


@pytest.fixture
def figures(studio: Studio, read_once: PhotoFigures) -> PhotoFigures:
    """The ladder as it was read, in this studio."""
    return dataclasses.replace(read_once, photo=taken(studio, ladder().data))


def test_the_colours_lie_within_the_stated_spread_of_the_truth(figures: PhotoFigures) -> None:
    assert figures.verdict == "accept"
    assert len(figures.pieces) == 3
    for piece, truth in zip(figures.pieces, ladder().yarns, strict=True):
        assert apart(piece.mean_lab, truth.mean_lab) < figures.spread_de00
        assert piece.area_low < truth.area_cm2 < piece.area_high
        assert math.dist(piece.middle_mm, truth.middle_mm) < 1.0
    truth_of = {number: yarn.mean_lab for number, yarn in enumerate(ladder().yarns, 1)}
    for one, other, de00, spread, told_apart in figures.pairs:
        assert told_apart is (de00 > spread)
        assert abs(de00 - apart(truth_of[one], truth_of[other])) < spread
        assert spread < math.sqrt(2) * figures.spread_de00, "surer than two photos"
    assert figures.sets == ((1,), (2,), (3,))


def test_the_page_s_corners_are_those_of_the_photograph(studio: Studio, figures: PhotoFigures) -> None:
    """The flat picture, sent back through the four corners alone, meets the photograph again: the corners are right to a pixel or two."""
    import cv2

    photo = np.array(Image.open(io.BytesIO(ladder().data)).convert("L"), dtype=float)
    flat = np.array(Image.open(io.BytesIO(figures.flat)).convert("L"), dtype=float)
    page = np.array([[0, 0], [flat.shape[1], 0], flat.shape[::-1], [0, flat.shape[0]]], dtype=np.float32)

    def alike(moved_px: float) -> float:
        corners = np.array(figures.corners) * [photo.shape[1], photo.shape[0]] + [moved_px, -moved_px]
        matrix = cv2.getPerspectiveTransform(page, corners.astype(np.float32))
        back, there = (cv2.warpPerspective(one, matrix, photo.shape[::-1]) for one in (flat, np.ones_like(flat)))
        return float(np.corrcoef(back[there > 0.999], photo[there > 0.999])[0, 1])

    assert alike(0) > 0.97
    assert alike(0) > alike(1.5) + 0.005
    assert alike(0) > alike(-1.5) + 0.005


def test_the_flat_picture_is_as_white_in_its_corners_as_in_its_middle_whatever_the_light(figures: PhotoFigures) -> None:
    """The photograph's own light falls off by a quarter over the sheet and is not quite white; paper is then 0.9 everywhere, 243 as sRGB's curve encodes it."""
    flat = np.array(Image.open(io.BytesIO(figures.flat)), dtype=float)
    paper = [np.median(flat[round(5 * y) - 12 : round(5 * y) + 12, round(5 * x) - 12 : round(5 * x) + 12], axis=(0, 1)) for x, y in BARE]
    assert np.abs(np.array(paper) - 243).max() < 4


def test_the_flat_picture_of_a_wide_gamut_photo_stands_in_its_gamut_and_looks_alike(studio: Studio) -> None:
    files = {}
    for profile in ("srgb", "p3"):
        shot = synthetic.Shot(width_px=1500, blur_px=0.4, seed=4, profile=profile)
        found = measure_kept_photo(studio, MeasureKeptPhoto(photo=taken(studio, synthetic.take(synthetic.skein_scene(4, specks=0), shot).data)))
        picture = Image.open(io.BytesIO(found.flat))
        profiled = picture.info.get("icc_profile")
        assert bool(profiled) == (profile == "p3")
        if profiled:
            picture = ImageCms.profileToProfile(picture, ImageCms.ImageCmsProfile(io.BytesIO(profiled)), ImageCms.createProfile("sRGB"))
        x, y = found.pieces[0].middle_mm
        files[profile] = np.array(picture, dtype=float)[round(5 * y) - 40 : round(5 * y) + 40, round(5 * x) - 40 : round(5 * x) + 40].mean(axis=(0, 1))
    assert np.abs(files["srgb"] - files["p3"]).max() < 5  # two files of one scene, each with a JPEG's rounding and a camera's noise


def test_a_photo_is_forgotten_only_where_nothing_rests_on_it(studio: Studio, figures: PhotoFigures) -> None:
    _, change = keep_reading(studio, KeepReading(photo=figures.photo, lab=figures.pieces[0].lab, spread_de00=6.0, label="one"))
    with pytest.raises(Conflict, match="is or was kept"):
        forget_photo(studio, figures.photo)
    undo_change(studio, change.id)
    with pytest.raises(Conflict, match="is or was kept"):  # the undoing could itself be undone
        forget_photo(studio, figures.photo)
    alone = taken(studio, skein().data)
    files = {fact.file for fact in list_photos(studio)} | {fact.preview for fact in list_photos(studio)}
    forget_photo(studio, alone)
    assert {fact.id for fact in list_photos(studio)} == {figures.photo}
    assert len(files) == 4
    assert len(list(studio.photos.iterdir())) == 2
    with pytest.raises(NotFound):
        forget_photo(studio, alone)
    again = taken(studio, skein().data)
    assert again not in (alone, figures.photo)  # a number is never given twice: what was read of the other cannot come up


def test_swatches_are_kept_with_their_depth_colour_and_spread(studio: Studio, figures: PhotoFigures) -> None:
    kelp, _ = add_to_shelf(studio, "dye", {"name": "Kelp"})
    changes = keep_swatches(studio, KeepSwatches(figures=figures, dye="kelp", depths=dict(enumerate(DEPTHS, 1))))
    swatches = get_from_shelf(studio, "dye", kelp.id).thing.swatches
    assert [one.depth for one in swatches] == pytest.approx([0.004, 0.012, 0.03])
    by_depth = {f"{100 * one.depth:g} %": one for one in swatches}
    for depth, truth in zip(DEPTHS, ladder().yarns, strict=True):
        kept = by_depth[depth]
        assert (kept.reading, kept.lab.illuminant, kept.lab.observer) == (Reading.SHEET, "D65", 2)
        assert apart(kept.lab.values, truth.mean_lab) < figures.spread_de00
        assert kept.sd == pytest.approx(figures.spread_de00 / 2.5, abs=0.005)
    assert [kept.thing.label for kept in list_readings(studio, photo=figures.photo)] == [f"Kelp, {depth}" for depth in reversed(DEPTHS)]
    table = read_table(export_readings(studio).data)
    assert [(row.cells["dye"], row.cells["label"]) for row in table.rows] == [("Kelp", f"Kelp, {depth}") for depth in reversed(DEPTHS)]
    again = read_swatches(
        [row.cells for row in read_table(export_shelf(studio, "swatches").data).rows], hex_to_lab=lab_of_hex, spectrum_to_lab=lambda *_: Lab(0, 0, 0)
    )
    assert again.dyes["Kelp"] == swatches  # the spread of its own is taken along
    for change in reversed(changes):
        undo_change(studio, change.id)
    assert get_from_shelf(studio, "dye", kelp.id).thing.swatches == ()
    assert list_readings(studio) == []


def test_a_radius_of_nine_in_ten_is_two_and_a_half_standard_deviations() -> None:
    """sqrt(6.251), the 0.9 quantile of chi squared with 3 degrees of freedom: scipy.stats, an independent library."""
    assert pytest.approx(math.sqrt(chi2.ppf(0.9, 3)), abs=0.001) == RADIUS_OVER_SD


def test_nothing_is_kept_where_anything_is_wrong(studio: Studio, figures: PhotoFigures) -> None:
    kelp, _ = add_to_shelf(studio, "dye", {"name": "Kelp"})
    cases: list[tuple[dict, str]] = [
        ({"depths": {1: "1 %", 2: "much"}}, "depth-2"),
        ({"depths": {1: "", 2: " "}}, "depths"),
        ({"dye": ""}, "dye"),
        ({"depths": {9: "1 %"}}, "piece"),
    ]
    for more, where in cases:
        with pytest.raises((BadInput, ManyBadInputs)) as caught:
            keep_swatches(studio, KeepSwatches(**({"figures": figures, "dye": "Kelp", "depths": {1: "1 %"}} | more)))
        problems = caught.value.problems if isinstance(caught.value, ManyBadInputs) else (caught.value,)
        assert [one.where for one in problems] == [where]
    assert get_from_shelf(studio, "dye", kelp.id).thing.swatches == ()
    assert list_readings(studio) == []


def test_a_refused_photo_has_no_figure_and_nothing_is_kept_of_it(studio: Studio) -> None:
    found = read(studio, refused())
    assert found.refused
    assert found.messages
    assert (found.pieces, found.pairs, found.sets, found.px_per_mm, found.blur_mm, found.spread_de00) == ((), (), (), None, None, None)
    add_to_shelf(studio, "dye", {"name": "Kelp"})
    with pytest.raises(BadInput, match="refused"):
        keep_swatches(studio, KeepSwatches(figures=found, dye="Kelp", depths={1: "1 %"}))


def test_wet_yarn_gives_no_swatch(studio: Studio) -> None:
    add_to_shelf(studio, "dye", {"name": "Kelp"})
    wet = read(studio, ladder(), state="wet")
    assert not any("as dry" in one for one in wet.assumed)
    with pytest.raises(BadInput, match="dry"):
        keep_swatches(studio, KeepSwatches(figures=wet, dye="Kelp", depths={1: "1 %"}))


def test_the_printer_that_was_checked_last_scales_sizes(studio: Studio, figures: PhotoFigures) -> None:
    check_ruler(studio, CheckRuler(printer="Library", across="202 mm", upright="198 mm"))
    checked = read(studio, ladder())
    assert checked.ruler_checked
    assert not figures.ruler_checked
    assert checked.pieces[0].area_cm2 == pytest.approx(figures.pieces[0].area_cm2 * 1.01 * 0.99, rel=1e-6)
    with pytest.raises(BadInput, match="Attic"):
        read(studio, ladder(), printer="Attic")


def test_a_wide_gamut_photo_is_kept_wide_and_reads_the_same(studio: Studio) -> None:
    """A green beyond sRGB: the kept file must still say so, or the colour would be cut down."""
    strong = synthetic.bell(synthetic.NM, 430, 40) * 8 + synthetic.bell(synthetic.NM, 640, 50) * 8
    scene = synthetic.Scene((synthetic.Yarn(synthetic.A4.window.grown(-20), strong),), seed=5)
    made = synthetic.take(scene, synthetic.Shot(width_px=1500, blur_px=0.4, seed=3, profile="p3"))
    from skeinwright.services.measure_photo import MeasurePhoto, measure_photo

    raw = measure_photo(MeasurePhoto(photo=made.data)).to_plain()
    kept = read(studio, made)
    assert apart(kept.pieces[0].mean_lab, raw["mean_lab"]) < 0.3
    with Image.open(io.BytesIO(kept.flat)) as flat:
        assert flat.info.get("icc_profile")


@cache
def card() -> bytes:
    """A grey photo with a dark card of 100 x 60 px from (200, 100), and a yarn of 120 x 80 px from (200, 200)."""
    picture = Image.new("RGB", (500, 400), (180, 180, 180))
    ImageDraw.Draw(picture).rectangle((200, 100, 299, 159), fill=(60, 60, 60))
    ImageDraw.Draw(picture).rectangle((200, 200, 319, 279), fill=(120, 60, 60))
    target = io.BytesIO()
    picture.save(target, "PNG")
    return target.getvalue()


def test_sizes_without_a_sheet_by_hand() -> None:
    """100 px of 85.6 mm are 1.1682 px/mm; 120 x 80 px are then 102.72 x 68.48 mm, 70.34 cm2, and 123.45 mm from corner to corner."""
    yarn = ((0.4, 0.5), (0.64, 0.5), (0.64, 0.7), (0.4, 0.7))
    photo = card()
    by_length = SizeWithoutSheet(photo=photo, points=((0.4, 0.3), (0.6, 0.3)), length="85.6 mm", outlines=(yarn, yarn))
    found = size_without_sheet(by_length)
    assert found.px_per_mm == pytest.approx(100 / 85.6)
    assert found.pieces[0].area_cm2 == pytest.approx(70.34, abs=0.01)
    assert found.pieces[0].longest_mm == pytest.approx(123.45, abs=0.01)
    assert found.pieces[0].area_spread_cm2 == pytest.approx(8.86, abs=0.01)  # 2.5 px: 2 sqrt(2) 2.5 % of it by the length, 2.14 by 342.4 mm round it
    assert (found.pieces[0].apart_de00, found.pieces[1].apart_de00) == (None, pytest.approx(0))
    corners = ((0.4, 0.25), (0.6, 0.25), (0.6, 0.4), (0.4, 0.4))
    by_card = size_without_sheet(SizeWithoutSheet(photo=photo, points=corners, width="100 mm", height="60 mm", outlines=(yarn,)))
    assert by_card.pieces[0].area_cm2 == pytest.approx(96.0, abs=0.01)  # a pixel is a millimetre
    assert any("relative" in one for one in by_card.warnings)
    for wrong in ({"length": ""}, {"length": "-3 cm"}, {"points": ((0.4, 0.3),)}, {"outlines": (((0.1, 0.1), (0.1, 0.1), (0.1, 0.1)),)}):
        with pytest.raises((BadInput, ManyBadInputs)):
            size_without_sheet(SizeWithoutSheet(**({"photo": photo, "points": ((0.4, 0.3), (0.6, 0.3)), "length": "85.6 mm"} | wrong)))


def test_one_skein_in_two_photos_is_the_same_and_two_pieces_are_not(studio: Studio, figures: PhotoFigures) -> None:
    one, other = read(studio, skein()), read(studio, skein(seed=9, white_error=0.12))
    again = compare_photos(one, other)
    assert again.tied
    assert again.de00 < again.spread_de00
    assert again.sentence.startswith("The same")
    truth = [yarn.mean_lab for yarn in ladder().yarns]
    within = compare_photos(figures, figures, 1, 2)
    assert 1.5 < within.spread_de00 < math.sqrt(2) * figures.spread_de00
    assert abs(within.de00 - apart(truth[0], truth[1])) < 1.5
    wet = dataclasses.replace(other, asked=dataclasses.replace(other.asked, state="wet", form="knitted"))
    assert sum("wet" in note or "form" in note for note in compare_photos(one, wet).notes) == 2
    with pytest.raises(BadInput, match="no piece 7"):
        compare_photos(one, other, 7)
    with pytest.raises(BadInput, match="Photo B was refused"):
        compare_photos(one, dataclasses.replace(other, verdict="refuse", pieces=()))


def test_nearness_adds_spreads_of_two_photos_and_not_of_one(studio: Studio) -> None:
    def made(photo: int, L: float, spread: float) -> KeptReading:
        return KeptReading(made_at=studio.now(), photo=photo, lab=Lab(L, 0, 0, "D65", 2), spread_de00=spread)

    apart_ = nearness(made(1, 50, 3.0), made(2, 52, 4.0))
    assert apart_.spread_de00 == pytest.approx(5.0)  # sqrt(3^2 + 4^2)
    assert "two photos" in apart_.sentence
    assert nearness(made(1, 50, 3.0), made(1, 50, 4.0)).spread_de00 == 1.5
    far = nearness(made(1, 30, 3.0), made(1, 60, 4.0))
    assert far.spread_de00 == pytest.approx(min(math.hypot(1.5, 0.19 * far.de00), math.sqrt(2) * 4.0))


def test_a_measured_swatch_becomes_a_row_of_a_reference(studio: Studio) -> None:
    kelp, _ = add_to_shelf(studio, "dye", {"name": "Kelp"})
    for depth, reading in (("0.5 %", "instrument"), ("1 %", "typed Lab")):
        add_swatch(studio, "Kelp", {"depth": depth, "colour": "60, -20, -10 D65/2", "reading": reading})
    text = describe_reference(studio, DescribeReference(dye=kelp.id, swatch=0, x_mm=60, y_mm=186))
    assert text == f"{HEAD}\n55.5,181.5,9,9,60.00,-20.00,-10.00"
    both = describe_reference(studio, DescribeReference(dye=kelp.id, swatch=0, x_mm=80, y_mm=186, reference=text))
    assert len(read_reference(both + "\n" + "\n".join(both.splitlines()[1:]))) == 4
    for wrong in ({"swatch": 1}, {"swatch": 5}, {"x_mm": 1.0}, {"reference": "a,b\n1,2"}):
        with pytest.raises(BadInput):
            describe_reference(studio, DescribeReference(**({"dye": kelp.id, "swatch": 0, "x_mm": 60.0, "y_mm": 186.0} | wrong)))


def test_readings_are_listed_and_taken_back(studio: Studio) -> None:
    photo = taken(studio, card())
    kept, _ = keep_reading(studio, KeepReading(photo=photo, lab=Lab(50, 0, 0, "D65", 2), spread_de00=3, label="  by\n the window "))
    assert [one.thing.label for one in list_readings(studio)] == ["by the window"]
    assert [fact.id for fact in list_photos(studio)] == [photo]
    change = forget_reading(studio, kept.id)
    assert list_readings(studio) == []
    undo_change(studio, change.id)
    assert [one.id for one in list_readings(studio)] == [kept.id]
    with pytest.raises(NotFound):
        find_measured_colour(studio, "2020-01-01-A")
