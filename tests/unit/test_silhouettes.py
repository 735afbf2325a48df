"""Pieces lying flat: to scale, filled with the right stitches, in the map's own colours."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import linear_rgb_to_xyz, spectrum_to_xyz, srgb_to_linear, xyz_to_lab
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.light import MAT
from skeinwright.core.picture.silhouettes import BEND_MM, MEAN_LIGHT, Silhouette, _ankle_rows, _short_row, _wedge, colours_along, silhouette, size_mm
from skeinwright.core.spread.yarn_path import YarnPath
from skeinwright.core.yarn.knitting import courses_per_mm, wales_per_mm
from skeinwright.core.yarn.pieces import parts_of
from skeinwright.core.yarn.ply_names import ply_said

L = 13.667
W, H = 1.0 / wales_per_mm(L), 1.0 / courses_per_mm(L)
BLUE, ORANGE, CREAM = (0.02, 0.16, 0.22), (0.55, 0.16, 0.05), (0.62, 0.56, 0.44)


def bands(*colours: tuple[float, float, float], cells: int = 600, rows: int = 8) -> np.ndarray:
    """A map's colours in equal bands along the loop, the same on all rows and faces."""
    line = np.array([colours[k * len(colours) // cells] for k in range(cells)], dtype=np.float32)
    return np.broadcast_to(line, (2, rows, cells, 3)).copy()


def lit(piece: str, colours: np.ndarray, round_mm: float, **more: object) -> tuple[np.ndarray, np.ndarray]:
    """Linear colours of the picture, and which pixels are well inside of the piece."""
    from scipy.ndimage import binary_erosion

    asked = Silhouette(piece=piece, stitch_mm=L, width=600, height=480, **more)  # type: ignore[arg-type]
    picture = silhouette(asked, colours, YarnPath(round_mm, colours.shape[1]))
    plain = silhouette(asked, bands(ORANGE), YarnPath(round_mm, 8))
    chroma = plain.max(axis=2).astype(int) - plain.min(axis=2)
    return srgb_to_linear(picture / 255.0), binary_erosion(chroma > 12, iterations=2)


def lab(linear: np.ndarray) -> np.ndarray:
    return np.asarray(xyz_to_lab(linear_rgb_to_xyz(linear[None, :]), spectrum_to_xyz(np.ones(31), "D65", 2))[0])


@pytest.mark.parametrize(("piece", "stitches"), [("sock", 64), ("hat", 104), ("shawl", 121), ("panel", 50)])
def test_the_mean_colour_is_the_maps(piece: str, stitches: int) -> None:
    """A map of three colours, knitted over many repeats: the mean of the lit yarn over its mean light is within 1 CIEDE2000 of the map's mean."""
    colours = bands(BLUE, ORANGE, CREAM)
    linear, inside = lit(piece, colours, 391.0, stitches=stitches)
    seen = linear[inside].mean(axis=0) / MEAN_LIGHT
    assert float(ciede2000(lab(seen)[None, :], lab(colours.mean(axis=(0, 1, 2)))[None, :])[0]) < 1.0


def test_stripes_of_known_length_lie_at_the_right_rows() -> None:
    """A loop of exactly 2 x 10 rows of 50 stitches: rows 0-9 are blue, 10-19 orange, and so on upwards, all the way across."""
    stitches, rows = 50, 40
    linear, _ = lit("panel", bands(BLUE, ORANGE), 20 * stitches * L, stitches=stitches, rows=rows)
    wide, high = size_mm("panel", stitches, L, rows)
    scale = min(0.88 * 600 / wide, 0.88 * 480 / high)
    for row in (4, 14, 24, 34):
        y = round(240 + (high / 2 - (row + 0.5) * H) * scale)
        across = linear[y, 300 - round(0.4 * wide * scale) : 300 + round(0.4 * wide * scale)].mean(axis=0)
        assert (across[0] < across[2]) == ((row // 10) % 2 == 0), row


@pytest.mark.parametrize(("piece", "stitches"), [("shawl", 121), ("panel", 50)])
def test_a_piece_covers_the_area_of_its_stitches(piece: str, stitches: int) -> None:
    """The sum of N w h over the rows, by Munden's spacing, against the pixels that are not mat."""
    asked = Silhouette(piece=piece, stitches=stitches, stitch_mm=L, width=900, height=700)
    picture = silhouette(asked, bands(ORANGE), YarnPath(1500.0, 8))
    wide, high = size_mm(piece, stitches, L)
    scale = min(0.88 * 900 / wide, 0.88 * 700 / high)
    covered = float((picture.max(axis=2).astype(int) - picture.min(axis=2) > 20).sum()) / scale**2
    knitted = sum(n for part in parts_of(piece, stitches) for n in part.counts) * W * H
    assert covered == pytest.approx(knitted, rel=0.02)


def test_a_socks_heel_is_short_rows() -> None:
    """Common practice: on half of the stitches, each row one stitch shorter until a third is left, then each one longer. At the back of the heel these rows
    and the rounds beside them are as long as the quarter of a circle that they are drawn on, within a seventh."""
    for stitches, stitch_mm in ((48, 18.6), (64, L), (72, 12.0)):
        parts = {part.name: part.counts for part in parts_of("sock", stitches)}
        heel, half = parts["heel"], stitches // 2
        assert heel[0] == heel[-1] == half
        assert min(heel) == round(half / 3) + 1
        assert set(np.diff(heel).tolist()) == {-1, 0, 1}
        w, h = 1.0 / wales_per_mm(stitch_mm), 1.0 / courses_per_mm(stitch_mm)
        rows = len(heel) + _ankle_rows(half * w, h, len(parts["foot"]))
        assert rows * h == pytest.approx((BEND_MM + half * w) * pi / 2.0, rel=1 / 7)


def test_short_rows_lie_within_one_another() -> None:
    """At the side of the ankle no row of the heel is met, half-way back all that reach there, at the back every one in order; all begin at the side."""
    heel = parts_of("sock", 64)[1].counts
    half, most = heel[0], len(heel)
    turn = (np.arange(4000) + 0.5) / 4000
    for inward in (0.2, 0.5, 0.999):
        row, _, place = _short_row(turn, np.full(4000, inward), most, half)
        met = set(row.tolist())
        reach = half * (1.0 - inward)
        long_enough = {k for k, n in enumerate(heel) if n > reach + 0.5}
        assert long_enough <= met <= {k for k, n in enumerate(heel) if n > reach - 1.5}
        assert (np.diff(row) >= 0).all()
        outermost = row == 0
        assert place[outermost] == pytest.approx(inward, abs=1e-6)
    assert _wedge(np.array([0.5]), most, 20, half)[1] == pytest.approx(0.0)
    assert _wedge(np.array([1.0]), most, 20, half)[1] == pytest.approx(most / (most + 20))


def test_the_same_seed_gives_the_same_bytes_and_bare_mat_is_neutral() -> None:
    asked = Silhouette(piece="sock", stitches=48, stitch_mm=L, width=300, height=240)
    colours, path = bands(BLUE, CREAM), YarnPath(1500.0, 8)
    first = silhouette(asked, colours, path)
    assert np.array_equal(first, silhouette(asked, colours, path))
    assert tuple(first[0, -1]) == (MAT, MAT, MAT)
    assert np.ptp(first[:10].astype(int), axis=2).max() == 0


def test_a_place_on_the_yarn_has_the_maps_colour() -> None:
    """On a map without rows or faces that differ, running length alone decides: mm 0-499 of each metre blue, the rest orange."""
    colours, path = bands(BLUE, ORANGE, cells=1000), YarnPath(1000.0, 8)
    at = np.array([10.0, 490.0, 510.0, 990.0, 7_250.0, 7_750.0])
    assert np.allclose(colours_along(at, colours, path)[:, 0], [BLUE[0], BLUE[0], ORANGE[0], ORANGE[0], BLUE[0], ORANGE[0]])


def test_sizes_that_cannot_be_drawn() -> None:
    with pytest.raises(BadInput, match="pixels"):
        silhouette(Silhouette(piece="hat", stitches=80, stitch_mm=L, width=10), bands(BLUE), YarnPath(1500.0, 8))
    with pytest.raises(BadInput, match="pieces are"):
        silhouette(Silhouette(piece="tent", stitches=80, stitch_mm=L), bands(BLUE), YarnPath(1500.0, 8))


def test_eight_ply_is_asked() -> None:
    """Common practice: "8 ply" names a DK, "4 ply" a fingering; the metres decide, and the count is the dyer's own."""
    thick, thin = ply_said("8 ply", 210.0), ply_said("8-ply", 400.0, 8)
    assert (thick.thickness, thick.fits) == ("DK", True)
    assert "untwist a cut end" in thick.as_count
    assert not thin.fits
    assert "which is what you have counted" in thin.as_count
    assert ply_said("4ply", 400.0, 3).fits
    assert not ply_said("9 ply", 200.0).thickness
    for words in ("", "ply", "8", "80 ply"):
        with pytest.raises(BadInput, match="8 ply"):
            ply_said(words, 200.0)
