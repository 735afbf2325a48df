"""Tests of the dyer's own through their services: photos of stains and of a speckled piece whose truth is known, pieces pointed at, results taken back."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
from PIL import Image

from photo_proofs import synthetic
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound
from skeinwright.core.measure.sheet import A4, Box
from skeinwright.core.shelf.calibration import newest
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.edit_shelf import edit_shelf
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.make_own_test import make_own_test
from skeinwright.services.read_test_photo import PhotoOfTest, read_test_photo
from skeinwright.services.studio import Studio
from skeinwright.services.take_back_test import take_back_test

SOUR = {"water": "Tap", "ph": "5.15", "read_with": "meter"}


@pytest.fixture
def shelf(studio: Studio) -> Studio:
    for kind, said in (
        ("water", {"name": "Tap", "alkalinity_mg_l": "80 mg/L"}),
        ("dye", {"name": "Kelp", "dye_class": "half-milling"}),
        ("base", {"name": "Quay Sock", "fibres": "75 % wool, 25 % nylon", "skein_g": "100 g", "length_mm": "400 m", "superwash": "yes"}),
    ):
        add_to_shelf(studio, kind, said)
    return studio


def _alkalinity(studio: Studio) -> Any:
    return getattr(get_from_shelf(studio, "water", "Tap").thing, "alkalinity_mg_l", None)


def test_results_are_taken_back_one_by_one_the_newest_first(shelf: Studio) -> None:
    first = make_own_test(shelf, "alkalinity", SOUR)
    between = _alkalinity(shelf)
    second = make_own_test(shelf, "alkalinity", SOUR | {"ph": "5.4"})
    assert len(list_calibrations(shelf, "water", "Tap")) == 2
    with pytest.raises(Conflict, match="changed since"):
        take_back_test(shelf, first.calibrations[0].id)
    take_back_test(shelf, second.calibrations[0].id)
    assert _alkalinity(shelf) == between
    take_back_test(shelf, first.calibrations[0].id)
    assert (_alkalinity(shelf), list_calibrations(shelf)) == (80, [])


def test_what_was_changed_by_hand_since_is_not_taken_back(shelf: Studio) -> None:
    made = make_own_test(shelf, "alkalinity", SOUR)
    edit_shelf(shelf, "water", "Tap", {"alkalinity_mg_l": "90 mg/L"})
    with pytest.raises(Conflict, match="changed since"):
        take_back_test(shelf, made.calibrations[0].id)
    assert (_alkalinity(shelf), len(list_calibrations(shelf))) == (90, 1)


def test_a_result_goes_with_the_new_name(shelf: Studio) -> None:
    make_own_test(shelf, "liquor", {"dye": "Kelp", "base": "Quay Sock", "samples": "5 min 60 %; 60 min 8 %"})
    edit_shelf(shelf, "dye", "Kelp", {"name": "Wrack"})
    assert {kept.thing.of for kept in list_calibrations(shelf, "dye", "wrack")} == {"Wrack"}


def test_unknown_tests_fields_and_things_are_told(shelf: Studio) -> None:
    with pytest.raises(NotFound, match="alkalinity"):
        make_own_test(shelf, "tasting", {})
    with pytest.raises(BadInput, match="Did you mean 'read_with'"):
        make_own_test(shelf, "alkalinity", SOUR | {"readwith": "strip"})
    with pytest.raises(BadInput, match="Name one"):
        make_own_test(shelf, "alkalinity", {"ph": "5"})
    with pytest.raises(ManyBadInputs) as told:
        make_own_test(shelf, "strike", {"base": "Quay Sock", "temp": "hot", "strands": "soon 5 %"})
    assert {one.where for one in told.value.problems} == {"temp", "strands"}
    assert list_calibrations(shelf) == []


# ---------------------------------------------------------------- pieces pointed at in a photo


def _patches(spectra: list[np.ndarray]) -> bytes:
    """A photo of flat patches in a row, in even daylight, each 120 pixels wide."""
    linear = np.clip(np.array([synthetic.linear_srgb(synthetic.xyz_of(one)) for one in spectra]), 0, 1) * 0.9
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    picture = np.repeat(np.repeat((encoded * 255).round().astype(np.uint8)[None], 200, axis=0), 120, axis=1)
    file = io.BytesIO()
    Image.fromarray(picture).save(file, "PNG")
    return file.getvalue()


def test_glasses_of_liquor_in_a_photo_fill_the_samples(shelf: Studio) -> None:
    """Beer and Lambert's law band by band makes the glasses; the shares come back within 5 % of the fresh liquor."""
    bands = 0.6 * synthetic.random_dye(np.random.default_rng(4), 2.0)
    strengths = {"fresh": 1.0, "half": 0.5, "clear": 0.0, "s1": 0.62, "s2": 0.3, "s3": 0.09}
    photo = keep_photo(shelf, _patches([synthetic.PAPER, *(synthetic.PAPER * np.exp(-2 * c * bands) for c in strengths.values())]), "glasses.png").fact.id
    at = {key: ((number + 0.5) / 7, 0.5) for number, key in enumerate(("white", *strengths))}
    read = read_test_photo(shelf, PhotoOfTest(key="liquor", photo=photo, at=at, said={"samples": "4 min\n20 min 50 %"}))
    lines = [line.rsplit(" ", 2) for line in read.fields["samples"].splitlines()]
    assert [line[0] for line in lines] == ["4 min", "20 min", "30 min"]
    assert [float(line[1]) / 100 for line in lines] == pytest.approx([0.62, 0.3, 0.09], abs=0.05)
    made = make_own_test(shelf, "liquor", {"dye": "Kelp", "base": "Quay Sock", **read.fields})
    assert len(made.calibrations) == 2
    with pytest.raises(BadInput, match="Water, Sample 1, Sample 2"):
        read_test_photo(shelf, PhotoOfTest(key="liquor", photo=photo, at={key: at[key] for key in ("white", "fresh")}, said={}))


