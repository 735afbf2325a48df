"""Pictures of a skein map, by tests that can fail: colour, place, sameness, mirror, seam."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from skeins import DEEP, PALE, SOCK, banded_map, two_colours
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import linear_rgb_to_xyz, spectrum_to_xyz, srgb_to_linear, xyz_to_lab
from skeinwright.core.colourway.colourway import SkeinGeometry
from skeinwright.core.forecast.skein_colour import mean_linear
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import MEAN_SHADE
from skeinwright.core.picture.knitted import ROWS_PER_STITCH, Knit
from skeinwright.core.picture.laid_open import open_line
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.of_map import MAP_VIEWS, View, map_scene, picture_of_map, px_per_mm, relaxed_look, soaked, strips
from skeinwright.core.picture.pan import MOST_LEGS, PIECE, Pan, _middle_line, lay_in
from skeinwright.core.picture.scene import BARE, Scene
from skeinwright.core.spread.skein_map import SkeinMap
from skeinwright.core.spread.yarn_path import path_of
from skeinwright.core.yarn.knitting import wales_per_mm

SOCK_LOOK = StrandLook(4, 30.0, 1.3, 0.25)
PAN = Pan(length_mm=500.0, width_mm=300.0, circular=False, round_mm=1500.0, breadth_mm=110.0, strands=267)
SMALL = {"width": 360, "height": 240, "pan": PAN, "round_mm": 1230.0}
WHITE = spectrum_to_xyz(np.ones(31), "D65", 2)


def lab(linear: NDArray[np.float64]) -> NDArray[np.float64]:
    return xyz_to_lab(linear_rgb_to_xyz(linear), WHITE)


def drawn(view: View, skein: SkeinMap, look: StrandLook = SOCK_LOOK) -> NDArray[np.float64]:
    """The picture in linear light."""
    return srgb_to_linear(picture_of_map(view, two_colours(skein), look, path_of(skein)) / 255.0)


def scene_of(view: View) -> Scene:
    return map_scene(view, SOCK_LOOK, 1500.0)


@pytest.mark.parametrize("bands", [((0.0, 750.0),), ((0.0, 300.0), (500.0, 620.0), (900.0, 1400.0)), ((0.0, 1500.0),)])
@pytest.mark.parametrize("look", [SOCK_LOOK, StrandLook(2, 17.0, 1.7, 0.9)])
def test_far_away_knitting_has_the_maps_colour(bands: tuple[tuple[float, float], ...], look: StrandLook) -> None:
    """Mean of the picture in linear light, over the picture's mean light, against the mean of the map's cells: below 1 (CIEDE2000)."""
    skein = banded_map(*bands)
    view = View(view="knitted", width=900, height=600, knit=Knit(stitch_mm=13.7, stitches=67), patch_mm=220.0)
    found = drawn(view, skein, look).reshape(-1, 3).mean(axis=0) / MEAN_SHADE
    assert ciede2000(lab(found), lab(np.array(mean_linear(two_colours(skein))))) < 1.0


@pytest.mark.parametrize("view", MAP_VIEWS)
def test_same_seed_same_bytes(view: str) -> None:
    skein = banded_map((0.0, 500.0))
    first = picture_of_map(View(view=view, **SMALL), two_colours(skein), SOCK_LOOK, path_of(skein))
    for cached in ("pan_scene", "laid_open_scene", "twisted_scene", "knitted_scene", "close_up_scene"):
        getattr(__import__("skeinwright.core.picture.of_map", fromlist=[cached]), cached).cache_clear()
    second = picture_of_map(View(view=view, **SMALL), two_colours(skein), SOCK_LOOK, path_of(skein))
    other = picture_of_map(View(view=view, seed=2, **SMALL), two_colours(skein), SOCK_LOOK, path_of(skein))
    assert first.tobytes() == second.tobytes()
    assert first.shape == (240, 360, 3)
    assert first.tobytes() != other.tobytes()


@pytest.mark.parametrize("view", MAP_VIEWS)
def test_both_colours_show_and_no_others(view: str) -> None:
    """Hue of the yarn lies on the line between the two colours of the map: in every view some pixels of each, none of a third colour."""
    skein = banded_map((0.0, 750.0), edge_mm=2.0)
    view_ = View(view=view, at=0.5, **SMALL)
    light = scene_of(view_).light
    picture = drawn(view_, skein)
    yarn = (light.alpha > 0.99) & (picture.sum(axis=-1) > 0.06) & (scene_of(view_).gloss < 0.03)
    share = picture[yarn] / picture[yarn].sum(axis=-1, keepdims=True)
    blue = share[:, 2]
    pale, deep = PALE[2] / PALE.sum(), DEEP[2] / DEEP.sum()
    assert (np.abs(blue - pale) < 0.06).mean() > 0.08
    assert (np.abs(blue - deep) < 0.12).mean() > 0.08
    assert ((blue > pale - 0.10) & (blue < deep + 0.14)).mean() > 0.99


def test_a_stripe_lies_at_its_rows() -> None:
    """30 stitches of 10 mm make a round of 300 mm: on a loop of 3 m, a band of the first 1.5 m is five rounds dark, five pale, from the first row up.

    Edges lie where they should within a row, and stripes are five rows high within half a row."""
    long = SkeinGeometry(skein_g=100.0, length_mm=400_000.0, round_mm=3000.0)
    skein = banded_map((0.0, 1500.0), geometry=long, edge_mm=2.0)
    knit = Knit(stitch_mm=10.0, stitches=30)
    view = View(view="knitted", width=600, height=600, knit=knit, patch_mm=20 / wales_per_mm(10.0))
    line = drawn(view, skein).mean(axis=(1, 2))[::-1]
    row_px = 600 / 20 / ROWS_PER_STITCH
    dark = np.convolve(line, np.ones(13) / 13, mode="same") < 0.5 * (line.max() + line.min()) * 0.8
    edges = np.flatnonzero(np.diff(dark[8:-8].astype(int))) + 8
    assert dark[int(2 * row_px)]
    assert not dark[int(7.5 * row_px)]
    assert edges[0] / row_px == pytest.approx(5.0, abs=1.0)
    assert np.abs(np.diff(edges) / row_px - 5.0).max() < 0.5


def test_to_and_fro_rows_run_back() -> None:
    """A loop of one row, dark in its first half: in the round one half of the picture is dark; to and fro, rows are mirrored and neither half is."""
    loop = SkeinGeometry(skein_g=100.0, length_mm=400_000.0, round_mm=300.0)
    skein = banded_map((0.0, 150.0), geometry=loop, edge_mm=2.0)
    view = {"view": "knitted", "width": 600, "height": 300, "patch_mm": 30 / wales_per_mm(10.0)}
    around = drawn(View(knit=Knit(stitch_mm=10.0, stitches=30), **view), skein)
    fro = drawn(View(knit=Knit(stitch_mm=10.0, stitches=30, flat=True), **view), skein)
    right, left = around[:, 330:].mean(), around[:, :270].mean()
    assert left > 2.0 * right
    assert fro[:, 330:].mean() == pytest.approx(fro[:, :270].mean(), rel=0.15)


def test_a_mirrored_map_makes_a_mirrored_picture() -> None:
    """Laid open, the tie in the middle of the upper limb: in blocks of 20 pixels the mirrored map's picture is the picture mirrored, and not the picture."""
    skein = banded_map((150.0, 600.0), (800.0, 950.0))
    view = View(view="laid open", width=600, height=400)

    def blocks(of: SkeinMap) -> NDArray[np.float64]:
        return drawn(view, of).reshape(20, 20, 30, 20, 3).mean(axis=(1, 3))

    one, other = blocks(skein), blocks(skein.mirrored())
    assert np.abs(one[:, ::-1] - other).mean() < 0.25 * np.abs(one - other).mean()


