"""Pooling, stripes and the reach in the pan: against brute force, Monte Carlo and a dyer's public page."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.yarn.knitting import stitch_length_mm
from skeinwright.core.yarn.pan_reach import after_shuffles, breadth_for, exposed, exposed_layers, multiplicity, pan_reach, shuffles_for, yarn_covered
from skeinwright.core.yarn.pieces import Part, parts_of, rows_on_yarn
from skeinwright.core.yarn.pooling import convergents, phase, pooling, rotation, shift, stitches_per_repeat, verdict, verdict_band
from skeinwright.core.yarn.stripes import Stripe, lay_stripes, short_by

L = stitch_length_mm(0.30)
Q = stitches_per_repeat(1500.0, L)


def grid(rows: int, stitches: int, q: float, *, flat: bool = False) -> np.ndarray:
    """The phase of every stitch, walked stitch by stitch along the yarn: nothing of the rotation formulas is used."""
    found, at = np.zeros((rows, stitches)), 0.0
    for row in range(rows):
        for k in range(stitches):
            column = stitches - 1 - k if flat and row % 2 else k
            found[row, column] = at % q
            at += 1.0
    return found


def test_a_stack() -> None:
    """q = 1500/13.667 = 109.756; 110 stitches: shift +0.244, a turn in 450 rounds; with q 1 % off +1.34 and -0.85."""
    assert pytest.approx(109.756, abs=1e-3) == Q
    found = pooling(110, Q)
    assert found.shift == pytest.approx(0.244, abs=1e-3)
    assert found.rounds_per_turn == pytest.approx(450.0, abs=1.0)
    assert found.verdict == "stacks"
    assert shift(110, 0.99 * Q) == pytest.approx(1.34, abs=0.01)
    assert shift(110, 1.01 * Q) == pytest.approx(-0.85, abs=0.01)
    assert set(found.band) == {"stacks", "drifts"}


def test_sixty_four_stitches() -> None:
    """rho 0.5831; convergents 1/2, 3/5, 4/7: nearly the same again after 7 rounds."""
    assert rotation(64, Q) == pytest.approx(0.5831, abs=1e-4)
    assert {(1, 2), (3, 5), (4, 7)} <= set(convergents(rotation(64, Q)))
    rows = grid(8, 64, Q)
    step = (rows[7] - rows[0] + Q / 2) % Q - Q / 2
    assert np.abs(step).max() < 0.1 * Q


def test_to_and_fro_with_two_rows_a_repeat() -> None:
    """67 stitches and q = 134: every right-side row is the same, and rows are mirrored."""
    rows = grid(6, 67, 134.0, flat=True)
    assert np.allclose(rows[0], rows[2])
    assert np.allclose(rows[0], rows[4])
    assert pooling(67, 134.0, flat=True).verdict == "stacks"


def test_ten_rounds_move_four_stitches() -> None:
    """q 110.4 and 110 stitches: the shift is -0.4, so after ten rounds the colour stands 4 stitches further on (simulated: 4 to 5)."""
    rows = grid(11, 110, 110.4)
    start = int(np.argmin(np.abs(rows[0] - 30.0)))
    moved = int(np.argmin(np.abs(rows[10] - 30.0))) - start
    assert moved in (4, 5)
    assert -10 * shift(110, 110.4) == pytest.approx(4.0, abs=1e-9)


@pytest.mark.parametrize("flat", [False, True])
@pytest.mark.parametrize(("stitches", "q"), [(110, Q), (64, Q), (67, 134.0), (55, 37.3), (31, 200.7)])
def test_phases_against_brute_force(stitches: int, q: float, flat: bool) -> None:
    walked = grid(9, stitches, q, flat=flat)
    said = np.array([[phase(r, c, stitches, q, flat=flat) for c in range(stitches)] for r in range(9)])
    assert np.allclose((walked - said + q / 2) % q, q / 2, atol=1e-9)
    two = 2 if flat else 1
    step = (walked[two] - walked[0] - shift(two * stitches, q) + q / 2) % q - q / 2
    assert np.allclose(step, 0.0, atol=1e-9)


@pytest.mark.parametrize(("stitches", "q", "said"), [(100, 100.4, "stacks"), (100, 103.0, "drifts"), (50, 101.0, "flashes"), (38, 100.0, "scatters")])
def test_verdicts_are_what_a_picture_shows(stitches: int, q: float, said: str) -> None:
    """How alike rows are, of yarn that is dark for half of its repeat, walked stitch by stitch: stacked rows repeat at once and stay, drifting ones repeat
    and then part, flashing ones repeat only after 2 to 4 rounds, scattered ones never soon."""
    dark = grid(60, stitches, q) < q / 2
    alike = [float((dark[lag:] == dark[:-lag]).mean()) for lag in (1, 2, 3, 4)]
    far = float((dark[0] == dark[20]).mean())
    assert verdict(stitches, q) == said
    seen = "stacks" if far > 0.8 and alike[0] > 0.9 else "drifts" if alike[0] > 0.8 else "flashes" if max(alike[1:]) > 0.85 else "scatters"
    assert seen == said


def test_a_band_is_how_often_each_verdict_falls() -> None:
    """Against draws of q by a random generator."""
    rng = np.random.default_rng(3)
    drawn = [verdict(110, Q * value) for value in rng.uniform(0.99, 1.01, 20_000)]
    band = verdict_band(110, Q)
    for name, share in band.items():
        assert drawn.count(name) / len(drawn) == pytest.approx(share, abs=0.015)
    assert sum(band.values()) == pytest.approx(1.0)


def test_stripes() -> None:
    """Munden: ten rounds of 64 stitches take 64 x 10 x 13.667 mm = 8.75 m, 9.01 m with 3 %."""
    bare = lay_stripes([Stripe("Kelp", 10), Stripe("Ember", 10)], 64, L, yarn_mm=400_000.0, waste=0.0)
    with_waste = lay_stripes([Stripe("Kelp", 10), Stripe("Ember", 10)], 64, L, yarn_mm=400_000.0, relax_length=0.95)
    assert bare.stripes[0].dried_mm / 1000 == pytest.approx(8.75, abs=0.005)
    assert with_waste.stripes[0].dried_mm / 1000 == pytest.approx(9.01, abs=0.005)
    assert with_waste.loop_mm == pytest.approx(2 * 9009.0 / 0.95, rel=1e-3)
    assert with_waste.repeats == pytest.approx(400_000.0 / with_waste.loop_mm)
    for stripe in with_waste.stripes:
        assert stripe.passes * stripe.peg_mm == pytest.approx(stripe.length_mm)
        assert stripe.peg_mm <= 2000.0


def test_pegs_that_are_too_near() -> None:
    """A dyer's public page: 30.8 in a round were needed, pegs 15 in apart were gone round twice... 30 in: 2.6 % short."""
    assert short_by(30.8, 2 * 15.0) == pytest.approx(0.026, abs=5e-4)


