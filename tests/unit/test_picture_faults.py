"""Faults that pictures once had, seen by eye before they were mended: fibres of hidden strands, a bare corner, bright slots, screws, plump loops, felt."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, minimum_filter

from skeinwright.core.picture.draw import LEAST_MAT, _sampled, draw
from skeinwright.core.picture.knitted import knitted_scene
from skeinwright.core.picture.limb import IN_WATER, limb, piece_px
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.pan import Pan, _middle_line, lay_in
from skeinwright.core.picture.plied import profile, turns_per_diameter
from skeinwright.core.picture.scene import BARE, Scene
from skeinwright.core.picture.strand import close_up_scene
from skeinwright.core.picture.strands import Centres, from_curves, join
from skeinwright.core.picture.twisted import FOLDED, _from_skein, _from_tie, lengths_together, twisted_px_per_mm, twisted_scene

HAIRY = StrandLook(1, 12.0, 1.3, 0.9)
FIRM = StrandLook(4, 30.0, 1.3, 0.25)
RADIUS = 4.0


def sheet(first_y: float, rows: int, z: float, spacing: float = 1.6 * RADIUS) -> Centres:
    """Straight strands side by side across a picture 240 pixels wide."""
    at = np.arange(-20.0, 260.0, 3.0, dtype=np.float32)
    y = (first_y + spacing * np.arange(rows, dtype=np.float32))[:, None] + 0.0 * at
    place = np.stack([np.broadcast_to(at, y.shape), y, np.full_like(y, z)]).astype(np.float32)
    return from_curves(place, radius=RADIUS, at=at - at[0])


def drawn(parts: list[Centres], look: StrandLook = HAIRY, **more: float) -> Scene:
    return draw(join(parts), look, width=240, height=160, seed=1, body=20.0, closed=True, **more)  # type: ignore[arg-type]


def test_strands_that_do_not_show_have_no_loose_fibres() -> None:
    """A closed sheet over another: all fibres are of the upper strands. With the upper one half as high, both have some."""
    below = sheet(-20.0, 40, -2.5 * RADIUS)
    covered = drawn([sheet(-20.0, 40, 0.0), below], hair=60.0)
    assert len(covered.hairs.strand) > 2000
    assert covered.hairs.strand.max() < 40
    half = drawn([sheet(-20.0, 14, 0.0), below], hair=60.0)
    assert 0.2 < float((half.hairs.strand >= 14).mean()) < 0.8


@pytest.mark.parametrize("look", [FIRM, StrandLook(2, 17.0, 1.9, 0.9), StrandLook(1, 12.0, 1.4, 0.9), StrandLook(8, 30.0, 2.2, 0.3)])
def test_a_close_up_is_yarn_up_to_its_corners(look: StrandLook) -> None:
    for seed in (1, 2):
        scene = close_up_scene.__wrapped__(look, width=300, height=200, px_per_mm=6.0, seed=seed)
        bare = scene.strand == BARE
        assert not any(bare[at].any() for at in (np.s_[:40, :40], np.s_[:40, -40:], np.s_[-40:, :40], np.s_[-40:, -40:]))


def test_strands_close_up_have_slipped_past_one_another() -> None:
    """A dried skein is not as it lay in the pan: neighbouring strands begin some millimetres apart along the loop, all about the place that is looked at."""
    scene = close_up_scene.__wrapped__(FIRM, width=300, height=200, px_per_mm=6.0, round_mm=1500.0)
    start_mm = scene.drawn.start * 1500.0
    assert 1.3 < float(np.diff(start_mm).std() / np.sqrt(2.0)) < 2.8
    middle_mm = start_mm + scene.drawn.rate * 1500.0 * (150.0 + 2.0 * 0.5 * FIRM.outline_mm * 6.0)
    assert float(middle_mm.mean()) == pytest.approx(0.0, abs=0.8)


def _mat_in_a_gap(wide_px: float) -> float:
    """Light on the mat in the middle of a gap between two sheets, over the light far from them."""
    rows = 8
    upper = 60.0 - RADIUS - 1.6 * RADIUS * (rows - 1)
    lower = 60.0 + wide_px + RADIUS
    scene = drawn([sheet(upper, rows, 0.0), sheet(lower, rows, 0.0)], FIRM, mat_z=-RADIUS, hair=0.0)
    middle = scene.mat[round(60.0 + wide_px / 2.0), 80:160]
    return float(middle.mean())


def test_a_slot_between_strands_is_the_darker_the_narrower_it_is() -> None:
    light = [_mat_in_a_gap(wide) for wide in (8.0, 12.0, 18.0, 40.0)]
    assert light == sorted(light)
    assert LEAST_MAT - 1e-6 <= light[0] < 0.75 * light[-1]


def test_plies_are_not_twisted_like_a_screw() -> None:
    """The plies' turn along a strand is what the twist says on the mean, but runs ahead and behind; a single and a distant strand need none of this."""
    at = np.arange(0.0, 12_000.0, 3.0, dtype=np.float32)
    strand = np.stack([at[None, :], np.zeros((1, len(at))), np.zeros((1, len(at)))]).astype(np.float32)

    def off(look: StrandLook, radius: float) -> NDArray[np.float64]:
        centres = from_curves(strand, radius=radius, at=at)
        phase = _sampled(centres, profile(look.plies, look.angle_deg), look, np.random.default_rng(3), 1).phase.mean(axis=1).astype(float)
        turn = np.pi * turns_per_diameter(look.lobes, look.angle_deg) / radius
        return phase - turn * centres.length

    ahead = off(FIRM, 15.0)
    assert 0.3 < ahead.std() < 1.2
    assert abs(np.polyfit(at, ahead, 1)[0]) < 0.01 * np.pi * turns_per_diameter(FIRM.lobes, FIRM.angle_deg) / 15.0
    assert off(HAIRY, 15.0).std() < 0.01
    assert off(FIRM, 1.0).std() < 0.01