def _profile(scene: Scene, bins: int) -> NDArray[np.float64]:
    """Mean light (lanes, bins) along the loop, from its own strands: those of the ties stay at one place and are left out."""
    seen = scene.strand != BARE
    seen[seen] = scene.drawn.rate[scene.strand[seen]] > 0.0
    strand, step, light = scene.strand[seen].astype(int), scene.step[seen].astype(float), scene.tones[scene.level[seen]]
    share = (scene.drawn.start[strand] + scene.drawn.rate[strand] * step) % 1.0
    lane = (scene.drawn.row[strand] * 7.99).astype(int)
    top = scene.drawn.face[strand] == 0.0
    cell = lane[top] * bins + np.minimum((share[top] * bins).astype(int), bins - 1)
    size = np.bincount(cell, minlength=8 * bins)
    return (np.bincount(cell, weights=light[top], minlength=8 * bins) / np.maximum(size, 1)).reshape(8, bins)


@pytest.mark.parametrize("view", ["laid open", "in the pan"])
def test_no_seam_where_the_loop_closes(view: str) -> None:
    """The light along the loop goes on over the join as it does elsewhere: its autocorrelation at one step, over the join, is that of any other place.

    The strands' own join is where their steps begin. In the pan it lies at s = 0 as well; laid open, s = 0 is under the tie, whose shadow is no seam."""
    scene = scene_of(View(view=view, width=900, height=600, pan=PAN))
    for bins in (60, 150):
        line = _profile(scene, bins)
        line -= line.mean()
        jumps = np.abs(np.roll(line, -1, axis=1) - line).mean(axis=0)
        start = int(scene.drawn.start[0] % 1.0 * bins) % bins
        for join in (start - 1, start):
            assert jumps[join] < np.quantile(jumps, 0.95) * 1.3