def test_the_winders_round_is_not_the_dried_one() -> None:
    said = lay_stripes([Stripe("", 10)], 64, L, yarn_mm=4e5, winder_round_mm=1500.0, dried_round_mm=1425.0).warnings
    assert any("-5.0 %" in sentence for sentence in said)
    assert not lay_stripes([Stripe("", 10)], 64, L, yarn_mm=4e5, winder_round_mm=1500.0, dried_round_mm=1500.0).warnings


@pytest.mark.parametrize(
    ("breadth", "mu", "share", "one", "both"),
    [(60, 5.79, 0.172, 0.086, 0.172), (100, 3.47, 0.279, 0.140, 0.279), (150, 2.31, 0.389, 0.195, 0.389), (300, 1.16, 0.593, 0.296, 0.593)],
)
def test_reach_in_the_pan(breadth: float, mu: float, share: float, one: float, both: float) -> None:
    """267 strands of 1.3 mm (400 m on 1.5 m), worked out by hand from (1 - e^-mu)/mu."""
    found = pan_reach(267 * 1500.0, 1500.0, 1.3, breadth)
    assert found.mu == pytest.approx(mu, abs=0.006)
    assert found.exposed == pytest.approx(share, abs=6e-4)
    assert (found.one_side, found.both_sides) == (pytest.approx(one, abs=6e-4), pytest.approx(both, abs=6e-4))


