"""Every view that is offered: sizes, sameness, gaps, edges, and that a base's facts show."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.light import Light, render
from skeinwright.core.picture.look import StrandLook, look_of
from skeinwright.core.picture.pan import pan_of
from skeinwright.core.picture.plied import profile
from skeinwright.core.picture.strand import strand
from skeinwright.core.picture.twisted import twisted
from skeinwright.core.picture.views import VIEWS, view_light
from skeinwright.core.shelf.items import Base, Vessel

SIZE = {"width": 270, "height": 180}
FOUR, TWO = StrandLook(4, 30.0, 1.3, 0.25), StrandLook(2, 17.0, 1.3, 0.8)


def share_covered(light: Light) -> float:
    return float(light.alpha.mean())


@pytest.mark.parametrize("view", list(VIEWS))
def test_same_seed_same_bytes(view: str) -> None:
    first = VIEWS[view](FOUR, seed=3, **SIZE)
    VIEWS[view].cache_clear()  # type: ignore[attr-defined]
    second = VIEWS[view](FOUR, seed=3, **SIZE)
    assert first is not second
    for plane in ("shade", "alpha", "mat"):
        assert getattr(first, plane).tobytes() == getattr(second, plane).tobytes()
    other = VIEWS[view](FOUR, seed=4, **SIZE)
    assert first.shade.tobytes() != other.shade.tobytes()


@pytest.mark.parametrize("view", list(VIEWS))
def test_light_is_kept_and_cannot_be_spoilt(view: str) -> None:
    light = view_light(view, FOUR, **SIZE)
    assert view_light(view, FOUR, **SIZE) is light
    assert light.shade.shape == light.alpha.shape == light.mat.shape == (180, 270)
    assert all(plane.dtype == np.float32 for plane in (light.shade, light.alpha, light.mat))
    with pytest.raises(ValueError, match="read-only"):
        light.shade[0, 0] = 1.0


@pytest.mark.parametrize("view", list(VIEWS))
def test_light_stays_in_its_range(view: str) -> None:
    light = view_light(view, TWO, **SIZE)
    yarn = light.alpha > 0.99
    assert np.isfinite(light.shade).all()
    assert light.alpha.min() >= 0.0
    assert light.alpha.max() <= 1.0
    assert 0.4 <= light.mat.min() <= light.mat.max() <= 1.0
    assert light.shade[yarn].max() < 1.9
    assert light.mean_shade == pytest.approx(0.84, abs=0.01)


@pytest.mark.parametrize("view", list(VIEWS))
@pytest.mark.parametrize("look", [FOUR, TWO, StrandLook(1, 12.0, 1.8, 0.9)])
def test_no_black_gaps(view: str, look: StrandLook) -> None:
    """A gap between strands shows deeper yarn: next to nothing is near black in a pale yarn, and inside the yarn there is no hole to the mat."""
    light = view_light(view, look, **SIZE)
    picture = render(light, (0.7, 0.68, 0.6))
    yarn = light.alpha > 0.9
    assert (picture[yarn].max(axis=1) < 60).mean() < 0.002
    assert np.percentile(light.shade[yarn], 1) > 0.12


@pytest.mark.parametrize("view", ["knitted", "close up"])
def test_a_patch_fills_its_picture(view: str) -> None:
    light = view_light(view, FOUR, **SIZE)
    assert (light.alpha < 0.5).mean() < 0.002


@pytest.mark.parametrize("view", ["twisted", "laid open"])
def test_a_skein_lies_on_its_mat(view: str) -> None:
    """The skein is inside the picture, covers a fair share of it, casts a shadow, and has edges that are neither hard nor wide."""
    light = view_light(view, FOUR, **SIZE)
    border = np.concatenate([light.alpha[0], light.alpha[-1], light.alpha[:, 0], light.alpha[:, -1]])
    assert border.max() == 0.0
    assert 0.15 < share_covered(light) < 0.6
    assert light.mat.min() < 0.85
    assert light.mat[0, 0] > 0.97
    between = ((light.alpha > 0.02) & (light.alpha < 0.98)).sum()
    inside = light.alpha > 0.5
    outline = (inside[:, 1:] != inside[:, :-1]).sum() + (inside[1:] != inside[:-1]).sum()
    assert 0.4 * outline < between < 5.0 * outline


def test_a_laid_open_skein_has_an_open_middle() -> None:
    light = view_light("laid open", FOUR, **SIZE)
    assert light.alpha[90, 135] == 0.0


def test_plies_show() -> None:
    """Same thickness, other plies: the lights differ by much more than rounding."""
    four, two = twisted(FOUR, **SIZE), twisted(StrandLook(2, 30.0, 1.3, 0.25), **SIZE)
    both = (four.alpha > 0.9) & (two.alpha > 0.9)
    assert np.abs(four.shade - two.shade)[both].mean() > 0.05


def test_two_plies_bead_and_four_are_rounder() -> None:
    """The seen width of a two-ply swings along its length far more than that of a four-ply: plain geometry of the ring
    (between d and 2d, against 2d and 2.41d)."""
    swing = {}
    for plies in (2, 4):
        light = strand(StrandLook(plies, 25.0, 2.0, 0.0), width=600, height=60, px_per_mm=12.0)
        width = light.alpha.sum(axis=0)[50:-50]
        swing[plies] = np.ptp(width) / width.mean()
    assert swing[2] > 2.0 * swing[4]


def test_a_strand_is_as_thick_as_it_says() -> None:
    """Mean seen width over the scale is the visual diameter, within 8 % (plies are pressed together a little), 12 % for cables (pressed twice)."""
    for plies in (1, 2, 3, 4, 8, 9, 12):
        light = strand(StrandLook(plies, 25.0, 1.5, 0.0), width=900, height=60, px_per_mm=16.0)
        assert light.alpha.sum(axis=0).mean() / 16.0 == pytest.approx(1.5, rel=0.08 if plies < 7 else 0.12)


def test_a_cable_has_two_levels() -> None:
    """Eight plies are four groups of two. Plain geometry: a group's outline has two crests when its plies lie side by side and one when they lie one behind the
    other, so the outline changes as they turn, half a turn brings it back, and the plies of a group turn the other way from the groups. Four plies do not."""
    eight, four = profile(8, 25.0), profile(4, 25.0)
    assert four.radius.shape[1] == 1
    assert eight.plies == 4
    assert eight.per_group == 2

    def crests(line: NDArray[np.float32]) -> int:
        smooth = np.convolve(line, np.ones(9) / 9, mode="valid")
        return int(((smooth[1:-1] > smooth[:-2]) & (smooth[1:-1] >= smooth[2:])).sum())

    found = {crests(eight.radius[:, t]) for t in range(eight.radius.shape[1])}
    assert {1, 2} <= found
    assert crests(four.radius[:, 0]) == 1
    assert np.abs(eight.radius[:, 0] - eight.radius[:, 1]).max() < 0.1 * np.ptp(eight.radius)
    assert np.abs(eight.radius[:, 0] - eight.radius[:, -1]).max() < 0.1 * np.ptp(eight.radius)
    assert eight.turn < 0.0
    grooved = strand(StrandLook(8, 25.0, 2.0, 0.0), width=600, height=80, px_per_mm=24.0)
    plain = strand(StrandLook(4, 25.0, 2.0, 0.0), width=600, height=80, px_per_mm=24.0)
    fine = [np.abs(np.diff(light.shade[25:55], 2, axis=0)).mean() for light in (grooved, plain)]
    assert fine[0] > 1.06 * fine[1]


def test_a_hairier_yarn_has_a_wider_edge() -> None:
    bald, hairy = (strand(StrandLook(3, 22.0, 1.5, halo), width=400, height=60, px_per_mm=12.0) for halo in (0.0, 1.0))
    faint = [((light.alpha > 0.01) & (light.alpha < 0.5)).sum() for light in (bald, hairy)]
    assert faint[1] > 3 * faint[0]


def test_a_thicker_yarn_makes_larger_stitches() -> None:
    """Fewer grooves across the same picture: the strongest period across is longer."""

    def stitches(look: StrandLook) -> int:
        columns = view_light("knitted", look, width=450, height=180).shade.mean(axis=0)
        spectrum = np.abs(np.fft.rfft(columns - columns.mean()))
        return int(np.argmax(spectrum[3:]) + 3)

    assert stitches(StrandLook(3, 22.0, 1.2, 0.3)) > 1.5 * stitches(StrandLook(3, 22.0, 2.4, 0.3))


def test_a_base_has_a_look_and_says_what_is_assumed() -> None:
    base = Base(name="Quay Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100.0, length_mm=400_000.0, plies=4, twist="high")
    look, assumed = look_of(base)
    assert look.plies == 4
    assert look.diameter_mm == pytest.approx(1.27, abs=0.1)
    assert len(assumed) == 1
    unknown, said = look_of(Base(name="Drift", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=200_000.0))
    assert unknown.diameter_mm > look.diameter_mm
    assert any("plies twisted together" in sentence for sentence in said)


@pytest.mark.parametrize("bad", [{"plies": 0}, {"plies": 13}, {"angle_deg": 60.0}, {"diameter_mm": 0.0}, {"halo": 1.5}])
def test_looks_that_cannot_be(bad: dict[str, float]) -> None:
    with pytest.raises(BadInput):
        StrandLook(**bad)  # type: ignore[arg-type]


@pytest.mark.parametrize("view", list(VIEWS))
def test_sizes_that_cannot_be_drawn(view: str) -> None:
    with pytest.raises(BadInput, match="pixels"):
        view_light(view, FOUR, width=5000, height=5000)


def test_a_view_that_is_not_drawn_is_not_offered() -> None:
    with pytest.raises(BadInput, match="views are"):
        view_light("in the pan", FOUR)


def test_a_pan_is_the_vessel_from_above() -> None:
    """One that is not known is 50 x 30 cm; a round one is as wide as it is long; a rectangle keeps its sides."""
    skein = {"round_mm": 1500.0, "breadth_mm": 110.0, "strands": 200}
    pot = Vessel(name="Pot", shape="round", length_mm=300, height_mm=200)
    tray = Vessel(name="Tray", shape="rectangle", length_mm=530, width_mm=320, height_mm=100)
    pans = [pan_of(vessel, **skein) for vessel in (None, pot, tray)]
    assert [(one.length_mm, one.width_mm, one.circular) for one in pans] == [(500, 300, False), (300, 300, True), (530, 320, False)]
    assert {(one.round_mm, one.breadth_mm, one.strands) for one in pans} == {(1500, 110, 200)}