def test_knitted_strands_are_thick_and_thin() -> None:
    """A single is more uneven than a yarn of four plies: the width of what shows differs more from stitch to stitch."""
    import skeinwright.core.picture.knitted as module

    caught: list[Centres] = []
    kept, module.draw = module.draw, lambda centres, *_given, **_named: caught.append(centres)  # type: ignore[assignment,misc]
    try:
        for look in (HAIRY, FIRM):
            knitted_scene.__wrapped__(look, width=300, height=200, across=12, thick=0.4)
    finally:
        module.draw = kept
    single, four = (float(one.radius.std() / one.radius.mean()) for one in caught)
    assert 0.04 < single < 0.12
    assert four < 0.8 * single


@pytest.mark.parametrize(("round_mm", "together"), [(800.0, 1), (1500.0, 1), (2500.0, 1), (2510.0, 2), (8000.0, 4), (17_500.0, 7)])
def test_a_long_loop_is_laid_together_before_it_is_twisted(round_mm: float, together: int) -> None:
    """No folded skein is longer than 0.22 of 2.5 m, so its strands are never thinner in the picture than those of such a skein."""
    assert lengths_together(round_mm) == together
    assert 1.0 / twisted_px_per_mm(900, 600, round_mm) <= FOLDED * 2500.0 / 774.0 + 1e-9


@pytest.mark.parametrize("together", [1, 2, 3, 7])
def test_every_length_runs_from_fold_to_fold(together: int) -> None:
    """Each strand of the hank covers one of the 2 n stretches of 1/(2 n) of the loop; together they cover all of it, alike. At n = 1: from the tie to half
    round, and back."""
    rope = sheet(0.0, 420, 0.0)
    placed = _from_skein(rope, np.random.default_rng(1), together)
    span = 0.5 / together
    ends = placed.start + placed.rate * float(rope.length.max())
    assert np.allclose(np.abs(ends - placed.start), span)
    low = np.minimum(placed.start, ends) / span
    assert np.allclose(low, np.round(low), atol=1e-6)
    stretches = np.bincount(np.round(low).astype(int) % (2 * together), minlength=2 * together)
    assert stretches.min() > 0.7 * 420 / (2 * together)