def test_exposed_in_its_limits() -> None:
    """mu 5.785 gives 0.1723; nothing above gives 1; many give 1/mu; six full layers give 1/6; two shuffles 0.315."""
    assert exposed(5.785) == pytest.approx(0.1723, abs=1e-4)
    assert exposed(0.0) == 1.0
    assert exposed(1e-9) == pytest.approx(1.0)
    assert exposed(500.0) == pytest.approx(1 / 500.0)
    assert exposed_layers(6, 1.0) == pytest.approx(1 / 6)
    assert after_shuffles(exposed(5.785), 2) == pytest.approx(0.315, abs=5e-4)
    assert after_shuffles(exposed(5.785), 4) == pytest.approx(0.53, abs=5e-3)
    assert yarn_covered(0.30, exposed(5.785)) == pytest.approx(0.052, abs=5e-4)


def test_exposed_by_dropping_strands() -> None:
    """267 strands of 1.3 mm dropped at random on 60 mm (closed round, so that there is no edge): the width each shows from above, to 0.005.

    The shown widths add up to what is covered, B (1 - e^-mu)."""
    rng = np.random.default_rng(5)
    cells, wide, strands = 6000, 130, 267
    covered, shown = 0.0, 0.0
    for _ in range(60):
        top = np.full(cells, -1)
        for k, at in enumerate(rng.integers(0, cells, strands)):
            top[(at + np.arange(wide)) % cells] = k
        covered += (top >= 0).mean() / 60
        shown += (top >= 0).sum() / (strands * wide) / 60
    mu = multiplicity(strands, 1.3, 60.0)
    assert shown == pytest.approx(exposed(mu), abs=0.005)
    assert covered == pytest.approx(1 - np.exp(-mu), abs=0.005)


@pytest.mark.parametrize(("breadth", "share"), [(60, 0.172), (100, 0.279), (150, 0.389), (300, 0.593)])
def test_the_width_for_a_share_is_the_table_read_backwards(breadth: float, share: float) -> None:
    """The table above, worked out by hand, from its right column to its left; its shares have three digits, which is 0.5 % of the width at most."""
    assert breadth_for(share, 267.0, 1.3) == pytest.approx(breadth, rel=0.005)


def test_how_often_to_shuffle() -> None:
    """E = 0.1723: once reaches 0.172, twice 0.315 and four times 0.53 (by hand above); 0.9999 takes ln 0.0001/ln 0.8277 = 48.7 times."""
    assert [shuffles_for(0.1723, goal) for goal in (0.17, 0.31, 0.52, 0.9999)] == [1, 2, 4, 49]
    assert shuffles_for(0.01, 0.9999) is None


def walked(parts: tuple[Part, ...], alternate: int) -> list[tuple[bool, list[int]]]:
    """The stitches of each row as they lie from the row's own edge, counted one by one along the yarn of two balls: nothing of `rows_on_yarn` is used."""
    used, found, number = [0, 0], [], 0
    for part in parts:
        for row, n in enumerate(part.counts):
            ball = (number // alternate) % 2 if alternate else 0
            stitches = list(range(used[ball], used[ball] + n))
            used[ball] += n
            found.append((bool(ball), stitches[::-1] if part.flat and row % 2 else stitches))
            number += 1
    return found


@pytest.mark.parametrize("alternate", [0, 1, 2, 3])
@pytest.mark.parametrize("piece", ["sock", "hat", "shawl", "panel"])
def test_rows_of_a_piece_against_counting_stitch_by_stitch(piece: str, alternate: int) -> None:
    parts = parts_of(piece, 48)
    said = []
    for row in rows_on_yarn(parts, alternate):
        stitches = [row.start + k for k in range(row.stitches)]
        said.append((row.second, stitches[::-1] if row.back else stitches))
    assert said == walked(parts, alternate)