def test_the_texture_has_no_period() -> None:
    """Light along one row of knitting, column by column against all shifts but those by a stitch: no far shift is as alike as the pattern itself."""
    scene = scene_of(View(view="close up", width=900, height=300))
    line = scene.light.shade[120:180].mean(axis=0)
    line = line - line.mean()
    power = np.abs(np.fft.rfft(line, 2 * len(line))) ** 2
    alike = np.fft.irfft(power)[: len(line) // 2] / np.arange(len(line), len(line) - len(line) // 2, -1)
    assert (alike[200:] / alike[0]).max() < 0.6


def test_a_skein_lies_inside_its_pan() -> None:
    """For pans and skeins of many sizes: the middle line with half a limb beside it lies inside, and is once round long."""
    for pan in (
        PAN,
        Pan(length_mm=350.0, width_mm=250.0, circular=False, round_mm=1500.0, breadth_mm=120.0, strands=267),
        Pan(length_mm=900.0, width_mm=400.0, circular=False, round_mm=1500.0, breadth_mm=120.0, strands=267),
        Pan(length_mm=320.0, width_mm=320.0, circular=True, round_mm=1830.0, breadth_mm=60.0, strands=219),
        Pan(length_mm=600.0, width_mm=600.0, circular=True, round_mm=1200.0, breadth_mm=60.0, strands=300),
    ):
        lay = lay_in(pan)
        place, normal = _middle_line(lay, 2.0)
        half = lay.breadth_mm / 2.0 * 2.0
        far = np.abs(place) + half * np.abs(normal)
        length = np.linalg.norm(np.roll(place, -1, axis=0) - place, axis=1).sum() / 2.0
        assert length == pytest.approx(pan.round_mm, rel=0.04)
        assert 1 <= lay.legs <= MOST_LEGS
        if pan.circular:
            assert np.hypot(*far.T).max() <= pan.length_mm / 2 * 2.0
        else:
            assert far[:, 0].max() <= max(pan.length_mm, pan.width_mm) / 2 * 2.0
            assert far[:, 1].max() <= min(pan.length_mm, pan.width_mm) / 2 * 2.0
        assert np.linalg.norm(place[0] - place[-1]) < 2.5 * PIECE


def test_the_open_line_follows_the_strands() -> None:
    """Where the drawn loop's middle line says that a distance from the tie lies, the strands there come from that distance, within 1 % of once round."""
    scene = scene_of(View(view="laid open", width=600, height=400))
    line, breadth = open_line(600, 400, 60)
    assert breadth == pytest.approx(0.115 * 540.0)
    for number, (x, y) in enumerate(line):
        row, column = int(2 * y), int(2 * x)
        strand = scene.strand[row - 1 : row + 2, column - 1 : column + 2].astype(int).ravel()
        step = scene.step[row - 1 : row + 2, column - 1 : column + 2].astype(float).ravel()
        own = (strand != BARE) & (scene.drawn.rate[np.minimum(strand, scene.drawn.count - 1)] > 0.0)
        if own.any():
            share = (scene.drawn.start[strand[own]] + scene.drawn.rate[strand[own]] * step[own]) % 1.0
            off = (share - number / 60 + 0.5) % 1.0 - 0.5
            assert np.abs(off).max() < 0.01


@pytest.mark.parametrize(("view", "long_mm"), [("laid open", 750.0), ("twisted", 330.0)])
def test_strands_are_as_thick_as_they_are(view: str, long_mm: float) -> None:
    """A sock yarn 1.3 mm thick: the radius that the view hands over to be drawn, in mm of the drawn skein, is half its outline, within 1 %."""
    import skeinwright.core.picture.laid_open as laid_open
    import skeinwright.core.picture.twisted as twisted

    module = {"laid open": laid_open, "twisted": twisted}[view]
    radii = []

    def caught(centres: object, *given: object, **named: object) -> object:
        radii.append(float(centres.radius.max()) / float(named["px_per_mm"]))  # type: ignore[attr-defined,arg-type]
        return None

    kept, module.draw = module.draw, caught  # type: ignore[attr-defined]
    try:
        scene = getattr(module, "laid_open_scene" if view == "laid open" else "twisted_scene")
        scene.__wrapped__(SOCK_LOOK, width=1200, height=800)
    finally:
        module.draw = kept  # type: ignore[attr-defined]
    assert radii[0] == pytest.approx(SOCK_LOOK.outline_mm / 2.0, rel=0.01)
    drawn_long = {"laid open": 0.9, "twisted": 0.86}[view] * 1200
    assert px_per_mm(View(view=view, width=1200, height=800), SOCK_LOOK, 1500.0) * long_mm == pytest.approx(drawn_long, rel=0.01)


def test_yarn_in_the_pan_is_wet() -> None:
    """The pan's picture is that of dry colours darkened by the published form K/S_wet = m K/S_dry: R .8 .4 .1 with m = 3 are .6805 .2234 .0381 (worked by hand:
    K/S = (1 - R)^2/(2 R)); the picture's table keeps them within 2e-3 at its own m = 2.8, and wet is never lighter."""
    dry = np.array([0.8, 0.4, 0.1], dtype=np.float32)
    ks = 2.8 * (1.0 - dry) ** 2 / (2.0 * dry)
    assert soaked(dry) == pytest.approx(1.0 + ks - np.sqrt(ks**2 + 2.0 * ks), abs=2e-3)
    every = np.linspace(0.0, 1.0, 500, dtype=np.float32)
    assert (soaked(every) <= every + 1e-3).all()
    skein = banded_map((0.0, 750.0))
    assert drawn(View(view="in the pan", **SMALL), skein)[60:180, 90:270].mean() < 0.9 * drawn(View(view="laid open", **SMALL), skein)[15:40, 120:240].mean()


def test_reskeining_scatters_a_band() -> None:
    """Laid round on another circumference, one dark half becomes dark strands everywhere: each block of the picture is nearer to the mean."""
    skein = banded_map((0.0, 750.0))
    spread = {}
    for view in ("twisted", "re-skeined"):
        asked = View(view=view, **SMALL)
        alpha = scene_of(asked).light.alpha
        picture = drawn(asked, skein)[..., 0] * (alpha > 0.9)
        blocks = picture.reshape(12, 20, 18, 20).sum(axis=(1, 3)) / np.maximum((alpha > 0.9).reshape(12, 20, 18, 20).sum(axis=(1, 3)), 1)
        spread[view] = blocks[(alpha > 0.9).reshape(12, 20, 18, 20).sum(axis=(1, 3)) > 200].std()
    assert spread["re-skeined"] < 0.6 * spread["twisted"]


def test_strips_are_to_one_scale() -> None:
    skein = banded_map((0.0, 750.0))
    picture = strips((30, 45), Knit(), 20, two_colours(skein), SOCK_LOOK, path_of(skein))
    assert picture.shape[1] == 6 * (30 + 45) + 12
    with pytest.raises(BadInput, match="stitch counts"):
        strips((), Knit(), 20, two_colours(skein), SOCK_LOOK, path_of(skein))


def test_washing_thickens_the_strand() -> None:
    after = relaxed_look(SOCK_LOOK, 0.95, 1.15)
    assert after.diameter_mm == pytest.approx(1.3 * 1.15, abs=1e-3)
    assert after.angle_deg > SOCK_LOOK.angle_deg
    assert after.halo > SOCK_LOOK.halo


def test_pictures_that_cannot_be_drawn() -> None:
    skein = banded_map((0.0, 750.0))
    with pytest.raises(BadInput, match="pan"):
        picture_of_map(View(view="in the pan"), two_colours(skein), SOCK_LOOK, path_of(skein))
    with pytest.raises(BadInput, match="views are"):
        picture_of_map(View(view="from behind"), two_colours(skein), SOCK_LOOK, path_of(skein))
    assert SOCK.strands > 200
