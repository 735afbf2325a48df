"""The spread model's mathematics against exact solutions. Each names its source; none of them says that real wool behaves so."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import k0

from skeinwright.core.spread import transport
from skeinwright.core.spread.acid import held_back
from skeinwright.core.spread.events import Turn, Wait
from skeinwright.core.spread.exchange import Kappas, over, rates
from skeinwright.core.spread.field import Field
from skeinwright.core.spread.figures import figures
from skeinwright.core.spread.grid import Grid, panel
from skeinwright.core.spread.kernels import constants, take_mobile
from skeinwright.core.spread.quick import one_shot
from skeinwright.core.spread.stepper import full
from skeinwright.core.spread.water import Movement
from spread_cases import OneLayer, case


def _variance(plane: np.ndarray, step: float, axis: int) -> float:
    line = plane.sum(axis=1 - axis)
    x = np.arange(line.size) * step
    mean = (line * x).sum() / line.sum()
    return float((line * (x - mean) ** 2).sum() / line.sum())


def test_a_point_spreads_as_the_heat_kernel() -> None:
    """Variance of a point on a grid grows as 2 D t exactly (random walk in continuous time; Crank, The Mathematics of Diffusion, for the continuum)."""
    grid, plane = Grid(256, 256, 0.02, 0.02), np.zeros((1, 256, 256))
    plane[0, 128, 128] = 1.0
    for _ in range(6):
        transport.spread(plane, grid, 1e-4 * 10, 2e-4 * 10)
    assert _variance(plane[0], 0.02, 1) == pytest.approx(2 * 1e-4 * 60, rel=1e-10)
    assert _variance(plane[0], 0.02, 0) == pytest.approx(2 * 2e-4 * 60, rel=1e-10)
    assert abs(plane.sum() - 1) < 1e-13
    assert plane.min() >= -1e-15


def test_a_gaussian_converges_to_second_order() -> None:
    """A Gaussian of variance s stays one, of variance s + 2 D t (Crank): the error falls by four for each halving of the cell."""
    errors = []
    for step in (0.08, 0.04, 0.02, 0.01):
        n = round(5.12 / step)
        x = (np.arange(n) + 0.5) * step - 2.56
        gauss = lambda var: np.exp(-(x[:, None] ** 2 + x[None, :] ** 2) / 2 / var) / (2 * np.pi * var)  # noqa: E731, B023
        plane = gauss(0.02)[None].copy()
        transport.spread(plane, Grid(n, n, step, step), 1e-4 * 100, 1e-4 * 100)
        exact = gauss(0.04)
        errors.append(float(np.linalg.norm(plane[0] - exact) / np.linalg.norm(exact)))
    ratios = np.array(errors[:-1]) / errors[1:]
    assert ratios == pytest.approx([4, 4, 4], abs=0.1)


def test_short_steps_in_single_precision_are_the_same_kernel() -> None:
    rng = np.random.default_rng(2)
    grid, plane = Grid(128, 160, 0.01, 0.02, True), rng.random((1, 128, 160)) ** 8
    single = plane.astype(np.float32)
    transport.spread(plane, grid, 9e-4, 5e-4)
    transport.spread(single, grid, 9e-4, 5e-4)
    assert np.abs(single - plane).max() < 3e-6 * plane.max()
    assert single.min() >= 0


def test_a_line_of_dye_ends_as_an_exponential() -> None:
    """s = M exp(-|x|/lambda)/(2 lambda), lambda = sqrt(D/k): the steady kernel of diffusion with strike (textbook Green's function)."""
    lam = float(np.sqrt(8e-5 / 0.01))
    for step, tolerance in ((0.01, 1e-3), (0.005, 3e-4)):
        n = round(3.2 / step) + 1
        one = OneLayer(Grid(4, n, step, step), k=0.01, along=8e-5)
        one.liquor[:, n // 2] = 1.0
        one.run(1600, 1.0)
        x = (np.arange(n) - n // 2) * step
        inside = (x > 0.5 * lam) & (x < 4 * lam)
        slope = np.polyfit(x[inside], np.log(one.fibre[1][inside]), 1)[0]
        assert -slope * lam == pytest.approx(1, abs=tolerance)


def test_a_point_of_dye_ends_as_k0() -> None:
    """s = M K0(r/lambda)/(2 pi lambda^2), <r^2> = 4 lambda^2 (modified Bessel function, scipy)."""
    n, step, k = 512, 0.005, 0.01
    d = k * 0.1**2
    grid = Grid(n, n, step, step)
    one = OneLayer(grid, k=k, along=d, across=d)
    one.liquor[n // 2, n // 2] = 1 / step**2
    one.run(300, 2.5)
    one.run(700, 10)
    y, x = (np.indices((n, n)) - n // 2) * step
    r = np.hypot(x, y)
    ring = (r > 0.05) & (r < 0.4)
    exact = k0(r[ring] / 0.1) / (2 * np.pi * 0.1**2)
    assert np.sqrt(np.mean((one.fibre[ring] / exact - 1) ** 2)) < 1e-3
    shot = one_shot(_point(n, step), grid, Movement((d,) * 3, (d,) * 3, Kappas(0, 0, 0)), np.zeros((3, 3)), (k, k))
    assert np.sqrt(np.mean((shot[0][ring] / exact - 1) ** 2)) < 1e-3
    assert shot[0].sum() * step**2 == pytest.approx(1, abs=2e-5)
    spread = (shot[0] * r**2).sum() / shot[0].sum()
    assert spread == pytest.approx(4 * 0.1**2, rel=2e-3)


def _point(n: int, step: float) -> np.ndarray:
    point = np.zeros((3, n, n))
    point[1, n // 2, n // 2] = 1 / step**2
    return point


def _even(k: float, kd: float = 0.0, full: float = 1e30, m0: float = 1.0) -> OneLayer:
    one = OneLayer(Grid(4, 4, 0.1, 0.1), k=k, kd=kd, full=full)
    one.liquor[:] = m0
    return one


def test_even_strike_is_exact() -> None:
    """1 - exp(-k t), and k/(k + kd) (1 - exp(-(k + kd) t)) where it also lets go (first-order kinetics)."""
    k = -np.log(1 - 0.9284834) / 100
    one = _even(k)
    one.run(100, 5)
    assert one.fibre[0, 0] == pytest.approx(1 - np.exp(-k * 100), abs=1e-8)
    two = _even(0.03, 0.0015)
    two.run(100, 5)
    assert two.fibre[0, 0] == pytest.approx(0.03 / 0.0315 * (1 - np.exp(-0.0315 * 100)), abs=2e-8)


def test_filling_sites_is_second_order() -> None:
    """m = (S - m0) m0 E/(S - m0 E), E = exp(-k (S - m0) t/S): the logistic solution of m' = -k m (1 - (m0 - m)/S)."""
    k, full, errors = -np.log(1 - 0.9284834) / 100, 1.3, []
    e = np.exp(-k * 0.3 * 100 / full)
    exact = 1 - 0.3 * e / (full - e)
    for step in (10, 5, 2.5, 1.25):
        one = _even(k, full=full)
        one.run(100, step)
        errors.append(abs(one.fibre[0, 0] - exact))
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert errors[1] < 1e-3
    assert orders == pytest.approx([2, 2, 2], abs=0.15)


def test_two_alike_dyes_share_out_one() -> None:
    """Competition for sites knows only how much dye there is: parts 2:1 of one dye do what the whole does."""
    whole = full(case(0.4, 0.3, dyes=1, time_s=120), panel(64, 0.04), 3, dtype=np.float64)
    session = case(0.4, 0.3, dyes=1, time_s=120)
    first = session.events[0]
    parts = replace(session, dyes=(session.dyes[0], replace(session.dyes[0], name="other")), events=(replace(first, dyes_mg=(20.0, 10.0)), *session.events[1:]))
    split = full(parts, panel(64, 0.04), 3, dtype=np.float64)
    assert np.abs(split.dye.sum(axis=0) - whole.dye[0]).max() < 2e-7 * whole.dye.max()
    assert split.ledger.fibre_mg.sum() == pytest.approx(whole.ledger.fibre_mg[0], rel=1e-12)


@pytest.mark.parametrize("step", [4.0, 1.0, 0.25])
def test_acid_is_held_back(step: float) -> None:
    """A trace of acid spreads Rf times slower, Rf = 1 + bmax/ah (retardation by instant linear binding; textbook of chromatography and groundwater)."""
    grid, b_max, a_half, d = Grid(128, 128, 0.02, 0.02), 0.06, 0.02, 1e-4
    p = constants(b_max, a_half, 0.02, 0.15, np.float64)
    total = np.zeros((128, 128))
    x = (np.arange(128) - 64) * 0.02
    total += 1e-7 * np.exp(-(x[:, None] ** 2 + x[None, :] ** 2) / 2 / 0.01)
    before = _variance(total, 0.02, 1)
    for _ in range(round(80 / step)):
        free = take_mobile(total, p)
        transport.spread(free[None], grid, d * step, d * step)
        total += free
    factor = held_back(0.0, b_max, a_half)
    assert factor == pytest.approx(4)
    assert (_variance(total, 0.02, 1) - before) * factor / (2 * d * 80) == pytest.approx(1, abs=1e-2)


def test_layers_come_to_one_concentration() -> None:
    """Without strike, after long enough, dye is as strong in all three layers: 1/(0.5 + 0.25 + 0.25)."""
    x = rates(Kappas(1e-3, 1e-3, 1e-3), 0.5, 0.25)
    amounts = np.array([0.0, 1.0, 0.0])
    for _ in range(400):
        amounts = over(x, 100.0) @ amounts
    assert amounts / [0.5, 0.25, 0.25] == pytest.approx([1, 1, 1], abs=1e-9)


def test_turning_twice_changes_nothing() -> None:
    rng = np.random.default_rng(1)
    field = Field.empty(Grid(9, 7, 0.1, 0.1), 2, np.float64)
    for values in (field.liquor, field.fibre, field.acid):
        values[:] = rng.random(values.shape)
    kept = [values.copy() for values in (field.liquor, field.fibre, field.acid)]
    field.turn()
    assert not np.array_equal(field.fibre, kept[1])
    field.turn()
    assert all(np.array_equal(a, b) for a, b in zip((field.liquor, field.fibre, field.acid), kept, strict=True))


@pytest.mark.parametrize(("acid", "order", "most"), [(0.0, 2.0, 1e-3), (0.004, 1.0, 5e-3)])
def test_the_full_model_converges(acid: float, order: float, most: float) -> None:
    """Self-convergence of everything together, powder dissolving: of second order; of first where acid moves, which comes to rest with the fibre at once."""

    def run(fineness: float) -> np.ndarray:
        session = case(0.4, 0.1, 85, dyes=2, powder_acid=acid, time_s=160, clump=3.0)
        return full(session, panel(64, 0.04), 5, dtype=np.float64, fineness=fineness).dye

    fine = run(24)
    errors = [float(np.linalg.norm(run(f) - fine) / np.linalg.norm(fine)) for f in (1, 2, 4)]
    assert errors[0] <= most
    assert np.log2(errors[0] / errors[1]) > order - 0.3
    assert np.log2(errors[1] / errors[2]) > order - 0.3


def test_a_usual_run_needs_no_finer_steps() -> None:
    """Steps of 5 to 25 s against half of them, over 1500 s: within 1 %."""
    session = case(0.4, 0.15, dyes=2)
    coarse, fine = (full(session, panel(96, 0.04), 2, fineness=f).dye for f in (1, 2))
    assert np.linalg.norm(coarse - fine) / np.linalg.norm(fine) < 1e-2


def test_cells_of_a_fifth_of_a_millimetre_are_enough() -> None:
    """Specks of 0.5 mm footprint on 0.4 and 0.2 mm cells against 0.1 mm: within 5 % and 1 %, and second order."""
    session = case(0.4, 0.15, time_s=200, grain_mm=0.2, load_mg_cm2=0.2)
    alike, even = replace(session.parameters.powder, grain_sd=1.0001), replace(session.parameters.yarn, strand_spread=0.0)
    session = replace(session, parameters=replace(session.parameters, powder=alike, yarn=even))
    fine = full(session, panel(192, 0.01), 4, dtype=np.float64).dye
    found = []
    for factor in (4, 2):
        coarse = full(session, panel(192 // factor, 0.01 * factor), 4, dtype=np.float64).dye
        means = fine.reshape(1, 2, 192 // factor, factor, 192 // factor, factor).mean(axis=(3, 5))
        found.append(float(np.linalg.norm(coarse - means) / np.linalg.norm(means)))
    assert found[0] < 5e-2
    assert found[1] < 1e-2


def test_without_acid_and_without_a_rest_of_strike_nothing_goes_on() -> None:
    result = full(case(0.4, 0.0, phi0=0.0, time_s=600), panel(64, 0.04), 1)
    assert result.ledger.fibre_mg.sum() == 0
    left = result.ledger.held_mg + result.ledger.free_mg + result.ledger.powder_mg
    assert left.sum() == pytest.approx(result.ledger.added_mg.sum(), rel=5e-6)
    assert result.ledger.left_in_bath > 0.9


def test_relaxing_rescales_length_and_number_a_metre() -> None:
    """Relaxing to 0.9 of the length: a mark is 0.9 as long, and 1/0.9 as many lie in a metre; dye a gram stays."""
    from skeinwright.core.colourway.colourway import SkeinGeometry
    from skeinwright.core.spread.skein_map import blank_map

    skein = blank_map(("Kelp",), SkeinGeometry(skein_g=100, length_mm=400_000, round_mm=1500), rows=4)
    dye = np.array(skein.dye)
    dye[..., 40:50] = 0.01
    wet = replace(skein, dye=dye)
    dry = wet.relaxed(0.9, 1.2)
    assert dry.ds_mm * 10 == pytest.approx(0.9 * wet.ds_mm * 10)
    assert 1000 / dry.round_mm == pytest.approx(1000 / wet.round_mm / 0.9)
    assert dry.mean() == wet.mean()


@pytest.mark.filterwarnings("ignore")
def test_against_py_pde() -> None:
    """Diffusion with first-order strike against the open library py-pde (its own Laplacian and mirrored edges, scipy's integrator): even strike multiplies
    by e^-kt."""
    pde = pytest.importorskip("pde")
    n, step, d, k = 24, 0.1, 1e-3, 0.01
    start = np.random.default_rng(8).random((n, n))
    theirs = pde.ScalarField(pde.CartesianGrid([[0, n * step]] * 2, n), start)
    equation = pde.DiffusionPDE(d, bc="auto_periodic_neumann")
    solved = equation.solve(theirs, t_range=60, solver="scipy", backend="scipy", tracker=None, rtol=1e-9, atol=1e-11)
    one = OneLayer(Grid(n, n, step, step), k=k, along=d, across=d)
    one.liquor[:] = start
    one.run(60, 5.0)
    assert np.abs(one.liquor - np.exp(-k * 60) * solved.data).max() < 1e-8
    assert one.fibre.sum() + one.liquor.sum() == pytest.approx(start.sum(), rel=1e-13)


def test_a_wait_in_two_parts_is_a_wait() -> None:
    session = case(0.4, 0.15, time_s=300)
    split = replace(session, events=(session.events[0], Wait(140.0), Wait(160.0)))
    a, b = (full(one, panel(64, 0.04), 1, dtype=np.float64).dye for one in (session, split))
    assert np.linalg.norm(a - b) / np.linalg.norm(a) < 2e-3


def test_turning_shows_the_other_face() -> None:
    session = case(0.15, 0.3)
    turned = replace(session, events=(*session.events, Turn()))
    a, b = (full(one, panel(64, 0.04), 1) for one in (session, turned))
    assert np.array_equal(b.dye[:, 0], a.dye[:, 1, ::-1])
    assert figures(b).front_back == pytest.approx(1 / figures(a).front_back, rel=1e-5)