def test_pieces_of_a_pair_in_a_photo_fill_their_shares(shelf: Studio) -> None:
    dye = synthetic.random_dye(np.random.default_rng(5), 2.0)
    shares = {"undyed": 0.0, "u": 0.4, "uf": 1.0, "s": 0.8, "sf": 1.0}
    photo = keep_photo(shelf, _patches([synthetic.PAPER, *(synthetic.absorb(synthetic.WOOL, c * dye) for c in shares.values())]), "pair.png").fact.id
    at = {key: ((number + 0.5) / 6, 0.5) for number, key in enumerate(("white", *shares))}
    read = read_test_photo(shelf, PhotoOfTest(key="superwash", photo=photo, at=at, said={}))
    found = {key: float(value.rstrip(" %")) / 100 for key, value in read.fields.items()}
    assert found["untreated"] == pytest.approx(0.4, rel=0.25)
    assert found["superwash"] == pytest.approx(0.8, rel=0.25)


# ---------------------------------------------------------------- photos on the photo sheet


def _sheet_photo(monkeypatch: pytest.MonkeyPatch, box: Box, base: np.ndarray, ks: np.ndarray) -> bytes:
    """A photograph of the sheet on which `box` holds a base that carries `ks` times an invented dye; `ks` has ten pixels a millimetre."""
    bands = synthetic.random_dye(np.random.default_rng(11), 1.0)
    page = synthetic._page

    def painted(scene: Any, band: np.ndarray) -> Any:
        canvas, truth = page(scene, band)
        levels = np.linspace(0, float(ks.max()) or 1.0, 400)
        table = np.array([synthetic.absorb(base, level * bands) for level in levels]) @ band
        x, y = round(box.x_mm * 10), round(box.y_mm * 10)
        for channel in range(3):
            canvas[y : y + ks.shape[0], x : x + ks.shape[1], channel] = np.interp(ks, levels, table[:, channel])
        return canvas, truth

    monkeypatch.setattr(synthetic, "_page", painted)
    return synthetic.take(synthetic.Scene((), card=False), synthetic.Shot(width_px=2800, blur_px=0.5, noise=0.004, seed=3)).data


