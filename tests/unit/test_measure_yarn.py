"""Yarn found, its colours, references, ties, and overdyes on its picture."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from photo_proofs import pixels, speckled, swatches, synthetic
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.colour import corrected_by, is_enough, paper_only, tone_curve
from skeinwright.core.measure.gates import Verdict
from skeinwright.core.measure.oklab import oklab
from skeinwright.core.measure.overdye import painted, skein_colours
from skeinwright.core.measure.ray import ray_distance
from skeinwright.core.measure.reading import PhotoReading, read_photo
from skeinwright.core.measure.reference import lab_of, read_reference
from skeinwright.core.measure.seen import Request
from skeinwright.core.measure.sheet import A4
from skeinwright.core.measure.side_by_side import matching_sets, pairs_of
from skeinwright.core.measure.tie import tie
from skeinwright.core.measure.yarn import tapped


def read(taken, **more) -> PhotoReading:
    reading = read_photo(pixels(taken), Request(**more), np.random.default_rng(1))
    assert reading.verdict is Verdict.ACCEPT, reading.messages
    return reading


@pytest.fixture(scope="module")
def ladder() -> PhotoReading:
    return read(swatches())


@pytest.fixture(scope="module")
def skein() -> PhotoReading:
    return read(speckled(), reference=read_reference(speckled().reference_csv))


def test_each_swatch_is_found_with_its_area(ladder: PhotoReading) -> None:
    assert len(ladder.pieces) == 5
    for piece, truth in zip(ladder.pieces, swatches().yarns, strict=True):
        assert piece.piece.middle_mm == pytest.approx(truth.middle_mm, abs=0.6)
        assert piece.area_cm2 == pytest.approx(truth.area_cm2, rel=0.03)
        assert piece.others == ()  # plain yarn has no second colour


def test_a_ruler_check_scales_sizes_and_not_colours(ladder: PhotoReading) -> None:
    scaled = read(swatches(), across_mm=206.0, upright_mm=198.0)
    assert scaled.area_cm2 == pytest.approx((ladder.area_cm2 or 0) * 1.03 * 0.99)
    assert scaled.px_per_mm == pytest.approx((ladder.px_per_mm or 0) / np.sqrt(1.03 * 0.99))
    assert [piece.ground_lab for piece in scaled.pieces] == [piece.ground_lab for piece in ladder.pieces]
    assert any("rulers" in sentence for sentence in ladder.assumed)
    assert not any("rulers" in sentence for sentence in scaled.assumed)


def test_taps_give_the_order(ladder: PhotoReading) -> None:
    pieces = [piece.piece for piece in ladder.pieces]
    middles = [piece.middle_mm for piece in pieces]
    assert [piece.middle_mm for piece in tapped(pieces, (middles[3], middles[0], middles[4]), A4.window, 8)] == [middles[3], middles[0], middles[4]]
    again = read(swatches(), taps=(middles[2], middles[1]))
    assert [piece.piece.middle_mm for piece in again.pieces] == [middles[2], middles[1]]
    with pytest.raises(BadInput, match="no yarn where tap 2"):
        tapped(pieces, (middles[0], (48.0, 157.0)), A4.window, 8)
    with pytest.raises(BadInput, match="Taps 1 and 2"):
        tapped(pieces, (middles[0], middles[0]), A4.window, 8)


def test_a_drawn_outline_is_what_is_measured() -> None:
    x, y = swatches().yarns[1].middle_mm
    square = ((x - 10, y - 10), (x + 10, y - 10), (x + 10, y + 10), (x - 10, y + 10))
    (piece,) = read(swatches(), outlines=(square,)).pieces
    assert piece.piece.drawn
    assert piece.area_cm2 == pytest.approx(4.0, rel=0.02)
    with pytest.raises(BadInput, match="Outline 1"):
        read(swatches(), outlines=(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)),))


def test_an_empty_window_is_refused_without_a_figure() -> None:
    empty = synthetic.take(synthetic.Scene((), card=False), synthetic.Shot(width_px=2150, blur_px=0.5))
    reading = read_photo(pixels(empty), Request(), np.random.default_rng(1))
    assert reading.verdict is Verdict.REFUSE
    assert "No yarn" in reading.messages[0]
    assert (reading.pieces, reading.area_cm2, reading.window, reading.correction) == ((), None, None, None)


def test_pale_yarn_is_found_on_the_grey_insert() -> None:
    taken = synthetic.take(synthetic.skein_scene(5, specks=0, pale=True, insert=True, card=False), synthetic.Shot(width_px=2150, blur_px=0.5))
    (piece,) = read(taken).pieces
    assert piece.area_cm2 == pytest.approx(taken.yarns[0].area_cm2, rel=0.03)
    assert ciede2000(np.array(piece.mean_lab), taken.yarns[0].mean_lab) < 4
    assert piece.others == ()


def test_ground_and_specks_by_a_card(skein: PhotoReading) -> None:
    (piece,), (truth,) = skein.pieces, speckled().yarns
    assert skein.correction is not None
    assert skein.correction.patches == 24
    assert len(skein.correction.tried) == 3
    assert skein.correction.median_de00 == min(error for _, error in skein.correction.tried)
    assert ciede2000(np.array(piece.ground_lab), truth.core_lab) < 3
    assert ciede2000(np.array(piece.mean_lab), truth.mean_lab) < 2
    assert len(piece.others) == 2
    for wanted, share in zip(truth.speck_labs, truth.speck_shares, strict=True):
        error, found = min((float(ciede2000(np.array(lab), wanted)), found) for lab, found in piece.others)
        assert error < 4
        assert found == pytest.approx(share, abs=0.04)
    assert piece.ground_share + sum(share for _, share in piece.others) == pytest.approx(1)


def test_the_mean_and_the_crests_are_kept_apart(skein: PhotoReading) -> None:
    assert skein.pieces[0].mean_lab[0] < skein.pieces[0].ground_lab[0] - 2


def test_a_reference_in_the_wrong_place_is_noticed_and_not_used() -> None:
    lines = speckled().reference_csv.splitlines()
    places = [line.split(",")[:4] for line in lines[1:]]
    colours = [line.split(",")[4:] for line in lines[1:]]
    turned = [",".join(place + colour) for place, colour in zip(places, colours[::-1], strict=True)]
    reading = read(speckled(), reference=read_reference("\n".join([lines[0], *turned])))
    assert reading.correction is not None
    assert reading.correction.rests_on == "paper white"
    assert any("was not used" in sentence for sentence in reading.warnings)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "columns"),
        ("x_mm,y_mm,w_mm,h_mm\n1,2,3,4\n", "r,g,b"),
        ("x_mm,y_mm,w_mm,h_mm,r,g,b\n1,2,9,9,0.1,0.1,0.1\n", "1 patches"),
        ("x_mm,y_mm,w_mm,h_mm,r,g,b\n" + "50,175,9,9,120,80,60\n" * 5, "not 0 to 255"),
        ("x_mm,y_mm,w_mm,h_mm,L,a,b\n" + "50,175,9,9,50,x,0\n" * 5, "'x' is not a number"),
        ("x_mm,y_mm,w_mm,h_mm,L,a,b\n" + "50,500,9,9,50,0,0\n" * 5, "on the page"),
    ],
)
def test_a_reference_that_cannot_be_meant_is_refused(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        read_reference(text)


def test_a_reference_with_semicolons_and_decimal_commas() -> None:
    (first, *_) = read_reference("x_mm;y_mm;w_mm;h_mm;r;g;b\n" + "50,5;175;9;9;0,1;0,2;0,3\n" * 4)
    assert (first.box.x_mm, first.rgb) == (50.5, (0.1, 0.2, 0.3))


def test_a_curve_through_greys_is_monotone_and_goes_on() -> None:
    greys = np.array([0.03, 0.09, 0.19, 0.36, 0.59, 0.9])
    known = np.repeat(greys[:, None], 3, axis=1)
    seen = known**0.8 * np.array([1.0, 0.9, 1.1])
    curve = tone_curve(seen, known)
    assert curve(seen) == pytest.approx(known, rel=1e-9)
    values = np.repeat(np.linspace(0.001, 1.4, 300)[:, None], 3, axis=1)
    assert np.all(np.diff(curve(values), axis=0) > 0)
    assert is_enough(known)
    assert not is_enough(known[:3])


def test_greys_alone_promise_no_more_than_paper() -> None:
    known = np.repeat(np.array([0.03, 0.09, 0.19, 0.36, 0.59, 0.9])[:, None], 3, axis=1)
    made = corrected_by(known * 1.1, known)
    assert made.median_de00 == pytest.approx(0, abs=0.3)
    assert made.spread_de00 == paper_only().spread_de00


def test_the_shading_ray_lets_shadow_pass_and_no_other_colour() -> None:
    ground = oklab(np.array([0.30, 0.12, 0.05]))
    shaded = oklab(np.array([0.30, 0.12, 0.05]) * np.linspace(0.35, 1.2, 9)[:, None])
    assert ray_distance(shaded, ground).max() < 0.012
    assert ray_distance(oklab(np.array([0.05, 0.12, 0.30]))[None], ground)[0] > 0.1
    assert ray_distance(oklab(np.array([0.01, 0.01, 0.01]))[None], ground)[0] > 0.1  # black still counts


def test_two_photos_are_tied_by_the_sheet_s_patches(ladder: PhotoReading) -> None:
    shot = synthetic.Shot(width_px=2150, blur_px=0.5, seed=9, contrast=0.9, saturation=1.15, white_error=0.06)
    other = synthetic.take(synthetic.ladder_scene(2, 5, card=False), shot)
    second = read(other)
    found = tie(ladder.patches, second.patches)
    assert ladder.correction is not None

    def apart(turn) -> np.ndarray:
        first = np.array([piece.found.mean for piece in ladder.pieces])
        then = turn(np.array([piece.found.mean for piece in second.pieces]))
        return ciede2000(lab_of(first * 0.9), lab_of(then * 0.9))

    assert np.median(apart(found.apply)) < np.median(apart(lambda values: values))
    assert 0 < found.median_de00 <= found.high_de00
    with pytest.raises(BadInput, match="patches are clear"):
        tie(ladder.patches, np.full((11, 3), np.nan))


def test_an_overdye_is_painted_on_the_skein_s_own_light(skein: PhotoReading) -> None:
    (piece,) = skein.pieces
    before = skein_colours(skein, piece)
    plain, same = painted(skein, piece), painted(skein, piece, before)
    assert np.abs(plain.astype(int) - same).max() <= 1
    darker = painted(skein, piece, before * np.array([0.5, 0.3, 0.2]))
    middle = (slice(plain.shape[0] // 3, 2 * plain.shape[0] // 3), slice(plain.shape[1] // 3, 2 * plain.shape[1] // 3))
    ratio = darker[middle].mean(axis=(0, 1)) / plain[middle].mean(axis=(0, 1))
    assert ratio[0] > ratio[1] > ratio[2]
    assert np.array_equal(plain[:8, :8], darker[:8, :8])  # the paper beside it stays
    light, turned = plain[middle].mean(axis=2).ravel(), darker[middle].mean(axis=2).ravel()
    assert np.corrcoef(light, turned)[0, 1] > 0.85  # the strands stay where they are


def test_the_same_photo_reads_the_same_twice(skein: PhotoReading) -> None:
    again = read(speckled(), reference=read_reference(speckled().reference_csv))
    assert [dataclasses.astuple(gate) for gate in again.gates] == [dataclasses.astuple(gate) for gate in skein.gates]
    assert (again.pieces[0].ground_lab, again.pieces[0].others) == (skein.pieces[0].ground_lab, skein.pieces[0].others)


def test_skeins_in_one_photo_are_sorted_into_sets_that_match() -> None:
    """Three swatches of one dye and two of another: the truth of each pair is known, and the sets are those of the truth."""
    (one, two, *_) = synthetic.ladder_scene(3, 5).yarns
    boxes = [yarn.box for yarn in synthetic.ladder_scene(3, 5).yarns]
    yarns = tuple(dataclasses.replace(yarn, box=box, upright=False) for yarn, box in zip((one, two, one, one, two), boxes, strict=True))
    taken = synthetic.take(synthetic.Scene(yarns, card=False), synthetic.Shot(width_px=2150, blur_px=0.5))
    reading = read(taken)
    assert matching_sets(reading) == ((0, 2, 3), (1, 4))
    pairs = pairs_of(reading)
    assert [pair.de00 for pair in pairs] == sorted(pair.de00 for pair in pairs)
    for pair in pairs:
        alike = {pair.one, pair.other} <= {0, 2, 3} or {pair.one, pair.other} <= {1, 4}
        assert pair.is_told_apart is not alike
        truth = float(ciede2000(taken.yarns[pair.one].mean_lab, taken.yarns[pair.other].mean_lab))
        assert pair.de00 == pytest.approx(truth, abs=1.0 if alike else 0.12 * truth)