def test_the_tie_is_where_a_limb_begins() -> None:
    """The end that is tucked through shows the tie, or a fold that lies beside it: s = 0, or a whole number of two stretches on."""
    for together in (1, 2, 3, 7):
        placed = _from_tie(sheet(0.0, 60, 0.0), np.random.default_rng(1), together)
        nearest = (placed.start + 0.5 * 0.04 / together) * together
        assert np.allclose(nearest, np.round(nearest), atol=0.01)
        assert 0.0 in np.round(nearest)


@pytest.mark.parametrize("scale", [0.28, 1.1, 2.2])
def test_a_loop_has_no_corner_where_it_closes(scale: float) -> None:
    """A skein in its pan, from a thumbnail's scale to a large picture's: the strand in the middle of a limb turns by less than 12 degrees from one point to
    the next all the way round, also over the join."""
    lay = lay_in(Pan(length_mm=500.0, width_mm=300.0, circular=False, round_mm=1500.0, breadth_mm=110.0, strands=153))
    breadth = lay.breadth_mm * scale
    piece = piece_px(breadth)
    middle, normal = _middle_line(lay, scale, piece)
    made = limb(
        np.random.default_rng(1), middle, normal, breadth=breadth, mound=0.3 * breadth, strand_radius=max(0.3, scale), count=9, manner=IN_WATER, piece=piece
    )  # fmt: skip
    along = made.along.reshape(3, 9, -1)
    turns = np.degrees(np.arccos(np.clip((along * np.roll(along, -1, axis=2)).sum(axis=0), -1.0, 1.0)))
    assert turns[4].max() < 12.0


@pytest.mark.parametrize("look", [StrandLook(4, 31.0, 1.4, 0.27), StrandLook(2, 20.0, 2.0, 1.0)])
def test_loose_fibres_do_not_felt_the_outline(look: StrandLook) -> None:
    """Half of them start at the outline, where they are seen against the mat; so many on so few pixels covered the dark side of a hank with a light rim."""
    hank = twisted_scene.__wrapped__(look, width=600, height=400)
    solid = hank.strand[::2, ::2] != BARE
    away = distance_transform_edt(solid)
    rows = np.repeat(np.arange(len(hank.hairs.start) - 1), np.diff(hank.hairs.start))
    cover = np.zeros(hank.strand.shape)
    cover[rows, hank.hairs.at] = hank.hairs.cover / 255.0
    cover = cover.reshape(400, 2, 600, 2).mean(axis=(1, 3))
    assert 0.0 < cover[(away > 0) & (away <= 3)].mean() < 3.0 * cover[away > 12].mean()


def test_a_slot_runs_out_in_a_point() -> None:
    """Two sheets draw apart: where the gap between them is wide enough to be seen it begins narrow, and does not start as a wall across it."""
    upper, lower = sheet(2.0, 9, 0.0), sheet(64.0, 12, 0.0)
    bend = (0.10 * np.maximum(0.0, lower.at[0] - 20.0)).astype(np.float32)
    apart = replace(lower, at=np.stack([lower.at[0], lower.at[1] + bend - 4.0, lower.at[2]]))
    scene = drawn([upper, apart], FIRM, mat_z=-RADIUS, hair=0.0)
    open_rows = (scene.strand == BARE)[80:220, 40:440].sum(axis=0)
    assert open_rows[:20].max() == 0
    assert open_rows.max() > 4 * RADIUS
    assert np.abs(np.diff(open_rows)).max() <= 6, "sub-pixels from one column to the next"


@pytest.mark.parametrize("plies", [2, 8])
def test_nothing_shows_through_between_samples(plies: int) -> None:
    """Neither at the last row and column of a picture nor on the steep flanks of a cable's plies: hardly a pixel is far darker than all those round it."""
    light = close_up_scene.__wrapped__(StrandLook(plies, 30.0, 2.2, 0.0), width=600, height=400, px_per_mm=24.0).light.shade
    ring = np.array([[1, 1, 1], [1, 0, 1], [1, 1, 1]], dtype=bool)
    assert (light < 0.85 * minimum_filter(light, footprint=ring))[1:-1, 1:-1].mean() < 2.2e-3
    below = np.abs(light[-1] - light[-2]).mean() / np.abs(light[-2] - light[-3]).mean()
    right = np.abs(light[:, -1] - light[:, -2]).mean() / np.abs(light[:, -2] - light[:, -3]).mean()
    assert max(below, right) < 1.3