def test_a_photo_of_stains_gives_the_footprint(shelf: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ninety normal stains, grains of 0.14 mm median (a factor of 1.5 apart), 2.5 radii wide: 0.35 mm."""
    rng = np.random.default_rng(8)
    window = A4.window
    shape = (round(window.h_mm * 10), round(window.w_mm * 10))
    ks = np.zeros(shape)
    for radius in 0.14 * 1.5 ** np.clip(rng.standard_normal(90), -2, 2):
        sd, x, y = 2.5 * radius * 10, rng.uniform(60, shape[1] - 60), rng.uniform(60, shape[0] - 60)
        top, left = max(int(y) - 60, 0), max(int(x) - 60, 0)
        rows, columns = np.mgrid[top : min(top + 120, shape[0]), left : min(left + 120, shape[1])]
        ks[rows, columns] += 2.0 * (radius / 0.14) * np.exp(-((columns - x) ** 2 + (rows - y) ** 2) / (2 * sd**2))
    photo = keep_photo(shelf, _sheet_photo(monkeypatch, window, synthetic.PAPER, ks), "paper.jpg").fact.id
    made = make_own_test(shelf, "footprint", {"dye": "Kelp", "photo": str(photo)})
    found = [kept.thing for kept in made.calibrations]
    stain, scatter = newest(found, "footprint_mm"), newest(found, "grain_sd")
    assert stain is not None
    assert scatter is not None
    assert stain.value == pytest.approx(0.35, rel=0.15)
    assert scatter.value == pytest.approx(1.5, rel=0.15)
    assert "stains in a photo" in stain.note


def test_a_photo_of_a_speckled_piece_gives_the_spread_length(shelf: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    """A piece made by the one-shot model: 1.2 mm along, 0.6 mm across, on 80 by 70 mm."""
    from skeinwright.core.spread.exchange import Kappas
    from skeinwright.core.spread.grains import sprinkle
    from skeinwright.core.spread.grid import Grid
    from skeinwright.core.spread.kernels import stamp
    from skeinwright.core.spread.parameters import PowderParameters
    from skeinwright.core.spread.quick import one_shot
    from skeinwright.core.spread.water import Movement

    rng, px, rows, columns = np.random.default_rng(9), 0.01, 700, 800
    fallen = sprinkle(50.0, PowderParameters(), rng, columns * px, rows * px)
    plane = np.zeros((rows, columns))
    stamp(plane, fallen.mass_mg, fallen.x_cm, fallen.y_cm, 2.5 * fallen.radius_cm, px, px, False, np.ones(rows))
    k = 0.01
    moved = Movement((0.0, k * 0.12**2, 0.0), (0.0, k * 0.06**2, 0.0), Kappas(0, 0, 0))
    laid = np.stack([np.zeros_like(plane), plane, np.zeros_like(plane)])
    struck = one_shot(laid, Grid(rows, columns, px, px), moved, np.zeros((3, 3)), (k, k))[0]
    ks = np.maximum(struck / np.quantile(struck, 0.99), 0) * 2.0 + 0.15
    photo = keep_photo(shelf, _sheet_photo(monkeypatch, Box(80, 65, 80, 70), synthetic.WOOL, ks), "piece.jpg").fact.id
    made = make_own_test(shelf, "spread-length", {"base": "Quay Sock", "photo": str(photo), "made": "1.5 mm of water"})
    along, across = (kept.thing for kept in made.calibrations)
    assert along.low <= 1.2 <= along.high
    assert across.low <= 0.6 <= across.high
    assert along.note == "1.5 mm of water"
    assert any("never how fast" in sentence for sentence in made.sentences)
    with pytest.raises(BadInput, match="no photo 999"):
        make_own_test(shelf, "spread-length", {"base": "Quay Sock", "photo": "999"})
