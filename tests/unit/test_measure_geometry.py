"""Finding the sheet, flattening, light and blur, each against what was put in."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from photo_proofs import pixels, speckled, swatches
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.blur import blur_of
from skeinwright.core.measure.find import Found, NotFound, find_sheet
from skeinwright.core.measure.flatten import Flat, decode, flatten
from skeinwright.core.measure.gates import LIMITS, Verdict, judge, marks_gate, worst
from skeinwright.core.measure.light import Light, NoPaper, even, light_on
from skeinwright.core.measure.reading import read_photo
from skeinwright.core.measure.seen import Request
from skeinwright.core.measure.sheet import A4, LETTER, PATTERNS, Box, Sheet, sheet_named
from skeinwright.core.measure.straight import ruler_miss_mm
from skeinwright.core.measure.without_sheet import NOT_SQUARE, by_length, by_rectangle, sizes_of

SCALE = 8


def bare(sheet: Sheet = A4, scale: int = SCALE) -> np.ndarray:
    """The marks on white, from straight above."""
    page = np.full((round(sheet.height_mm * scale), round(sheet.width_mm * scale)), 235, np.uint8)
    for (x, y), rows in zip(sheet.marks, PATTERNS, strict=True):
        side = 22 * scale
        bits = np.array([[int(cell) for cell in row] for row in rows], np.uint8)
        drawn = np.where(cv2.resize(bits, (side, side), interpolation=cv2.INTER_NEAREST) > 0, 235, 20)
        page[round(y * scale) : round(y * scale) + side, round(x * scale) : round(x * scale) + side] = drawn
    return page


def seen_by(page: np.ndarray, corners: list[list[float]], size: tuple[int, int] = (2000, 1500)) -> tuple[np.ndarray, np.ndarray]:
    """A picture of the page with its corners there, and the map from page pixels to it."""
    height, width = page.shape
    matrix = cv2.getPerspectiveTransform(np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32) - 0.5, np.array(corners, np.float32))
    return cv2.warpPerspective(cv2.GaussianBlur(page, (0, 0), 0.8), matrix, size, borderValue=90), matrix


CORNERS = [[120.0, 90.0], [1900.0, 150.0], [1860.0, 1400.0], [80.0, 1340.0]]


@pytest.mark.parametrize("sheet", [A4, LETTER], ids=["a4", "letter"])
@pytest.mark.parametrize("turns", [0, 1, 2, 3])
def test_a_sheet_is_found_whichever_way_it_lies(sheet: Sheet, turns: int) -> None:
    picture, _ = seen_by(bare(sheet), CORNERS)
    found = find_sheet(np.ascontiguousarray(np.rot90(picture, turns)))
    assert isinstance(found, Found)
    assert (found.sheet, found.ids) == (sheet, (0, 1, 2, 3))
    assert found.rms_mm < 0.08


def test_places_on_the_page_go_to_their_pixels() -> None:
    picture, matrix = seen_by(bare(), CORNERS)
    found = find_sheet(picture)
    assert isinstance(found, Found)
    page = np.array([[60.0, 60.0], [150.0, 100.0], [240.0, 150.0], [148.5, 34.0]])
    wanted = cv2.perspectiveTransform((page * SCALE - 0.5).reshape(-1, 1, 2), matrix).reshape(-1, 2)
    assert found.to_px(page) == pytest.approx(wanted, abs=0.35)


def test_three_marks_will_do_and_two_will_not() -> None:
    page = bare()
    page[:300, :300] = 235
    three = find_sheet(seen_by(page, CORNERS)[0])
    assert isinstance(three, Found)
    assert three.ids == (1, 2, 3)
    page[-300:, -300:] = 235
    assert find_sheet(seen_by(page, CORNERS)[0]) == NotFound(2)


def test_marks_in_the_wrong_order_are_no_sheet() -> None:
    page = bare()
    swapped = page.copy()
    left, right = (slice(80, 256), slice(80, 256)), (slice(80, 256), slice(2120, 2296))
    swapped[left], swapped[right] = page[right], page[left]
    assert find_sheet(seen_by(swapped, CORNERS)[0]) == NotFound(4, crossed=True)


def test_a_picture_in_a_mirror_is_no_sheet() -> None:
    assert isinstance(find_sheet(np.ascontiguousarray(seen_by(bare(), CORNERS)[0][:, ::-1])), NotFound)


def test_the_lens_is_taken_out() -> None:
    """The photograph was made with k = 0.03; what is left must be a tenth of what a plain homography leaves at the ruler."""
    from photo_proofs import synthetic

    taken = synthetic.take(synthetic.ladder_scene(1, 5, card=False), synthetic.Shot(width_px=2300, distortion=0.03))
    picture = pixels(taken)
    found = find_sheet(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
    assert isinstance(found, Found)
    assert found.lens_k == pytest.approx(0.03, abs=0.015)
    assert (ruler_miss_mm(flatten(picture, found), found.sheet) or 9) < 0.25
    straight = Found(**{name: getattr(found, name) for name in Found.__slots__} | {"lens_k": 0.0, "homography": _plain(found)})
    assert (ruler_miss_mm(flatten(picture, straight), found.sheet) or 9) > 0.4


def _plain(found: Found) -> np.ndarray:
    page = np.array([found.sheet.corners_mm(mark) for mark in found.ids]).reshape(-1, 1, 2)
    return cv2.findHomography(page, found.corners_px.reshape(-1, 1, 2), 0)[0]


@pytest.mark.parametrize("sigma_px", [0.0, 1.0, 2.0, 3.0])
def test_blur_is_the_width_of_a_gaussian_edge(sigma_px: float) -> None:
    """10-90 % of a step blurred by a Gaussian is 2.563 sigma (hand: the 90 % point of the normal law is 1.2816); the pixels add a little."""
    page = bare()
    linear = decode(np.repeat(page[..., None], 3, axis=2))
    soft = cv2.GaussianBlur(linear, (0, 0), sigma_px) if sigma_px else linear
    encoded = np.where(soft <= 0.0031308, 12.92 * soft, 1.055 * np.maximum(soft, 1e-9) ** (1 / 2.4) - 0.055)
    flat = Flat(np.rint(encoded * 255).astype(np.uint8), Box(0, 0, A4.width_mm, A4.height_mm))
    blur = blur_of(flat, A4, (0, 1, 2, 3))
    assert blur is not None
    assert blur.edges == 16
    assert blur.width_mm == pytest.approx(2.563 * sigma_px / SCALE, abs=0.12 if sigma_px == 0 else 0.05)
    assert blur.overshoot < 0.01


def test_sharpening_shows_as_overshoot() -> None:
    page = cv2.GaussianBlur(bare(), (0, 0), 1.0).astype(np.float32) * 0.7 + 20
    sharp = np.clip(page + 1.5 * (page - cv2.GaussianBlur(page, (0, 0), 2.0)), 0, 255)
    blur = blur_of(Flat(np.repeat(np.rint(sharp).astype(np.uint8)[..., None], 3, axis=2), Box(0, 0, A4.width_mm, A4.height_mm)), A4, (0, 1, 2, 3))
    assert blur is not None
    assert blur.overshoot > 0.08
    assert judge("overshoot", blur.overshoot).verdict is Verdict.WARN


def lit(field: np.ndarray) -> Flat:
    """White paper with its marks in a light (rows, columns, 3), linear 0-1."""
    linear = decode(np.repeat(bare()[..., None], 3, axis=2)) * field
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)
    return Flat(np.clip(np.rint(encoded * 255), 0, 255).astype(np.uint8), Box(0, 0, A4.width_mm, A4.height_mm))


def slope(strength: float, tint: float = 0.0) -> np.ndarray:
    rows, columns = 210 * SCALE, 297 * SCALE
    y, x = np.mgrid[-1 : 1 : complex(0, rows), -1 : 1 : complex(0, columns)].astype(np.float32)
    grey = np.exp(-strength * (0.4 * x + 0.3 * y + 0.1 * x * x))
    return np.stack([grey * np.exp(tint * x), grey, grey * np.exp(-tint * x)], axis=-1)


def test_smooth_light_is_taken_out_of_the_window() -> None:
    field = slope(0.8) * 0.6
    light = light_on(lit(field), A4)
    assert isinstance(light, Light)
    assert light.residual < 0.01
    assert light.colour_range < 0.01
    window = even(lit(field), light, A4.window)
    assert float(np.abs(window / np.median(window) - 1).max()) < 0.02
    assert float(np.median(window)) == pytest.approx(1, abs=0.01)


def test_two_lights_and_a_shadow_are_noticed() -> None:
    two = light_on(lit(slope(0.2, tint=0.15)), A4)
    assert isinstance(two, Light)
    assert judge("two_lights", two.colour_range).verdict is Verdict.REFUSE
    field = slope(0.2)
    field[:, 1500:] *= 0.6
    shadow = light_on(lit(field), A4)
    assert isinstance(shadow, Light)
    assert judge("paper_residual", shadow.residual).verdict is Verdict.REFUSE


def test_a_burnt_out_sheet_has_no_light_to_know() -> None:
    flat = lit(slope(0.1) * 1.6)
    found = light_on(flat, A4)
    assert isinstance(found, NoPaper)
    assert judge("paper_blown", found.blown).verdict is Verdict.REFUSE


def test_gates_warn_refuse_and_speak() -> None:
    for name, limits in LIMITS.items():
        sign = -1 if limits.low else 1
        assert judge(name, limits.warn - sign * 1e-6).verdict is Verdict.ACCEPT
        for value in (limits.warn + sign * 1e-6, limits.refuse + sign * 1e-6):
            gate = judge(name, value)
            assert gate.verdict is not Verdict.ACCEPT
            assert gate.message.endswith(".")
    assert "3 of the 4" in marks_gate(3).message
    assert "blurred" in marks_gate(0).message
    assert worst((marks_gate(4), marks_gate(3))) is Verdict.WARN
    assert worst((marks_gate(1), marks_gate(3))) is Verdict.REFUSE


def test_a_sheet_s_paper_is_asked_for_by_name() -> None:
    assert sheet_named(" A4 ") is A4
    with pytest.raises(BadInput, match="a4 or letter"):
        sheet_named("a5")


def test_a_rectangle_gives_sizes_and_takes_perspective_out() -> None:
    card = np.array([[85.6, 0], [85.6, 53.98], [0, 53.98], [0, 0]])[[3, 0, 1, 2]]
    matrix = cv2.getPerspectiveTransform(card.astype(np.float32), np.array([[400, 300], [900, 340], [870, 700], [380, 640]], np.float32))
    at = cv2.perspectiveTransform(card.reshape(-1, 1, 2), matrix).reshape(-1, 2)
    plane = by_rectangle(at, 85.6, 53.98)
    places = np.array([[10.0, 10.0], [40.0, 10.0], [40.0, 35.0], [10.0, 35.0]])
    seen = cv2.perspectiveTransform(places.reshape(-1, 1, 2), matrix).reshape(-1, 2)
    assert plane.area_mm2(seen) == pytest.approx(750, rel=1e-4)
    assert plane.length_mm(tuple(seen[0]), tuple(seen[2])) == pytest.approx(np.hypot(30, 25), rel=1e-4)
    assert plane.to_px(places) == pytest.approx(seen, abs=1e-2)
    assert "relative" in plane.warnings[0]
    with pytest.raises(BadInput, match="clockwise"):
        by_rectangle(at[::-1], 85.6, 53.98)


def test_a_length_gives_sizes_with_a_caution() -> None:
    plane = by_length((100, 100), (500, 400), 100)
    assert plane.px_per_mm == pytest.approx(5)
    assert plane.length_mm((0, 0), (0, 50)) == pytest.approx(10)
    assert NOT_SQUARE in plane.warnings
    with pytest.raises(BadInput, match="longer"):
        by_length((0, 0), (10, 0), 5)


def test_a_size_is_as_sure_as_the_finger_that_points() -> None:
    """By the law of propagation of uncertainty (JCGM 100:2008, 5.1.2), by hand: both ends of 400 px err by 5, and the square of 200 px by 5 all round."""
    square = np.array([[0.0, 0.0], [200.0, 0.0], [200.0, 200.0], [0.0, 200.0]])
    sizes = sizes_of(lambda points: by_length(tuple(points[0]), tuple(points[1]), 80), np.array([[0.0, 300.0], [400.0, 300.0]]), square, 5.0)
    assert sizes.area_mm2 == pytest.approx(40 * 40)  # 5 px are a millimetre
    scale = np.sqrt(2) * 5 / 400
    assert sizes.area_spread_mm2 == pytest.approx(np.hypot(1600 * 2 * scale, 160 * 1.0), rel=1e-3)
    assert sizes.longest_spread_mm == pytest.approx(np.hypot(np.sqrt(2) * 40 * scale, 2 * 1.0), rel=1e-3)


def test_nine_in_ten_hands_point_so_that_the_area_lies_in_its_interval() -> None:
    """A rectangle in perspective, pointed at again and again with errors of which 90 % lie within 4 px in each direction."""
    rng = np.random.default_rng(5)
    corners = np.array([[400.0, 300.0], [900.0, 340.0], [870.0, 700.0], [380.0, 640.0]])
    around = np.array([[500.0, 750.0], [900.0, 760.0], [910.0, 1000.0], [490.0, 990.0]])
    sizes = sizes_of(lambda points: by_rectangle(points, 85.6, 53.98), corners, around, 4.0)
    middle = around.mean(axis=0)
    outward = np.sign(around - middle)
    sd = 4.0 / 1.645
    areas = [
        by_rectangle(corners + rng.normal(0, sd, (4, 2)), 85.6, 53.98).area_mm2(around + outward * rng.normal(0, sd)) - sizes.area_mm2 for _ in range(3000)
    ]
    assert np.mean(np.abs(areas) <= sizes.area_spread_mm2) == pytest.approx(0.9, abs=0.03)


@pytest.mark.parametrize("taken", [speckled, swatches])
def test_photographs_are_found_sharp_and_even(taken) -> None:
    made = taken()
    picture = pixels(made)
    found = find_sheet(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
    assert isinstance(found, Found)
    assert found.px_per_mm == pytest.approx(made.px_per_mm, rel=0.05)
    flat = flatten(picture, found)
    light = light_on(flat, found.sheet)
    assert isinstance(light, Light)
    assert light.residual < 0.015
    assert (ruler_miss_mm(flat, found.sheet) or 9) < 0.2


def test_marks_scattered_anyhow_never_break_the_reading() -> None:
    """Forty pictures with the four marks thrown anywhere, turned and squeezed: each is judged, none raises, and none of them passes."""
    rng = np.random.default_rng(12)
    for _ in range(40):
        picture = np.full((700, 900, 3), 225, np.uint8)
        for number, rows in enumerate(PATTERNS):
            bits = np.array([[int(cell) for cell in row] for row in rows], np.uint8) * 215 + 10
            side = float(rng.uniform(50, 130))
            angle = float(rng.uniform(-0.7, 0.7))
            turn = side / 2 * np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
            middle = np.array([[220, 180], [680, 180], [680, 520], [220, 520]])[(number + int(rng.integers(0, 2))) % 4] + rng.uniform(-90, 90, 2)
            quad = (np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * rng.uniform(0.7, 1.2, (4, 1))) @ turn + middle
            matrix = cv2.getPerspectiveTransform(np.array([[0, 0], [7, 0], [7, 7], [0, 7]], np.float32), quad.astype(np.float32))
            drawn = cv2.warpPerspective(np.repeat(np.repeat(bits, 20, 0), 20, 1), matrix @ np.diag([1 / 20, 1 / 20, 1]), (900, 700), borderValue=0)
            inside = cv2.warpPerspective(np.full((140, 140), 255, np.uint8), matrix @ np.diag([1 / 20, 1 / 20, 1]), (900, 700)) > 128
            picture[inside] = drawn[inside][:, None]
        reading = read_photo(picture, Request(), np.random.default_rng(1))
        assert reading.verdict is Verdict.REFUSE
        assert reading.messages
